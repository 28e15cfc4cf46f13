//! Water outlets with holes or nozzles: spray bars over the screen, hopper nozzles. What spray does to washed rock stands with
//! the drum (`sim_core::drum::rinse`).

mod outlets;
mod shop;

pub use outlets::{NOZZLES, SPRAY_BAR};
