//! What a user typed, read into SI: number, unit, and whatever he said about loose, bank, mesh series or critical speed.

use super::dimension::{Dimension, Dimension as D};
use super::key::{self, Key, UnitText};
use super::mesh;
use super::number;
use super::resolve::{self, Refusal};
use super::table::{self, MESH_TYLER, MESH_US, OF_CRITICAL, ONE_IN};
use super::token::{Trouble, TroubleKind};
use super::unit::{Basis, Scale, UnitRef};
use std::ops::Range;

/// Longest text that is read as a quantity, bytes.
const LONGEST: usize = 200;

/// A quantity read from text.
#[derive(Debug, Clone, PartialEq)]
pub struct Parsed {
    /// Value in the SI unit of its kind; for a drum speed in percent of critical, the share of critical.
    pub si: f64,
    /// Unit in which it was typed. A sound unit that is not listed (`lb/day`) is read too and carries the SI unit here.
    pub unit: UnitRef,
    /// Loose or bank, where it was said.
    pub basis: Option<Basis>,
    /// The value is a share of the critical speed of the drum, not a speed.
    pub of_critical: bool,
    /// Currency as typed, where one was.
    pub currency: Option<&'static str>,
    /// Something that was taken for granted and that the user should know.
    pub note: Option<String>,
}

/// A text that is no quantity of the wanted kind.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct QuantityError {
    /// The wrong part, in bytes of the text.
    pub span: Range<usize>,
    /// What is wrong, in plain words.
    pub message: String,
    /// What would be right.
    pub help: String,
}

impl QuantityError {
    fn new(span: Range<usize>, message: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            span,
            message: message.into(),
            help: help.into(),
        }
    }
}

fn example(dimension: Dimension) -> String {
    format!(
        "write {} such as `{}`",
        dimension.name_with_article(),
        dimension.example()
    )
}

/// Reads `text` as a quantity of the wanted kind.
///
/// Number: decimal point, `1,500`, `3/8`, `1 1/2`, `1-1/2`, `½`, `1e-3`, `1.5×10⁻³`. Unit: any spacing, Unicode or
/// ASCII, upper or lower case where that is unambiguous. Words that name several units (gallon, ton, ounce of gold,
/// miner's inch) are refused with the choices. Nothing is guessed silently: what is taken for granted is in the note.
///
/// ```
/// use sim_core::quantity::{Dimension, parse};
/// let hole = parse("1/2 in", Dimension::Length).unwrap();
/// assert_eq!(hole.si, 0.0127);
/// assert!(parse("450 gpm", Dimension::Flow).is_err());
/// ```
pub fn parse(text: &str, dimension: Dimension) -> Result<Parsed, QuantityError> {
    let trimmed = text.trim();
    let start = text.len() - text.trim_start().len();
    let span = start..start + trimmed.len();
    if trimmed.is_empty() {
        return Err(QuantityError::new(
            0..text.len(),
            "nothing is written here",
            example(dimension),
        ));
    }
    if trimmed.len() > LONGEST {
        return Err(QuantityError::new(
            span,
            "this is too long for a quantity",
            example(dimension),
        ));
    }
    let special = match dimension {
        D::SieveSize => mesh_number(text, &span),
        D::Slope => one_in(text, &span),
        D::RotationSpeed => share_of_critical(text, &span),
        _ => None,
    };
    special.unwrap_or_else(|| number_and_unit(text, span, dimension))
}

fn parsed(si: f64, unit: UnitRef) -> Parsed {
    Parsed {
        si,
        unit,
        basis: None,
        of_critical: false,
        currency: None,
        note: None,
    }
}

fn listed(dimension: Dimension, symbol: &str, si: f64) -> Option<Parsed> {
    table::by_symbol(dimension, symbol).map(|unit| parsed(si, unit))
}

// ---- the general case ----

