//! Drawing constants anew where the observations point.
//!
//! When what was seen leaves few of the first trials with any weight, constants are drawn from a proposal that lies where
//! the weight is. In the normal scores z of the constants (standard normal before anything was seen) the residuals of the
//! observations, seen less predicted over their standard deviation, are about straight:
//!
//! r(z) = r0 + J z,      -2 ln posterior = |z|^2 + sum_j (r0_j + J_j z)^2/s_j^2
//!
//! A Gauss-Newton step gives its middle m = -(I + H)^-1 J' S^-1 r0 and its spread (I + H)^-1 with H = J' S^-1 J, S = diag s^2
//! (common least squares, from memory). r0 and J come from a regression on the trials run so far, weighed by the tempered
//! likelihood, so that the straight line is fitted near where the weight is; s_j^2 = 1 + what changes from hour to hour +
//! what the straight line leaves, so that a crude fit proposes widely. The step is damped to [`LONGEST_STEP`].
//!
//! Only in the directions that the observations speak of (eigenvectors of H) is the proposal other than the first
//! distribution: there it is a Student t of [`FREEDOM`] degrees of freedom, wider than the fit by [`INFLATION`]. In all other
//! directions constants are drawn as always, so that a hundred untouched constants cost no weight. The gold of each size is
//! one of some thousand joint draws: it enters the regression as a point (see [`GoldRows`]), a draw is proposed with the
//! density of the fit at its point (a tenth of the chance spread over all draws), and the constants follow given that point. All rounds are weighed
//! together by the mixture that they were drawn from (the balance heuristic, Veach and Guibas 1995, from memory): the first
//! trials, drawn before anything was seen, are part of it, so that no region is left out.

use nalgebra::{Cholesky, DMatrix, DVector, SymmetricEigen};
use rand::Rng;

use super::weigh::effective_trials;
use sim_core::field::gold_between::GoldRows;
use sim_core::math::{exp, ln, ln_1p, ln_gamma};
use sim_core::stats::{gamma, normal};

/// Degrees of freedom of the proposal. Our choice: tails heavy enough that no trial far out weighs very much.
pub const FREEDOM: f64 = 10.0;
/// Standard deviations of the proposal over those of the fit. Our choice: small, since its cost grows with each direction, and
/// what the straight line leaves already widens the fit.
pub const INFLATION: f64 = 1.1;
/// Longest step from the trials that the line was fitted to, in standard deviations of the constants. Our choice.
pub const LONGEST_STEP: f64 = 2.5;
/// Information below which a direction is drawn as always: it narrows the constant by under 3 %. Our choice.
const LEAST_INFORMATION: f64 = 0.06;
/// Effective trials that the regression is tempered to, for each constant.
const TRIALS_PER_CONSTANT: f64 = 4.0;
/// Share of the proposal that is spread over all draws of the gold, however unlikely by the fit.
const SPREAD_OVER_ALL: f64 = 0.1;
/// Ridge of the regression, as a share of the trials: pulls slopes that rest on nothing to zero.
const RIDGE: f64 = 1e-3;

/// Normal scores of members, row by row, and what the observations leave of them.
pub struct Fitting<'a> {
    /// Scores of the constants, then the point of the draw of the gold (see [`GoldRows`]), member by member.
    pub scores: &'a [Vec<f64>],
    /// What the observations leave, member by member.
    pub residuals: &'a [Residuals],
    /// Logarithm of the likelihood of each member.
    pub ln_likelihood: &'a [f64],
    /// First of the scores by which the gold stands aside of its draw.
    pub aside: Option<usize>,
}

/// Residuals of one member.
#[derive(Debug, Clone, Default)]
pub struct Residuals {
    /// Mean of each over the runs of the member.
    pub mean: Vec<f64>,
    /// Variance of each from run to run; 0 for a single run, whose scatter is in what the straight line leaves.
    pub between: Vec<f64>,
    /// Whether all of them are numbers.
    pub exist: bool,
}

