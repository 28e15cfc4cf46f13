//! From the text of a scenario to a [`Plant`](crate::plant::Plant) that cannot be wrong, or all its problems at once.

mod ground;
mod read;
mod understood;

pub use ground::{GOLD_SETTINGS, GRADATION_SETTINGS, GROUND_SETTINGS};
pub use read::{MOST_BYTES, Opened, SCENARIO_SETTINGS, build, open};
