//! Forms of single kinds: sieve numbers, ratios for slopes, drum speed as a share of the critical one.

use super::dimension::Dimension as D;
use super::mesh;
use super::number;
use super::parse::{Parsed, QuantityError, listed, number_and_unit};
use super::table::{MESH_TYLER, MESH_US, OF_CRITICAL, ONE_IN};
use std::ops::Range;

/// `30 mesh US`, `No. 30`, `#30`, `Tyler 28 mesh`, `30#`. `None` when the text does not speak of mesh.
pub(super) fn mesh_number(text: &str, span: &Range<usize>) -> Option<Result<Parsed, QuantityError>> {
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
    let known = ["tyler", "us", "usa", "astm", "no", "number", "#", "mesh", "sieve", "standard", "series", "size"];
    if let Some(odd) = before.iter().chain(&after).find(|w| !known.contains(&w.as_str())) {
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
    Some(opening_of(number.value, tyler, !tyler && !us && !numbered, span))
}

fn opening_of(n: f64, tyler: bool, guessed: bool, span: &Range<usize>) -> Result<Parsed, QuantityError> {
    let (opening, series, name, symbol): (_, &[(f64, f64)], _, _) = if tyler {
        (mesh::tyler_mesh_mm(n), &mesh::TYLER_MESH_MM, "Tyler", MESH_TYLER)
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
            Some(t) => format!("{n} mesh was taken as US sieve number {n} ({mm} mm); as Tyler mesh it would be {t} mm"),
            None => format!("{n} mesh was taken as US sieve number {n} ({mm} mm)"),
        });
    }
    Ok(p)
}

/// Words in lower case, `#` being one, and each other sign that means something.
pub(super) fn words(text: &str) -> Vec<String> {
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

/// `1 in 12`, `1:12`, `6 in per 12 ft`. `None` when the text is of no such form.
pub(super) fn one_in(text: &str, span: &Range<usize>) -> Option<Result<Parsed, QuantityError>> {
    let first = number::read(text, span.start).ok()?;
    let rest = text.get(first.end..span.end)?;
    let after = rest.trim_start();
    let colon = after.strip_prefix(':');
    let behind = colon.or_else(|| after.strip_prefix("in ")).filter(|b| starts_with_digit(b));
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
    let (rise, run) = after.split_once(" per ").or_else(|| after.split_once('/'))?;
    if !starts_with_digit(run) {
        return None;
    }
    let rise_text = format!("{} {rise}", first.value);
    let rise = number_and_unit(&rise_text, 0..rise_text.len(), D::Length).ok()?;
    let run = number_and_unit(run.trim(), 0..run.trim().len(), D::Length).ok().filter(|r| r.si > 0.0)?;
    listed(D::Slope, "in/ft", rise.si / run.si).map(Ok)
}

fn starts_with_digit(text: &str) -> bool {
    text.trim_start().starts_with(|c: char| c.is_ascii_digit())
}

/// `40 % of critical`: the share of the critical speed. `None` when the text does not speak of it.
pub(super) fn share_of_critical(text: &str, span: &Range<usize>) -> Option<Result<Parsed, QuantityError>> {
    let lower = text.get(span.clone())?.to_ascii_lowercase();
    let at = lower.find("critical").or_else(|| lower.ends_with("nc").then(|| lower.len() - 2))?;
    let help = "write `40 % of critical` or a speed such as `16 rpm`";
    let after = lower.get(at..)?.trim_start_matches("critical").trim_start_matches("nc").trim();
    let before = lower.get(..at)?.trim_end();
    let before = before.strip_suffix("the").unwrap_or(before).trim_end();
    let before = before.strip_suffix("of").unwrap_or(before).trim_end();
    let share = number_and_unit(before, 0..before.len(), D::Fraction);
    let plausible = share.ok().filter(|s| s.unit.symbol() == "%" || (0.0..=2.0).contains(&s.si));
    let understood = matches!(after, "" | "speed");
    match plausible.filter(|_| understood).and_then(|s| listed(D::RotationSpeed, OF_CRITICAL, s.si)) {
        Some(p) => Some(Ok(Parsed { of_critical: true, ..p })),
        None => Some(Err(QuantityError::new(span.clone(), "this share of the critical speed is not understood", help))),
    }
}
