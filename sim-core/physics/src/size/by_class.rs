//! Flows by size class, as every part of the engine that handles ground keeps them.

use super::{GOLD_CLASSES, SOLID_CLASSES};

/// Number of bins of clay lumps.
pub const LUMP_BINS: usize = 8;

/// Gold by size class, kg/s.
pub type ByGold = [f64; GOLD_CLASSES];

/// Solids by size class, kg/s dry.
pub type BySolid = [f64; SOLID_CLASSES];
