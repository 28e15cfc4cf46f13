//! What sieve tests and a stone count say about the gradation.
//!
//! Within a test a class mass is gamma distributed with as many counts as the sample held particles of the class. Stones
//! coarser than the splice come from the count on the wall: each class as many counts as points, all finer ground together
//! as many as points that met no stone. Several pits that differ by more than their samples explain say how much benches
//! differ: the gradation as a whole is then tilted, coarser or finer.

use std::sync::Mutex;

use super::sieve_test::SieveTest;
use super::stone_count::StoneCount;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use washgraph_physics::size::BySolid;
use washgraph_physics::size::{SOLID_CLASSES, particles_in_class, solid_class, solid_class_of};
use washgraph_stats::normal;
use washgraph_stats::quantile_table::QuantileTable;
use washgraph_units::math::{exp, ln};

/// Gamma shapes above this are known to better than 0.1 % and are taken as known.
const WELL_KNOWN_SHAPE: f64 = 1.0e6;
/// Sphere.
const KAPPA: f64 = std::f64::consts::PI / 6.0;

/// What is known of the gradation.
#[derive(Debug, Clone, PartialEq)]
pub struct GradationKnown {
    /// Best estimate, share of the dry rock by class.
    pub share: BySolid,
    /// Particles (or points) that each class rests on.
    pub counts: BySolid,
    /// Spread of each class mass relative to its estimate; `None` where it is known well.
    pub spread: Vec<Option<QuantileTable>>,
    /// Classes from this one up come from the stone count; the others share the factor of [`GradationKnown::finer`].
    pub counted_from: usize,
    /// Spread of all that is finer than the splice, relative.
    pub finer: Option<QuantileTable>,
    /// Size of each class on a scale of mean 0 and variance 1 over the mass: by it the gradation is tilted.
    pub score: BySolid,
    /// Standard deviation of the tilt from bench to bench; 0 with fewer than two pits or when they agree.
    pub bench_tilt: f64,
    /// Standard deviation of the tilt of the mean of the pits.
    pub mean_tilt: f64,
}

impl GradationKnown {
    /// One gradation, from a uniform number for each class and one for all that is finer than the splice, tilted. `None`
    /// stands for the best estimate (still tilted).
    #[inline]
    pub fn draw(&self, u: Option<&[f64; SOLID_CLASSES + 1]>, tilt: f64, out: &mut BySolid) {
        let read = |table: &Option<QuantileTable>, i: usize| match (table, u) {
            (Some(table), Some(u)) => table.quantile(u[i]),
            _ => 1.0,
        };
        let finer = read(&self.finer, SOLID_CLASSES);
        let mut sum = 0.0;
        for (c, slot) in out.iter_mut().enumerate() {
            let mut factor = read(&self.spread[c], c);
            if c < self.counted_from {
                factor *= finer;
            }
            if tilt != 0.0 {
                factor *= exp(tilt * self.score[c]);
            }
            *slot = self.share[c] * factor;
            sum += *slot;
        }
        for share in out {
            *share /= sum;
        }
    }

    /// Share finer than every edge of the grid: one run in ten below, best, one in ten above. Ignorance alone; what benches
    /// differ by is not in it.
    pub fn band(&self) -> Vec<[f64; 3]> {
        const DRAWS: usize = 1000;
        let mut rng = ChaCha8Rng::seed_from_u64(0x9a4d);
        let mut curves: Vec<Vec<f64>> = vec![Vec::new(); SOLID_CLASSES - 1];
        let (mut draw, mut u) = ([0.0; SOLID_CLASSES], [0.5; SOLID_CLASSES + 1]);
        let cumulate = |shares: &BySolid| {
            let mut sum = 0.0;
            shares.map(|s| {
                sum += s;
                sum
            })
        };
        for _ in 0..DRAWS {
            for x in &mut u {
                *x = ((rng.next_u64() >> 11) as f64 + 0.5) * (1.0 / 9_007_199_254_740_992.0);
            }
            let z = normal::quantile(u[0]);
            self.draw(Some(&u), self.mean_tilt * z, &mut draw);
            for (list, passing) in curves.iter_mut().zip(cumulate(&draw)) {
                list.push(passing);
            }
        }
        let best = cumulate(&self.share);
        curves
            .iter_mut()
            .zip(best)
            .map(|(list, best)| {
                list.sort_by(f64::total_cmp);
                [list[DRAWS / 10], best, list[DRAWS - 1 - DRAWS / 10]]
            })
            .collect()
    }
}

