//! The text of a unit read into what it is made of: single units with their powers.
//!
//! `gal`, `ton`, `oz` and `miner's inch` alone stay marked as ambiguous; the caller offers the choices.

use super::atoms::{ATOMS, Atom, PLACES, SHORT_FORMS};
use super::dimension::Powers;
use super::token::{self, Kind, Token, Trouble, TroubleKind};
use super::unit::{Basis, Factor, System};
use std::collections::BTreeMap;
use std::ops::Range;

/// Single units (place in the list of atoms) and their powers. Empty: a bare number.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct Key(BTreeMap<usize, i32>);

fn find(symbol: &str) -> Option<usize> {
    ATOMS.iter().position(|a| a.symbol == symbol)
}

impl Key {
    fn add(&mut self, atom: usize, power: i32) {
        let p = self.0.entry(atom).or_insert(0);
        *p = p.saturating_add(power);
        if *p == 0 {
            self.0.remove(&atom);
        }
    }

    fn add_all(&mut self, other: &Key, sign: i32) {
        for (&atom, &power) in &other.0 {
            self.add(atom, power.saturating_mul(sign));
        }
    }

    fn atoms(&self) -> impl Iterator<Item = (&'static Atom, i32)> + '_ {
        self.0
            .iter()
            .filter_map(|(i, p)| ATOMS.get(*i).map(|a| (a, *p)))
    }

    /// No unit at all.
    pub(super) fn is_bare(&self) -> bool {
        self.0.is_empty()
    }

    /// Powers of m, kg, s, K and money.
    pub(super) fn powers(&self) -> Powers {
        let mut powers = [0i32; 5];
        for (atom, p) in self.atoms() {
            for (sum, a) in powers.iter_mut().zip(atom.powers) {
                *sum = sum.saturating_add(a.saturating_mul(p));
            }
        }
        powers
    }

    /// Words that name several units.
    pub(super) fn ambiguous(&self) -> impl Iterator<Item = &'static Atom> + '_ {
        self.atoms()
            .map(|(a, _)| a)
            .filter(|a| !a.choices.is_empty())
    }

    /// Size in SI; `None` while a word is ambiguous.
    pub(super) fn factor(&self) -> Option<Factor> {
        if self.ambiguous().next().is_some() {
            return None;
        }
        Some(
            self.atoms()
                .fold(Factor::ONE, |f, (a, p)| f.times(a.factor, p)),
        )
    }

    /// System and source: those of the first single unit that is not SI.
    pub(super) fn origin(&self) -> (System, &'static str) {
        let first = |wanted: System| self.atoms().find(|(a, _)| a.system == wanted);
        let chosen = first(System::Imperial)
            .or_else(|| first(System::Us))
            .or_else(|| self.atoms().next());
        chosen.map_or((System::Si, "definition"), |(a, _)| (a.system, a.source))
    }

    /// The same with one single unit put for another.
    pub(super) fn replaced(&self, from: &str, to: &[(&str, i32)]) -> Option<Key> {
        let power = *self.0.get(&find(from)?)?;
        let mut key = self.clone();
        key.0.remove(&find(from)?);
        for (symbol, p) in to {
            key.add(find(symbol)?, power.saturating_mul(*p));
        }
        Some(key)
    }

    /// The same with money above the line.
    pub(super) fn with_money(&self) -> Key {
        let mut key = self.clone();
        if let Some(money) = find("$")
            && !key.0.contains_key(&money)
        {
            key.add(money, 1);
        }
        key
    }

    /// Written out, e.g. `US gal/min/ft`.
    pub(super) fn display(&self) -> String {
        let part = |(a, p): (&Atom, i32)| match p.abs() {
            1 => a.symbol.to_owned(),
            n => format!("{}{n}", a.symbol),
        };
        let above: Vec<String> = self.atoms().filter(|(_, p)| *p > 0).map(part).collect();
        let below: Vec<String> = self.atoms().filter(|(_, p)| *p < 0).map(part).collect();
        let mut text = if above.is_empty() {
            "1".to_owned()
        } else {
            above.join(" ")
        };
        for b in below {
            text.push('/');
            text.push_str(&b);
        }
        text
    }
}

/// What the text of a unit says.
#[derive(Debug, Clone, Default)]
pub(super) struct UnitText {
    /// Possible readings, likeliest first: `a per b/c` is (a/b)/c or a/(b/c).
    pub keys: Vec<Key>,
    /// Loose or bank.
    pub basis: Option<Basis>,
    /// Where that word stands.
    pub basis_span: Range<usize>,
    /// Currency as typed.
    pub currency: Option<&'static str>,
}

#[derive(Debug, Clone)]
enum Element {
    Unit(Key),
    Slash,
    Per,
    Open,
    Close,
    One,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Qualifier {
    Us,
    Imperial,
    Troy,
    Avoirdupois,
    Short,
    Long,
    Metric,
    Mechanical,
}

impl Qualifier {
    fn of(word: &str) -> Option<Qualifier> {
        Some(match word {
            "us" | "usa" | "american" => Qualifier::Us,
            "imp" | "imperial" | "uk" | "british" => Qualifier::Imperial,
            "troy" => Qualifier::Troy,
            "av" | "avdp" | "avoir" | "avoirdupois" => Qualifier::Avoirdupois,
            "short" => Qualifier::Short,
            "long" => Qualifier::Long,
            "metric" => Qualifier::Metric,
            "mechanical" | "mech" => Qualifier::Mechanical,
            _ => return None,
        })
    }

