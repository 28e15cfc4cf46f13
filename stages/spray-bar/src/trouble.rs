//! What goes wrong with spray bars and nozzles, and what can be read off them. Weights and errors are assumed.

use sim_core::quantity::Dimension;
use sim_core::stage::Grade::{ShareOf, Times, To};
use sim_core::stage::{Fault, GAUGE, InLog, Knob, Reading, Source};

/// Faults of a bar.
pub(crate) const OF_BAR: &[Fault] = &[
    Fault::new("spray-plugged", "holes of the spray bar plugged")
        .knobs(&[Knob::new("plugged", [To("20 %"), To("40 %"), To("65 %")])])
        .weight(4.0)
        .look("look along the bar while it runs: count the jets that are missing")
        .undo("take the end cap off, flush the bar, pick the holes; a screen over the suction keeps it so"),
    Fault::new("spray-worn", "holes of the spray bar worn wide")
        .knobs(&[Knob::new("worn", [ShareOf(0.12, "hole"), ShareOf(0.25, "hole"), ShareOf(0.45, "hole")])])
        .weight(1.0)
        .look("a drill shank of the drilled size as a gauge in ten holes")
        .undo("a new bar with holes as drilled"),
];

/// Faults of nozzles.
pub(crate) const OF_NOZZLES: &[Fault] = &[
    Fault::new("nozzles-plugged", "hopper nozzles plugged")
        .knobs(&[Knob::new("count", [Times(0.75), Times(0.5), Times(0.25)])])
        .weight(2.0)
        .look("look at each nozzle while it runs")
        .undo("take the nozzles out and clear them"),
    Fault::new("nozzles-worn", "hopper nozzles worn wide")
        .knobs(&[Knob::new("worn", [ShareOf(0.10, "bore"), ShareOf(0.2, "bore"), ShareOf(0.35, "bore")])])
        .weight(0.7)
        .look("a drill shank of the size of the bore as a gauge")
        .undo("new nozzles"),
];

/// A common gauge may be off by 1 psi, Pa.
const PSI_PA: f64 = 6_895.0;

/// Readings of a bar.
pub(crate) const OFF_BAR: &[Reading] = &[
    Reading::new("spray-flow", "flow of the spray bar", Dimension::Flow, Source::Flow)
        .how("bucket and stopwatch under the bar, drum stopped and locked out")
        .off(0.05, 0.0)
        .log(InLog::By("bucket-flow")),
    Reading::new("spray-pressure", "pressure in the spray bar", Dimension::Pressure, Source::Pressure)
        .how("gauge at the bar")
        .off(0.03, PSI_PA)
        .log(InLog::In(&GAUGE, "pressure")),
];

/// Readings of nozzles.
pub(crate) const OFF_NOZZLES: &[Reading] = &[
    Reading::new("nozzle-flow", "flow of the hopper nozzles", Dimension::Flow, Source::Flow)
        .how("bucket and stopwatch at each nozzle")
        .off(0.05, 0.0)
        .log(InLog::By("bucket-flow")),
    // Seldom fitted: in the log for those who have one.
    Reading::new("nozzle-pressure", "pressure at the hopper nozzles", Dimension::Pressure, Source::Pressure)
        .off(0.03, PSI_PA)
        .log(InLog::In(&GAUGE, "pressure")),
];
