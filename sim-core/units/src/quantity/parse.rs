//! What a user typed, read into SI: number, unit, and whatever he said about loose, bank, mesh series or critical speed.

use super::dimension::{Dimension, Dimension as D};
use super::key::Key;
use super::number;
use super::refusal::{example, explain};
use super::resolve::{self, Refusal};
use super::special::{mesh_number, one_in, share_of_critical, words};
use super::table;
use super::unit::{Basis, Scale, UnitRef};
use super::unit_text::{self, UnitText};
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
    pub(super) fn new(span: Range<usize>, message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { span, message: message.into(), help: help.into() }
    }
}

/// Reads `text` as a quantity of the wanted kind.
///
/// Number: decimal point, `1,500`, `3/8`, `1 1/2`, `1-1/2`, `½`, `1e-3`, `1.5×10⁻³`. Unit: any spacing, Unicode or
/// ASCII, upper or lower case where that is unambiguous. Words that name several units (gallon, ton, ounce of gold,
/// miner's inch) are refused with the choices. Nothing is guessed silently: what is taken for granted is in the note.
///
/// ```
/// use washgraph_units::quantity::{Dimension, parse};
/// let hole = parse("1/2 in", Dimension::Length).unwrap();
/// assert_eq!(hole.si, 0.0127);
/// assert!(parse("450 gpm", Dimension::Flow).is_err());
/// ```
pub fn parse(text: &str, dimension: Dimension) -> Result<Parsed, QuantityError> {
    let trimmed = text.trim();
    let start = text.len() - text.trim_start().len();
    let span = start..start + trimmed.len();
    if trimmed.is_empty() {
        return Err(QuantityError::new(0..text.len(), "nothing is written here", example(dimension)));
    }
    if trimmed.len() > LONGEST {
        return Err(QuantityError::new(span, "this is too long for a quantity", example(dimension)));
    }
    let special = match dimension {
        D::SieveSize => mesh_number(text, &span),
        D::Slope => one_in(text, &span),
        D::RotationSpeed => share_of_critical(text, &span),
        _ => None,
    };
    special.unwrap_or_else(|| number_and_unit(text, span, dimension))
}

pub(super) fn parsed(si: f64, unit: UnitRef) -> Parsed {
    Parsed { si, unit, basis: None, of_critical: false, currency: None, note: None }
}

pub(super) fn listed(dimension: Dimension, symbol: &str, si: f64) -> Option<Parsed> {
    table::by_symbol(dimension, symbol).map(|unit| parsed(si, unit))
}

pub(super) fn number_and_unit(text: &str, span: Range<usize>, dimension: Dimension) -> Result<Parsed, QuantityError> {
    let (currency, start) = leading_currency(text, span.start);
    let number = read_number(text, start, &span, dimension)?;
    let rest_start = number.end + text.get(number.end..span.end).map_or(0, |r| r.len() - r.trim_start().len());
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
            if dimension == D::Fraction && p.unit.symbol() == "-" && p.si > 1.0 {
                p.note = Some(format!("{0} without % was taken as {1} %", p.si, p.si * 100.0));
            }
            Ok(p)
        }
        Err(refusal) => {
            if adds_up(dimension)
                && !matches!(refusal, Refusal::OtherKind { .. } | Refusal::Ambiguous { .. })
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
fn refuse_ranges(text: &str, rest: &Range<usize>, span: &Range<usize>) -> Result<(), QuantityError> {
    let r = text.get(rest.clone()).unwrap_or("");
    let plus_minus = ["±", "+-", "+/-", "-+"].iter().any(|s| r.starts_with(s));
    let after = ["-", "–", "—", "...", "..", "…", "to "].iter().find_map(|s| r.strip_prefix(s));
    let starts_number =
        |a: &str| a.trim_start().starts_with(|c: char| c.is_ascii_digit() || number::vulgar(c).is_some());
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
        Scale::TangentOfDegrees => {
            QuantityError::new(span.clone(), "a slope must be less than 90 degrees", example(dimension))
        }
        _ => QuantityError::new(span.clone(), "this number is too large to hold", "check the number and the unit"),
    })?;
    if dimension == D::Temperature && si < -273.15 {
        return Err(QuantityError::new(span.clone(), "this is below absolute zero", example(dimension)));
    }
    if value != 0.0 && si == 0.0 && matches!(found.scale, Scale::Ratio(_)) {
        return Err(QuantityError::new(span.clone(), "this number is too small to hold", "check the power of ten"));
    }
    Ok(Parsed { basis: found.basis, currency: found.currency, note: found.note.clone(), ..parsed(si, found.unit) })
}

/// Reads the text behind a number as a unit of the wanted kind.
pub(super) fn resolve_text(unit: &str, dimension: Dimension) -> Result<resolve::Found, Refusal> {
    let read: UnitText = unit_text::readings(unit).map_err(Refusal::Trouble)?;
    resolve::resolve(&read, dimension)
}

fn adds_up(dimension: Dimension) -> bool {
    matches!(dimension, D::Length | D::SieveSize | D::Head | D::Time | D::Mass)
}

/// `1 ft 6 in`, `1' 6 1/2"`, `2 h 30 min`: several numbers, each with a smaller unit than the one before. `None` when the
/// text is not of this form.
fn sum_of_parts(text: &str, span: &Range<usize>, dimension: Dimension) -> Option<Result<Parsed, QuantityError>> {
    let mut at = span.start;
    let mut total: Option<Parsed> = None;
    let mut last_factor = f64::INFINITY;
    let mut parts = 0;
    let mut negative = false;
    while at < span.end {
        let number = number::read(text, at).ok()?;
        let rest = text.get(number.end..span.end)?;
        let length = rest.find(|c: char| c.is_ascii_digit() || number::vulgar(c).is_some()).unwrap_or(rest.len());
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
            Some(t) => Parsed { si: t.si + value.si, ..t },
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
