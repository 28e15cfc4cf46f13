//! Quantities as a shop reads them: finer than three figures where steel is cut.

use sim_core::constants::INCH_M;
use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::shop::Phrase;

/// A quantity in one choice of units.
pub fn one(si: f64, dimension: Dimension, units: UnitChoice) -> String {
    match (dimension, units) {
        _ if !si.is_finite() => "no value".into(),
        (Dimension::Fraction, _) if si != 0.0 && si.abs() < 0.001 => "under 0.1 %".into(),
        (Dimension::Length, UnitChoice::Metric) => millimetres(si),
        (Dimension::Length, _) => inches(si),
        _ => show(si, dimension, units),
    }
}

/// In the user's units, and in metric ones where those differ.
pub fn both(si: f64, dimension: Dimension, units: UnitChoice) -> (String, Option<String>) {
    let own = one(si, dimension, units);
    let metric = one(si, dimension, UnitChoice::Metric);
    if own == metric { (own, None) } else { (own, Some(metric)) }
}

/// `1/2 in (12.7 mm)`.
pub fn joined(si: f64, dimension: Dimension, units: UnitChoice) -> String {
    match both(si, dimension, units) {
        (own, Some(metric)) => format!("{own} ({metric})"),
        (own, None) => own,
    }
}

/// A phrase in the user's units.
pub fn phrase(phrase: &Phrase, units: UnitChoice) -> String {
    phrase.shown(|si, dimension| joined(si, dimension, units))
}

/// Whole millimetres from 100 mm on, hundredths below.
fn millimetres(m: f64) -> String {
    let mm = 1000.0 * m;
    if mm.abs() >= 100.0 { format!("{mm:.0} mm") } else { format!("{} mm", trimmed(format!("{mm:.2}"))) }
}

/// Sixteenths where they fit or the piece is long, thousandths otherwise.
fn inches(m: f64) -> String {
    let inches = m / INCH_M;
    let sixteenths = (inches * 16.0).round();
    let miss = (inches - sixteenths / 16.0).abs();
    let fits = sixteenths != 0.0 && miss <= (0.001 * inches.abs()).min(0.004);
    if inches.abs() >= 12.0 || fits {
        format!("{} in", fraction(sixteenths))
    } else {
        format!("{} in", trimmed(format!("{inches:.3}")))
    }
}

/// A number of sixteenths as whole and fraction.
fn fraction(sixteenths: f64) -> String {
    let sign = if sixteenths < 0.0 { "-" } else { "" };
    let n = sixteenths.abs() as u64;
    let (whole, mut over, mut under) = (n / 16, n % 16, 16);
    while over != 0 && over % 2 == 0 {
        over /= 2;
        under /= 2;
    }
    match (whole, over) {
        (w, 0) => format!("{sign}{w}"),
        (0, o) => format!("{sign}{o}/{under}"),
        (w, o) => format!("{sign}{w} {o}/{under}"),
    }
}

/// Without trailing zeros.
pub fn trimmed(text: String) -> String {
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_string() } else { text }
}

/// A count with its thousands apart: `16,608`.
pub fn count(n: u64) -> String {
    let digits = n.to_string();
    let mut text = String::new();
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            text.push(',');
        }
        text.push(c);
    }
    text
}

/// Money to the cent, thousands apart.
pub fn money(amount: f64) -> String {
    let cents = (amount.abs() * 100.0).round() as u64;
    let sign = if amount < 0.0 { "-" } else { "" };
    format!("{sign}{}.{:02}", count(cents / 100), cents % 100)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_lengths_as_a_shop_reads_them() {
        let us = |m| joined(m, Dimension::Length, UnitChoice::Us);
        assert_eq!(us(0.0127), "1/2 in (12.7 mm)");
        assert_eq!(us(2.893), "113 7/8 in (2893 mm)");
        assert_eq!(us(0.019_02), "0.749 in (19.02 mm)");
        assert_eq!(us(0.3048), "12 in (305 mm)");
        assert_eq!(us(0.0), "0 in (0 mm)");
        assert_eq!(joined(f64::NAN, Dimension::Length, UnitChoice::Us), "no value");
        assert_eq!(joined(0.0127, Dimension::Length, UnitChoice::Metric), "12.7 mm");
        assert_eq!((count(999), count(16_608), count(1_000_000)), ("999".into(), "16,608".into(), "1,000,000".into()));
        assert_eq!(one(3e-7, Dimension::Fraction, UnitChoice::Us), "under 0.1 %");
        assert_eq!(money(1234.5), "1,234.50");
        assert_eq!(money(0.0), "0.00");
    }
}
