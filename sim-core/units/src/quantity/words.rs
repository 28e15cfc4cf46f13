//! The words of units: spellings, qualifiers such as `US` and `troy`, currencies, and the mending of misspelt ones.

use super::atoms::ATOMS;
use super::key::{Key, find};
use super::short_forms::SHORT_FORMS;
use super::unit::Basis;

/// A word that says which of several units of one name is meant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Qualifier {
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
    pub(super) fn of(word: &str) -> Option<Qualifier> {
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
    pub(super) fn choose(self, atom: &str) -> Option<&'static str> {
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

    /// The unit with the ambiguous part settled by this word; `None` when the word does not fit.
    pub(super) fn settle(self, key: &Key) -> Option<Key> {
        let (from, to) = key.atoms().find_map(|(a, _)| self.choose(a.symbol).map(|to| (a.symbol, to)))?;
        key.replaced(from, &[(to, 1)])
    }
}

/// Symbol of the single unit or parts of the short form spelled by a word.
pub(super) fn lookup(word: &str) -> Option<(Key, Option<Basis>)> {
    let exact = ATOMS.iter().position(|a| a.spellings.contains(&word));
    let folded = word.to_lowercase();
    exact.map(|i| (Key::of(i), None)).or_else(|| lookup_folded(&folded, word)).or_else(|| {
        let singular = folded.strip_suffix('s').filter(|s| s.chars().count() >= 2)?;
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
    let mut hits = (0..ATOMS.len())
        .filter(|i| ATOMS.get(*i).is_some_and(|a| a.spellings.iter().any(|s| s.to_lowercase() == folded)));
    match (hits.next(), hits.next()) {
        (Some(i), None) => Some((Key::of(i), None)),
        _ => None,
    }
}

/// Currency named by a word.
pub(super) fn currency(word: &str) -> Option<&'static str> {
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

/// Spellings close to a word that is no unit, nearest first.
pub(super) fn similar(word: &str) -> Vec<&'static str> {
    let folded = word.to_lowercase();
    let limit = if folded.chars().count() <= 3 { 1 } else { 2 };
    let singles = ATOMS.iter().flat_map(|a| a.spellings.iter().copied());
    let shorts = SHORT_FORMS.iter().flat_map(|s| s.spellings.iter().copied());
    let qualifiers = ["us", "imp", "imperial", "loose", "bank", "cubic", "square", "short", "troy", "per", "mesh"];
    let mut hits: Vec<(usize, &'static str)> = singles
        .chain(shorts)
        .chain(qualifiers)
        .map(|s| (strsim::osa_distance(&folded, &s.to_lowercase()), s))
        .filter(|(d, s)| *d <= limit && *d < s.chars().count())
        .collect();
    hits.sort();
    hits.into_iter().map(|(_, s)| s).collect()
}
