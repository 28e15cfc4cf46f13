//! Sieve series, the size grid, gradation curves.

use washgraph_units::check::Check;
use washgraph_units::formula::Formula;

mod by_class;
pub(crate) mod entry;
pub mod gradation;
mod grid;
pub mod models;
pub(crate) mod pchip;
pub mod percentile;
pub mod sieve;

pub use by_class::{ByGold, BySolid, LUMP_BINS};
pub use gradation::{Gradation, GradationError};
pub use grid::{
    GOLD_CLASSES, GOLD_EDGES_M, SOLID_CLASSES, SOLID_EDGES_M, SizeClass, gold_class, gold_class_of, gold_classes,
    solid_class, solid_class_of, solid_class_of_gold, solid_classes,
};
pub use models::SizeModel;
pub use percentile::{
    gold_percentile_size_m, particles_in_class, solid_percentile_size_m, solid_smooth_percentile_size_m,
};
pub use sieve::{Series, Sieve};

/// Handbook entries of this room.
pub fn formulas() -> Vec<&'static Formula> {
    let files = [sieve::FORMULAS, models::FORMULAS, percentile::FORMULAS];
    files.into_iter().flatten().collect()
}

/// Published-value checks of this room.
pub fn checks() -> Vec<&'static Check> {
    let files = [sieve::CHECKS, models::CHECKS, percentile::CHECKS, gradation::CHECKS];
    files.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    #[test]
    fn published_all_checks_of_this_room_pass() {
        for check in super::checks() {
            let computed = (check.computed)();
            assert!(check.passes(computed), "{}: {computed}", check.id);
        }
    }
}
