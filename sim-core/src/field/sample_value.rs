//! What the next sample is worth in money, before steel is cut.
//!
//! Decisions (hole sizes, and not to mine at all, worth nothing) have a season's money in each trial, on the same ground. The
//! money of a decision is fitted by the gold of the ground in a few groups of classes (it is very nearly linear in it: so
//! many grams of each size, each at its recovery and price), which averages out everything that a sample of the ground cannot
//! tell. Then
//!
//! ```text
//! perfect knowledge   E over grounds [ best decision for that ground ] - best decision now
//! a sample            E over what it may show [ best decision after it ] - best decision now
//! ```
//! with the grounds and the weights after a sample of [`Foresight`]. Each sample that changes no decision adds exactly nothing,
//! so that a sample that can change nothing is worth nothing, not noise.

use nalgebra::{DMatrix, DVector};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::gold_posterior::GoldPosterior;
use super::next_sample::{FEWEST_GROUNDS, Foresight, Plan};
use crate::size::GOLD_CLASSES;
use crate::stream::ByGold;

/// Groups of classes that the money is fitted by.
const GROUPS: usize = 4;
/// Samples imagined for each plan.
const SAMPLES: usize = 256;

/// Money of every decision on every possible ground.
#[derive(Debug, Clone)]
pub struct Decisions {
    /// Fitted money by decision and joint draw of the posterior.
    fitted: Vec<Vec<f64>>,
    /// Share of the scatter of the money, beside other inputs, that the ground's gold explains, by decision.
    pub explained: Vec<f64>,
}

/// Worth of knowing more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worth {
    /// Money of the best decision with what is known now.
    pub now: f64,
    /// Number of that decision.
    pub best_now: usize,
    /// Worth of knowing the gold of the ground exactly.
    pub perfect: f64,
}

/// Worth of one sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SampleWorth {
    /// Money, before the cost of the sample; NaN when the sample would tell so much that too few possible grounds are left.
    pub worth: f64,
    /// Share of the imagined samples after which another decision is best.
    pub changes: f64,
}

/// Borders between groups of classes, so that each holds about the same gold.
fn groups(mean: &ByGold) -> [usize; GOLD_CLASSES] {
    let total: f64 = mean.iter().sum();
    let mut below = 0.0;
    std::array::from_fn(|g| {
        let middle = below + 0.5 * mean[g];
        below += mean[g];
        ((middle / total * GROUPS as f64) as usize).min(GROUPS - 1)
    })
}

impl Decisions {
    /// Fits the money of each decision: `money[d][t]` of decision d in trial t, whose ground is draw `ground[t]`. `None` with
    /// too few trials to fit.
    pub fn fit(posterior: &GoldPosterior, ground: &[usize], money: &[Vec<f64>]) -> Option<Decisions> {
        let group = groups(posterior.mean());
        let mut scale = [0.0; GROUPS];
        for (g, x) in posterior.mean().iter().enumerate() {
            scale[group[g]] += x;
        }
        let features = |row: &ByGold| -> [f64; GROUPS + 1] {
            let mut f = [0.0; GROUPS + 1];
            f[0] = 1.0;
            for (g, x) in row.iter().enumerate() {
                f[1 + group[g]] += x / scale[group[g]].max(1e-300);
            }
            f
        };
        let n = ground.len();
        if n < 10 * (GROUPS + 1) || money.iter().any(|m| m.len() != n) {
            return None;
        }
        let rows = posterior.rows();
        let design = DMatrix::from_row_iterator(
            n,
            GROUPS + 1,
            ground.iter().flat_map(|r| features(rows.get(*r).unwrap_or(posterior.mean()))),
        );
        let normal = (design.transpose() * &design).cholesky()?;
        let mut out = Decisions { fitted: Vec::new(), explained: Vec::new() };
        for values in money {
            let y = DVector::from_column_slice(values);
            let beta = normal.solve(&(design.transpose() * &y));
            let fitted = &design * &beta;
            let mean = y.mean();
            let scatter: f64 = y.iter().map(|v| (v - mean) * (v - mean)).sum();
            let left: f64 = y.iter().zip(fitted.iter()).map(|(v, f)| (v - f) * (v - f)).sum();
            out.explained.push(if scatter > 0.0 { 1.0 - left / scatter } else { 1.0 });
            out.fitted
                .push(rows.iter().map(|r| features(r).iter().zip(beta.iter()).map(|(f, b)| f * b).sum()).collect());
        }
        Some(out)
    }

    /// Adds the decision not to mine, worth nothing on any ground. Returns its number.
    pub fn add_walking_away(&mut self) -> usize {
        let grounds = self.fitted.first().map_or(0, Vec::len);
        self.fitted.push(vec![0.0; grounds]);
        self.explained.push(1.0);
        self.fitted.len() - 1
    }

    fn expected(&self, weights: Option<&[f64]>) -> Vec<f64> {
        self.fitted
            .iter()
            .map(|values| match weights {
                Some(w) => values.iter().zip(w).map(|(v, w)| v * w).sum(),
                None => values.iter().sum::<f64>() / values.len() as f64,
            })
            .collect()
    }

    /// Mean money of every decision with what is known now.
    pub fn means(&self) -> Vec<f64> {
        self.expected(None)
    }

