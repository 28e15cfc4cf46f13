//! Pumps and the outlets that they feed: who feeds whom, and whether the water gets there at all.

use super::outlets::Mount;
use sim_core::draw::{Draws, InputList};
use sim_core::ground::Ground;
use sim_core::particle::water::WaterState;
use sim_core::plant::{OutletNode, Part};
use sim_core::problem::{Problems, did_you_mean};
use sim_core::water_line::{Line, check_line};

/// Checks that each outlet without a pressure of its own has a pump, and tells which ones have no part in a pump's water.
pub(super) fn check_pumps(mounts: &[Mount], parts: &[Part], problems: &mut Problems) {
    if problems.has_errors() {
        return;
    }
    let pumps: Vec<&str> = parts
        .iter()
        .filter(|p| p.stage.as_ref().is_some_and(|s| s.supply().is_some()))
        .map(|p| p.id.as_str())
        .collect();
    for mount in mounts {
        match &mount.fed {
            Some((pump, _)) if pumps.contains(&pump.as_str()) => {}
            Some((pump, _)) => {
                let help = match (did_you_mean(pump, pumps.iter().copied()), pumps.is_empty()) {
                    (Some(word), _) => format!("did you mean from = \"{word}\"?"),
                    (None, true) => "give its pressure (or flow), or add a [[stage]] of kind = \"pump\"".into(),
                    (None, false) => format!("write from = \"...\" with one of the pumps: {}", pumps.join(", ")),
                };
                problems.error(
                    mount.place.clone(),
                    format!("nothing feeds water outlet `{}`: there is no pump `{pump}`", mount.id),
                    help,
                );
            }
            None if !pumps.is_empty() => problems.note(
                mount.place.clone(),
                format!("`{}` has a pressure or flow of its own: its water is not drawn from a pump", mount.id),
                "",
            ),
            None => {}
        }
    }
}

/// Solves the middle case of each pump by the reference method; what it refuses is told at the pump.
pub(super) fn check_middle_case(
    lines: &[Line],
    outlets: &[OutletNode],
    inputs: &InputList,
    ground: &Ground,
    parts: &[Part],
    problems: &mut Problems,
) -> bool {
    let mut draws = Draws::new(0, inputs);
    draws.set_middle(inputs);
    let water = WaterState::clean(ground.inputs.water_temperature_c.get(&draws));
    let mut sound = true;
    for line in lines {
        if let Err((message, help)) = check_line(line, &draws, &water, outlets) {
            let place = parts.iter().find(|p| p.id == line.id).map(|p| p.place.clone());
            problems.error(place, message, help);
            sound = false;
        }
    }
    sound
}
