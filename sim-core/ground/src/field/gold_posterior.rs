//! What the samples say about gold by class: grade and size together.
//!
//! ```text
//! belief before            size curve: lognormal by mass (median, spread)      grade: wide lognormal
//!                                     |  number per volume of class j: lambda_j = G w_j/m_j
//! class beside the curve   lambda_j x Gamma(k, k): k colours overrule the curve
//! seen                     n_j ~ Poisson(lambda_j V_j), V_j the ground in which class j was looked for
//! patches                  the spots sampled were richer or poorer than the ground: Gamma(1/e, 1/e), all classes together
//! weighed as a whole       W ~ gamma of mean G V and relative variance m_w/(G V) + ... (see [`Whole`])
//! grain mass               from counts with weights, elsewhere from the shape, with its error
//! ```
//! Given curve and grade, a class is gamma distributed with shape k + n_j and rate k/lambda_j + V_j (gamma-Poisson), and its
//! count negative binomial. Curve and grade are integrated on a grid of three numbers, from which joint draws of all
//! classes are taken once; a trial reads one of them. So the grade and the size curve go together as the data say: one
//! nugget raises the coarse gold and the grade at once, and a coarse class in which nothing was seen keeps what the
//! curve and the ground looked at allow. Gold coarser than a stated largest size is left out: no sample of a few hundred
//! litres can say anything of it, and a curve drawn on into it would promise nuggets that nobody saw.

use std::sync::{Arc, OnceLock};

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::Distribution;

use super::gold_between::GoldRows;
use super::whole_weight::Whole;
use washgraph_physics::size::ByGold;
use washgraph_physics::size::{GOLD_CLASSES, gold_class};
use washgraph_stats::normal;
use washgraph_units::math::{exp, ln, ln_1p};

/// Joint draws kept. A thousandth of a run stands on four of them.
pub const DRAWS: usize = 4096;

/// Beliefs held before any sample was taken, and how firmly. All assumed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// Median size by mass, m, and the spread of its logarithm.
    pub median_m: (f64, f64),
    /// Geometric standard deviation of the size by mass: logarithm at the middle (itself a logarithm), and its spread.
    pub ln_sigma: (f64, f64),
    /// Grade, kg per loose m3: median, and the spread of its logarithm.
    pub grade_kg_m3: (f64, f64),
    /// Colours in a class that weigh as much as the fitted curve.
    pub curve_weight: f64,
}

impl Prior {
    /// Half of placer gold by mass is coarser than 0.4 mm, give or take a factor 2.7; geometric standard deviation 2.2
    /// (1.8 to 2.8 in two cases of three); grade 200 mg per loose m3, 40 to 1000 in eight cases of ten; five colours
    /// overrule the curve in their class. Assumed, within what is published of placer gold.
    pub const PLACER: Prior = Prior {
        median_m: (0.4e-3, 1.0),
        // ln(ln 2.2) = -0.2377
        ln_sigma: (-0.2377, 0.35),
        grade_kg_m3: (200.0e-6, 1.25),
        curve_weight: 5.0,
    };
}

/// Drawings of the classes among which a weight chooses, for each joint draw.
const CANDIDATES: usize = 24;

/// What was seen.
#[derive(Debug, Clone, Copy)]
pub struct Evidence<'a> {
    /// Colours by class.
    pub colours: &'a ByGold,
    /// Loose ground looked at, m3, by class.
    pub looked_m3: &'a ByGold,
    /// Mean grain mass expected by class, kg, and the standard deviation of its logarithm in this class alone.
    pub grain_kg: &'a ByGold,
    /// Standard deviation of the logarithm of the grain mass, class by class.
    pub grain_ln_sd: &'a ByGold,
    /// How far each class follows the common shift of the grain masses (shape).
    pub follows: &'a ByGold,
    /// Standard deviation of the logarithm of the common shift.
    pub common_ln_sd: f64,
    /// Size of the coarsest gold that is reckoned with, m.
    pub largest_m: f64,
    /// Relative variance of the grade because the spots were patchy.
    pub patchiness: f64,
    /// Gold weighed as a whole.
    pub whole: Whole,
}

