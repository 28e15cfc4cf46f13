//! Water outlets with holes or nozzles: spray bars over the screen, hopper nozzles; and what spray does to washed rock.

mod outlets;

pub use outlets::{NOZZLES, SPRAY_BAR};
