//! Water outlets with holes or nozzles: spray bars over the screen, hopper nozzles. What spray does to washed rock stands with
//! the drum (`sim_core::drum::rinse`).

mod outlets;
mod shop;
mod trouble;

pub use outlets::{NOZZLES, SPRAY_BAR};
