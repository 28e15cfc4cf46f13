//! The field sheet: one observation on one page to print and fill in beside the plant.
//!
//! | file | what it does |
//! |---|---|
//! | `page`, `look` | the page |

mod look;
mod page;

pub use page::{Sheet, html};
