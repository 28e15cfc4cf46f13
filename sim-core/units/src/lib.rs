//! Quantities of the trade with their units, elementary functions with the same bits on every machine, constants once each,
//! sizes in which things are sold, and the types in which every crate above states its formulas, its checks and the problems of an input.

pub mod check;
pub mod constants;
pub mod formula;
pub mod handbook;
pub mod math;
pub mod owner_file;
pub mod problem;
pub mod quantity;
pub mod stock;
