//! Gold between the joint draws: the draws of the gold by size as points, and how to move from a draw to a point that no
//! draw has.
//!
//! What samples say of the gold is some thousand joint draws of all classes. Once the plant's own clean-up is sieved, only a
//! handful of them fit, and whatever stands on a handful is luck. So the draws are taken as the middles of a smooth spread
//! (a kernel estimate: Silverman 1986, from memory). The logarithms of the class masses are turned to their principal
//! directions, each scaled to mean 0 and variance 1 over the draws (principal components, common statistics), and the
//! first few are kept: point p_k of a draw. Gold between the draws has the point
//!
//! p'_k = sqrt(1 - h^2) p_k + h e_k,      gold'_g = gold_g exp(sum_k (p'_k - p_k) s_k v_kg)
//!
//! | symbol | meaning |
//! |---|---|
//! | e_k | standard normal, a constant like others; drawn and tuned |
//! | h | width of the kernel, (4/(n (d + 2)))^(1/(d + 4)) for n draws and d directions (Silverman) |
//! | s_k, v_kg | standard deviation along direction k of the logarithms, and the direction |
//!
//! The root keeps the variance of each direction as the draws have it (shrunk kernel, West 1993, from memory). What a draw
//! has beside the directions kept stays with it. A plant that is not tuned has the draws as they are.

use nalgebra::{DMatrix, SymmetricEigen};

use washgraph_physics::size::ByGold;
use washgraph_physics::size::GOLD_CLASSES;
use washgraph_stats::normal;
use washgraph_units::math::{exp, ln, pow};

/// Directions kept at most. Our choice: the curve has two, the grade one, single classes stray about it. With eight of them what
/// is left is as large as the error of a sieved clean-up, and a proposal aims past it.
pub const MOST_DIRECTIONS: usize = 14;
/// Directions of less variance of the logarithm are left out.
const LEAST_VARIANCE: f64 = 1e-4;
/// Weight of a class beside its share of the gold. Our choice.
const LEAST_WEIGHT: f64 = 0.002;
/// Classes with less of the gold are left out.
const LEAST_SHARE: f64 = 1e-5;

/// Width of a kernel about each of n normal draws in d directions, in their standard deviations:
/// h = (4/(n (d + 2)))^(1/(d + 4)).
///
/// Source: Silverman 1986, eq. 4.14 (from memory); 1.06 n^(-1/5) in one direction.
pub fn kernel_width(draws: f64, directions: f64) -> f64 {
    pow(4.0 / (draws * (directions + 2.0)), 1.0 / (directions + 4.0))
}

/// The draws as points.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct GoldRows {
    points: Vec<Vec<f64>>,
    /// By how much the logarithm of each class grows along each direction, for one standard deviation.
    steps: Vec<ByGold>,
    /// h.
    width: f64,
}

impl GoldRows {
    /// The draws of a ground's gold and their mean, kg per loose m3.
    pub fn of(rows: &[ByGold], mean: &ByGold) -> GoldRows {
        let total: f64 = mean.iter().sum();
        let classes: Vec<usize> = (0..GOLD_CLASSES).filter(|g| mean[*g] > LEAST_SHARE * total).collect();
        let n = rows.len() as f64;
        // A class counts by the gold in it: of coarse classes the draws know little, and so do the observations.
        let weight: Vec<f64> = classes.iter().map(|g| (mean[*g] / total + LEAST_WEIGHT).sqrt()).collect();
        // A class that a draw leaves empty counts as a millionth of its mean.
        let log = |row: &ByGold, c: usize| weight[c] * ln(row[classes[c]].max(1e-6 * mean[classes[c]]));
        let mut logs: Vec<Vec<f64>> =
            rows.iter().map(|row| (0..classes.len()).map(|c| log(row, c)).collect()).collect();
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
        let step = |k: &usize| {
            let mut step = [0.0; GOLD_CLASSES];
            for (i, g) in classes.iter().enumerate() {
                step[*g] = eigen.eigenvalues[*k].sqrt() * eigen.eigenvectors[(i, *k)] / weight[i];
            }
            step
        };
        let d = order.len() as f64;
        GoldRows {
            points: logs.iter().map(|r| order.iter().map(|k| along(r, *k)).collect()).collect(),
            steps: order.iter().map(step).collect(),
            width: kernel_width(n, d).min(1.0),
        }
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
        self.steps.len()
    }

    /// The points, in the order of the draws.
    pub fn points(&self) -> &[Vec<f64>] {
        &self.points
    }

    /// Shares of the point of a draw and of the numbers aside in the point of gold between the draws: sqrt(1 - h^2) and h.
    pub fn shares(&self) -> (f64, f64) {
        ((1.0 - self.width * self.width).sqrt(), self.width)
    }

    /// Number of the draw that a number between 0 and 1 names.
    pub fn index(&self, u: f64) -> usize {
        ((u * self.len() as f64) as usize).min(self.len().saturating_sub(1))
    }

    /// The point that a number between 0 and 1 names; empty without draws.
    pub fn point(&self, u: f64) -> &[f64] {
        self.points.get(self.index(u)).map_or(&[], Vec::as_slice)
    }

