//! How size classes are laid out as points for the march: finer near the holes, so that results are smooth in their size.

use sim_core::drum::{ClassEdges, DrumError, PointLayout};
use sim_core::size::{SizeClass, gold_classes, solid_classes};

/// Points inside a class that comes near a hole.
const PIECES: usize = 5;

fn edges(classes: &[SizeClass]) -> Vec<ClassEdges> {
    classes.iter().map(|c| ClassEdges { from_m: c.from_m, to_m: c.to_m }).collect()
}

/// Points of the gravel.
pub fn gravel(effective_holes_m: &[f64]) -> Result<PointLayout, DrumError> {
    PointLayout::near_holes(&edges(solid_classes()), effective_holes_m, PIECES)
}

/// Points of the gold.
pub fn gold(holes_m: &[f64]) -> Result<PointLayout, DrumError> {
    PointLayout::near_holes(&edges(gold_classes()), holes_m, PIECES)
}
