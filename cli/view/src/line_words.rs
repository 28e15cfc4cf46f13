//! One pump in words: where it works, what its outlets get, how far it reaches.

use sim_core::constants::S_PER_H;
use std::fmt::Write as _;

use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::stats::summary::Summary;
use washgraph_advice::water::{Standing, WaterStudy};
use washgraph_model::result::RunResult;

use washgraph_advice::water::feed_sweep::{AtFeed, largest_feed_m3_s};

const PA_PER_KPA: f64 = 1000.0;

fn flow(q: f64, units: UnitChoice) -> String {
    show(q, Dimension::Flow, units)
}

/// Where the pump works.
pub fn working_point(study: &WaterStudy, now: &Standing, units: UnitChoice) -> String {
    let case = &study.middle.case;
    format!(
        "Pump `{}`: {} at {} of head, {} of head on the manifold gauge, in the middle run.\n",
        case.pump,
        flow(now.pump_flow_m3_s, units),
        show(now.pump_head_m, Dimension::Head, units),
        show(now.gauge_m, Dimension::Head, units)
    )
}

/// What each outlet gets.
pub fn outlets(outcome: &RunResult, units: UnitChoice) -> String {
    let spread = |s: &Summary, scale: f64, dimension: Dimension| {
        let at = |x: f64| show(x * scale, dimension, units);
        format!("{:>14}  ({} to {})", at(s.pctl_50), at(s.pctl_10), at(s.pctl_90))
    };
    let mut t = "Outlets, middle run (8 runs in 10):\n".to_string();
    for b in &outcome.water.branches {
        let _ =
            writeln!(t, "  {:<18} on {:<14} {}", b.name, b.on, spread(&b.flow_m3_h, 1.0 / S_PER_H, Dimension::Flow));
        if b.pressure_kpa.pctl_90 > 0.0 {
            let _ = writeln!(
                t,
                "  {:<18}    {:<14} {}",
                "",
                "at its holes",
                spread(&b.pressure_kpa, PA_PER_KPA, Dimension::Pressure)
            );
        }
    }
    t
}

/// How far pumps of three sizes reach.
pub fn reach(sweep: &[AtFeed], pumps: &[(&str, f64)], units: UnitChoice) -> String {
    let mut t = String::new();
    let (Some(first), Some(last)) = (sweep.first(), sweep.last()) else { return t };
    let _ = writeln!(t, "Feed that the water is enough for in 9 runs of 10, all else as it is:");
    for (name, supply) in pumps {
        let answer = match largest_feed_m3_s(sweep, *supply) {
            None => format!("less than {}", first.name),
            Some(feed) if feed >= last.feed_m3_s => format!("more than {}", last.name),
            Some(feed) => format!("about {}", show(feed, Dimension::GravelRate, units)),
        };
        let _ = writeln!(t, "  {name:<28} {:>12}: {answer}", flow(*supply, units));
    }
    t
}

/// Cautions of the water side.
pub const CAUTIONS: &str = "\
Planning figures. A water licence, and what may leave the site, are set locally: ask before digging or pumping. A dam or pond \
that holds more than a puddle can drown people below it: its design belongs to licensed practice. Stop and lock out the pump \
before opening a hose or clearing holes.\n";
