//! The few settings that matter most, and the steps at which they move.
//!
//! A step is a text as the user would type it, in the unit that stands in the scenario: the page moves through texts and
//! knows nothing of units.

use sim_core::math::{log10, pow};
use sim_core::quantity::{Dimension, UnitChoice, convert_to, format, parse, show};
use sim_core::setting::Kind;
use sim_core::stock::{Item, Stock};
use washgraph_model::variant::Settable;

/// Which of the four questions a lever stands beside.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Question {
    /// Which hole size?
    Hole,
    /// How much water?
    Water,
    /// Why do fines leave?
    Losses,
    /// Does it pay?
    Pay,
}

/// Levers by kind of table and key, in the order shown, with their short names. Kinds that a scenario does not have show
/// nothing; every other setting is in the form below.
const LEVERS: &[(&str, &str, Question, &str)] = &[
    ("screen", "hole", Question::Hole, "Hole size"),
    ("drum", "slope", Question::Hole, "Drum slope"),
    ("drum", "speed", Question::Hole, "Drum speed"),
    ("scrubber", "exit_ring", Question::Hole, "Ring after the scrubber"),
    ("screen", "exit_ring", Question::Hole, "Ring after the screen"),
    ("hopper", "rate", Question::Water, "Gravel fed"),
    ("spray-bar", "holes", Question::Water, "Spray holes"),
    ("spray-bar", "pressure", Question::Water, "Spray pressure"),
    ("make-up", "flow", Question::Water, "Water into the box"),
    ("pump", "speed", Question::Water, "Pump speed"),
    ("sluice", "width", Question::Losses, "Sluice width"),
    ("sluice", "slope", Question::Losses, "Sluice slope"),
    ("sluice", "length", Question::Losses, "Sluice length"),
    ("money", "gold_price", Question::Pay, "Gold price"),
    ("money", "fuel_price", Question::Pay, "Fuel price"),
    ("", "season", Question::Pay, "Hours in a season"),
];

/// Rings by height over the diameter of the drum would need the drum; these suit drums of 2 to 6 ft.
const RINGS_IN: [&str; 9] = ["0", "1/2", "1", "1 1/2", "2", "3", "4", "5", "6"];
const RINGS_MM: [&str; 9] = ["0", "10", "20", "30", "50", "75", "100", "125", "150"];

/// A lever: where it stands and what it is called.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Lever {
    pub question: Question,
    pub name: &'static str,
    /// Place among the levers.
    pub order: usize,
}

/// Whether a setting is a lever. What the scenario does not say and has no usual value (the pressure of a spray bar on a
/// pump, the speed of a pump whose curve has none) is found in the form below instead.
pub(super) fn lever_of(setting: &Settable, list: &[Settable]) -> Option<Lever> {
    if setting.in_force().is_none() && start_of(setting, list).is_none() {
        return None;
    }
    let kind = if setting.kind.is_empty() { setting.owner.as_str() } else { setting.kind.as_str() };
    let at = LEVERS.iter().position(|(k, key, ..)| *k == kind && *key == setting.setting.key)?;
    LEVERS.get(at).map(|(_, _, question, name)| Lever { question: *question, name, order: at })
}

/// Where a lever starts that the scenario says nothing of: a pump runs at the speed of its curve.
pub(super) fn start_of<'l>(setting: &Settable, list: &'l [Settable]) -> Option<&'l str> {
    let other = if setting.setting.key == "speed" { "rated_speed" } else { return None };
    list.iter().find(|s| s.owner == setting.owner && s.setting.key == other)?.in_force()
}

/// The steps of a lever, rising, the value in force among them. Fewer than two when it cannot be moved in steps.
pub(super) fn stops(setting: &Settable, list: &[Settable], units: UnitChoice) -> Vec<String> {
    let now = setting.in_force().or_else(|| start_of(setting, list)).unwrap_or_default();
    let s = &setting.setting;
    let all = match s.kind {
        Kind::Whole => whole_stops(now),
        Kind::Known(d) | Kind::Quantity(d) if s.key == "hole" => stocked(Item::PlateHole, d, units),
        Kind::Known(d) | Kind::Quantity(d) if s.key == "exit_ring" => listed(&RINGS_IN, &RINGS_MM, d, units),
        Kind::Known(d) | Kind::Quantity(d) => even_stops(now, d, units),
        _ => Vec::new(),
    };
    let mut known: Vec<(f64, String)> = all.into_iter().filter(|(x, _)| *x >= s.range.0 && *x <= s.range.1).collect();
    if let Some(x) = si(now, s.kind)
        && !now.is_empty()
    {
        // The text in force takes the place of a step of the same size.
        known.retain(|(other, _)| (other - x).abs() > 1e-9 * x.abs());
        known.push((x, now.to_string()));
    }
    known.sort_by(|a, b| a.0.total_cmp(&b.0));
    known.into_iter().map(|(_, text)| text).collect()
}

fn si(text: &str, kind: Kind) -> Option<f64> {
    match kind {
        Kind::Whole => text.trim().parse().ok(),
        Kind::Known(d) | Kind::Quantity(d) => parse(text, d).ok().filter(|p| !p.of_critical).map(|p| p.si),
        _ => None,
    }
}

fn listed(inches: &[&str], millimetres: &[&str], d: Dimension, units: UnitChoice) -> Vec<(f64, String)> {
    let (list, unit) = if units == UnitChoice::Metric { (millimetres, "mm") } else { (inches, "in") };
    list.iter().map(|n| format!("{n} {unit}")).filter_map(|t| Some((parse(&t, d).ok()?.si, t))).collect()
}

