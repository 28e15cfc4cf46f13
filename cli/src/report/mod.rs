//! The report: one HTML file that needs nothing else, for a screen, a phone or paper.
//!
//! | file | what it does |
//! |---|---|
//! | `page` | the page and the order of its sections |
//! | `sections` | gold, water, drum, inputs, warnings |
//! | `standing` | what is the same in every report: cautions, how far to trust it |
//! | `money` | the part on money |
//! | `look` | style sheet |

mod look;
mod money;
mod page;
mod sections;
mod standing;

pub(crate) use money::money;
pub use page::html;
pub(crate) use page::picture;
pub(crate) use sections::{gold, gravel, losses, measures, warnings, water};
pub(crate) use standing::cautions;

#[cfg(test)]
mod tests;