    /// The single unit meant when this word stands with an ambiguous one.
    fn choose(self, atom: &str) -> Option<&'static str> {
        Some(match (atom, self) {
            ("gal", Qualifier::Us) => "US gal",
            ("gal", Qualifier::Imperial) => "imp gal",
            ("ton", Qualifier::Us | Qualifier::Short) => "short ton",
            ("ton", Qualifier::Imperial | Qualifier::Long) => "long ton",
            ("ton" | "t", Qualifier::Metric) => "t",
            ("oz", Qualifier::Troy) => "ozt",
            ("oz", Qualifier::Avoirdupois) => "oz avdp",
            ("lb", Qualifier::Avoirdupois) => "lb",
            ("hp", Qualifier::Metric) => "PS",
            ("hp", Qualifier::Mechanical) => "hp",
            ("$", Qualifier::Us) => "$",
            _ => return None,
        })
    }

    /// Applies the word to a unit; false when it does not fit.
    fn apply(self, element: &mut Element) -> bool {
        let Element::Unit(key) = element else {
            return false;
        };
        let fit = key
            .atoms()
            .find_map(|(a, _)| self.choose(a.symbol).map(|to| (a.symbol, to)));
        match fit.and_then(|(from, to)| key.replaced(from, &[(to, 1)])) {
            Some(chosen) => {
                *key = chosen;
                true
            }
            None => false,
        }
    }
}

/// Symbol of the single unit or parts of the short form spelled by a word.
fn lookup(word: &str) -> Option<(Key, Option<Basis>)> {
    let exact = ATOMS.iter().position(|a| a.spellings.contains(&word));
    let folded = word.to_lowercase();
    exact
        .map(|i| (Key(BTreeMap::from([(i, 1)])), None))
        .or_else(|| lookup_folded(&folded, word))
        .or_else(|| {
            let singular = folded
                .strip_suffix('s')
                .filter(|s| s.chars().count() >= 2)?;
            lookup_folded(singular, singular)
        })
}

/// The lookup without regard to case. A lone `M` is no metre, and a spelling that two units share but for case (`mg`,
/// `Mg`) has to be typed exactly.
fn lookup_folded(folded: &str, typed: &str) -> Option<(Key, Option<Basis>)> {
    let short = SHORT_FORMS.iter().find(|s| s.spellings.contains(&folded));
    if let Some(short) = short {
        let mut key = Key::default();
        for (symbol, p) in short.parts {
            key.add(find(symbol)?, *p);
        }
        return Some((key, short.basis));
    }
    if typed == "M" {
        return None;
    }
    let mut hits = (0..ATOMS.len()).filter(|i| {
        ATOMS
            .get(*i)
            .is_some_and(|a| a.spellings.iter().any(|s| s.to_lowercase() == folded))
    });
    match (hits.next(), hits.next()) {
        (Some(i), None) => Some((Key(BTreeMap::from([(i, 1)])), None)),
        _ => None,
    }
}

fn currency(word: &str) -> Option<&'static str> {
    Some(match word.to_lowercase().as_str() {
        "$" | "dollar" | "dollars" => "$",
        "usd" => "USD",
        "cad" => "CAD",
        "aud" => "AUD",
        "nzd" => "NZD",
        "eur" | "€" => "EUR",
        "gbp" | "£" => "GBP",
        _ => return None,
    })
}

