//! Units of the trade: what a miner writes, read into SI, and SI printed in his units.
//!
//! | file | what it does |
//! |---|---|
//! | `dimension`, `file_key` | kinds of quantity; their keys in files |
//! | `unit`, `key` | what a unit is: its scale; the single units that it is made of |
//! | `atoms`, `short_forms` | single units, their size and where it comes from; short forms such as `gpm` |
//! | `table` | units listed for each kind, and those preferred in results |
//! | `number`, `token`, `words`, `unit_text` | text to number, to pieces of a unit, to single units with powers |
//! | `parse`, `special` | the whole quantity; forms of single kinds (mesh, 1 in 12, % of critical) |
//! | `resolve`, `refusal` | the unit meant, or a refusal in plain words |
//! | `possible` | what a kind of quantity can be at all |
//! | `print`, `phrase` | SI to text; sentences with quantities in them |
//! | `mesh` | sieve numbers |

mod atoms;
mod dimension;
mod file_key;
mod key;
mod mesh;
mod number;
mod parse;
mod phrase;
mod possible;
mod print;
mod refusal;
mod resolve;
mod short_forms;
mod special;
mod table;
mod token;
mod unit;
mod unit_text;
mod words;

pub use dimension::Dimension;
pub use file_key::SiUnit;
pub use file_key::usual_of;
pub use mesh::{TYLER_MESH_MM, US_NUMBERS_MM, tyler_mesh_mm, tyler_mesh_of_mm, us_number_mm, us_number_of_mm};
pub use parse::{Parsed, QuantityError, parse};
pub use phrase::{Phrase, Word};
pub use print::{convert_from, convert_to, format, like, show, show_both, with_commas};
pub use table::{UnitChoice, all_units, preferred, units_of};
pub use unit::{Basis, System, UnitRef};