    /// The point of gold between the draws: `u` names the draw, `aside` where each e_k stands in its spread (0 to 1).
    fn point_between(&self, u: f64, aside: &[f64]) -> Vec<f64> {
        let (keep, width) = self.shares();
        self.point(u).iter().zip(aside).map(|(p, e)| keep * p + width * normal::quantile(*e)).collect()
    }

    /// Factors on the classes of the draw that `u` names, for gold between the draws.
    pub fn factors(&self, u: f64, aside: &[f64]) -> ByGold {
        self.moved(self.point_between(u, aside).iter().zip(self.point(u)).map(|(to, from)| to - from))
    }

    /// The same on the middle of all draws, whose point is 0.
    pub fn factors_from_the_middle(&self, u: f64, aside: &[f64]) -> ByGold {
        self.moved(self.point_between(u, aside).into_iter())
    }

    fn moved(&self, by: impl Iterator<Item = f64>) -> ByGold {
        let mut ln_factor = [0.0; GOLD_CLASSES];
        for (by, step) in by.zip(&self.steps) {
            for (sum, s) in ln_factor.iter_mut().zip(step) {
                *sum += by * s;
            }
        }
        ln_factor.map(exp)
    }

    /// The draw and the numbers aside that stand for the middle of many: the mean of their points, the draw that lies nearest
    /// to it.
    pub fn middle_of<'a>(&self, many: impl Iterator<Item = (f64, &'a [f64])>) -> (f64, Vec<f64>) {
        let mut mean = vec![0.0; self.directions()];
        let mut count = 0.0;
        for (u, aside) in many {
            mean.iter_mut().zip(self.point_between(u, aside)).for_each(|(m, p)| *m += p);
            count += 1.0;
        }
        mean.iter_mut().for_each(|m| *m /= count);
        let (keep, width) = self.shares();
        let distance = |p: &Vec<f64>| p.iter().zip(&mean).map(|(p, m)| (keep * p - m) * (keep * p - m)).sum::<f64>();
        let nearest = (0..self.len()).min_by(|a, b| distance(&self.points[*a]).total_cmp(&distance(&self.points[*b])));
        let nearest = nearest.unwrap_or(0);
        let aside = |(m, p): (&f64, &f64)| normal::cdf((m - keep * p) / width);
        let point = self.points.get(nearest).map_or(&[][..], Vec::as_slice);
        ((nearest as f64 + 0.5) / self.len().max(1) as f64, mean.iter().zip(point).map(aside).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::{RngExt, SeedableRng};
    use rand_chacha::ChaCha8Rng;

    /// Draws whose logarithms are normal along two directions of three classes.
    fn drawn(rng: &mut ChaCha8Rng, n: usize) -> (Vec<ByGold>, ByGold) {
        let mut z = || normal::quantile(rng.random::<f64>().clamp(1e-9, 1.0 - 1e-9));
        let mut rows = vec![[0.0; GOLD_CLASSES]; n];
        for row in &mut rows {
            let (a, b) = (0.5 * z(), 0.2 * z());
            (row[8], row[9], row[10]) = (exp(a + b), 2.0 * exp(a), exp(a - b));
        }
        let mean = std::array::from_fn(|g| rows.iter().map(|r| r[g]).sum::<f64>() / n as f64);
        (rows, mean)
    }

    #[test]
    fn identity_gold_between_the_draws_has_the_mean_and_the_spread_of_the_draws() {
        let mut rng = ChaCha8Rng::seed_from_u64(5);
        let (rows, mean) = drawn(&mut rng, 4000);
        let known = GoldRows::of(&rows, &mean);
        assert_eq!(known.directions(), 2);
        let (mut sum, mut square) = ([0.0; GOLD_CLASSES], [0.0; GOLD_CLASSES]);
        let n = 40_000;
        for _ in 0..n {
            let (u, aside) = (rng.random::<f64>(), [rng.random::<f64>(), rng.random::<f64>()]);
            let factors = known.factors(u, &aside.map(|x| x.clamp(1e-9, 1.0 - 1e-9)));
            let row = &rows[known.index(u)];
            for g in 8..11 {
                let x = ln(row[g] * factors[g]);
                sum[g] += x / f64::from(n);
                square[g] += x * x / f64::from(n);
            }
        }
        for (g, (level, sd)) in [(8, (0.0, 0.29_f64)), (9, (ln(2.0), 0.25)), (10, (0.0, 0.29))] {
            assert!((sum[g] - level).abs() < 0.02, "{g}: {}", sum[g]);
            assert!(((square[g] - sum[g] * sum[g]) / sd - 1.0).abs() < 0.06, "{g}");
        }
    }

    #[test]
    fn identity_the_middle_of_one_is_itself() {
        let mut rng = ChaCha8Rng::seed_from_u64(6);
        let (rows, mean) = drawn(&mut rng, 1000);
        let known = GoldRows::of(&rows, &mean);
        let gold = |u: f64, aside: &[f64]| {
            let f = known.factors(u, aside);
            let row = &rows[known.index(u)];
            [8, 9, 10].map(|g: usize| row[g] * f[g])
        };
        let (u, aside) = known.middle_of([(0.31, &[0.8, 0.4][..])].into_iter());
        for (a, b) in gold(u, &aside).iter().zip(gold(0.31, &[0.8, 0.4])) {
            assert!((a / b - 1.0).abs() < 1e-6, "{a} {b}");
        }
    }
}
