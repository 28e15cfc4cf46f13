//! The few settings that matter most, as their kinds declare them, and the steps at which they move.
//!
//! A step is a text as the user would type it, in the unit that stands in the scenario: the page moves through texts and
//! knows nothing of units.

use sim_core::lever::Question;
use sim_core::math::{log10, pow};
use sim_core::quantity::{Dimension, UnitChoice, convert_to, format, parse, show};
use sim_core::setting::Kind;
use sim_core::stock::Stock;
use washgraph_model::variant::Settable;

/// A lever on the page: where it stands and what it is called.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct PageLever {
    pub question: Question,
    pub name: &'static str,
    /// Whether it serves the plant as a whole: such levers stand first, all others in the order of the scenario.
    pub first: bool,
}

/// Whether a setting is a lever of the page. What the scenario does not say and has no usual value (the pressure of a spray bar on a
/// pump, the speed of a pump whose curve has none) is found in the form below instead.
pub(super) fn lever_of(setting: &Settable, list: &[Settable]) -> Option<PageLever> {
    if setting.in_force().is_none() && start_of(setting, list).is_none() {
        return None;
    }
    let lever = setting.lever?;
    Some(PageLever { question: lever.question?, name: lever.name, first: lever.serves.is_some() })
}

/// Where a lever starts that the scenario says nothing of: a pump runs at the speed of its curve.
pub(super) fn start_of<'l>(setting: &Settable, list: &'l [Settable]) -> Option<&'l str> {
    let key = setting.lever?.starts_at;
    list.iter().find(|s| s.owner == setting.owner && s.setting.key == key)?.in_force()
}

/// The steps of a lever, rising, the value in force among them. Fewer than two when it cannot be moved in steps.
pub(super) fn stops(setting: &Settable, list: &[Settable], units: UnitChoice) -> Vec<String> {
    let Some(lever) = setting.lever else { return Vec::new() };
    let now = setting.in_force().or_else(|| start_of(setting, list)).unwrap_or_default();
    let s = &setting.setting;
    let all = match (s.kind, lever.sold_as) {
        (Kind::Whole, _) => whole_stops(now, lever.reach),
        (Kind::Known(d) | Kind::Quantity(d), Some(item)) => stocked(Stock::of(item, units), lever.first.is_some(), d),
        (Kind::Known(d) | Kind::Quantity(d), None) => even_stops(now, lever.reach, d, units),
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

/// The sizes that are sold, as the counter says them, after none where there may be none.
fn stocked(stock: &Stock, may_be_none: bool, d: Dimension) -> Vec<(f64, String)> {
    let none = may_be_none.then_some(0.0);
    let sizes = none.into_iter().chain(stock.sizes_m.iter().copied()).map(|m| stock.say(m));
    sizes.filter_map(|t| Some((parse(&t, d).ok()?.si, t))).collect()
}

/// Whole numbers in steps of about a twentieth, as far as the lever reaches.
fn whole_stops(now: &str, reach: (f64, f64)) -> Vec<(f64, String)> {
    let Ok(x) = now.trim().parse::<f64>() else { return Vec::new() };
    let step = round_step(x / 20.0).max(1.0);
    steps(x, step, reach).into_iter().map(|v| v.round()).map(|v| (v, format!("{v}"))).collect()
}

/// Round numbers of the unit in force in steps of about a twentieth, as far as the lever reaches.
fn even_stops(now: &str, reach: (f64, f64), d: Dimension, units: UnitChoice) -> Vec<(f64, String)> {
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
    steps(x, step, reach).into_iter().filter_map(text).collect()
}

/// Multiples of a step from about one share of a value to about another.
fn steps(x: f64, step: f64, (from, to): (f64, f64)) -> Vec<f64> {
    if !(x > 0.0 && x.is_finite() && step > 0.0) {
        return Vec::new();
    }
    let (first, last) = ((from * x / step).ceil().max(1.0) as i64, (to * x / step).floor() as i64);
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
    use sim_core::stock::Item;
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
