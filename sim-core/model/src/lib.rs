//! From the text of a scenario to a plant and its result, and back: reading, field logs, money, comparisons of plants, tuning by
//! what the running plant shows.

pub mod handbook;
pub mod money;
pub mod paired;
pub mod result;
pub mod scenario;
pub mod tune;
pub mod tuned;
pub mod variant;