/// Where constants are drawn anew.
#[derive(Debug, Clone)]
pub struct Proposal {
    /// Directions of unit length, each a vector over the constants.
    axes: Vec<Vec<f64>>,
    /// Middle along each, for a draw of the gold at the middle of the fit.
    middle: Vec<f64>,
    /// Scale along each.
    scale: Vec<f64>,
    /// How the middle along each moves with the point of the draw of the gold.
    gain: Vec<Vec<f64>>,
    /// The draws of the gold.
    gold: GoldProposal,
}

/// Which draws of the gold are proposed.
#[derive(Debug, Clone, Default)]
struct GoldProposal {
    /// Middle of the fit.
    middle: Vec<f64>,
    /// Chance of this draw or one before it.
    up_to: Vec<f64>,
    /// Logarithm of the chance of each over that before anything was seen.
    ln_ratio: Vec<f64>,
}

impl GoldProposal {
    /// By the density of the fit at the point of each draw, a tenth of it spread over all.
    fn new(gold: &GoldRows, middle: Vec<f64>, precision: &DMatrix<f64>) -> GoldProposal {
        let directions = middle.len();
        let ln_fit: Vec<f64> = gold
            .points()
            .iter()
            .map(|point| {
                let away = DVector::from_iterator(directions, point.iter().zip(&middle).map(|(p, m)| p - m));
                0.5 * (point.iter().map(|p| p * p).sum::<f64>() - away.dot(&(precision * &away)))
            })
            .collect();
        let most = ln_fit.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let fit: Vec<f64> = ln_fit.iter().map(|x| exp(x - most)).collect();
        let (sum, n) = (fit.iter().sum::<f64>(), fit.len() as f64);
        let chances = fit.iter().map(|f| (1.0 - SPREAD_OVER_ALL) * f / sum + SPREAD_OVER_ALL / n);
        let mut reached = 0.0;
        let mut proposal = GoldProposal { middle, ..GoldProposal::default() };
        for chance in chances {
            reached += chance;
            proposal.up_to.push(reached);
            proposal.ln_ratio.push(ln(chance * n));
        }
        proposal
    }

    /// Number between 0 and 1 of a draw chosen by a number between 0 and 1, itself anywhere within the draw.
    fn pick(&self, u: f64, within: f64) -> f64 {
        let n = self.up_to.len();
        let index = self.up_to.partition_point(|c| *c < u * self.up_to.last().copied().unwrap_or(1.0)).min(n - 1);
        (index as f64 + within) / n as f64
    }
}