/// Joint draws of the gold by class, kg per loose m3, poorest first.
#[derive(Debug, Clone, PartialEq)]
pub struct GoldPosterior {
    // Shared by the plants that stand on one ground.
    rows: Arc<Vec<ByGold>>,
    numbers: Arc<Vec<ByGold>>,
    totals: Arc<Vec<f64>>,
    mean: ByGold,
    middle: ByGold,
    /// The draws as points; worked out when a plant is tuned.
    between: Between,
}

/// What is worked out of the draws at need: two posteriors of the same draws are the same with and without.
#[derive(Debug, Clone, Default)]
struct Between(Arc<OnceLock<GoldRows>>);

impl PartialEq for Between {
    fn eq(&self, _: &Between) -> bool {
        true
    }
}

/// Evidence, number by number, and what came of it.
type Remembered = (Vec<u64>, GoldPosterior);

/// Posteriors remembered: the ground of a plant and of the one that it is compared with.
const MOST_REMEMBERED: usize = 2;

static LAST: std::sync::Mutex<Vec<Remembered>> = std::sync::Mutex::new(Vec::new());

/// Every number that the posterior depends on, bit by bit.
fn key_of(prior: &Prior, seen: &Evidence<'_>) -> Vec<u64> {
    let Prior { median_m, ln_sigma, grade_kg_m3, curve_weight } = *prior;
    let Evidence { colours, looked_m3, grain_kg, grain_ln_sd, follows, common_ln_sd, largest_m, patchiness, whole } =
        *seen;
    let pairs = [median_m, ln_sigma, grade_kg_m3].into_iter().flat_map(|(a, b)| [a, b]);
    let classes = [colours, looked_m3, grain_kg, grain_ln_sd, follows].into_iter().flatten().copied();
    let single = [curve_weight, common_ln_sd, largest_m, patchiness, whole.volume_m3, whole.gold_kg];
    pairs.chain(classes).chain(single).map(f64::to_bits).collect()
}

/// Range of a number on the grid.
#[derive(Debug, Clone, Copy)]
struct Axis {
    low: f64,
    high: f64,
    cells: usize,
}

impl Axis {
    fn width(&self) -> f64 {
        (self.high - self.low) / self.cells as f64
    }
    fn at(&self, i: usize, within: f64) -> f64 {
        self.low + (i as f64 + within) * self.width()
    }
}

/// Share of each gold class of a lognormal distribution by mass that ends at a largest size (m; may be infinite).
pub fn lognormal_shares(mean_ln: f64, sigma: f64, largest_m: f64) -> ByGold {
    let mut shares: ByGold = [0.0; GOLD_CLASSES];
    let passing = |size: f64| if size.is_finite() { normal::cdf((ln(size) - mean_ln) / sigma) } else { 1.0 };
    let all = passing(largest_m).max(1e-300);
    let mut below = 0.0;
    for (g, share) in shares.iter_mut().enumerate() {
        let upper = passing(gold_class(g).to_m.min(largest_m)) / all;
        *share = upper - below;
        below = upper;
    }
    shares
}

/// Logarithm of the unnormalised posterior on the three numbers: ln of the median size, ln of sigma, ln of the number of
/// colours expected in the ground looked at.
struct Target<'a> {
    prior: &'a Prior,
    seen: &'a Evidence<'a>,
}

/// What depends on the size curve alone.
struct Curve {
    /// Colours expected by class when one is expected in all.
    per_colour: ByGold,
    /// Colours per kg of gold by class.
    number: ByGold,
    /// Colours looked at per unit of grade, m3/kg; 1 when none were looked for, so that the third number is the grade.
    looked: f64,
    ln_prior: f64,
    /// Mean mass of a grain by mass, kg, and what is left open of the grade given the curve (see [`Whole`]).
    grain_by_mass_kg: f64,
    left_open: f64,
}