fn number_and_unit(
    text: &str,
    span: Range<usize>,
    dimension: Dimension,
) -> Result<Parsed, QuantityError> {
    let (currency, start) = leading_currency(text, span.start);
    let number = read_number(text, start, &span, dimension)?;
    let rest_start = number.end
        + text
            .get(number.end..span.end)
            .map_or(0, |r| r.len() - r.trim_start().len());
    let rest = rest_start.min(span.end)..span.end;
    refuse_ranges(text, &rest, &span)?;
    let mut unit_text = text.get(rest.clone()).unwrap_or("").to_owned();
    if currency.is_some() {
        unit_text.insert(0, '$');
    }
    match resolve_text(&unit_text, dimension) {
        Ok(found) => {
            let mut p = scaled(number.value, &found, dimension, &span)?;
            p.currency = currency.or(p.currency);
            Ok(p)
        }
        Err(refusal) => {
            if adds_up(dimension)
                && !matches!(
                    refusal,
                    Refusal::OtherKind { .. } | Refusal::Ambiguous { .. }
                )
                && let Some(sum) = sum_of_parts(text, &span, dimension)
            {
                return sum;
            }
            Err(explain(refusal, text, rest, currency.is_some(), dimension))
        }
    }
}

/// `$ 12`, `USD 12`: the currency and the place behind it.
fn leading_currency(text: &str, start: usize) -> (Option<&'static str>, usize) {
    const LEADING: [(&str, &str); 12] = [
        ("US$", "USD"),
        ("C$", "CAD"),
        ("CA$", "CAD"),
        ("A$", "AUD"),
        ("$", "$"),
        ("€", "EUR"),
        ("£", "GBP"),
        ("USD", "USD"),
        ("CAD", "CAD"),
        ("AUD", "AUD"),
        ("EUR", "EUR"),
        ("GBP", "GBP"),
    ];
    let rest = text.get(start..).unwrap_or("");
    for (typed, currency) in LEADING {
        if let Some(after) = rest.strip_prefix(typed) {
            let spaces = after.len() - after.trim_start().len();
            return (Some(currency), start + typed.len() + spaces);
        }
    }
    (None, start)
}

fn read_number(
    text: &str,
    start: usize,
    span: &Range<usize>,
    dimension: Dimension,
) -> Result<number::Number, QuantityError> {
    number::read(text, start).map_err(|f| {
        if f.message != "no number here" {
            return QuantityError::new(f.span, f.message, f.help);
        }
        let rest = text.get(start..span.end).unwrap_or("").to_lowercase();
        let sign_free = rest.trim_start_matches(['-', '+']);
        if ["nan", "inf"].iter().any(|w| sign_free.starts_with(w) && !sign_free.starts_with("inches")) {
            return QuantityError::new(span.clone(), "this is not a finite number", example(dimension));
        }
        if rest.starts_with(['~', '<', '>', '≈', '±', '≤', '≥']) {
            let help = format!(
                "write one plain quantity, e.g. `{}`; give what is uncertain a low, a middle and a high value",
                dimension.example()
            );
            return QuantityError::new(span.clone(), "signs such as ~, <, > or ± are not read", help);
        }
        QuantityError::new(span.clone(), "this does not start with a number", example(dimension))
    })
}

/// `10-12 mm`, `10 to 12 mm`, `10 ± 2 mm` are refused in words.
fn refuse_ranges(
    text: &str,
    rest: &Range<usize>,
    span: &Range<usize>,
) -> Result<(), QuantityError> {
    let r = text.get(rest.clone()).unwrap_or("");
    let plus_minus = ["±", "+-", "+/-", "-+"].iter().any(|s| r.starts_with(s));
    let after = ["-", "–", "—", "...", "..", "…", "to "]
        .iter()
        .find_map(|s| r.strip_prefix(s));
    let starts_number = |a: &str| {
        a.trim_start()
            .starts_with(|c: char| c.is_ascii_digit() || number::vulgar(c).is_some())
    };
    if plus_minus || after.is_some_and(starts_number) {
        return Err(QuantityError::new(
            span.clone(),
            "a range is not one quantity",
            "give low, middle and high as three quantities, each with its unit",
        ));
    }
    Ok(())
}