impl Proposal {
    /// Fits a proposal; `None` when the observations say nothing, or nothing can be fitted. The last scores of each member are
    /// the point of its draw of the gold.
    pub fn fit(fitting: &Fitting<'_>, gold: &GoldRows) -> Option<Proposal> {
        let all = fitting.scores.first()?.len();
        let constants = all - gold.directions();
        let weights = tempered(fitting.ln_likelihood, TRIALS_PER_CONSTANT * (all as f64 + 20.0))?;
        let line = Line::fit(fitting, &weights, gold)?;
        let mut information = DMatrix::<f64>::zeros(all, all);
        let mut pull = DVector::<f64>::zeros(all);
        for (slopes, (at_zero, variance)) in line.slopes.iter().zip(line.at_zero.iter().zip(&line.variance)) {
            for i in 0..all {
                pull[i] -= slopes[i] * at_zero / variance;
                for j in 0..=i {
                    information[(i, j)] += slopes[i] * slopes[j] / variance;
                }
            }
        }
        mirror(&mut information);
        let mut middle = Cholesky::new(with_one(&information))?.solve(&pull);
        damp(&mut middle, &line.centre);
        let part =
            |i: usize, j: usize, rows: usize, columns: usize| information.view((i, j), (rows, columns)).into_owned();
        let of_constants = part(0, 0, constants, constants);
        let across = part(0, constants, constants, all - constants);
        // What the observations say of the gold when nothing else is known.
        let solved = Cholesky::new(with_one(&of_constants))?.solve(&across);
        let of_gold = part(constants, constants, all - constants, all - constants) - product(&across, &solved);
        let of_gold = with_one(&(of_gold / (INFLATION * INFLATION)));
        let eigen = SymmetricEigen::new(of_constants);
        let mut proposal = Proposal {
            axes: Vec::new(),
            middle: Vec::new(),
            scale: Vec::new(),
            gain: Vec::new(),
            gold: GoldProposal::default(),
        };
        for (k, value) in eigen.eigenvalues.iter().enumerate().filter(|(_, v)| **v > LEAST_INFORMATION) {
            let axis: Vec<f64> = eigen.eigenvectors.column(k).iter().copied().collect();
            proposal.middle.push(axis.iter().zip(middle.iter()).map(|(a, m)| a * m).sum());
            proposal.scale.push(INFLATION / (1.0 + value).sqrt());
            let gain = across
                .column_iter()
                .map(|c| -axis.iter().zip(c.iter()).map(|(a, h)| a * h).sum::<f64>() / (1.0 + value));
            proposal.gain.push(gain.collect());
            proposal.axes.push(axis);
        }
        if !gold.is_empty() {
            proposal.gold = GoldProposal::new(gold, middle.iter().skip(constants).copied().collect(), &of_gold);
        }
        (!proposal.axes.is_empty() || !gold.is_empty()).then_some(proposal)
    }

    /// Directions of the constants in which it differs from the first distribution.
    pub fn directions(&self) -> usize {
        self.axes.len()
    }

