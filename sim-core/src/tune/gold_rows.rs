//! The joint draws of the gold by size as points: what is to be known of a draw to aim at it.
//!
//! One number names a draw, poorest first; but draws of one grade differ in how coarse the gold is, and a clean-up that is
//! sieved tells them apart. The logarithms of the class masses are turned to their principal directions, each scaled to mean
//! 0 and variance 1 over the draws (principal components, common statistics), and the first few are kept.

use nalgebra::{DMatrix, SymmetricEigen};

use crate::ground::GoldKnown;
use crate::math::ln;
use crate::plant::Plant;
use crate::size::GOLD_CLASSES;

/// Directions kept. Our choice: the curve has two, the grade one, single classes stray about it.
const MOST_DIRECTIONS: usize = 8;
/// Directions of less variance of the logarithm are left out.
const LEAST_VARIANCE: f64 = 1e-4;
/// Classes with less of the gold are left out.
const LEAST_SHARE: f64 = 1e-5;

/// The draws as points.
#[derive(Debug, Clone, Default)]
pub struct GoldRows {
    points: Vec<Vec<f64>>,
}

impl GoldRows {
    /// The draws of a plant's ground; none when its gold is a belief.
    pub fn of(plant: &Plant) -> GoldRows {
        let GoldKnown::Sampled(posterior) = &plant.ground.gold else { return GoldRows::default() };
        let mean = posterior.mean();
        let total: f64 = mean.iter().sum();
        let classes: Vec<usize> = (0..GOLD_CLASSES).filter(|g| mean[*g] > LEAST_SHARE * total).collect();
        let n = posterior.rows().len() as f64;
        // A class that a draw leaves empty counts as a millionth of its mean.
        let mut logs: Vec<Vec<f64>> = posterior
            .rows()
            .iter()
            .map(|row| classes.iter().map(|g| ln(row[*g].max(1e-6 * mean[*g]))).collect())
            .collect();
        for c in 0..classes.len() {
            let level = logs.iter().map(|r| r[c]).sum::<f64>() / n;
            logs.iter_mut().for_each(|r| r[c] -= level);
        }
        let covariance =
            DMatrix::from_fn(classes.len(), classes.len(), |i, j| logs.iter().map(|r| r[i] * r[j]).sum::<f64>() / n);
        let eigen = SymmetricEigen::new(covariance);
        let mut order: Vec<usize> = (0..classes.len()).filter(|k| eigen.eigenvalues[*k] > LEAST_VARIANCE).collect();
        order.sort_by(|a, b| eigen.eigenvalues[*b].total_cmp(&eigen.eigenvalues[*a]));
        order.truncate(MOST_DIRECTIONS);
        let along = |r: &[f64], k: usize| {
            let dot: f64 = r.iter().enumerate().map(|(i, x)| x * eigen.eigenvectors[(i, k)]).sum();
            dot / eigen.eigenvalues[k].sqrt()
        };
        GoldRows { points: logs.iter().map(|r| order.iter().map(|k| along(r, *k)).collect()).collect() }
    }

    /// Number of draws.
    pub fn len(&self) -> usize {
        self.points.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.points.is_empty()
    }

    /// Directions of a point.
    pub fn directions(&self) -> usize {
        self.points.first().map_or(0, Vec::len)
    }

    /// The points, in the order of the draws.
    pub fn points(&self) -> &[Vec<f64>] {
        &self.points
    }

    /// Number of the draw that a number between 0 and 1 names.
    pub fn index(&self, u: f64) -> usize {
        ((u * self.len() as f64) as usize).min(self.len().saturating_sub(1))
    }

    /// The point that a number between 0 and 1 names; empty without draws.
    pub fn point(&self, u: f64) -> &[f64] {
        self.points.get(self.index(u)).map_or(&[], Vec::as_slice)
    }
}
