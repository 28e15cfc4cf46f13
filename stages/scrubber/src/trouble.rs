//! What goes wrong with a scrubber. Weights are assumed.

use sim_core::shell_settings::{EXIT_RING, LIFTER_SHARE};
use sim_core::stage::Grade::{Times, To};
use sim_core::stage::{Fault, Knob};

/// Faults.
pub(crate) const FAULTS: &[Fault] = &[
    Fault::new("scrub-ring-high", "ring at the scrubber higher than planned, or packed")
        .knobs(&[Knob::new(EXIT_RING.key, [Times(1.5), Times(2.2), Times(3.0)])])
        .weight(0.5)
        .look("ruler, drum stopped and locked out")
        .undo("clear it, or cut it down"),
    Fault::new("scrub-ring-gone", "ring at the scrubber worn off or torn out")
        .knobs(&[Knob::new(EXIT_RING.key, [Times(0.6), Times(0.3), To("0 mm")])])
        .weight(0.5)
        .look("ruler, drum stopped and locked out")
        .undo("weld the ring back to its height"),
    Fault::new("bars-gone", "bars or lifters of the scrubber worn off")
        .knobs(&[Knob::new(LIFTER_SHARE.key, [To("8 %"), To("4 %"), To("1 %")])])
        .weight(1.0)
        .look("look in with a lamp, drum stopped and locked out")
        .undo("weld new bars"),
];
