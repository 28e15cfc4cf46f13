//! The command `water`: what the plant needs, what its pump gives, and what would help.
//!
//! | file | what it does |
//! |---|---|
//! | `command` | arguments, the run, the answer |
//! | `feed_sweep` | flow that the pump must give over the feed rate |
//! | `line_words` | one pump in words: working point, outlets, duty to buy |
//! | `readings` | gauge and flow read on site, and what explains them |

mod command;
mod feed_sweep;
mod line_words;
mod readings;

pub(crate) use command::{WaterArgs, water};
