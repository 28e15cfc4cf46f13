//! The hydraulic gauge of the drum's motor, running and starting.

use std::sync::Arc;

use super::kind::{ObservationKind, Seen, caution};
use super::observation::{Observation, Predict};
use super::places;
use crate::tune::evidence::Part;
use crate::tune::log::columns::column;
use crate::tune::log::entry::Entry;
use sim_core::field::Told;
use sim_core::quantity::Dimension;

/// Pressure at the motor.
pub static DRIVE: ObservationKind = ObservationKind {
    name: "drive",
    words: "oil pressure at the drum's motor, running under feed and as it starts loaded",
    tells: "weight and lift of the bed, friction of rollers and motor",
    once: &[column::PRESSURE, column::STARTING],
    rows: &[],
    steps: &[
        "With the usual feed read the gauge at the motor's pressure side, less the return side if there is a gauge.",
        "After a stop under load read the highest value as the drum starts.",
    ],
    cautions: &[caution::OIL, caution::TURNING],
    errors: "20 psi and 7 %; assumed",
    example: "what = \"drive\"\npressure = \"500 psi\"\nstarting_pressure = \"1300 psi\"",
    sets_the_day: false,
    read,
};

/// Errors of the gauge, Pa and share: 20 psi, 7 %. Assumed.
const OFF: (f64, f64) = (137_900.0, 0.07);

fn read(entry: &mut Entry<'_, '_>) -> Result<Seen, Told> {
    let at = entry.at()?;
    let plant = entry.plant;
    let asked = [
        (column::PRESSURE, "motor_pressure", "oil pressure of the running motor"),
        (column::STARTING, "motor_start_pressure", "oil pressure to start"),
    ];
    let (mut parts, mut laws, mut measures) = (Vec::new(), Vec::new(), Vec::new());
    for (column, name, words) in asked {
        let Some(seen) = entry.number(column)? else { continue };
        measures.push(entry.placed(places::measure(plant, at.as_deref(), name, "a hydraulic motor"))?);
        parts.push(Part { words: words.into(), dimension: Dimension::Pressure, seen });
        laws.push(entry.reading(OFF.0, OFF.1)?);
    }
    if parts.is_empty() {
        return Err(entry.error(
            None,
            "no pressure is given",
            "add pressure = \"500 psi\" (running) or starting_pressure = \"1300 psi\"",
        ));
    }
    let shared = entry.shared(0.0)?;
    let predict: Predict = Arc::new(move |worker, out| out.extend(measures.iter().map(|m| places::read(worker, *m))));
    Ok(Seen::Evidence(Box::new(Observation::new(entry.title.clone(), parts, laws, shared, predict))))
}