fn scaled(
    value: f64,
    found: &resolve::Found,
    dimension: Dimension,
    span: &Range<usize>,
) -> Result<Parsed, QuantityError> {
    let si = found.scale.to_si(value).ok_or_else(|| match found.scale {
        Scale::TangentOfDegrees => QuantityError::new(
            span.clone(),
            "a slope must be less than 90 degrees",
            example(dimension),
        ),
        _ => QuantityError::new(
            span.clone(),
            "this number is too large to hold",
            "check the number and the unit",
        ),
    })?;
    if dimension == D::Temperature && si < -273.15 {
        return Err(QuantityError::new(
            span.clone(),
            "this is below absolute zero",
            example(dimension),
        ));
    }
    if value != 0.0 && si == 0.0 && matches!(found.scale, Scale::Ratio(_)) {
        return Err(QuantityError::new(
            span.clone(),
            "this number is too small to hold",
            "check the power of ten",
        ));
    }
    Ok(Parsed {
        basis: found.basis,
        currency: found.currency,
        note: found.note.clone(),
        ..parsed(si, found.unit)
    })
}

/// Reads the text behind a number as a unit of the wanted kind.
pub(super) fn resolve_text(unit: &str, dimension: Dimension) -> Result<resolve::Found, Refusal> {
    let read: UnitText = key::readings(unit).map_err(Refusal::Trouble)?;
    resolve::resolve(&read, dimension)
}

// ---- sums: 1 ft 6 in ----

fn adds_up(dimension: Dimension) -> bool {
    matches!(
        dimension,
        D::Length | D::SieveSize | D::Head | D::Time | D::Mass
    )
}

/// `1 ft 6 in`, `1' 6 1/2"`, `2 h 30 min`: several numbers, each with a smaller unit than the one before. `None` when the
/// text is not of this form.
fn sum_of_parts(
    text: &str,
    span: &Range<usize>,
    dimension: Dimension,
) -> Option<Result<Parsed, QuantityError>> {
    let mut at = span.start;
    let mut total: Option<Parsed> = None;
    let mut last_factor = f64::INFINITY;
    let mut parts = 0;
    let mut negative = false;
    while at < span.end {
        let number = number::read(text, at).ok()?;
        let rest = text.get(number.end..span.end)?;
        let length = rest
            .find(|c: char| c.is_ascii_digit() || number::vulgar(c).is_some())
            .unwrap_or(rest.len());
        let unit = rest.get(..length)?.trim().trim_end_matches([',', '-', ' ']);
        let unit = unit.strip_suffix(" and").unwrap_or(unit);
        if unit.is_empty() {
            return None;
        }
        let found = resolve_text(unit, dimension).ok()?;
        let factor = found.unit.factor()?;
        let first = total.is_none();
        if factor >= last_factor || (!first && number.value < 0.0) {
            return None;
        }
        negative |= first && number.value.is_sign_negative();
        let value = scaled(number.value.abs(), &found, dimension, span);
        let value = match value {
            Ok(v) => v,
            Err(e) => return Some(Err(e)),
        };
        total = Some(match total {
            Some(t) => Parsed {
                si: t.si + value.si,
                ..t
            },
            None => value,
        });
        last_factor = factor;
        parts += 1;
        at = number.end + length;
    }
    let total = total.filter(|_| parts > 1)?;
    let si = if negative { -total.si } else { total.si };
    Some(Ok(Parsed { si, ..total }))
}

// ---- sieve numbers ----

/// `30 mesh US`, `No. 30`, `#30`, `Tyler 28 mesh`, `30#`. `None` when the text does not speak of mesh.
fn mesh_number(text: &str, span: &Range<usize>) -> Option<Result<Parsed, QuantityError>> {
    let t = text.get(span.clone())?;
    let first = t.find(|c: char| c.is_ascii_digit() || number::vulgar(c).is_some())?;
    let number = number::read(text, span.start + first).ok()?;
    let before = words(t.get(..first)?);
    let after = words(text.get(number.end..span.end)?);
    let says = |list: &[String], word: &str| list.iter().any(|w| w == word);
    let either = |word: &str| says(&before, word) || says(&after, word);
    let tyler = either("tyler");
    let us = either("us") || either("usa") || either("astm");
    let numbered = says(&before, "no") || says(&before, "number") || says(&before, "#");
    let bare = either("mesh") || either("#") || either("sieve");
    if !(tyler || us || numbered || bare) {
        return None;
    }
    let known = [
        "tyler", "us", "usa", "astm", "no", "number", "#", "mesh", "sieve", "standard", "series",
        "size",
    ];
    if let Some(odd) = before
        .iter()
        .chain(&after)
        .find(|w| !known.contains(&w.as_str()))
    {
        return Some(Err(QuantityError::new(
            span.clone(),
            format!("`{odd}` is not understood with a mesh number"),
            "say the series: `30 mesh US` or `28 mesh Tyler`; or give the opening, e.g. `0.6 mm`",
        )));
    }
    if us && tyler {
        return Some(Err(QuantityError::new(
            span.clone(),
            "the US and the Tyler series at once",
            "say one: `30 mesh US` or `28 mesh Tyler`",
        )));
    }
    Some(opening_of(
        number.value,
        tyler,
        !tyler && !us && !numbered,
        span,
    ))
}

