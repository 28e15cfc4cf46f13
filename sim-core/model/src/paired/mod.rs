//! Several plants on the same ground: the same trials run through each, and what the difference comes to.
//!
//! Draws are addressed by seed, trial and the name of the input, so two plants on one seed see the same ground, the same
//! grains and the same hours without any bookkeeping, as long as the names stay.
//!
//! | file | what it does |
//! |---|---|
//! | `design_run` | a plant's trials boiled down to what comparisons need |
//! | `pilot` | several plants at once, those far behind after a pilot run left out |
//! | `gap` | one plant against another, trial by trial |
//! | `drivers` | which inputs the result hangs on, by swapping draws |
//! | `hangs_on` | the same roughly, from the trials of a run |

mod design_run;
mod drivers;
mod gap;
mod hangs_on;
mod pilot;

pub use design_run::{DesignRun, PilotRun};
pub use drivers::{Driver, DriverGroup, Drivers, GROUND_VECTORS, drivers};
pub use gap::{Gap, gap};
pub use hangs_on::HangsOn;
pub(crate) use hangs_on::RankedInputs;
pub use pilot::{Named, PILOT_TRIALS, choose_among, together, with_pilot};
