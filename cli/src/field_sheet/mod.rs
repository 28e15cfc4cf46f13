//! The field sheet: one observation on one page to print and fill in beside the plant.
//!
//! | file | what it does |
//! |---|---|
//! | `bring` | what an observation takes: things, minutes, rows |
//! | `page`, `look` | the page |

mod bring;
mod look;
mod page;

pub(crate) use bring::effort;
pub(crate) use page::{Sheet, html};