fn opening_of(
    n: f64,
    tyler: bool,
    guessed: bool,
    span: &Range<usize>,
) -> Result<Parsed, QuantityError> {
    let (opening, series, name, symbol): (_, &[(f64, f64)], _, _) = if tyler {
        (
            mesh::tyler_mesh_mm(n),
            &mesh::TYLER_MESH_MM,
            "Tyler",
            MESH_TYLER,
        )
    } else {
        (mesh::us_number_mm(n), &mesh::US_NUMBERS_MM, "US", MESH_US)
    };
    let found = opening.and_then(|mm| Some((mm, listed(D::SieveSize, symbol, mm / 1000.0)?)));
    let Some((mm, mut p)) = found else {
        let near = match mesh::neighbours(series, n) {
            (Some(a), Some(b)) => format!("the nearest are {a} and {b}"),
            (Some(a), None) => format!("the finest is {a}"),
            (None, Some(b)) => format!("the coarsest is {b}"),
            (None, None) => String::new(),
        };
        return Err(QuantityError::new(
            span.clone(),
            format!("the {name} series has no sieve number {n}"),
            format!("{near}; or give the opening, e.g. `0.6 mm`"),
        ));
    };
    if guessed {
        p.note = Some(match mesh::tyler_mesh_mm(n).filter(|t| *t != mm) {
            Some(t) => format!(
                "{n} mesh was taken as US sieve number {n} ({mm} mm); as Tyler mesh it would be {t} mm"
            ),
            None => format!("{n} mesh was taken as US sieve number {n} ({mm} mm)"),
        });
    }
    Ok(p)
}

/// Words in lower case, `#` being one, and each other sign that means something.
fn words(text: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut open = false;
    for c in text.chars() {
        if c.is_alphabetic() {
            if !open {
                out.push(String::new());
            }
            if let Some(w) = out.last_mut() {
                w.extend(c.to_lowercase());
            }
            open = true;
        } else if c == '.' && open {
            // `U.S.` is one word, and `No.` stays one.
        } else {
            open = false;
            if !c.is_whitespace() && !matches!(c, '(' | ')' | ',' | ':' | '.') {
                out.push(c.to_string());
            }
        }
    }
    out
}

// ---- slopes ----

/// `1 in 12`, `1:12`, `6 in per 12 ft`. `None` when the text is of no such form.
fn one_in(text: &str, span: &Range<usize>) -> Option<Result<Parsed, QuantityError>> {
    let first = number::read(text, span.start).ok()?;
    let rest = text.get(first.end..span.end)?;
    let after = rest.trim_start();
    let colon = after.strip_prefix(':');
    let behind = colon
        .or_else(|| after.strip_prefix("in "))
        .filter(|b| starts_with_digit(b));
    if let Some(behind) = behind {
        let at = span.end - behind.trim_start().len();
        let second = number::read(text, at).ok()?;
        let tail = text.get(second.end..span.end)?.trim();
        if !tail.is_empty() {
            return Some(Err(QuantityError::new(
                span.clone(),
                "this can be read as a ratio or as inches",
                "write `1 in 12` for a ratio, `1 in/ft` or `1 in per 12 ft` for inches",
            )));
        }
        if !(first.value > 0.0 && second.value > 0.0) {
            return Some(Err(QuantityError::new(
                span.clone(),
                "both numbers of a ratio must be above zero",
                "write it like `1 in 12`",
            )));
        }
        return listed(D::Slope, ONE_IN, first.value / second.value).map(Ok);
    }
    let (rise, run) = after
        .split_once(" per ")
        .or_else(|| after.split_once('/'))?;
    if !starts_with_digit(run) {
        return None;
    }
    let rise_text = format!("{} {rise}", first.value);
    let rise = number_and_unit(&rise_text, 0..rise_text.len(), D::Length).ok()?;
    let run = number_and_unit(run.trim(), 0..run.trim().len(), D::Length)
        .ok()
        .filter(|r| r.si > 0.0)?;
    listed(D::Slope, "in/ft", rise.si / run.si).map(Ok)
}

