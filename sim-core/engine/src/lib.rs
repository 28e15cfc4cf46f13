//! The engine: the contract of kinds, the graph of a plant, and the trial loop. It knows no particular stage: stages, drum sections
//! and water outlets plug in from their own crates.

pub mod bench;
pub mod curves;
pub mod need_met;
pub mod plant;
pub mod plumbing;
pub mod provenance;
pub mod registry;
pub mod return_water;
pub mod setting;
pub mod shell_settings;
pub mod shop;
pub mod stage;
pub mod stream;
pub mod trial;
pub mod water_line;
