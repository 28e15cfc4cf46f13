//! The command `sheet`: the numbers, drawings and quantities for the shop that builds the plant.
//!
//! ```text
//! plant + run ──gather──> parts of stages, sections, outlets ──document──> words and numbers ──> page, tables, text, JSON
//!                                   └── drawings ──tiles, svg──> template at true scale
//! ```
//! Nothing here knows a kind of stage. Page, tables and text print the strings of one document, so that they agree.
//!
//! | file | what |
//! |---|---|
//! | `command` | the command line, reading and writing |
//! | `gather` | asks the parts of the plant |
//! | `document`, `words` | what they said, in the user's units |
//! | `bill`, `prices` | quantities and the owner's prices |
//! | `tiles`, `svg`, `ruler` | geometry on paper |
//! | `page`, `look`, `template`, `tables`, `text` | the faces |

mod bill;
mod command;
mod document;
mod gather;
mod look;
mod page;
mod prices;
mod ruler;
mod svg;
mod tables;
mod template;
mod text;
mod tiles;
mod words;

#[cfg(test)]
mod tests;

pub(crate) use command::sheet;
