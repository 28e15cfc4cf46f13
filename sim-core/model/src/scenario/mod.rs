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

use sim_core::lever::Lever;
use sim_core::setting::Setting;

use crate::money::settings::{CLEAN_UP_SETTINGS, MONEY_LEVERS, MONEY_SETTINGS};

pub(crate) use clay_wear::clay_test;
pub use ground::{GOLD_SETTINGS, GRADATION_SETTINGS, GROUND_FAULTS, GROUND_SETTINGS};

/// A table at the top of a scenario that is no list.
#[derive(Debug, Clone, Copy)]
pub struct Table {
    /// Its dotted name; empty for the scenario itself.
    pub name: &'static str,
    /// Its settings.
    pub settings: &'static [Setting],
    /// Which of them may be moved.
    pub levers: &'static [Lever],
}

/// The tables at the top of a scenario that are no lists, the scenario itself first. `money` may be absent as a whole.
pub const TABLES: &[Table] = &[
    Table { name: "", settings: SCENARIO_SETTINGS, levers: SCENARIO_LEVERS },
    Table { name: "ground", settings: GROUND_SETTINGS, levers: &[] },
    Table { name: "ground.gradation", settings: GRADATION_SETTINGS, levers: &[] },
    Table { name: "ground.gold", settings: GOLD_SETTINGS, levers: &[] },
    Table { name: "money", settings: MONEY_SETTINGS, levers: MONEY_LEVERS },
    Table { name: "money.clean_up", settings: CLEAN_UP_SETTINGS, levers: &[] },
];

/// What may be otherwise about those tables than the scenario has it.
pub const FAULTS_OF_TABLES: &[(&str, &[sim_core::stage::Fault])] = &[("ground", GROUND_FAULTS)];

pub use ground_only::{GroundOnly, build_ground};
pub use kinds::SHARED;
pub use read::{MOST_BYTES, Opened, SCENARIO_LEVERS, SCENARIO_SETTINGS, build, open};
pub use tuned::text_that_counts;
