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
//! so that a sample that can change nothing is worth nothing, not noise. The noise of the estimates comes from the fit (trials
//! left out part by part) and from the number of samples imagined.

use nalgebra::{SMatrix, SVector};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::gold_posterior::GoldPosterior;
use super::next_sample::{FEWEST_GROUNDS, Foresight, Plan};
use washgraph_physics::size::ByGold;
use washgraph_physics::size::GOLD_CLASSES;

/// Groups of classes that the money is fitted by.
const GROUPS: usize = 4;
/// Numbers of a ground that the money is fitted by: one, and the gold of each group.
const NUMBERS: usize = GROUPS + 1;
/// Samples imagined for each plan.
const SAMPLES: usize = 256;
/// Parts of the trials, each left out in turn, by which the noise of an estimate is known.
const PARTS: usize = 10;
/// Fewest trials that money is fitted to: ten for each number, with any part left out. Our choice.
pub const FEWEST_TRIALS: usize = 10 * PARTS * NUMBERS;

type Numbers = [f64; NUMBERS];

/// Money of every decision on every possible ground.
#[derive(Debug, Clone)]
pub struct Decisions {
    /// What each joint draw of the posterior is fitted by.
    grounds: Vec<Numbers>,
    /// Coefficients by decision: of all trials, and then of the trials without one part after the other.
    fits: Vec<Vec<Numbers>>,
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
    /// Noise of `perfect` from the number of trials: one standard error.
    pub noise: f64,
}

/// Worth of one sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SampleWorth {
    /// Money, before the cost of the sample; NaN when the sample would tell so much that too few possible grounds are left.
    pub worth: f64,
    /// Noise of `worth` from the number of trials and of imagined samples: one standard error.
    pub noise: f64,
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

/// What every joint draw is fitted by: one, and the gold of each group over its mean.
fn numbers_of(posterior: &GoldPosterior) -> Vec<Numbers> {
    let group = groups(posterior.mean());
    let mut scale = [0.0; GROUPS];
    for (g, x) in posterior.mean().iter().enumerate() {
        scale[group[g]] += x;
    }
    let of = |row: &ByGold| {
        let mut f = [0.0; NUMBERS];
        f[0] = 1.0;
        for (g, x) in row.iter().enumerate() {
            f[1 + group[g]] += x / scale[group[g]].max(1e-300);
        }
        f
    };
    posterior.rows().iter().map(of).collect()
}

fn dot(a: &Numbers, b: &Numbers) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Least squares of the money of every decision over the trials that `takes` names.
fn least_squares(x: &[&Numbers], money: &[Vec<f64>], takes: impl Fn(usize) -> bool) -> Option<Vec<Numbers>> {
    let mut squares = SMatrix::<f64, NUMBERS, NUMBERS>::zeros();
    let mut products = vec![SVector::<f64, NUMBERS>::zeros(); money.len()];
    for (t, row) in x.iter().enumerate().filter(|(t, _)| takes(*t)) {
        let v = SVector::from(**row);
        squares += v * v.transpose();
        for (sum, list) in products.iter_mut().zip(money) {
            *sum += v * list[t];
        }
    }
    let normal = squares.cholesky()?;
    Some(products.iter().map(|p| normal.solve(p).into()).collect())
}

/// Share of the scatter of a list that a fit explains.
fn explained(x: &[&Numbers], values: &[f64], fit: &Numbers) -> f64 {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let scatter: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
    let left: f64 = x.iter().zip(values).map(|(x, v)| (v - dot(x, fit)) * (v - dot(x, fit))).sum();
    if scatter > 0.0 { 1.0 - left / scatter } else { 1.0 }
}

/// Standard error of an estimate from the estimates without one part (jackknife: Quenouille 1956, Tukey 1958; standard).
fn jackknife(without: &[f64]) -> f64 {
    let n = without.len() as f64;
    let mean = without.iter().sum::<f64>() / n;
    ((n - 1.0) / n * without.iter().map(|w| (w - mean) * (w - mean)).sum::<f64>()).sqrt()
}

