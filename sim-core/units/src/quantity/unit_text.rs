//! The text of a unit read into what it is made of.
//!
//! `gal`, `ton`, `oz` and `miner's inch` alone stay marked as ambiguous; the caller offers the choices.

use super::key::{Key, find};
use super::short_forms::PLACES;
use super::token::{self, Kind, Token, Trouble, TroubleKind};
use super::unit::Basis;
use super::words::{Qualifier, currency, lookup};
use std::ops::Range;

/// What the text of a unit says.
#[derive(Debug, Clone, Default)]
pub(super) struct UnitText {
    /// Possible readings, likeliest first: `a per b/c` is (a/b)/c or a/(b/c).
    pub keys: Vec<Key>,
    /// Loose or bank.
    pub basis: Option<Basis>,
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

/// Settles which unit is meant; false when the word does not fit.
fn settle(qualifier: Qualifier, element: &mut Element) -> bool {
    let Element::Unit(key) = element else {
        return false;
    };
    match qualifier.settle(key) {
        Some(settled) => {
            *key = settled;
            true
        }
        None => false,
    }
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
            return Err(Trouble { span: span.clone(), kind: TroubleKind::LooseAndBank });
        }
        self.out.basis = Some(basis);
        Ok(())
    }

    fn push(&mut self, element: Element) -> Result<(), Trouble> {
        self.elements.push(element);
        Ok(())
    }

    /// The next unit stands to this power.
    fn raise(&mut self, power: i32) -> Result<(), Trouble> {
        self.power = power;
        Ok(())
    }

    /// Reads one piece, and more where a unit is spelled in several words.
    fn step(&mut self, token: &Token) -> Result<(), Trouble> {
        self.at += 1;
        let (word, power) = match &token.kind {
            Kind::Slash => return self.push(Element::Slash),
            Kind::Open => return self.push(Element::Open),
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
                return self.push(Element::One);
            }
            Kind::Number(_) => {
                return Err(Trouble { span: token.span.clone(), kind: TroubleKind::StrayNumber });
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
            "cubic" | "cu" | "cub" => return self.raise(3),
            "square" | "sq" => return self.raise(2),
            "per" => return self.per(),
            _ => {}
        }
        if let Some(qualifier) = Qualifier::of(&lower) {
            self.qualifiers.push((qualifier, self.elements.len(), token.clone()));
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
            return Err(Trouble { span: token.span.clone(), kind: TroubleKind::UnknownWord(word.to_owned()) });
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
        self.elements.is_empty() && matches!(self.tokens.get(self.at).map(|t| &t.kind), Some(Kind::Slash))
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
                self.elements.push(Element::Unit(Key::of(i)));
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
                if find(length).is_some_and(|i| *key == Key::of(i))
                    && let Some(i) = find(&column)
                {
                    *key = Key::of(i);
                    return Ok(());
                }
            }
        }
        let word = match &token.kind {
            Kind::Word(w, _) => w.clone(),
            _ => String::new(),
        };
        Err(Trouble { span: token.span.clone(), kind: TroubleKind::NothingToQualify(word) })
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
        self.elements.push(Element::Unit(Key::of(i)));
        true
    }

    /// Gives each qualifier to the unit nearest to it: next, previous, then further on, then further back.
    fn qualify(&mut self) -> Result<(), Trouble> {
        for (qualifier, place, token) in std::mem::take(&mut self.qualifiers) {
            let count = self.elements.len();
            let is_unit = |e: &Element| matches!(e, Element::Unit(_));
            let next = (place..count).find(|i| self.elements.get(*i).is_some_and(|e| !matches!(e, Element::Open)));
            let previous = (0..place.min(count)).rev().find(|i| self.elements.get(*i).is_some_and(is_unit));
            let order = next.into_iter().chain(previous).chain(place..count).chain((0..place.min(count)).rev());
            let order: Vec<usize> = order.collect();
            let fits = order.into_iter().any(|i| self.elements.get_mut(i).is_some_and(|e| settle(qualifier, e)));
            if !fits {
                let word = match &token.kind {
                    Kind::Word(w, _) => w.clone(),
                    _ => String::new(),
                };
                return Err(Trouble { span: token.span, kind: TroubleKind::NothingToQualify(word) });
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
    let start = words.iter().position(|w| matches!(w.as_str(), "miner" | "miners"))?;
    if !matches!(words.get(start + 1).map(String::as_str), Some("in" | "inch" | "inches")) {
        return None;
    }
    let rest: Vec<&str> =
        words.iter().enumerate().filter(|(i, _)| *i != start && *i != start + 1).map(|(_, w)| w.as_str()).collect();
    let said = rest.join(" ");
    let said = said.strip_prefix("of ").unwrap_or(&said).to_owned();
    let place = PLACES.iter().find(|(name, code)| said == *name || said.eq_ignore_ascii_case(code));
    let symbol = match place {
        Some((_, code)) => format!("miner's inch {code}"),
        None => "miner's inch".to_owned(),
    };
    Some(Key::of(find(&symbol)?))
}

/// Reads the text of a unit. Spans of troubles are bytes of `text`.
pub(super) fn readings(text: &str) -> Result<UnitText, Trouble> {
    let tokens = token::tokens(text)?;
    if let Some(key) = miners_inch(&tokens) {
        return Ok(UnitText { keys: vec![key], ..UnitText::default() });
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
