//! SI printed in the user's units.

use super::dimension::{Dimension, Dimension as D};
use super::mesh;
use super::parse;
use super::table::{MESH_TYLER, MESH_US, ONE_IN, UnitChoice, preferred};
use crate::constants::{INCH_M, POUND_KG, S_PER_DAY, S_PER_H};

/// Value in a unit from SI. `None` when the unit is unknown, of another kind, ambiguous, or has no fixed size here
/// (percent of critical; a sieve number for an opening that is not in the series).
pub fn convert_to(si: f64, dimension: Dimension, unit: &str) -> Option<f64> {
    parse::unit_scale(dimension, unit)?.value_of(si)
}

/// SI from a value in a unit; `None` as for [`convert_to`].
pub fn convert_from(value: f64, dimension: Dimension, unit: &str) -> Option<f64> {
    parse::unit_scale(dimension, unit)?.to_si(value)
}

/// Value and unit with all digits, so that [`super::parse`] gives the value back; `None` as for [`convert_to`].
///
/// ```
/// use washgraph_units::quantity::{Dimension, format};
/// assert_eq!(format(0.0127, Dimension::Length, "in").as_deref(), Some("0.5 in"));
/// ```
pub fn format(si: f64, dimension: Dimension, unit: &str) -> Option<String> {
    let x = convert_to(si, dimension, unit)?;
    let a = x.abs();
    let number = if a != 0.0 && !(1e-6..1e15).contains(&a) { format!("{x:e}") } else { format!("{x}") };
    Some(with_unit(&number, unit.trim()))
}

/// A value in the unit of something that was typed, six figures, loose or bank as there: for steps of a range between two
/// typed ends. Where that unit cannot say it (a sieve that is not of the series) it stands in SI.
///
/// ```
/// use washgraph_units::quantity::{Dimension, like, parse};
/// let typed = parse("30 yd3/h loose", Dimension::GravelRate).unwrap();
/// assert_eq!(like(typed.si * 1.5, Dimension::GravelRate, &typed), "45 yd3/h loose");
/// ```
pub fn like(si: f64, dimension: Dimension, typed: &parse::Parsed) -> String {
    let basis = typed.basis.map_or(String::new(), |b| format!(" {}", b.word()));
    if typed.of_critical {
        return format!("{} % of critical", six_figures(100.0 * si));
    }
    let symbol = typed.unit.symbol();
    let text = match convert_to(si, dimension, symbol) {
        Some(x) => with_unit(&six_figures(x), symbol.trim()),
        None => with_unit(&six_figures(si), dimension.si_symbol()),
    };
    format!("{text}{basis}")
}

fn six_figures(x: f64) -> String {
    let rounded: f64 = format!("{x:.5e}").parse().unwrap_or(x);
    let a = rounded.abs();
    if a != 0.0 && !(1e-6..1e15).contains(&a) { format!("{rounded:e}") } else { format!("{rounded}") }
}

fn with_unit(number: &str, unit: &str) -> String {
    match unit {
        "" | "-" => number.to_owned(),
        ONE_IN | "1:n" | "1 in" => format!("1 in {number}"),
        MESH_US => format!("{number} mesh US"),
        MESH_TYLER => format!("{number} mesh Tyler"),
        _ => match unit.strip_prefix("1/") {
            Some(below) => format!("{number} 1/{below}"),
            None => format!("{number} {unit}"),
        },
    }
}

/// Rounds to three significant figures.
fn three_figures(x: f64) -> String {
    let rounded: f64 = format!("{x:.2e}").parse().unwrap_or(x);
    let a = rounded.abs();
    if a != 0.0 && !(1e-4..1e9).contains(&a) { format!("{rounded:e}") } else { format!("{rounded}") }
}

/// A number of inches as a whole, half, quarter, eighth or sixteenth, when it is one within 0.3 % and 0.004 in.
fn sixteenths(x: f64) -> Option<String> {
    let n = (x * 16.0).round();
    let miss = (x - n / 16.0).abs();
    if !(1.0..=576.0).contains(&n) || miss > (0.003 * x).min(0.004) {
        return None;
    }
    let n = n as u32;
    let (whole, mut over, mut under) = (n / 16, n % 16, 16);
    while over != 0 && over % 2 == 0 {
        over /= 2;
        under /= 2;
    }
    Some(match (whole, over) {
        (w, 0) => format!("{w}"),
        (0, o) => format!("{o}/{under}"),
        (w, o) => format!("{w} {o}/{under}"),
    })
}