/// One fit looked at over all possible grounds.
struct View<'a> {
    fit: &'a [Numbers],
    best_now: usize,
    now: f64,
    /// What the best decision for each ground brings more than the best now.
    more: Vec<f64>,
    perfect: f64,
}

impl<'a> View<'a> {
    fn new(grounds: &[Numbers], fit: &'a [Numbers]) -> Self {
        let n = grounds.len().max(1) as f64;
        let mean: Numbers = std::array::from_fn(|i| grounds.iter().map(|g| g[i]).sum::<f64>() / n);
        let (best_now, now) = best(fit.iter().map(|f| dot(f, &mean)));
        let more: Vec<f64> = grounds
            .iter()
            .map(|g| {
                let (choice, most) = best(fit.iter().map(|f| dot(f, g)));
                if choice == best_now { 0.0 } else { most - fit.get(best_now).map_or(0.0, |f| dot(f, g)) }
            })
            .collect();
        let perfect = more.iter().sum::<f64>() / n;
        View { fit, best_now, now, more, perfect }
    }

    /// What the best decision after a sample brings more than the best now, and what perfect knowledge would on the same
    /// grounds; the second is never less than the first.
    fn after(&self, weights: &[f64], mean: &Numbers) -> (f64, f64) {
        let (choice, most) = best(self.fit.iter().map(|f| dot(f, mean)));
        let gain = if choice == self.best_now {
            0.0
        } else {
            most - self.fit.get(self.best_now).map_or(0.0, |f| dot(f, mean))
        };
        (gain, self.more.iter().zip(weights).map(|(m, w)| m * w).sum())
    }
}

impl Decisions {
    /// Fits the money of each decision: `money[d][t]` of decision d in trial t, whose ground is draw `ground[t]`. `None` with
    /// too few trials to fit.
    pub fn fit(posterior: &GoldPosterior, ground: &[usize], money: &[Vec<f64>]) -> Option<Decisions> {
        let n = ground.len();
        if n < FEWEST_TRIALS || money.iter().any(|m| m.len() != n) {
            return None;
        }
        let grounds = numbers_of(posterior);
        let x: Vec<&Numbers> = ground.iter().map(|r| grounds.get(*r)).collect::<Option<_>>()?;
        let mut fits = vec![least_squares(&x, money, |_| true)?];
        for part in 0..PARTS {
            fits.push(least_squares(&x, money, |t| t % PARTS != part)?);
        }
        let explained = money.iter().zip(&fits[0]).map(|(m, fit)| explained(&x, m, fit)).collect();
        Some(Decisions { grounds, fits, explained })
    }

    /// Adds the decision not to mine, worth nothing on any ground. Returns its number.
    pub fn add_walking_away(&mut self) -> usize {
        for fit in &mut self.fits {
            fit.push([0.0; NUMBERS]);
        }
        self.explained.push(1.0);
        self.explained.len() - 1
    }