fn grains(mass_kg: f64, class: usize, rock_kg_m3: f64) -> f64 {
    let c = solid_class(class);
    particles_in_class(mass_kg, c.finite_from_m(), c.finite_to_m(), rock_kg_m3, KAPPA)
}

/// Posterior of the tests, spliced to the stone count if there is one.
pub fn known(tests: &[SieveTest], stones: Option<&StoneCount>, rock_kg_m3: f64) -> GradationKnown {
    let total: f64 = tests.iter().map(|t| t.sample_kg).sum();
    let mut share = [0.0; SOLID_CLASSES];
    for test in tests {
        for (s, x) in share.iter_mut().zip(&test.shares) {
            *s += x * test.sample_kg / total;
        }
    }
    let mut counts: BySolid = std::array::from_fn(|c| grains((share[c] * total).max(1e-12), c, rock_kg_m3));
    let mut counted_from = SOLID_CLASSES;
    let mut finer = None;
    if let Some(count) = stones {
        counted_from = solid_class_of(count.splice_m * 1.0001);
        splice(&mut share, &mut counts, count, counted_from);
        finer = table(count.finer);
    }
    let spread = (0..SOLID_CLASSES)
        // One stone shared over the classes keeps a class of which none was seen from being certain. Assumed.
        .map(|c| if share[c] > 0.0 { table(counts[c] + share[c]) } else { None })
        .collect();
    let score = score_of(&share);
    let (bench_tilt, mean_tilt) = tilts(tests, rock_kg_m3, counted_from);
    GradationKnown { share, counts, spread, counted_from, finer, score, bench_tilt, mean_tilt }
}

/// Table of a gamma distribution of mean 1. The last ones are remembered: the variants of a plant stand on one ground.
fn table(shape: f64) -> Option<QuantileTable> {
    if !(shape < WELL_KNOWN_SHAPE) {
        return None;
    }
    let known = |list: &[(f64, QuantileTable)]| list.iter().find(|(s, _)| *s == shape).map(|(_, t)| t.clone());
    if let Some(found) = LAST_TABLES.lock().ok().and_then(|list| known(&list)) {
        return Some(found);
    }
    let new = QuantileTable::gamma(shape, shape).ok()?;
    if let Ok(mut list) = LAST_TABLES.lock() {
        list.truncate(MOST_TABLES - 1);
        list.insert(0, (shape, new.clone()));
    }
    Some(new)
}

/// Tables remembered: those of two grounds.
const MOST_TABLES: usize = 2 * (SOLID_CLASSES + 1);
static LAST_TABLES: Mutex<Vec<(f64, QuantileTable)>> = Mutex::new(Vec::new());

/// Puts the count in place of all classes from `from` up.
///
/// F(d) = (1 - P) F_sieved(d)/F_sieved(splice) below, P = share of points on coarser stones. The class that the splice cuts
/// has its finer part (in log size) from the sieves and the rest from the count. A class of which no stone was met, below the
/// largest met, keeps its part of half a point.
fn splice(share: &mut BySolid, counts: &mut BySolid, count: &StoneCount, from: usize) {
    let cut = solid_class(from);
    let finer_part = ln(count.splice_m / cut.finite_from_m()) / ln(cut.finite_to_m() / cut.finite_from_m());
    let cut_sieved = share[from] * finer_part.clamp(0.0, 1.0);
    let sieved: f64 = share.iter().take(from).sum::<f64>() + cut_sieved;
    let fine = (1.0 - count.coarse_share()) / sieved.max(1e-12);
    let points: f64 = count.points.iter().sum::<f64>() + count.finer;
    let top = (from..SOLID_CLASSES).rev().find(|c| count.points[*c] > 0.0).unwrap_or(from);
    let unseen = (from..=top).filter(|c| count.points[*c] == 0.0).count();
    for c in 0..SOLID_CLASSES {
        if c < from {
            share[c] *= fine;
            continue;
        }
        let seen = if count.points[c] == 0.0 && c < top { 0.5 / unseen.max(1) as f64 } else { count.points[c] };
        share[c] = seen / points + if c == from { cut_sieved * fine } else { 0.0 };
        counts[c] = share[c] * points;
    }
    let sum: f64 = share.iter().sum();
    for s in share.iter_mut() {
        *s /= sum;
    }
}

