//! Engine and stages together, inside the test's own process: plants and grounds altered in one thing, field logs, tuning.

mod books;
mod decide;
mod drum_for_builders;
mod expected_physics;
mod field_log;
mod field_sheets;
mod handbook_sane;
mod house;
mod kept;
mod levers;
mod money;
mod owners;
mod pond;
mod pumped_water;
mod said_units;
mod tune;
mod tune_owners;
mod tune_wrong_model;
mod variant;
