//! Refusals in words, with what would be right.

use super::dimension::Dimension;
use super::parse::{QuantityError, resolve_text};
use super::resolve::Refusal;
use super::table;
use super::token::{Trouble, TroubleKind};
use super::words;
use std::ops::Range;

/// What to write for this kind of quantity.
pub(super) fn example(dimension: Dimension) -> String {
    format!("write {} such as `{}`", dimension.name_with_article(), dimension.example())
}

pub(super) fn explain(
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
            format!("the unit is missing: here {} is wanted", dimension.name_with_article()),
            format!("{}; units: {}", example(dimension), some_units(dimension)),
        ),
        Refusal::Ambiguous { word, choices } => {
            QuantityError::new(rest, format!("`{typed}` does not say which {word}"), format!("say which: {}", choices))
        }
        Refusal::OtherKind { kind, hint } => QuantityError::new(
            rest,
            format!("`{typed}` is {}, here {} is wanted", kind.name_with_article(), dimension.name_with_article()),
            join_help(hint, format!("e.g. `{}`", dimension.example())),
        ),
        Refusal::NoKind { hint } => QuantityError::new(
            rest,
            format!("`{typed}` is not a unit of {}", dimension.name()),
            join_help(hint, format!("e.g. `{}`; units: {}", dimension.example(), some_units(dimension))),
        ),
        Refusal::NoBasis { basis } => QuantityError::new(
            rest,
            format!("`{}` means nothing with {}", basis.word(), dimension.name_with_article()),
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
    let usual = format!("e.g. `{}`; units: {}", dimension.example(), some_units(dimension));
    match trouble.kind {
        TroubleKind::UnknownWord(word) if matches!(word.to_lowercase().as_str(), "mesh" | "tyler") => {
            QuantityError::new(
                span,
                format!("a mesh number is a sieve size, here {} is wanted", dimension.name_with_article()),
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
        TroubleKind::StrayNumber => QuantityError::new(span, "a second number where the unit should end", usual),
        TroubleKind::StrayCharacter(c) => QuantityError::new(span, format!("`{c}` belongs to no unit"), usual),
        TroubleKind::NothingToQualify(word) => {
            QuantityError::new(span, format!("`{word}` does not fit the unit beside it"), usual)
        }
        TroubleKind::LooseAndBank => {
            QuantityError::new(span, "loose and bank at once", "gravel is measured either loose or bank: say one")
        }
    }
}

fn join_help(hint: Option<&'static str>, usual: String) -> String {
    match hint {
        Some(h) => format!("{h}; {usual}"),
        None => usual,
    }
}

fn some_units(dimension: Dimension) -> String {
    table::units_of(dimension).take(8).collect::<Vec<_>>().join(", ")
}

/// The unit text with the misspelt word put right, if that gives a unit of the wanted kind; else the nearest listed one.
fn did_you_mean(word: &str, typed: &str, place: Range<usize>, dimension: Dimension) -> Option<String> {
    let candidates = words::similar(word);
    let mended = candidates.iter().find_map(|c| {
        let mut text = typed.to_owned();
        if !(text.is_char_boundary(place.start) && text.is_char_boundary(place.end) && place.end <= text.len()) {
            return None;
        }
        let power: String = text.get(place.clone())?.chars().skip(word.chars().count()).collect();
        text.replace_range(place.clone(), &format!("{c}{power}"));
        resolve_text(&text, dimension).is_ok().then_some(text)
    });
    let listed = || {
        let (distance, symbol) = table::units_of(dimension)
            .map(|s| (strsim::osa_distance(&typed.to_lowercase(), &s.to_lowercase()), s))
            .min_by_key(|(d, _)| *d)?;
        (distance <= 2 && distance < symbol.chars().count()).then(|| symbol.to_owned())
    };
    mended.or_else(listed).or_else(|| candidates.first().map(|c| (*c).to_owned()))
}
