//! One setting by its path: `drum.slope`, `drum.screen.hole`, `sluice.width`, `hopper.rate`, `ground.clay`, `spray.holes`,
//! `trials`. A path is checked against the scenario and the tables of settings that its kinds declare, its value is read
//! and changed in the text of the scenario, and the changed text is built like any other: whatever is wrong with the value
//! is found there, with units and ranges.
//!
//! | file | what it does |
//! |---|---|
//! | `list` | every settable path of a scenario, for forms and for "did you mean" |
//! | `path` | a checked path |
//! | `edit` | reading and changing the text; comments, order and layout stay |
//! | `rows` | lists as text |
//! | `spread` | a spread that moves along with its middle |

mod edit;
mod list;
mod path;
mod rows;
mod spread;

pub use edit::{current, with, without};
pub use list::{Settable, settables};
pub use path::{PathError, SettingPath};
