//! The report: one HTML file that needs nothing else, for a screen, a phone or paper; and its tables for other programs.
//!
//! | file | what it does |
//! |---|---|
//! | `page` | the page and the order of its sections |
//! | `front` | page one: the four questions and one picture |
//! | `story`, `sizes` | where the gold goes from hopper to tailings; what size is lost where |
//! | `changes` | what each loss would cost to stop, by running single changes |
//! | `sections` | gold, water, drum, inputs, warnings |
//! | `money`, `ground`, `next` | money; the ground and how well it is known; what to measure next |
//! | `questions` | what a miner asks when he reads the numbers |
//! | `backing` | what is said beside the result: inputs, samples, sources |
//! | `standing` | what is the same in every report: cautions, how far to trust it |
//! | `grid`, `tables` | a table for the page and for files; all of them for the workbook |
//! | `look` | style sheet |

mod backing;
mod changes;
mod front;
mod grid;
mod ground;
mod look;
mod money;
mod next;
mod page;
mod questions;
mod sections;
mod sizes;
mod standing;
mod story;
mod tables;

pub use backing::Backing;
pub use money::money;
pub use page::{html, picture};
pub use sections::{gold, gravel, losses, measures, warnings, water};
pub use standing::cautions;
pub use tables::tables;
pub use washgraph_advice::changes::tried::Changes;

#[cfg(test)]
mod tests;