fn starts_with_digit(text: &str) -> bool {
    text.trim_start().starts_with(|c: char| c.is_ascii_digit())
}

// ---- drum speed ----

/// `40 % of critical`: the share of the critical speed. `None` when the text does not speak of it.
fn share_of_critical(text: &str, span: &Range<usize>) -> Option<Result<Parsed, QuantityError>> {
    let lower = text.get(span.clone())?.to_ascii_lowercase();
    let at = lower
        .find("critical")
        .or_else(|| lower.ends_with("nc").then(|| lower.len() - 2))?;
    let help = "write `40 % of critical` or a speed such as `16 rpm`";
    let after = lower
        .get(at..)?
        .trim_start_matches("critical")
        .trim_start_matches("nc")
        .trim();
    let before = lower.get(..at)?.trim_end();
    let before = before.strip_suffix("the").unwrap_or(before).trim_end();
    let before = before.strip_suffix("of").unwrap_or(before).trim_end();
    let share = number_and_unit(before, 0..before.len(), D::Fraction);
    let plausible = share
        .ok()
        .filter(|s| s.unit.symbol() == "%" || (0.0..=2.0).contains(&s.si));
    let understood = matches!(after, "" | "speed");
    match plausible
        .filter(|_| understood)
        .and_then(|s| listed(D::RotationSpeed, OF_CRITICAL, s.si))
    {
        Some(p) => Some(Ok(Parsed {
            of_critical: true,
            ..p
        })),
        None => Some(Err(QuantityError::new(
            span.clone(),
            "this share of the critical speed is not understood",
            help,
        ))),
    }
}

// ---- refusals in words ----

fn explain(
    refusal: Refusal,
    text: &str,
    rest: Range<usize>,
    currency_put: bool,
    dimension: Dimension,
) -> QuantityError {
    let typed = text.get(rest.clone()).unwrap_or("").trim_end();
    let rest = rest.start..rest.start + typed.len();
    match refusal {
        Refusal::Missing => QuantityError::new(
            if rest.is_empty() { 0..text.len() } else { rest },
            format!(
                "the unit is missing: here {} is wanted",
                dimension.name_with_article()
            ),
            format!("{}; units: {}", example(dimension), some_units(dimension)),
        ),
        Refusal::Ambiguous { word, choices } => QuantityError::new(
            rest,
            format!("`{typed}` does not say which {word}"),
            format!("say which: {}", choices),
        ),
        Refusal::OtherKind { kind, hint } => QuantityError::new(
            rest,
            format!(
                "`{typed}` is {}, here {} is wanted",
                kind.name_with_article(),
                dimension.name_with_article()
            ),
            join_help(hint, format!("e.g. `{}`", dimension.example())),
        ),
        Refusal::NoKind { hint } => QuantityError::new(
            rest,
            format!("`{typed}` is not a unit of {}", dimension.name()),
            join_help(
                hint,
                format!(
                    "e.g. `{}`; units: {}",
                    dimension.example(),
                    some_units(dimension)
                ),
            ),
        ),
        Refusal::NoBasis { basis } => QuantityError::new(
            rest,
            format!(
                "`{}` means nothing with {}",
                basis.word(),
                dimension.name_with_article()
            ),
            format!("leave it out, e.g. `{}`", dimension.example()),
        ),
        Refusal::Trouble(trouble) => explain_trouble(trouble, typed, rest, currency_put, dimension),
    }
}

