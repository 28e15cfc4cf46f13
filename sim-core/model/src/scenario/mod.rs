//! From the text of a scenario to a [`Plant`](sim_core::plant::Plant) that cannot be wrong, or all its problems at once.

mod clay_wear;
mod ground;
mod ground_only;
mod kinds;
mod money;
mod named_files;
mod outlets;
mod pumps;
mod read;
mod sources;
mod stages;
mod tuned;
mod understood;

pub(crate) use clay_wear::clay_test;
pub use ground::{GOLD_SETTINGS, GRADATION_SETTINGS, GROUND_FAULTS, GROUND_SETTINGS};
/// Tables at the top of a scenario that are no lists, with their settings. `money` may be absent as a whole.
pub const TABLES: &[(&str, &[sim_core::setting::Setting])] = &[
    ("ground", GROUND_SETTINGS),
    ("ground.gradation", GRADATION_SETTINGS),
    ("ground.gold", GOLD_SETTINGS),
    ("money", crate::money::settings::MONEY_SETTINGS),
    ("money.clean_up", crate::money::settings::CLEAN_UP_SETTINGS),
];

/// What may be otherwise about those tables than the scenario has it.
pub const FAULTS_OF_TABLES: &[(&str, &[sim_core::stage::Fault])] = &[("ground", GROUND_FAULTS)];

pub use ground_only::{GroundOnly, build_ground};
pub use kinds::SHARED;
pub use read::{MOST_BYTES, Opened, SCENARIO_SETTINGS, build, open};
pub use tuned::text_that_counts;