impl Target<'_> {
    fn curve(&self, ln_median: f64, ln_sigma: f64) -> Curve {
        let p = self.prior;
        let shares = lognormal_shares(ln_median, exp(ln_sigma), self.seen.largest_m);
        let number: ByGold = std::array::from_fn(|g| shares[g] / self.seen.grain_kg[g]);
        let counted: f64 = (0..GOLD_CLASSES).map(|g| number[g] * self.seen.looked_m3[g]).sum();
        let looked = if counted > 0.0 { counted } else { 1.0 };
        let per_colour = std::array::from_fn(|g| number[g] * self.seen.looked_m3[g] / looked);
        let a = (ln_median - ln(p.median_m.0)) / p.median_m.1;
        let b = (ln_sigma - p.ln_sigma.0) / p.ln_sigma.1;
        let (mut grain_by_mass_kg, mut left_open) = (0.0, self.seen.common_ln_sd * self.seen.common_ln_sd);
        for (g, share) in shares.iter().enumerate() {
            let class =
                1.0 / (p.curve_weight + self.seen.colours[g]) + self.seen.grain_ln_sd[g] * self.seen.grain_ln_sd[g];
            grain_by_mass_kg += share * self.seen.grain_kg[g];
            left_open += share * share * class;
        }
        Curve { per_colour, number, looked, ln_prior: -0.5 * (a * a + b * b), grain_by_mass_kg, left_open }
    }

    fn ln_density(&self, curve: &Curve, ln_expected: f64) -> f64 {
        let p = self.prior;
        let expected = exp(ln_expected);
        let grade = expected / curve.looked;
        let z = (ln(grade) - ln(p.grade_kg_m3.0)) / p.grade_kg_m3.1;
        let k = p.curve_weight;
        let mut sum = curve.ln_prior - 0.5 * z * z;
        for g in 0..GOLD_CLASSES {
            let x = (expected * curve.per_colour[g]).max(1e-300);
            let n = self.seen.colours[g];
            if self.seen.looked_m3[g] > 0.0 {
                if n > 0.0 {
                    sum += n * ln(x);
                }
                sum -= (n + k) * ln_1p(x / k);
            }
        }
        if self.seen.whole.volume_m3 > 0.0 {
            sum += self.seen.whole.ln_likelihood(grade, curve.grain_by_mass_kg, curve.left_open);
        }
        sum
    }

    /// Weights of all cells of a grid, the largest being 1, in the order of the axes.
    fn weigh(&self, axes: &[Axis; 3]) -> Vec<f64> {
        let mut logs = Vec::with_capacity(axes.iter().map(|a| a.cells).product());
        for i in 0..axes[0].cells {
            for j in 0..axes[1].cells {
                let curve = self.curve(axes[0].at(i, 0.5), axes[1].at(j, 0.5));
                for l in 0..axes[2].cells {
                    logs.push(self.ln_density(&curve, axes[2].at(l, 0.5)));
                }
            }
        }
        let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        logs.iter().map(|x| exp(x - most)).collect()
    }
}

/// Cell numbers of an index into the weights.
fn cell_of(index: usize, axes: &[Axis; 3]) -> [usize; 3] {
    let (b, c) = (axes[1].cells, axes[2].cells);
    [index / (b * c), index / c % b, index % c]
}

/// Narrows the grid to where the posterior lies: mean plus and minus 4.5 standard deviations on each axis.
fn focus(target: &Target<'_>, prior: &Prior, total: f64) -> [Axis; 3] {
    let m = prior.median_m;
    let s = prior.ln_sigma;
    let limits = [
        (ln(m.0) - 3.2 * m.1, ln(m.0) + 3.2 * m.1),
        (s.0 - 3.2 * s.1, s.0 + 3.2 * s.1),
        if target.seen.looked_m3.iter().any(|v| *v > 0.0) {
            (ln(0.02), ln(total * 6.0 + 20.0))
        } else {
            (ln(prior.grade_kg_m3.0) - 6.0 * prior.grade_kg_m3.1, ln(prior.grade_kg_m3.0) + 6.0 * prior.grade_kg_m3.1)
        },
    ];
    let mut axes = limits.map(|(low, high)| Axis { low, high, cells: 12 });
    for _ in 0..5 {
        let weights = target.weigh(&axes);
        let all: f64 = weights.iter().sum();
        let mut next = axes;
        for (d, axis) in next.iter_mut().enumerate() {
            let at = |index: usize| axes[d].at(cell_of(index, &axes)[d], 0.5);
            let mean = weights.iter().enumerate().map(|(i, w)| w * at(i)).sum::<f64>() / all;
            let variance = weights.iter().enumerate().map(|(i, w)| w * (at(i) - mean) * (at(i) - mean)).sum::<f64>()
                / all
                + axes[d].width() * axes[d].width() / 12.0;
            let reach = 4.5 * variance.sqrt();
            axis.low = (mean - reach).max(limits[d].0);
            axis.high = (mean + reach).min(limits[d].1);
        }
        axes = next;
    }
    [Axis { cells: 18, ..axes[0] }, Axis { cells: 14, ..axes[1] }, Axis { cells: 18, ..axes[2] }]
}

