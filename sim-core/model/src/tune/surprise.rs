//! How far an observation lies from what is expected of it.
//!
//! Many owners with the constants and hours of the weighed trials make the same observation, each with its own errors. The
//! share of them whose numbers lie at least as far out as those in the log is the chance of such an observation: small when
//! the log and the model disagree (a predictive check, Box 1980, from memory). "Far out" is measured on the normal scores of
//! the numbers, by Mahalanobis' distance, so that numbers that go together count once.

use nalgebra::{Cholesky, DMatrix, DVector};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::ensemble::Predictions;
use super::evidence::Evidence;
use super::weigh::{effective_trials, normalised, systematic};
use sim_core::draw::Address;
use sim_core::stats::normal;

/// Owners that make the observation. The smallest chance told apart is one in so many.
pub const OWNERS: usize = 999;

/// Added to the diagonal of the correlations, so that numbers that always go together do not divide by nothing.
const RIDGE: f64 = 0.02;

/// What is expected of one number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// 1 in 10 lies below.
    pub low: f64,
    /// Middle.
    pub middle: f64,
    /// 1 in 10 lies above.
    pub high: f64,
    /// Where the log's number lies, as a normal score: 0 in the middle, -1.3 at the low end, 1.3 at the high end.
    pub score: f64,
}

/// What is expected of an observation.
#[derive(Debug, Clone, PartialEq)]
pub struct Expectation {
    /// Number by number.
    pub parts: Vec<Expected>,
    /// Chance of an observation at least as far out.
    pub chance: f64,
    /// How many independent trials this stands on.
    pub effective_trials: f64,
}

impl Expectation {
    /// The number that lies farthest from what is expected.
    pub fn farthest(&self) -> Option<usize> {
        (0..self.parts.len()).max_by(|a, b| self.parts[*a].score.abs().total_cmp(&self.parts[*b].score.abs()))
    }
}

/// What is expected of an observation in the runs with these weights (logarithms, `[member runs + run]`); `None` when no run
/// has any weight. `purpose` keeps the draws of one question apart from those of another.
pub fn expectation(
    evidence: &dyn Evidence,
    predictions: &Predictions,
    ln_weights: &[f64],
    seed: u64,
    purpose: &str,
) -> Option<Expectation> {
    let (weights, _) = normalised(ln_weights)?;
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    rng.set_stream(Address::of(&format!("tune/{purpose}/{}", evidence.name())).number());
    let runs = predictions.runs().max(1);
    let picked = systematic(&weights, OWNERS, 0.5);
    let owners: Vec<Vec<f64>> = picked
        .iter()
        .map(|i| {
            let simulated = evidence.simulate(predictions.of(i / runs, i % runs), &mut rng);
            simulated.parts().iter().map(|p| p.seen).collect()
        })
        .collect();
    let seen: Vec<f64> = evidence.parts().iter().map(|p| p.seen).collect();
    let columns: Vec<Column> = seen.iter().enumerate().map(|(j, s)| Column::of(&owners, j, *s)).collect();
    Some(Expectation {
        chance: chance(&columns),
        parts: columns.iter().map(|c| c.expected).collect(),
        effective_trials: effective_trials(&by_member(&weights, runs)),
    })
}

/// Weights of members from those of their runs.
fn by_member(weights: &[f64], runs: usize) -> Vec<f64> {
    weights.chunks(runs).map(|w| w.iter().sum()).collect()
}

/// One number of all owners as normal scores.
struct Column {
    scores: Vec<f64>,
    expected: Expected,
}

impl Column {
    fn of(owners: &[Vec<f64>], part: usize, seen: f64) -> Column {
        let values: Vec<f64> = owners.iter().map(|o| o.get(part).copied().unwrap_or(f64::NAN)).collect();
        let mut sorted = values.clone();
        sorted.sort_by(f64::total_cmp);
        let n = sorted.len() as f64;
        // Middle rank among equals.
        let rank = |x: f64| {
            let below = sorted.partition_point(|v| *v < x) as f64;
            let up_to = sorted.partition_point(|v| *v <= x) as f64;
            0.5 * (below + up_to)
        };
        let scores = values.iter().map(|v| normal::quantile((rank(*v) / n).clamp(0.5 / n, 1.0 - 0.5 / n))).collect();
        let score = normal::quantile((rank(seen) / n).clamp(0.5 / (n + 1.0), 1.0 - 0.5 / (n + 1.0)));
        let at = |p: f64| sim_core::stats::order::percentile_sorted(&sorted, p);
        Column { scores, expected: Expected { low: at(0.1), middle: at(0.5), high: at(0.9), score } }
    }
}

/// Share of the owners, the log's own among them, that lie at least as far out as the log.
fn chance(columns: &[Column]) -> f64 {
    let (parts, owners) = (columns.len(), columns.first().map_or(0, |c| c.scores.len()));
    if parts == 0 || owners == 0 {
        return 1.0;
    }
    let mut correlation = DMatrix::<f64>::identity(parts, parts) * RIDGE;
    for (i, a) in columns.iter().enumerate() {
        for (j, b) in columns.iter().enumerate() {
            correlation[(i, j)] += a.scores.iter().zip(&b.scores).map(|(x, y)| x * y).sum::<f64>() / owners as f64;
        }
    }
    let Some(solver) = Cholesky::new(correlation) else { return 1.0 };
    let distance = |score: &dyn Fn(&Column) -> f64| {
        let z = DVector::from_iterator(parts, columns.iter().map(score));
        z.dot(&solver.solve(&z))
    };
    let log = distance(&|c: &Column| c.expected.score);
    let further = (0..owners).filter(|i| distance(&|c: &Column| c.scores[*i]) >= log * (1.0 - 1e-9)).count();
    (1.0 + further as f64) / (1.0 + owners as f64)
}