fn explain_trouble(
    trouble: Trouble,
    typed: &str,
    rest: Range<usize>,
    currency_put: bool,
    dimension: Dimension,
) -> QuantityError {
    // A currency sign put in front moved the places by one byte.
    let shift = usize::from(currency_put);
    let place = |i: usize| (rest.start + i.saturating_sub(shift)).min(rest.end);
    let span = place(trouble.span.start)..place(trouble.span.end);
    let in_typed = trouble.span.start.saturating_sub(shift)..trouble.span.end.saturating_sub(shift);
    let usual = format!(
        "e.g. `{}`; units: {}",
        dimension.example(),
        some_units(dimension)
    );
    match trouble.kind {
        TroubleKind::UnknownWord(word)
            if matches!(word.to_lowercase().as_str(), "mesh" | "tyler") =>
        {
            QuantityError::new(
                span,
                format!(
                    "a mesh number is a sieve size, here {} is wanted",
                    dimension.name_with_article()
                ),
                format!("e.g. `{}`", dimension.example()),
            )
        }
        TroubleKind::UnknownWord(word) => {
            let help = match did_you_mean(&word, typed, in_typed, dimension) {
                Some(meant) => format!("did you mean `{meant}`?"),
                None => usual,
            };
            QuantityError::new(span, format!("unknown unit `{word}`"), help)
        }
        TroubleKind::StrayNumber => {
            QuantityError::new(span, "a second number where the unit should end", usual)
        }
        TroubleKind::StrayCharacter(c) => {
            QuantityError::new(span, format!("`{c}` belongs to no unit"), usual)
        }
        TroubleKind::NothingToQualify(word) => QuantityError::new(
            span,
            format!("`{word}` does not fit the unit beside it"),
            usual,
        ),
        TroubleKind::LooseAndBank => QuantityError::new(
            span,
            "loose and bank at once",
            "gravel is measured either loose or bank: say one",
        ),
    }
}

fn join_help(hint: Option<&'static str>, usual: String) -> String {
    match hint {
        Some(h) => format!("{h}; {usual}"),
        None => usual,
    }
}

fn some_units(dimension: Dimension) -> String {
    table::units_of(dimension)
        .take(8)
        .collect::<Vec<_>>()
        .join(", ")
}

/// The unit text with the misspelt word put right, if that gives a unit of the wanted kind; else the nearest listed one.
fn did_you_mean(
    word: &str,
    typed: &str,
    place: Range<usize>,
    dimension: Dimension,
) -> Option<String> {
    let candidates = key::similar(word);
    let mended = candidates.iter().find_map(|c| {
        let mut text = typed.to_owned();
        if !(text.is_char_boundary(place.start)
            && text.is_char_boundary(place.end)
            && place.end <= text.len())
        {
            return None;
        }
        let power: String = text
            .get(place.clone())?
            .chars()
            .skip(word.chars().count())
            .collect();
        text.replace_range(place.clone(), &format!("{c}{power}"));
        resolve_text(&text, dimension).is_ok().then_some(text)
    });
    let listed = || {
        let (distance, symbol) = table::units_of(dimension)
            .map(|s| {
                (
                    strsim::osa_distance(&typed.to_lowercase(), &s.to_lowercase()),
                    s,
                )
            })
            .min_by_key(|(d, _)| *d)?;
        (distance <= 2 && distance < symbol.chars().count()).then(|| symbol.to_owned())
    };
    mended
        .or_else(listed)
        .or_else(|| candidates.first().map(|c| (*c).to_owned()))
}

/// Listed unit or sound combination for converting, `loose` and `bank` being allowed and without effect.
pub(super) fn unit_scale(dimension: Dimension, unit: &str) -> Option<Scale> {
    if let Some(found) = table::by_symbol(dimension, unit.trim()) {
        return Some(found.0.scale);
    }
    if dimension == D::SieveSize {
        let said = words(unit);
        let has = |w: &str| said.iter().any(|s| s == w);
        if has("tyler") {
            return Some(Scale::MeshTyler);
        }
        if has("mesh") || has("us") || has("#") {
            return Some(Scale::MeshUs);
        }
    }
    if dimension == D::Slope && matches!(unit.trim(), "1:n" | "1 in") {
        return Some(Scale::OneIn);
    }
    let bare: Key = Key::default();
    if matches!(unit.trim(), "" | "-") {
        return table::by_key(dimension, &bare).map(|u| u.0.scale);
    }
    resolve_text(unit, dimension).ok().map(|f| f.scale)
}
