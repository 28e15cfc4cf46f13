//! Drum section that holds gold too coarse for the holes.
//!
//! ```text
//!   screen | trap: pockets in the shell    |──> oversize
//!          |  o__  __o  __  bed rolls over |
//! ```
//! A length of closed shell behind the screen with pockets, riffles or expanded metal on its inside. Gold that comes to the
//! shell may drop into a pocket and stay until the clean-out; stones go on. How much stays has never been measured: it is an
//! assumption with a wide range.

mod law;
mod section;

pub use section::NUGGET_TRAP;