    /// Moves scores that were drawn before anything was seen into the proposal. `gold`: the draws of the gold, and the score
    /// that names one.
    pub fn draw(&self, scores: &mut [f64], gold: Option<(&GoldRows, usize)>, rng: &mut dyn Rng) {
        let unit = |rng: &mut dyn Rng| ((rng.next_u64() >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0;
        let mut point: &[f64] = &[];
        if let Some((rows, column)) = gold.filter(|(rows, _)| !rows.is_empty()) {
            let u = self.gold.pick(unit(rng), unit(rng));
            point = rows.point(u);
            if let Some(score) = scores.get_mut(column) {
                *score = normal::quantile(u);
            }
        }
        // Chi-squared over its degrees of freedom.
        let spread = gamma::quantile(0.5 * FREEDOM, unit(rng)) / (0.5 * FREEDOM);
        for (k, axis) in self.axes.iter().enumerate() {
            let here: f64 = axis.iter().zip(scores.iter()).map(|(a, z)| a * z).sum();
            let there = self.middle_at(k, point) + self.scale[k] * normal::quantile(unit(rng)) / spread.sqrt();
            for (z, a) in scores.iter_mut().zip(axis) {
                *z += a * (there - here);
            }
        }
    }

    /// Middle along a direction, given the point of the draw of the gold.
    fn middle_at(&self, k: usize, point: &[f64]) -> f64 {
        let away = point.iter().zip(&self.gold.middle).map(|(p, m)| p - m);
        self.middle[k] + away.zip(&self.gain[k]).map(|(a, g)| a * g).sum::<f64>()
    }

    /// Logarithm of its density over that of the first distribution. `gold`: the draws of the gold, and the number that names
    /// one.
    pub fn ln_ratio(&self, scores: &[f64], gold: Option<(&GoldRows, f64)>) -> f64 {
        let gold = gold.filter(|(rows, _)| !rows.is_empty());
        let point = gold.map_or(&[][..], |(rows, u)| rows.point(u));
        let of_gold = gold.and_then(|(rows, u)| self.gold.ln_ratio.get(rows.index(u)).copied()).unwrap_or(0.0);
        let k = self.axes.len() as f64;
        let (mut square, mut first, mut ln_scale) = (0.0, 0.0, 0.0);
        for (k, axis) in self.axes.iter().enumerate() {
            let y: f64 = axis.iter().zip(scores).map(|(a, z)| a * z).sum();
            let t = (y - self.middle_at(k, point)) / self.scale[k];
            square += t * t;
            first += y * y;
            ln_scale += ln(self.scale[k]);
        }
        if self.axes.is_empty() {
            return of_gold;
        }
        let student = ln_gamma(0.5 * (FREEDOM + k))
            - ln_gamma(0.5 * FREEDOM)
            - 0.5 * k * ln(FREEDOM * std::f64::consts::PI)
            - ln_scale
            - 0.5 * (FREEDOM + k) * ln_1p(square / FREEDOM);
        let normal = -0.5 * k * ln(2.0 * std::f64::consts::PI) - 0.5 * first;
        student - normal + of_gold
    }
}

/// A symmetric matrix with 1 added on its diagonal.
fn with_one(matrix: &DMatrix<f64>) -> DMatrix<f64> {
    let mut more = matrix.clone();
    (0..more.nrows()).for_each(|i| more[(i, i)] += 1.0);
    more
}

/// a' b, summed in order: the same bits on every machine.
fn product(a: &DMatrix<f64>, b: &DMatrix<f64>) -> DMatrix<f64> {
    DMatrix::from_fn(a.ncols(), b.ncols(), |i, j| (0..a.nrows()).map(|k| a[(k, i)] * b[(k, j)]).sum())
}

/// Straight lines through the residuals.
struct Line {
    slopes: Vec<Vec<f64>>,
    /// Residual at z = 0.
    at_zero: Vec<f64>,
    variance: Vec<f64>,
    /// Weighted mean of the scores.
    centre: Vec<f64>,
}

impl Line {
    /// The observations see the gold between the draws alone, not the draw and how far aside of it: the line is fitted to its
    /// point, and both have their shares of the slope.
    fn fit(fitting: &Fitting<'_>, weights: &[f64], gold: &GoldRows) -> Option<Line> {
        let Some(aside) = fitting.aside.filter(|_| !gold.is_empty()) else {
            return Line::through(fitting.scores, fitting, weights);
        };
        let directions = gold.directions();
        let at = fitting.scores.first()?.len() - directions;
        let (keep, width) = gold.shares();
        let between: Vec<Vec<f64>> = fitting
            .scores
            .iter()
            .map(|z| {
                let mut z = z.clone();
                for k in 0..directions {
                    z[at + k] = keep * z[at + k] + width * z[aside + k];
                    z[aside + k] = 0.0;
                }
                z
            })
            .collect();
        let mut line = Line::through(&between, fitting, weights)?;
        for slopes in &mut line.slopes {
            for k in 0..directions {
                slopes[aside + k] = width * slopes[at + k];
                slopes[at + k] *= keep;
            }
        }
        line.centre = mean_of(fitting.scores.iter().map(Vec::as_slice), weights, line.centre.len());
        Some(line)
    }

    fn through(scores: &[Vec<f64>], fitting: &Fitting<'_>, weights: &[f64]) -> Option<Line> {
        let constants = scores.first()?.len();
        let parts = fitting.residuals.first()?.mean.len();
        let centre = mean_of(scores.iter().map(Vec::as_slice), weights, constants);
        let level = mean_of(fitting.residuals.iter().map(|r| r.mean.as_slice()), weights, parts);
        let mut design = DMatrix::<f64>::zeros(constants, constants);
        let mut sides = vec![DVector::<f64>::zeros(constants); parts];
        for ((z, r), w) in scores.iter().zip(fitting.residuals).zip(weights).filter(|(_, w)| **w > 0.0) {
            for i in 0..constants {
                let x = w * (z[i] - centre[i]);
                for j in 0..=i {
                    design[(i, j)] += x * (z[j] - centre[j]);
                }
                for (side, (r, l)) in sides.iter_mut().zip(r.mean.iter().zip(&level)) {
                    side[i] += x * (r - l);
                }
            }
        }
        mirror(&mut design);
        (0..constants).for_each(|i| design[(i, i)] += RIDGE);
        let solver = Cholesky::new(design)?;
        let slopes: Vec<Vec<f64>> = sides.iter().map(|s| solver.solve(s).iter().copied().collect()).collect();
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
        let at_zero: Vec<f64> = slopes.iter().zip(&level).map(|(s, l)| l - dot(s, &centre)).collect();
        let variance = (0..parts)
            .map(|p| {
                let left = |m: usize| fitting.residuals[m].mean[p] - at_zero[p] - dot(&slopes[p], &scores[m]);
                let lines = (0..weights.len()).filter(|m| weights[*m] > 0.0);
                lines.map(|m| weights[m] * (left(m) * left(m) + fitting.residuals[m].between[p])).sum::<f64>() + 1.0
            })
            .collect();
        Some(Line { slopes, at_zero, variance, centre })
    }
}

fn mean_of<'a>(rows: impl Iterator<Item = &'a [f64]>, weights: &[f64], width: usize) -> Vec<f64> {
    let mut mean = vec![0.0; width];
    for (row, w) in rows.zip(weights).filter(|(_, w)| **w > 0.0) {
        mean.iter_mut().zip(row).for_each(|(m, x)| *m += w * x);
    }
    mean
}

/// Fills the upper half of a symmetric matrix from the lower.
fn mirror(matrix: &mut DMatrix<f64>) {
    for i in 0..matrix.nrows() {
        for j in 0..i {
            matrix[(j, i)] = matrix[(i, j)];
        }
    }
}

/// Shortens the step from a centre.
fn damp(middle: &mut DVector<f64>, centre: &[f64]) {
    let length = middle.iter().zip(centre).map(|(m, c)| (m - c) * (m - c)).sum::<f64>().sqrt();
    if length > LONGEST_STEP {
        let share = LONGEST_STEP / length;
        middle.iter_mut().zip(centre).for_each(|(m, c)| *m = c + share * (*m - c));
    }
}

/// Weights by a power of the likelihood, the highest up to 1 that leaves `least` effective trials; they sum to 1. `None` when
/// no trial has any likelihood.
pub fn tempered(ln_likelihood: &[f64], least: f64) -> Option<Vec<f64>> {
    let most = ln_likelihood.iter().copied().filter(|x| !x.is_nan()).fold(f64::NEG_INFINITY, f64::max);
    if !most.is_finite() {
        return None;
    }
    let at = |power: f64| -> Vec<f64> {
        let raw = ln_likelihood.iter().map(|x| if x.is_finite() { exp(power * (x - most)) } else { 0.0 });
        let raw: Vec<f64> = raw.collect();
        let sum: f64 = raw.iter().sum();
        raw.into_iter().map(|w| w / sum).collect()
    };
    let (mut low, mut high) = (0.0, 1.0);
    if effective_trials(&at(1.0)) >= least {
        return Some(at(1.0));
    }
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if effective_trials(&at(middle)) >= least { low = middle } else { high = middle }
    }
    Some(at(low))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::SeedableRng;
    use rand_chacha::ChaCha8Rng;