/// The unit that keeps the number readable, where the preferred one would not.
fn readable(si: f64, dimension: Dimension, choice: UnitChoice) -> &'static str {
    let a = si.abs();
    let metric = choice == UnitChoice::Metric;
    match dimension {
        D::Length | D::SieveSize if metric && a >= 1.0 => "m",
        D::Length | D::SieveSize if metric && a > 0.0 && a < 1e-4 => "um",
        D::Length | D::SieveSize if !metric && a >= 36.0 * INCH_M => "ft",
        // Below 1/16 in nobody speaks of inches.
        D::Length | D::SieveSize if !metric && a > 0.0 && a < 0.0015 => readable(si, dimension, UnitChoice::Metric),
        D::Mass if a >= 1000.0 && metric => "t",
        D::Mass if a >= 2000.0 * POUND_KG && choice == UnitChoice::Us => "short ton",
        D::Mass if a > 0.0 && a < 1e-3 => "mg",
        D::Mass if a > 0.0 && a < 0.2 && metric => "g",
        D::Mass if a > 0.0 && a < 0.2 => "ozt",
        // Gold per hour rather than gravel per hour.
        D::MassRate if a > 0.0 && a < 1e-3 => "g/h",
        // Some kilograms or pounds of concentrate per hour.
        D::MassRate if a > 0.0 && a < 0.05 => {
            if metric {
                "kg/h"
            } else {
                "lb/h"
            }
        }
        // A price of fuel rather than of gravel.
        D::MoneyPerVolume if a >= 100.0 => match choice {
            UnitChoice::Us => "$/US gal",
            UnitChoice::Imperial => "$/imp gal",
            UnitChoice::Metric => "$/L",
        },
        D::Volume if metric && a > 0.0 && a < 0.1 => "L",
        D::Volume if a > 0.0 && a < 0.1 && choice == UnitChoice::Us => "US gal",
        D::Volume if a > 0.0 && a < 0.1 && !metric => "imp gal",
        // Fuel and seepage rather than pumps.
        D::Flow if metric && a > 0.0 && a < 2e-5 => "L/h",
        D::Flow if a > 0.0 && a < 2e-5 && choice == UnitChoice::Us => "US gal/h",
        D::Flow if a > 0.0 && a < 2e-5 => "imp gal/h",
        D::Power if metric && a > 0.0 && a < 100.0 => "W",
        D::Torque if metric && a >= 1e4 => "kN m",
        D::Force if metric && a >= 1e4 => "kN",
        D::Pressure if metric && a >= 1e6 => "MPa",
        D::Pressure if metric && a > 0.0 && a < 100.0 => "Pa",
        D::Pressure if a > 0.0 && a < 100.0 => "in of water",
        D::Stress if metric && a >= 1e6 => "MPa",
        D::Stress if metric && a >= 1e4 => "kPa",
        // Drag of water and strength of mud rather than of steel.
        D::Stress if !metric && a < 7000.0 => "lbf/ft2",
        // Work on gravel in a drum rather than crushing: a foot-pound a pound lifts the gravel by a foot.
        D::EnergyPerMass if a < 1000.0 => {
            if metric {
                "J/kg"
            } else {
                "ft lbf/lb"
            }
        }
        // Wear of clay and fall of mud rather than water.
        D::Velocity if (1e-6..2e-3).contains(&a) => "mm/s",
        D::Time if a >= 2.0 * S_PER_DAY => "day",
        D::Time if a >= 2.0 * S_PER_H => "h",
        D::Time if a >= 180.0 => "min",
        D::PerTime if a > 0.0 && a < 1e-4 => "1/day",
        D::PerTime if a > 0.0 && a < 1e-2 => "1/h",
        // Water lines and clay that fall over days.
        D::Velocity if a > 0.0 && a < 1e-5 => {
            if metric {
                "mm/day"
            } else {
                "in/day"
            }
        }
        D::Velocity if metric && a > 0.0 && a < 0.05 => "mm/s",
        // Lumps that wear, grains that hardly sink: nobody has a feeling for ten-thousandths of a foot.
        D::Velocity if a > 0.0 && a < 1e-3 => "mm/s",
        // Fuel for gravel rather than water for it.
        D::WaterPerGravel if metric && a > 0.0 && a < 0.01 => "L/m3",
        // Dirt in water, as laboratories and permits write it in all countries; nothing else is so thin.
        D::Density if a < 200.0 => "g/L",
        _ => preferred(dimension, choice),
    }
}

