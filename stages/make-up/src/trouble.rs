//! What goes wrong with an open pipe, and what can be read off it. Weights and errors are assumed.
//!
//! A pipe has a flow of its own, or a hose on a manifold that is choked or widened; the flow of an open hose goes about with its bore
//! squared, so that the bores are the roots of the flows.

use std::f64::consts::{FRAC_1_SQRT_2, SQRT_2};

use sim_core::quantity::Dimension;
use sim_core::stage::Grade::Times;
use sim_core::stage::{Fault, InLog, Knob, Reading, Source};

/// Faults.
pub(crate) const FAULTS: &[Fault] = &[
    Fault::new("box-water-low", "valve to the box turned down, or its hose kinked")
        .knobs(&[
            Knob::new("flow", [Times(0.75), Times(0.5), Times(0.3)]),
            Knob::new("hose_bore", [Times(0.866_025), Times(FRAC_1_SQRT_2), Times(0.547_723)]),
        ])
        .weight(1.5)
        .look("walk the hose to the box, count the turns of the valve")
        .undo("set the valve back"),
    Fault::new("box-water-high", "valve to the box opened too far")
        .knobs(&[
            Knob::new("flow", [Times(1.2), Times(1.5), Times(2.0)]),
            Knob::new("hose_bore", [Times(1.095_445), Times(1.224_745), Times(SQRT_2)]),
        ])
        .weight(1.5)
        .look("count the turns of the valve")
        .undo("set the valve back"),
];

/// Readings.
pub(crate) const READINGS: &[Reading] =
    &[Reading::new("box-water", "water piped to the box", Dimension::Flow, Source::Flow)
        .how("bucket and stopwatch at the pipe")
        .off(0.05, 0.0)
        .log(InLog::By("bucket-flow"))];