/// The sizes in which plate is sold, as the counter says them.
fn stocked(item: Item, d: Dimension, units: UnitChoice) -> Vec<(f64, String)> {
    let stock = Stock::of(item, units);
    stock.sizes_m.iter().map(|m| stock.say(*m)).filter_map(|t| Some((parse(&t, d).ok()?.si, t))).collect()
}

/// Whole numbers in steps of about a twentieth, from a quarter to twice the value.
fn whole_stops(now: &str) -> Vec<(f64, String)> {
    let Ok(x) = now.trim().parse::<f64>() else { return Vec::new() };
    let step = round_step(x / 20.0).max(1.0);
    steps(x, step).into_iter().map(|v| v.round()).map(|v| (v, format!("{v}"))).collect()
}

/// Round numbers of the unit in force in steps of about a twentieth, from a quarter to twice the value.
fn even_stops(now: &str, d: Dimension, units: UnitChoice) -> Vec<(f64, String)> {
    let Ok(typed) = parse(now, d) else { return Vec::new() };
    if typed.of_critical {
        return Vec::new();
    }
    // A unit that has no plain steps ("1 in 12") gives way to the one in which results are shown.
    let unit = match typed.unit.symbol() {
        symbol if typed.unit.factor().is_some() || symbol == "deg" => symbol,
        _ => sim_core::quantity::preferred(d, units),
    };
    let Some(x) = convert_to(typed.si, d, unit) else { return Vec::new() };
    let basis = typed.basis.map_or(String::new(), |b| format!(" {}", b.word()));
    let step = round_step(x / 20.0);
    let text = |v: f64| {
        let si = sim_core::quantity::convert_from(v, d, unit)?;
        let text = format(si, d, unit)?;
        // Through SI and back a round number may grow a tail.
        let text = if text.len() > 14 { show(si, d, units) } else { text };
        Some((si, format!("{text}{basis}")))
    };
    steps(x, step).into_iter().filter_map(text).collect()
}

/// Multiples of a step from about a quarter of a value to about twice.
fn steps(x: f64, step: f64) -> Vec<f64> {
    if !(x > 0.0 && x.is_finite() && step > 0.0) {
        return Vec::new();
    }
    let (first, last) = ((x / 4.0 / step).ceil().max(1.0) as i64, (2.0 * x / step).floor() as i64);
    // Multiplying by a whole number of tenths keeps 0.3 from becoming 0.30000000000000004.
    let tenths = pow(10.0, -log10(step).floor());
    let unit = (step * tenths).round();
    (first..=last.min(first + 60)).map(|n| n as f64 * unit / tenths).collect()
}

/// The nearest of 1, 2, 5 and their tens.
fn round_step(x: f64) -> f64 {
    if !(x > 0.0 && x.is_finite()) {
        return 1.0;
    }
    let ten = pow(10.0, log10(x).floor());
    let lead = x / ten;
    let nearest = if lead < 1.5 {
        1.0
    } else if lead < 3.5 {
        2.0
    } else if lead < 7.5 {
        5.0
    } else {
        10.0
    };
    nearest * ten
}

#[cfg(test)]
mod tests {
    use washgraph_model::scenario::Opened;
    use washgraph_model::variant::settables;

    use super::*;

    fn steps_of(path: &str, line: &str, with: &str, units: UnitChoice) -> Vec<String> {
        let text = include_str!("../../../tests/broken/sound.toml").replacen(line, with, 1);
        let opened = Opened { text, folder: std::path::PathBuf::new() };
        let list = settables(&opened, &washgraph_standard_stages::registry()).unwrap();
        stops(list.iter().find(|s| s.path == path).unwrap(), &list, units)
    }

    #[test]
    fn property_holes_on_the_slider_are_the_holes_of_the_comparison() {
        for units in [UnitChoice::Us, UnitChoice::Metric] {
            let list = steps_of("drum.screen.hole", "xx", "", units);
            let stock = Stock::of(Item::PlateHole, units);
            let sold = list.iter().filter(|t| stock.has(parse(t, Dimension::Length).unwrap().si)).count();
            // Those outside the range of the setting are left out; the hole in force stands whatever its size.
            assert!(sold >= 10 && list.len() - sold <= 1, "{list:?}");
        }
    }

    #[test]
    fn identity_steps_rise_and_hold_the_value_in_force() {
        let us = UnitChoice::Us;
        let rate = steps_of("hopper.rate", "xx", "", us);
        assert!(
            rate.contains(&"30 yd3/h loose".to_string()) && rate.contains(&"32 yd3/h loose".to_string()),
            "{rate:?}"
        );
        let hole = steps_of("drum.screen.hole", "hole = \"1/2 in\"", "hole = \"13 mm\"", us);
        assert!(hole.contains(&"13 mm".to_string()) && hole.contains(&"1/2 in".to_string()), "{hole:?}");
        let slope = steps_of("drum.slope", "slope = \"4 deg\"", "slope = \"1 in 12\"", us);
        assert!(slope.contains(&"1 in 12".to_string()) && slope.len() > 10, "{slope:?}");
        let holes = steps_of("spray.holes", "xx", "", us);
        assert!(holes.contains(&"50".to_string()) && holes.iter().all(|h| h.parse::<u32>().is_ok()), "{holes:?}");
        assert_eq!(steps_of("drum.screen.exit_ring", "xx", "", us)[..2], ["0 mm", "1/2 in"]);
        for list in [rate, hole, slope, holes] {
            assert!(list.iter().all(|t| t.len() < 18), "{list:?}");
        }
        // What is broken, or a share of critical speed, cannot be moved in steps.
        assert!(steps_of("drum.speed", "speed = \"18 rpm\"", "speed = \"fast\"", us).is_empty());
        assert!(steps_of("drum.speed", "speed = \"18 rpm\"", "speed = \"40 % of critical\"", us).is_empty());
    }
}
