//! Several plants on the same ground: the same trials run through each, and what the difference comes to.
//!
//! Draws are addressed by seed, trial and the name of the input, so two plants on one seed see the same ground, the same
//! grains and the same hours without any bookkeeping, as long as the names stay.
//!
//! | file | what it does |
//! |---|---|
//! | `arm` | a plant's trials boiled down to what comparisons need |
//! | `race` | several plants at once, those without a hope left behind |
//! | `gap` | one plant against another, trial by trial |
//! | `drivers` | which inputs the result hangs on, by swapping draws |
//! | `hangs_on` | the same roughly, from the trials of a run |

mod arm;
mod drivers;
mod gap;
mod hangs_on;
mod race;

pub use arm::{Arm, Heat};
pub use drivers::{Driver, DriverGroup, Drivers, GROUND_VECTORS, drivers};
pub use gap::{Gap, gap};
pub use hangs_on::HangsOn;
pub(crate) use hangs_on::RankedInputs;
pub use race::{HEAT_TRIALS, Named, choose_among, race, together};