    fn normal_scores(rng: &mut ChaCha8Rng, n: usize) -> Vec<f64> {
        (0..n).map(|_| normal::quantile(((rng.next_u64() >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0)).collect()
    }

    /// Two of six constants are seen through straight lines far from where the first trials lie.
    fn straight(z: &[f64]) -> Vec<f64> {
        vec![(3.5 - z[0] - 0.5 * z[1]) / 0.2, (-2.0 - z[1]) / 0.5]
    }

    fn ln_likelihood(z: &[f64]) -> f64 {
        straight(z).iter().map(|r| -0.5 * r * r).sum()
    }

    #[test]
    fn identity_a_straight_plant_is_found_and_weighs_evenly() {
        let mut rng = ChaCha8Rng::seed_from_u64(4);
        let scores: Vec<Vec<f64>> = (0..2000).map(|_| normal_scores(&mut rng, 6)).collect();
        let ln: Vec<f64> = scores.iter().map(|z| ln_likelihood(z)).collect();
        let first = effective_trials(&tempered(&ln, 0.0).unwrap());
        let left = |z: &Vec<f64>| Residuals { mean: straight(z), between: vec![0.0; 2], exist: true };
        let residuals: Vec<Residuals> = scores.iter().map(left).collect();
        let fitting = Fitting { scores: &scores, residuals: &residuals, ln_likelihood: &ln, aside: None };
        let proposal = Proposal::fit(&fitting, &GoldRows::default()).unwrap();
        assert_eq!(proposal.directions(), 2);
        // Two steps, since the first is damped.
        let mut proposal = proposal;
        let mut drawn = Vec::new();
        for _ in 0..2 {
            drawn = (0..2000)
                .map(|_| {
                    let mut z = normal_scores(&mut rng, 6);
                    proposal.draw(&mut z, None, &mut rng);
                    z
                })
                .collect::<Vec<_>>();
            let ln: Vec<f64> = drawn.iter().map(|z| ln_likelihood(z)).collect();
            let weights: Vec<f64> = drawn.iter().zip(&ln).map(|(z, l)| exp(l - proposal.ln_ratio(z, None))).collect();
            let worth = effective_trials(&weights);
            if worth > 200.0 {
                let sum: f64 = weights.iter().sum();
                // Exact: precision I + A'A/s^2, from which the middle of z0 and z1.
                let (a, b, c) = (1.0 + 25.0, 12.5, 1.0 + 6.25 + 4.0);
                let (p, q) = (3.5 * 25.0, 3.5 * 12.5 - 2.0 * 4.0);
                let exact = [(p * c - q * b) / (a * c - b * b), (q * a - p * b) / (a * c - b * b), 0.0];
                for (i, exact) in exact.iter().enumerate() {
                    let mean = drawn.iter().zip(&weights).map(|(z, w)| z[i] * w).sum::<f64>() / sum;
                    assert!((mean - exact).abs() < 4.0 / worth.sqrt(), "{i}: {mean} {exact} at {worth}");
                }
                assert!(first < 3.0 && worth > 900.0, "{first} {worth}");
                return;
            }
            let residuals: Vec<Residuals> = drawn.iter().map(left).collect();
            let fitting = Fitting { scores: &drawn, residuals: &residuals, ln_likelihood: &ln, aside: None };
            proposal = Proposal::fit(&fitting, &GoldRows::default()).unwrap();
        }
        panic!("no weight after two steps from {}", drawn.len());
    }

    #[test]
    fn identity_the_density_of_the_proposal_sums_to_one() {
        let proposal = Proposal {
            axes: vec![vec![0.6, 0.8]],
            middle: vec![1.2],
            scale: vec![0.4],
            gain: vec![Vec::new()],
            gold: GoldProposal::default(),
        };
        let mut rng = ChaCha8Rng::seed_from_u64(9);
        let n = 40_000;
        // Mean over the first distribution of the ratio of densities.
        let mean =
            (0..n).map(|_| exp(proposal.ln_ratio(&normal_scores(&mut rng, 2), None))).sum::<f64>() / f64::from(n);
        assert!((mean - 1.0).abs() < 0.03, "{mean}");
    }

    #[test]
    fn identity_tempering_leaves_as_many_trials_as_asked_for() {
        let ln: Vec<f64> = (0..500).map(|i| -0.01 * f64::from(i * i)).collect();
        let weights = tempered(&ln, 100.0).unwrap();
        assert!((effective_trials(&weights) - 100.0).abs() < 0.5);
        assert!(effective_trials(&tempered(&ln, 5.0).unwrap()) < 30.0);
        assert!(tempered(&[f64::NEG_INFINITY], 5.0).is_none());
    }
}