impl GoldPosterior {
    /// The posterior of what was seen. The draws are the same for the same evidence; the last few are remembered, since the
    /// variants of a plant stand on one ground.
    pub fn new(prior: &Prior, seen: &Evidence<'_>) -> Self {
        let key = key_of(prior, seen);
        let known = |list: &[Remembered]| list.iter().find(|(k, _)| *k == key).map(|(_, p)| p.clone());
        if let Some(found) = LAST.lock().ok().and_then(|list| known(&list)) {
            return found;
        }
        let new = Self::with_draws(prior, seen, DRAWS);
        if let Ok(mut list) = LAST.lock() {
            list.truncate(MOST_REMEMBERED - 1);
            list.insert(0, (key, new.clone()));
        }
        new
    }

    /// The same with so many joint draws.
    pub fn with_draws(prior: &Prior, seen: &Evidence<'_>, draws: usize) -> Self {
        let target = Target { prior, seen };
        let axes = focus(&target, prior, seen.colours.iter().sum());
        let weights = target.weigh(&axes);
        let all: f64 = weights.iter().sum();
        let mut rng = ChaCha8Rng::seed_from_u64(0x601d);
        let mut rows = Vec::with_capacity(draws);
        let (mut cell, mut reached) = (0, weights.first().copied().unwrap_or(0.0));
        for k in 0..draws {
            let wanted = (k as f64 + 0.5) / draws as f64 * all;
            while reached < wanted && cell + 1 < weights.len() {
                cell += 1;
                reached += weights[cell];
            }
            let at = cell_of(cell, &axes);
            let spot: [f64; 3] = std::array::from_fn(|d| axes[d].at(at[d], open_unit(&mut rng)));
            rows.push(draw_weighed(&target, spot, &mut rng));
        }
        Self::of_rows(rows)
    }

    fn of_rows(mut both: Vec<(ByGold, ByGold)>) -> Self {
        let total = |row: &ByGold| row.iter().sum::<f64>();
        both.sort_by(|a, b| total(&a.0).total_cmp(&total(&b.0)));
        let (rows, numbers): (Vec<ByGold>, Vec<ByGold>) = both.into_iter().unzip();
        let mut mean = [0.0; GOLD_CLASSES];
        for row in &rows {
            for (m, x) in mean.iter_mut().zip(row) {
                *m += x / rows.len() as f64;
            }
        }
        // The fifth of the draws around the middle grade: a single draw has the chances of single grains in it.
        let (from, to) = (2 * rows.len() / 5, (3 * rows.len() / 5).max(1));
        let mut middle = [0.0; GOLD_CLASSES];
        for row in rows.iter().take(to).skip(from) {
            for (m, x) in middle.iter_mut().zip(row) {
                *m += x / (to - from) as f64;
            }
        }
        let totals = Arc::new(rows.iter().map(total).collect());
        GoldPosterior {
            rows: Arc::new(rows),
            numbers: Arc::new(numbers),
            totals,
            mean,
            middle,
            between: Between::default(),
        }
    }

    /// The draw that a uniform number names; the poorest at 0, the richest at 1.
    #[inline]
    pub fn row(&self, u: f64) -> &ByGold {
        let i = self.index(u);
        self.rows.get(i).unwrap_or(&self.mean)
    }

    /// Number of the draw that a uniform number names.
    #[inline]
    pub fn index(&self, u: f64) -> usize {
        ((u * self.rows.len() as f64) as usize).min(self.rows.len().saturating_sub(1))
    }

    /// Grade of the draw of number `u`, kg per loose m3.
    pub fn total(&self, u: f64) -> f64 {
        self.totals.get(self.index(u)).copied().unwrap_or(f64::NAN)
    }

    /// The draws as points, between which tuning finds its gold.
    pub fn between(&self) -> &GoldRows {
        // A factor on every grade moves no point.
        self.between.0.get_or_init(|| GoldRows::of(&self.rows, &self.mean))
    }