fn score_of(share: &BySolid) -> BySolid {
    let x: BySolid = std::array::from_fn(|c| ln(solid_class(c).middle_m));
    let mean: f64 = (0..SOLID_CLASSES).map(|c| share[c] * x[c]).sum();
    let variance: f64 = (0..SOLID_CLASSES).map(|c| share[c] * (x[c] - mean) * (x[c] - mean)).sum();
    let sd = variance.sqrt().max(1e-9);
    std::array::from_fn(|c| (x[c] - mean) / sd)
}

/// Standard deviation of the tilt between pits beyond what their samples explain, and of the mean of the pits.
///
/// Tilt of a pit: t = sum p_j z_j, z the score under the mean curve (a tilt t of the log shares moves the mean score by t to
/// first order). Expected sampling variance: sum z_j^2 p_j m_j/M. Excess of the variance of t over it, not below zero.
fn tilts(tests: &[SieveTest], rock_kg_m3: f64, below: usize) -> (f64, f64) {
    if tests.len() < 2 {
        return (0.0, 0.0);
    }
    let cut = |shares: &BySolid| -> BySolid {
        let sum: f64 = shares.iter().take(below).sum();
        std::array::from_fn(|c| if c < below { shares[c] / sum } else { 0.0 })
    };
    let n = tests.len() as f64;
    let curves: Vec<BySolid> = tests.iter().map(|t| cut(&t.shares)).collect();
    let mut mean = [0.0; SOLID_CLASSES];
    for curve in &curves {
        for (m, p) in mean.iter_mut().zip(curve) {
            *m += p / n;
        }
    }
    let z = score_of(&mean);
    let t: Vec<f64> = curves.iter().map(|p| (0..SOLID_CLASSES).map(|c| p[c] * z[c]).sum()).collect();
    let average = t.iter().sum::<f64>() / n;
    let variance = t.iter().map(|x| (x - average) * (x - average)).sum::<f64>() / (n - 1.0);
    let sampling: f64 = curves
        .iter()
        .zip(tests)
        .map(|(p, test)| {
            (0..SOLID_CLASSES).map(|c| z[c] * z[c] * p[c] / grains(test.sample_kg, c, rock_kg_m3)).sum::<f64>()
        })
        .sum::<f64>()
        / n;
    let between = (variance - sampling).max(0.0).sqrt();
    (between, between / n.sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn test(shares: BySolid, sample_kg: f64) -> SieveTest {
        SieveTest { pit: String::new(), points: Vec::new(), sample_kg, lumps: Vec::new(), shares }
    }

    fn even() -> BySolid {
        [1.0 / SOLID_CLASSES as f64; SOLID_CLASSES]
    }

    #[test]
    fn identity_spliced_shares_sum_to_one_and_keep_the_curve_below() {
        let mut count = StoneCount { points: [0.0; SOLID_CLASSES], finer: 70.0, splice_m: 45.0e-3 };
        count.points[21] = 20.0;
        count.points[23] = 10.0;
        let k = known(&[test(even(), 300.0)], Some(&count), 2700.0);
        assert_eq!(k.counted_from, 21);
        assert!((k.share.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        let coarse: f64 = k.share[21..].iter().sum();
        assert!((coarse - 0.3).abs() < 0.01, "{coarse}");
        assert!((k.share[3] - k.share[12]).abs() < 1e-15);
    }

    #[test]
    fn property_equal_pits_show_no_tilt_and_different_ones_do() {
        let mut coarse = even();
        for (c, s) in coarse.iter_mut().enumerate() {
            *s *= 0.5 + c as f64 / (SOLID_CLASSES - 1) as f64;
        }
        let same = known(&[test(even(), 300.0), test(even(), 300.0)], None, 2700.0);
        assert_eq!(same.bench_tilt, 0.0);
        let other = known(&[test(even(), 3000.0), test(coarse, 3000.0)], None, 2700.0);
        assert!(other.bench_tilt > 0.1 && other.mean_tilt < other.bench_tilt);
    }
}