    /// The best decision now, and what perfect knowledge of the ground's gold would add.
    pub fn worth(&self) -> Worth {
        let means = self.means();
        let best_now = best(&means);
        let now = means.get(best_now).copied().unwrap_or(0.0);
        let grounds = self.fitted.first().map_or(0, Vec::len);
        let gain: f64 = (0..grounds)
            .map(|r| {
                let most = self.fitted.iter().map(|v| v[r]).fold(f64::NEG_INFINITY, f64::max);
                most - self.fitted[best_now][r]
            })
            .sum();
        Worth { now, best_now, perfect: gain / grounds.max(1) as f64 }
    }

    /// What a sample would add, before its cost.
    pub fn worth_of(&self, foresight: &Foresight<'_>, plan: Plan) -> SampleWorth {
        let best_now = self.worth().best_now;
        let grounds = self.fitted.first().map_or(0, Vec::len);
        let mut rng = ChaCha8Rng::seed_from_u64(0xbeef);
        let (mut gain, mut changes, mut left) = (0.0, 0, 0.0);
        for s in 0..SAMPLES {
            let truth = (2 * s + 1) * grounds / (2 * SAMPLES);
            let weights = foresight.weights(plan, &foresight.find(truth, plan, &mut rng));
            let expected = self.expected(Some(&weights));
            let choice = best(&expected);
            if choice != best_now {
                changes += 1;
                gain += expected[choice] - expected[best_now];
            }
            left += 1.0 / weights.iter().map(|w| w * w).sum::<f64>();
        }
        let enough = left / SAMPLES as f64 >= FEWEST_GROUNDS;
        SampleWorth {
            worth: if enough { gain / SAMPLES as f64 } else { f64::NAN },
            changes: f64::from(changes) / SAMPLES as f64,
        }
    }
}

/// Number of the largest; the first of equals.
fn best(values: &[f64]) -> usize {
    let mut at = 0;
    for (i, v) in values.iter().enumerate() {
        if *v > values[at] {
            at = i;
        }
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::field::gold_posterior::{Evidence, Prior};
    use crate::field::grain_weight::assumed_kg;
    use crate::particle::gold::SettlingTable;

    fn posterior() -> GoldPosterior {
        let grain = assumed_kg(&SettlingTable::new(), 17_000.0);
        let colours: ByGold = std::array::from_fn(|g| if (5..12).contains(&g) { 3.0 } else { 0.0 });
        let evidence = Evidence {
            colours: &colours,
            looked_m3: &[0.05; GOLD_CLASSES],
            grain_kg: &grain,
            grain_ln_sd: &[0.1; GOLD_CLASSES],
            follows: &[0.0; GOLD_CLASSES],
            common_ln_sd: 0.1,
            largest_m: 2.0e-3,
            patchiness: 0.0,
        };
        GoldPosterior::with_draws(&Prior::PLACER, &evidence, 4096)
    }

    /// Money proportional to the grade, less a cost that is `cost` times the mean.
    fn decisions(p: &GoldPosterior, costs: &[f64]) -> Decisions {
        let mean = p.totals().iter().sum::<f64>() / p.totals().len() as f64;
        let ground: Vec<usize> = (0..p.totals().len()).collect();
        let money: Vec<Vec<f64>> =
            costs.iter().map(|c| p.totals().iter().map(|t| 1000.0 * (t / mean - c)).collect()).collect();
        Decisions::fit(p, &ground, &money).unwrap()
    }

    #[test]
    fn identity_fitted_money_and_perfect_knowledge_match_the_direct_sum() {
        let p = posterior();
        let mut d = decisions(&p, &[0.9]);
        let away = d.add_walking_away();
        assert_eq!(away, 1);
        let w = d.worth();
        let mean = p.totals().iter().sum::<f64>() / p.totals().len() as f64;
        // E[max(0, U)] - max(0, E[U]), U straight from the grades.
        let direct = p.totals().iter().map(|t| (1000.0 * (t / mean - 0.9)).max(0.0)).sum::<f64>()
            / p.totals().len() as f64
            - 100.0;
        assert!((w.now - 100.0).abs() < 1e-6 && w.best_now == 0, "{w:?}");
        assert!((w.perfect - direct).abs() < 1e-6 * direct, "{} {direct}", w.perfect);
        assert!(d.explained[0] > 1.0 - 1e-9);
    }

    #[test]
    fn property_a_sample_is_worth_between_nothing_and_perfect_knowledge_and_more_ground_more() {
        let p = posterior();
        let mut d = decisions(&p, &[0.9]);
        d.add_walking_away();
        let foresight = Foresight::new(&p, [1.0; GOLD_CLASSES], 0.0);
        let of = |volume_m3| d.worth_of(&foresight, Plan { volume_m3, spots: 1.0 }).worth;
        let (none, little, more, all) = (of(0.0), of(0.02), of(0.08), d.worth().perfect);
        assert_eq!(none, 0.0);
        assert!(little > 0.0 && more > little && all > more, "{little} {more} {all}");
    }

    #[test]
    fn identity_a_sample_that_can_change_nothing_is_worth_exactly_nothing() {
        let p = posterior();
        // The second decision costs more on every ground; walking away never pays.
        let mut d = decisions(&p, &[-5.0, -4.0]);
        d.add_walking_away();
        let foresight = Foresight::new(&p, [1.0; GOLD_CLASSES], 0.0);
        let w = d.worth_of(&foresight, Plan { volume_m3: 0.05, spots: 1.0 });
        assert_eq!((w.worth, w.changes, d.worth().perfect), (0.0, 0.0, 0.0));
    }
}