    /// Gold by class between the draws: the draw that `u` names, moved aside, kg per loose m3.
    pub fn row_between(&self, u: f64, aside: &[f64]) -> ByGold {
        let factors = self.between().factors(u, aside);
        let row = self.row(u);
        std::array::from_fn(|g| row[g] * factors[g])
    }

    /// The middle case moved to the point of gold between the draws, kg per loose m3.
    pub fn middle_between(&self, u: f64, aside: &[f64]) -> ByGold {
        let factors = self.between().factors_from_the_middle(u, aside);
        std::array::from_fn(|g| self.middle[g] * factors[g])
    }

    /// All draws, poorest first.
    pub fn rows(&self) -> &[ByGold] {
        &self.rows
    }

    /// Colours per loose m3 by class of every draw, in the order of the draws; of the ground that the samples stand for.
    pub fn numbers(&self) -> &[ByGold] {
        &self.numbers
    }

    /// Grade of every draw over all classes, kg per loose m3, rising.
    pub fn totals(&self) -> &[f64] {
        &self.totals
    }

    /// Mean by class, kg per loose m3.
    pub fn mean(&self) -> &ByGold {
        &self.mean
    }

    /// Gold by class at the middle grade, kg per loose m3: mean of the fifth of the draws around it.
    pub fn middle(&self) -> &ByGold {
        &self.middle
    }

    /// The same with every grade multiplied.
    #[must_use]
    pub fn scaled_by(mut self, factor: f64) -> Self {
        if factor == 1.0 {
            return self;
        }
        let (rows, totals) = (Arc::make_mut(&mut self.rows), Arc::make_mut(&mut self.totals));
        for x in rows.iter_mut().flatten().chain(totals).chain(&mut self.mean).chain(&mut self.middle) {
            *x *= factor;
        }
        self
    }
}

fn open_unit(rng: &mut ChaCha8Rng) -> f64 {
    ((rng.next_u64() >> 11) as f64 + 0.5) * (1.0 / 9_007_199_254_740_992.0)
}

fn standard_normal(rng: &mut ChaCha8Rng) -> f64 {
    rand_distr::StandardNormal.sample(rng)
}

fn gamma_of_mean_one(shape: f64, rng: &mut ChaCha8Rng) -> f64 {
    match rand_distr::Gamma::new(shape, 1.0 / shape) {
        Ok(gamma) => gamma.sample(rng),
        Err(_) => 1.0,
    }
}

/// Gold by class at one spot of the grid, kg per loose m3, and colours per loose m3.
fn draw_classes(target: &Target<'_>, spot: [f64; 3], rng: &mut ChaCha8Rng) -> (ByGold, ByGold) {
    let (seen, k) = (target.seen, target.prior.curve_weight);
    let curve = target.curve(spot[0], spot[1]);
    let grade = exp(spot[2]) / curve.looked;
    let common = seen.common_ln_sd * standard_normal(rng);
    let mut numbers = [0.0; GOLD_CLASSES];
    let gold = std::array::from_fn(|g| {
        let per_m3 = grade * curve.number[g];
        let shape = k + seen.colours[g];
        let drawn = shape * gamma_of_mean_one(shape, rng);
        // Above the largest gold there is none at all.
        let number = if per_m3 > 0.0 { drawn / (k / per_m3 + seen.looked_m3[g]) } else { 0.0 };
        let grain = seen.grain_kg[g] * exp(seen.follows[g] * common + seen.grain_ln_sd[g] * standard_normal(rng));
        numbers[g] = number;
        number * grain
    });
    (gold, numbers)
}

/// The same among several such drawings, chosen by how likely they make the weight of the gold that was not sieved, and then
/// for the ground beyond the spots that were sampled.
fn draw_weighed(target: &Target<'_>, spot: [f64; 3], rng: &mut ChaCha8Rng) -> (ByGold, ByGold) {
    let seen = target.seen;
    let patch = if seen.patchiness > 0.0 { gamma_of_mean_one(1.0 / seen.patchiness, rng) } else { 1.0 };
    let (gold, numbers) =
        if seen.whole.volume_m3 > 0.0 { chosen(target, spot, rng) } else { draw_classes(target, spot, rng) };
    (gold.map(|x| x * patch), numbers.map(|x| x * patch))
}

