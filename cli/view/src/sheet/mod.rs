//! The shop sheet: the numbers, drawings and quantities for the shop that builds the plant.
//!
//! ```text
//! plant + run ──gather──> parts of stages, sections, outlets ──document──> words and numbers ──> page, tables, text, JSON
//!                                   └── drawings ──tiles, svg──> template at true scale
//! ```
//! Nothing here knows a kind of stage. Page, tables and text print the strings of one document, so that they agree.
//!
//! | file | what |
//! |---|---|
//! | `gather` | asks the parts of the plant |
//! | `document`, `words` | what they said, in the user's units |
//! | `bill`, `prices` | quantities and the owner's prices |
//! | `tiles`, `svg`, `ruler` | geometry on paper |
//! | `page`, `look`, `template`, `tables`, `text` | the frontends |

pub mod bill;
pub mod document;
pub mod gather;
mod look;
pub mod page;
pub mod prices;
pub mod ruler;
pub mod svg;
pub mod tables;
pub mod template;
pub mod text;
pub mod tiles;
pub mod words;