/// Reader of the pieces of a unit, left to right.
struct Reader<'a> {
    tokens: &'a [Token],
    at: usize,
    elements: Vec<Element>,
    qualifiers: Vec<(Qualifier, usize, Token)>,
    /// Power that "cubic" or "square" gives to the next unit.
    power: i32,
    out: UnitText,
}

impl<'a> Reader<'a> {
    /// The word at a distance ahead, in lower case.
    fn peek(&self, ahead: usize) -> Option<String> {
        match self.tokens.get(self.at + ahead).map(|t| &t.kind) {
            Some(Kind::Word(w, _)) => Some(w.to_lowercase()),
            _ => None,
        }
    }

    fn set_basis(&mut self, basis: Basis, span: &Range<usize>) -> Result<(), Trouble> {
        if self.out.basis.is_some_and(|b| b != basis) {
            return Err(Trouble {
                span: span.clone(),
                kind: TroubleKind::LooseAndBank,
            });
        }
        self.out.basis = Some(basis);
        self.out.basis_span = span.clone();
        Ok(())
    }

    /// Reads one piece, and more where a unit is spelled in several words.
    fn step(&mut self, token: &Token) -> Result<(), Trouble> {
        self.at += 1;
        let (word, power) = match &token.kind {
            Kind::Slash => return Ok(self.elements.push(Element::Slash)),
            Kind::Open => return Ok(self.elements.push(Element::Open)),
            Kind::Close => {
                // Brackets around a qualifier, as in `gal (US)`, leave nothing.
                if matches!(self.elements.last(), Some(Element::Open)) {
                    self.elements.pop();
                } else {
                    self.elements.push(Element::Close);
                }
                return Ok(());
            }
            Kind::Number(n) if n == "1" && self.before_stroke() => {
                return Ok(self.elements.push(Element::One));
            }
            Kind::Number(_) => {
                return Err(Trouble {
                    span: token.span.clone(),
                    kind: TroubleKind::StrayNumber,
                });
            }
            Kind::Word(word, power) => (word.as_str(), *power),
        };
        let lower = word.to_lowercase();
        match lower.as_str() {
            "loose" => return self.set_basis(Basis::Loose, &token.span),
            "bank" => return self.set_basis(Basis::Bank, &token.span),
            "of" if matches!(self.peek(0).as_deref(), Some("water" | "h" | "head")) => {
                return Ok(());
            }
            "cubic" | "cu" | "cub" => return Ok(self.power = 3),
            "square" | "sq" => return Ok(self.power = 2),
            "per" => return self.per(),
            _ => {}
        }
        if let Some(qualifier) = Qualifier::of(&lower) {
            self.qualifiers
                .push((qualifier, self.elements.len(), token.clone()));
            return Ok(());
        }
        if matches!(lower.as_str(), "water" | "wc" | "wg" | "head") || self.is_h2o(&lower, power) {
            return self.water(token);
        }
        if self.degrees(&lower) {
            return Ok(());
        }
        if let Some(symbol) = currency(word) {
            self.out.currency = Some(symbol);
        }
        let Some((key, basis)) = lookup(word) else {
            return Err(Trouble {
                span: token.span.clone(),
                kind: TroubleKind::UnknownWord(word.to_owned()),
            });
        };
        if let Some(basis) = basis {
            self.set_basis(basis, &token.span)?;
        }
        let mut raised = Key::default();
        raised.add_all(&key, power.saturating_mul(self.power));
        self.power = 1;
        self.elements.push(Element::Unit(raised));
        Ok(())
    }