    fn views(&self) -> Vec<View<'_>> {
        self.fits.iter().map(|fit| View::new(&self.grounds, fit)).collect()
    }

    /// Mean money of every decision with what is known now.
    pub fn means(&self) -> Vec<f64> {
        let n = self.grounds.len().max(1) as f64;
        let of = |fit: &Numbers| self.grounds.iter().map(|g| dot(fit, g)).sum::<f64>() / n;
        self.fits.first().map_or_else(Vec::new, |fits| fits.iter().map(of).collect())
    }

    /// The best decision now, and what perfect knowledge of the ground's gold would add.
    pub fn worth(&self) -> Worth {
        let views = self.views();
        let without: Vec<f64> = views.iter().skip(1).map(|v| v.perfect).collect();
        let (now, best_now, perfect) = views.first().map_or((0.0, 0, 0.0), |v| (v.now, v.best_now, v.perfect));
        Worth { now, best_now, perfect, noise: jackknife(&without) }
    }

    /// What a sample would add, before its cost.
    ///
    /// worth = perfect x (sum of what the imagined samples add)/(sum of what perfect knowledge would add on the grounds that
    /// each leaves). The second sum tends to `perfect` for each sample, so the ratio tends to the plain mean with less noise,
    /// and lies between nothing and `perfect` whatever the number of samples.
    pub fn worth_of(&self, foresight: &Foresight<'_>, plan: Plan) -> SampleWorth {
        let views = self.views();
        let mut rng = ChaCha8Rng::seed_from_u64(0xbeef);
        let (mut changes, mut left) = (0, 0.0);
        let mut seen: Vec<Vec<(f64, f64)>> = vec![Vec::with_capacity(SAMPLES); views.len()];
        for s in 0..SAMPLES {
            let truth = (2 * s + 1) * self.grounds.len() / (2 * SAMPLES);
            let weights = foresight.weights(plan, &foresight.find(truth, plan, &mut rng));
            let mut mean = [0.0; NUMBERS];
            for (w, ground) in weights.iter().zip(&self.grounds) {
                for (m, x) in mean.iter_mut().zip(ground) {
                    *m += w * x;
                }
            }
            for (list, view) in seen.iter_mut().zip(&views) {
                list.push(view.after(&weights, &mean));
            }
            changes += u32::from(seen.first().and_then(|l| l.last()).is_some_and(|(gain, _)| *gain > 0.0));
            left += 1.0 / weights.iter().map(|w| w * w).sum::<f64>();
        }
        let worths: Vec<f64> = views.iter().zip(&seen).map(|(v, list)| v.perfect * share_of(list)).collect();
        let of_trials = jackknife(worths.get(1..).unwrap_or_default());
        let of_samples = views.first().zip(seen.first()).map_or(0.0, |(v, list)| v.perfect * share_noise(list));
        let enough = left / SAMPLES as f64 >= FEWEST_GROUNDS;
        SampleWorth {
            worth: worths.first().copied().filter(|_| enough).unwrap_or(f64::NAN),
            noise: (of_trials * of_trials + of_samples * of_samples).sqrt(),
            changes: f64::from(changes) / SAMPLES as f64,
        }
    }
}

/// Sum of the first over the sum of the second; nothing where perfect knowledge adds nothing.
fn share_of(seen: &[(f64, f64)]) -> f64 {
    let (gain, all) = seen.iter().fold((0.0, 0.0), |(a, b), (x, y)| (a + x, b + y));
    if all > 0.0 { (gain / all).min(1.0) } else { 0.0 }
}

/// Standard error of that ratio: sd(x - R y)/(sqrt(n) mean y) (ratio estimator, Cochran 1977; standard).
fn share_noise(seen: &[(f64, f64)]) -> f64 {
    let n = seen.len() as f64;
    let (ratio, mean) = (share_of(seen), seen.iter().map(|(_, y)| y).sum::<f64>() / n);
    if !(mean > 0.0) {
        return 0.0;
    }
    (seen.iter().map(|(x, y)| (x - ratio * y) * (x - ratio * y)).sum::<f64>() / (n - 1.0) / n).sqrt() / mean
}

/// The largest with its number; the first of equals.
fn best(values: impl Iterator<Item = f64>) -> (usize, f64) {
    let mut most = (0, f64::NEG_INFINITY);
    for (i, v) in values.enumerate() {
        if v > most.1 {
            most = (i, v);
        }
    }
    most
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::field::gold_posterior::{Evidence, Prior};
    use crate::field::grain_weight::assumed_kg;
    use crate::field::whole_weight::Whole;
    use washgraph_physics::particle::gold::SettlingTable;

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
            whole: Whole::default(),
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
        // The money is fitted exactly here, so the noise is that of the imagined samples alone.
        let noise = d.worth_of(&foresight, Plan { volume_m3: 0.08, spots: 1.0 }).noise;
        assert!(noise > 0.0 && noise < 0.2 * more, "{noise} {more}");
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
