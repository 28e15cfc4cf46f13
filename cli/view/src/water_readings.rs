//! Gauge and flow as read on site against what they should be, and the faults that explain them.

use sim_core::constants::STANDARD_GRAVITY_M_S2;
use std::fmt::Write as _;

use serde_json::{Value, json};
use sim_core::hydraulics::diagnosis::{Suspect, suspect};
use sim_core::quantity::{Dimension, UnitChoice, parse, show};
use washgraph_advice::water::{Explanation, Fault, WaterCase, explain};

/// A gauge and a bucket are good to about this share. Common practice, no source.
const READING: f64 = 0.03;
/// A fault whose flow and gauge both come this near explains the readings.
const FITS: f64 = 0.04;
/// Faults shown.
const SHOWN: usize = 4;

/// Both readings, SI.
#[derive(Debug, Clone, Copy)]
pub struct Readings {
    /// Gauge on the manifold, Pa.
    pub gauge_pa: f64,
    /// Flow through the pump, m3/s.
    pub flow_m3_s: f64,
}

impl Readings {
    /// Both or neither; the error says what is wrong.
    pub fn read(gauge: Option<&str>, flow: Option<&str>) -> Result<Option<Readings>, String> {
        let (gauge, flow) = match (gauge, flow) {
            (None, None) => return Ok(None),
            (Some(gauge), Some(flow)) => (gauge, flow),
            _ => {
                return Err(
                    "a gauge alone cannot tell a plugged bar from a strong pump: give both --gauge and --flow".into()
                );
            }
        };
        let read = |text: &str, dimension: Dimension, option: &str| {
            let value = parse(text, dimension).map_err(|e| format!("{option} \"{text}\": {e}"))?.si;
            if value > 0.0 { Ok(value) } else { Err(format!("{option} \"{text}\": must be above zero")) }
        };
        Ok(Some(Readings {
            gauge_pa: read(gauge, Dimension::Pressure, "--gauge")?,
            flow_m3_s: read(flow, Dimension::Flow, "--flow")?,
        }))
    }
}

/// What the readings say of a pump's line.
pub struct Verdict {
    /// For the terminal.
    pub text: String,
    /// The numbers.
    pub document: Value,
}

/// Compares the readings with the middle case.
pub fn judge(case: &WaterCase, readings: Readings, units: UnitChoice) -> Option<Verdict> {
    let flow = case.solve().ok()?;
    let should_pa = (flow.manifold_head_m - case.manifold_m) * case.density_kg_m3 * STANDARD_GRAVITY_M_S2;
    let change = |now: f64, should: f64| now / should - 1.0;
    let (dq, dp) = (change(readings.flow_m3_s, flow.pump_flow_m3_s), change(readings.gauge_pa, should_pa));
    let suspicion = suspect(dq, dp, READING);
    let mut text = format!(
        "Readings: {} on the gauge (should be {}), {} through the pump (should be {}).\n  {}.\n  First: {}.\n",
        show(readings.gauge_pa, Dimension::Pressure, units),
        show(should_pa, Dimension::Pressure, units),
        show(readings.flow_m3_s, Dimension::Flow, units),
        show(flow.pump_flow_m3_s, Dimension::Flow, units),
        suspicion.words(),
        suspicion.look_first()
    );
    let faults =
        if suspicion == Suspect::Nothing { Vec::new() } else { explain(case, readings.flow_m3_s, readings.gauge_pa) };
    let fitting: Vec<&Explanation> = faults.iter().filter(|e| e.miss <= FITS).take(SHOWN).collect();
    if !fitting.is_empty() {
        let _ = writeln!(text, "  Single faults that fit both readings:");
        for e in &fitting {
            let _ = writeln!(text, "    {}", fault_words(e.fault, case, units));
        }
    } else if let Some(nearest) = faults.first() {
        let _ = writeln!(
            text,
            "  No single fault fits both readings; nearest ({:.0} % off): {}.",
            100.0 * nearest.miss,
            fault_words(nearest.fault, case, units)
        );
    }
    let document = json!({
        "gauge_pa": readings.gauge_pa, "flow_m3_s": readings.flow_m3_s,
        "gauge_should_be_pa": should_pa, "flow_should_be_m3_s": flow.pump_flow_m3_s,
        "says": suspicion.words(),
        "faults": faults.iter().take(SHOWN).map(|e| json!({
            "fault": fault_words(e.fault, case, units), "gauge_pa": e.gauge_pa, "flow_m3_s": e.flow_m3_s, "miss": e.miss,
        })).collect::<Vec<_>>(),
    });
    Some(Verdict { text, document })
}

fn fault_words(fault: Fault, case: &WaterCase, units: UnitChoice) -> String {
    let branch = |j: usize| case.branches.get(j);
    let name = |j: usize| branch(j).map_or("?", |b| b.id.as_str());
    match fault {
        Fault::Plugged { branch: j, share } => {
            format!("{:.0} % of the open holes of {} plugged", 100.0 * share, name(j))
        }
        Fault::Worn { branch: j, ratio } => {
            let hole_m = branch(j).map_or(f64::NAN, |b| b.facts.hole_m);
            format!("holes of {} worn to {}", name(j), show(ratio * hole_m, Dimension::Length, units))
        }
        Fault::Pinched { branch: j, loss_coefficient } => {
            format!("{} pinched or its valve turned down (loss coefficient {loss_coefficient:.1} more)", name(j))
        }
        Fault::WeakPump { share } => {
            format!("the pump has lost {:.0} % of its head: wear, air, a starved suction", 100.0 * share)
        }
        Fault::EngineSpeed { ratio } => format!("the pump turns at {:.0} % of the speed thought of", 100.0 * ratio),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_readings_come_in_pairs_and_above_zero() {
        assert!(Readings::read(None, None).unwrap().is_none());
        assert!(Readings::read(Some("10 psi"), None).unwrap_err().contains("both"));
        let both = Readings::read(Some("10 psi"), Some("100 US gpm")).unwrap().unwrap();
        assert!((both.gauge_pa - 68_947.6).abs() < 0.1 && (both.flow_m3_s - 0.006_309_02).abs() < 1e-7);
        assert!(Readings::read(Some("0 psi"), Some("100 US gpm")).is_err());
        assert!(Readings::read(Some("10 ft3"), Some("100 US gpm")).is_err());
    }
}
