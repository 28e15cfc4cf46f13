//! The settling pond: takes the tailings slurry, keeps sand, mud and the water in their pores, and gives the rest of the water
//! back to the outlets with the fines that still hang in it.
//!
//! ```text
//!   slurry ──> pile ──> pond ──> back to the outlets (their water is no longer clean)
//!               └─ sand, lumps   └─ mud, seepage, evaporation, bleed ──> tailings
//! ```

mod cut;
mod jar;
mod settings;
mod stage;
mod trouble;
mod warnings;

pub use stage::POND;
