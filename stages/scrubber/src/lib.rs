//! Drum section with a closed shell, where clay lumps wear and free their gold.
//!
//! The wear itself is part of the march over the drum (`sim_core::drum`): a lump loses size at a speed that follows the
//! power put into the bed and the water added. This crate supplies the section: its length, ring and water.

mod section;

pub use section::SCRUBBER;