/// SI in the user's units, rounded to about three figures for reading: inches in sixteenths where they fit, sieve sizes by
/// US number where there is one. Money is shown to the cent below 100 and in whole units above.
pub fn show(si: f64, dimension: Dimension, choice: UnitChoice) -> String {
    if !si.is_finite() {
        return "no value".to_owned();
    }
    if dimension == D::Money {
        return if si.abs() < 100.0 { format!("{si:.2}") } else { format!("{si:.0}") };
    }
    let by_number = dimension == D::SieveSize && choice != UnitChoice::Metric && si < 0.005;
    if by_number && let Some(n) = mesh::us_number_of_mm(si * 1000.0, 0.005) {
        return format!("{n} {MESH_US}");
    }
    let unit = readable(si, dimension, choice);
    let Some(x) = convert_to(si, dimension, unit) else {
        return "no value".to_owned();
    };
    let fraction = if matches!(unit, "in" | "in/ft") { sixteenths(x) } else { None };
    with_unit(&fraction.unwrap_or_else(|| three_figures(x)), unit)
}

/// The user's units with the metric value in brackets: `1/2 in (12.7 mm)`. One value where both are the same.
pub fn show_both(si: f64, dimension: Dimension, choice: UnitChoice) -> String {
    let own = show(si, dimension, choice);
    let metric = show(si, dimension, UnitChoice::Metric);
    if own == metric { own } else { format!("{own} ({metric})") }
}

/// A number rounded to a whole one, as people write it: `47,100`.
pub fn with_commas(x: f64) -> String {
    let digits = format!("{:.0}", x.abs());
    let mut text = String::from(if x < 0.0 { "-" } else { "" });
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i) % 3 == 0 {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_shown_as_people_write() {
        let cases = [
            (0.0127, D::Length, "1/2 in (12.7 mm)"),
            (0.019, D::Length, "3/4 in (19 mm)"),
            (0.0381, D::Length, "1 1/2 in (38.1 mm)"),
            (0.012, D::Length, "0.472 in (12 mm)"),
            (3.6576, D::Length, "12 ft (3.66 m)"),
            (75e-6, D::Length, "75 um"),
            (0.6e-3, D::SieveSize, "30 mesh US (0.6 mm)"),
            (20.0 * 6894.757, D::Pressure, "20 psi (138 kPa)"),
            (1.5 / 12.0, D::Slope, "1 1/2 in/ft (12.5 %)"),
            (450.0 * 6.309_02e-5, D::Flow, "450 US gpm (28.4 L/s)"),
            (10.0e-3 / S_PER_H, D::Flow, "2.64 US gal/h (10 L/h)"),
            (16.0 / 60.0, D::RotationSpeed, "16 rpm"),
            (10.0, D::Temperature, "50 °F (10 °C)"),
            (1200.0, D::MoneyPerVolume, "4.54 $/US gal (1.2 $/L)"),
            (5.0, D::MoneyPerVolume, "3.82 $/yd3 (5 $/m3)"),
            (13e-3 / S_PER_H, D::Flow, "3.43 US gal/h (13 L/h)"),
            (0.123_456, D::Fraction, "12.3 %"),
            (1_234_567.4, D::Money, "1234567"),
            (f64::NAN, D::Length, "no value"),
        ];
        for (si, dimension, text) in cases {
            assert_eq!(show_both(si, dimension, UnitChoice::Us), text);
        }
    }
}
