//! What the parts of a plant tell the shop: numbers to build by, pieces to buy, work to do, drawings as pure geometry.
//!
//! A stage, a drum section or a water outlet describes itself as [`ShopPart`]s; whoever prints them (a page, a table, a
//! drawing at true scale) knows nothing of the kind. All sizes are SI; [`Phrase`] keeps quantities in sentences apart from
//! the words, so that they can be shown in the user's units.
//!
//! | file | what |
//! |---|---|
//! | `part` | a part: rows, pieces, work, checks, cautions |
//! | `drawing` | geometry in metres |
//! | `reading` | what the run says of a measure or an outlet |

mod drawing;
mod part;
mod reading;

pub use drawing::{Drawing, HoleGrid, Mark, Opening, Purpose, Stroke};
pub use part::{Amount, Figure, Pace, Piece, ShopPart, ShopRow, Sure, Way, Work};
pub use reading::{OutletSite, Reading, Shell, StageSite};
pub use washgraph_units::quantity::{Phrase, Word};