    /// Whether a `1` is the one of `1/s`.
    fn before_stroke(&self) -> bool {
        self.elements.is_empty()
            && matches!(self.tokens.get(self.at).map(|t| &t.kind), Some(Kind::Slash))
    }

    fn per(&mut self) -> Result<(), Trouble> {
        let ratio = match self.peek(0).as_deref() {
            Some("cent") => Some("%"),
            Some("mille" | "mil" | "thousand") => Some("per mille"),
            Some("million") => Some("ppm"),
            _ => None,
        };
        match ratio.and_then(find) {
            Some(i) => {
                self.at += 1;
                self.elements
                    .push(Element::Unit(Key(BTreeMap::from([(i, 1)]))));
            }
            None => self.elements.push(Element::Per),
        }
        Ok(())
    }

    /// `H2O` arrives as `H` to the power 2 and `O`.
    fn is_h2o(&mut self, lower: &str, power: i32) -> bool {
        let found = lower == "h" && power == 2 && self.peek(0).as_deref() == Some("o");
        self.at += usize::from(found);
        found
    }

    /// `ft of water`: turns the length before into a pressure.
    fn water(&mut self, token: &Token) -> Result<(), Trouble> {
        if let Some(Element::Unit(key)) = self.elements.last_mut() {
            for length in ["m", "ft", "in", "cm", "mm"] {
                let column = format!("{length} of water");
                if find(length).is_some_and(|i| *key == Key(BTreeMap::from([(i, 1)])))
                    && let Some(i) = find(&column)
                {
                    *key = Key(BTreeMap::from([(i, 1)]));
                    return Ok(());
                }
            }
        }
        let word = match &token.kind {
            Kind::Word(w, _) => w.clone(),
            _ => String::new(),
        };
        Err(Trouble {
            span: token.span.clone(),
            kind: TroubleKind::NothingToQualify(word),
        })
    }

    /// `deg C`, `° F`, `degrees Celsius`.
    fn degrees(&mut self, lower: &str) -> bool {
        if !matches!(lower, "deg" | "degs" | "degree" | "degrees" | "°") {
            return false;
        }
        let symbol = match self.peek(0).as_deref() {
            Some("c" | "celsius" | "centigrade") => "°C",
            Some("f" | "fahrenheit") => "°F",
            _ => return false,
        };
        let Some(i) = find(symbol) else {
            return false;
        };
        self.at += 1;
        self.elements
            .push(Element::Unit(Key(BTreeMap::from([(i, 1)]))));
        true
    }

    /// Gives each qualifier to the unit nearest to it: next, previous, then further on, then further back.
    fn qualify(&mut self) -> Result<(), Trouble> {
        for (qualifier, place, token) in std::mem::take(&mut self.qualifiers) {
            let count = self.elements.len();
            let is_unit = |e: &Element| matches!(e, Element::Unit(_));
            let next = (place..count).find(|i| {
                self.elements
                    .get(*i)
                    .is_some_and(|e| !matches!(e, Element::Open))
            });
            let previous = (0..place.min(count))
                .rev()
                .find(|i| self.elements.get(*i).is_some_and(is_unit));
            let order = next
                .into_iter()
                .chain(previous)
                .chain(place..count)
                .chain((0..place.min(count)).rev());
            let order: Vec<usize> = order.collect();
            let fits = order
                .into_iter()
                .any(|i| self.elements.get_mut(i).is_some_and(|e| qualifier.apply(e)));
            if !fits {
                let word = match &token.kind {
                    Kind::Word(w, _) => w.clone(),
                    _ => String::new(),
                };
                return Err(Trouble {
                    span: token.span,
                    kind: TroubleKind::NothingToQualify(word),
                });
            }
        }
        Ok(())
    }
}