fn chosen(target: &Target<'_>, spot: [f64; 3], rng: &mut ChaCha8Rng) -> (ByGold, ByGold) {
    let candidates: Vec<_> = (0..CANDIDATES).map(|_| draw_classes(target, spot, rng)).collect();
    let logs: Vec<f64> = candidates
        .iter()
        .map(|(gold, numbers)| {
            let grade: f64 = gold.iter().sum();
            // Mass of a grain weighted by mass: sum of (gold of the class x its grain)/all gold.
            let grain =
                gold.iter().zip(numbers).map(|(x, n)| if *n > 0.0 { x * x / n } else { 0.0 }).sum::<f64>() / grade;
            target.seen.whole.ln_likelihood(grade, grain, 0.0)
        })
        .collect();
    let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let weights: Vec<f64> = logs.iter().map(|l| if most.is_finite() { exp(l - most) } else { 1.0 }).collect();
    let mut left = open_unit(rng) * weights.iter().sum::<f64>();
    let mut last = None;
    for (candidate, weight) in candidates.into_iter().zip(weights) {
        left -= weight;
        last = Some(candidate);
        if left <= 0.0 {
            break;
        }
    }
    last.unwrap_or(([0.0; GOLD_CLASSES], [0.0; GOLD_CLASSES]))
}

/// A truth drawn from the prior, ending at a largest size: gold by class, kg per loose m3, with the number of colours per m3
/// by class.
pub fn draw_truth(prior: &Prior, grain_kg: &ByGold, largest_m: f64, rng: &mut ChaCha8Rng) -> (ByGold, ByGold) {
    let median = exp(ln(prior.median_m.0) + prior.median_m.1 * standard_normal(rng));
    let sigma = exp(prior.ln_sigma.0 + prior.ln_sigma.1 * standard_normal(rng));
    let grade = exp(ln(prior.grade_kg_m3.0) + prior.grade_kg_m3.1 * standard_normal(rng));
    let shares = lognormal_shares(ln(median), sigma, largest_m);
    let gold: ByGold = std::array::from_fn(|g| grade * shares[g] * gamma_of_mean_one(prior.curve_weight, rng));
    (gold, std::array::from_fn(|g| gold[g] / grain_kg[g]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seen_as<'a>(none: &'a ByGold, grain: &'a ByGold, error: &'a ByGold, whole: Whole) -> Evidence<'a> {
        Evidence {
            colours: none,
            looked_m3: none,
            grain_kg: grain,
            grain_ln_sd: error,
            follows: none,
            common_ln_sd: 0.1,
            largest_m: 2.0e-3,
            patchiness: 0.0,
            whole,
        }
    }

    #[test]
    fn property_much_gold_weighed_as_a_whole_gives_the_grade_and_little_leaves_what_is_usual() {
        let grain =
            crate::field::grain_weight::assumed_kg(&washgraph_physics::particle::gold::SettlingTable::new(), 17_000.0);
        let (none, error) = ([0.0; GOLD_CLASSES], [0.1; GOLD_CLASSES]);
        let of = |volume_m3: f64, gold_kg: f64| {
            let seen = seen_as(&none, &grain, &error, Whole { volume_m3, gold_kg });
            let p = GoldPosterior::with_draws(&Prior::PLACER, &seen, 1024);
            let t = p.totals().to_vec();
            (t[102], t[512], t[921])
        };
        // 100 m3 with 35 g: 350 mg per m3, and a scale good to 3 %.
        let (low, middle, high) = of(100.0, 0.035);
        assert!((middle / 350e-6 - 1.0).abs() < 0.03, "{middle}");
        assert!(low > 0.9 * middle && high < 1.1 * middle, "{low} {high}");
        // Ten litres with the same grade: a few grains; the band is wide and leans to what is usual, 200 mg per m3.
        let (low, little, high) = of(0.01, 3.5e-6);
        assert!(high / low > 2.0 && little < middle && little > 150e-6, "{low} {little} {high}");
    }

    #[test]
    fn identity_shares_of_a_lognormal_sum_to_one_and_centre_on_the_median() {
        let shares = lognormal_shares(ln(0.4e-3), ln(2.0), f64::INFINITY);
        assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        let mean = (0..GOLD_CLASSES).map(|g| shares[g] * ln(gold_class(g).middle_m)).sum::<f64>();
        assert!((exp(mean) / 0.4e-3 - 1.0).abs() < 0.02);
    }
}