/// Multiplies out. Whatever follows a stroke is below the line, so `US gal/hp h` is US gal/(hp h).
fn product(elements: &[Element], at: &mut usize, depth: usize) -> Key {
    let mut key = Key::default();
    let mut sign = 1;
    while let Some(element) = elements.get(*at) {
        *at += 1;
        match element {
            Element::Unit(unit) => key.add_all(unit, sign),
            Element::Slash | Element::Per => sign = -1,
            Element::Open if depth < 8 => key.add_all(&product(elements, at, depth + 1), sign),
            Element::Open | Element::One => {}
            Element::Close => return key,
        }
    }
    key
}

fn whole(elements: &[Element]) -> Key {
    let mut key = Key::default();
    let mut at = 0;
    while at < elements.len() {
        // A closing bracket without its opening ends a product early; go on with the rest.
        key.add_all(&product(elements, &mut at, 0), 1);
    }
    key
}

/// Takes the miner's inch with its place out of the pieces.
fn miners_inch(tokens: &[Token]) -> Option<Key> {
    let words: Vec<String> = tokens
        .iter()
        .filter_map(|t| match &t.kind {
            Kind::Word(w, _) => Some(w.to_lowercase()),
            _ => None,
        })
        .collect();
    let start = words
        .iter()
        .position(|w| matches!(w.as_str(), "miner" | "miners"))?;
    if !matches!(
        words.get(start + 1).map(String::as_str),
        Some("in" | "inch" | "inches")
    ) {
        return None;
    }
    let rest: Vec<&str> = words
        .iter()
        .enumerate()
        .filter(|(i, _)| *i != start && *i != start + 1)
        .map(|(_, w)| w.as_str())
        .collect();
    let said = rest.join(" ");
    let said = said.strip_prefix("of ").unwrap_or(&said).to_owned();
    let place = PLACES
        .iter()
        .find(|(name, code)| said == *name || said.eq_ignore_ascii_case(code));
    let symbol = match place {
        Some((_, code)) => format!("miner's inch {code}"),
        None => "miner's inch".to_owned(),
    };
    Some(Key(BTreeMap::from([(find(&symbol)?, 1)])))
}

/// Reads the text of a unit. Spans of troubles are bytes of `text`.
pub(super) fn readings(text: &str) -> Result<UnitText, Trouble> {
    let tokens = token::tokens(text)?;
    if let Some(key) = miners_inch(&tokens) {
        return Ok(UnitText {
            keys: vec![key],
            ..UnitText::default()
        });
    }
    let mut reader = Reader {
        tokens: &tokens,
        at: 0,
        elements: Vec::new(),
        qualifiers: Vec::new(),
        power: 1,
        out: UnitText::default(),
    };
    while let Some(token) = tokens.get(reader.at) {
        reader.step(token)?;
    }
    reader.qualify()?;
    let elements = reader.elements;
    let mut out = reader.out;
    out.keys.push(whole(&elements));
    if let Some(per) = elements.iter().position(|e| matches!(e, Element::Per)) {
        let (above, below) = elements.split_at(per);
        let mut grouped = whole(above);
        grouped.add_all(&whole(below.get(1..).unwrap_or(&[])), -1);
        out.keys.push(grouped);
    }
    Ok(out)
}

/// Spellings close to a word that is no unit, nearest first.
pub(super) fn similar(word: &str) -> Vec<&'static str> {
    let folded = word.to_lowercase();
    let limit = if folded.chars().count() <= 3 { 1 } else { 2 };
    let singles = ATOMS.iter().flat_map(|a| a.spellings.iter().copied());
    let shorts = SHORT_FORMS.iter().flat_map(|s| s.spellings.iter().copied());
    let qualifiers = [
        "us", "imp", "imperial", "loose", "bank", "cubic", "square", "short", "troy", "per", "mesh",
    ];
    let mut hits: Vec<(usize, &'static str)> = singles
        .chain(shorts)
        .chain(qualifiers)
        .map(|s| (strsim::osa_distance(&folded, &s.to_lowercase()), s))
        .filter(|(d, s)| *d <= limit && *d < s.chars().count())
        .collect();
    hits.sort();
    hits.into_iter().map(|(_, s)| s).collect()
}
