//! Which observation of the plant would help most next: what it is expected to tell, before it is made.
//!
//! ```text
//!   a member m of what is known now  ->  what would be seen if m were true  ->  weights of all other members after that
//!                                        (its errors drawn)                     -> band of the recovery, best decision
//! ```
//! averaged over many members taken for true (a preposterior analysis; Raiffa and Schlaifer 1961, from memory). The member
//! that is taken for true has no weight itself: its runs made the observation.

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rayon::prelude::*;

use sim_core::math::{exp, ln};
use sim_core::trial::Worker;
use washgraph_model::tune::{Evidence, Part};

/// Independent members left, on average, below which what is foreseen is a guess.
pub const FEWEST: f64 = 15.0;

/// Several observations made together, as one.
pub struct Together {
    name: String,
    parts: Vec<Part>,
    /// Each with the count of numbers that it predicts.
    list: Vec<(Box<dyn Evidence>, usize)>,
}

impl Together {
    /// Observations under a name of their own, on a worker of their plant that has run a trial.
    pub fn new(name: impl Into<String>, list: Vec<Box<dyn Evidence>>, worker: &mut Worker<'_>) -> Together {
        let mut sized = |evidence: Box<dyn Evidence>| {
            let mut numbers = Vec::new();
            evidence.predict(worker, &mut numbers);
            (evidence, numbers.len())
        };
        let list: Vec<(Box<dyn Evidence>, usize)> = list.into_iter().map(&mut sized).collect();
        Together::of(name.into(), list)
    }

    fn of(name: String, list: Vec<(Box<dyn Evidence>, usize)>) -> Together {
        let parts = list.iter().flat_map(|(e, _)| e.parts().iter().cloned()).collect();
        Together { name, parts, list }
    }

    /// Each observation with its own predictions.
    fn each<'a>(&'a self, predicted: &'a [f64]) -> impl Iterator<Item = (&'a dyn Evidence, &'a [f64])> {
        let mut at = 0;
        self.list.iter().map(move |(evidence, size)| {
            let own = predicted.get(at..at + size).unwrap_or(&[]);
            at += size;
            (evidence.as_ref(), own)
        })
    }
}

impl Evidence for Together {
    fn name(&self) -> &str {
        &self.name
    }

    fn parts(&self) -> &[Part] {
        &self.parts
    }

    fn predict(&self, worker: &mut Worker<'_>, out: &mut Vec<f64>) {
        for (evidence, _) in &self.list {
            evidence.predict(worker, out);
        }
    }

    fn ln_likelihood(&self, predicted: &[f64]) -> f64 {
        self.each(predicted).map(|(evidence, own)| evidence.ln_likelihood(own)).sum()
    }

    fn residuals(&self, predicted: &[f64], out: &mut Vec<f64>) {
        for (evidence, own) in self.each(predicted) {
            evidence.residuals(own, out);
        }
    }

    fn simulate(&self, predicted: &[f64], rng: &mut dyn Rng) -> Box<dyn Evidence> {
        let seen = self.each(predicted).zip(&self.list).map(|((e, own), (_, size))| (e.simulate(own, rng), *size));
        let list = seen.collect();
        Box::new(Together::of(self.name.clone(), list))
    }
}

/// What is known now: sets of constants, each with what the plant comes to under it.
#[derive(Debug, Clone, Copy)]
pub struct Known<'a> {
    /// Weight of each member; sums to 1.
    pub weights: &'a [f64],
    /// Recovery under each member.
    pub recovery: &'a [f64],
    /// Money of each decision under each member, from two sets of runs with other hours: `money[set][decision][member]`. A
    /// decision is chosen by one set and valued by the other, so that the luck of the runs is not taken for worth. May be
    /// empty.
    pub money: [&'a [Vec<f64>]; 2],
}

/// What an observation is expected to do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Foreseen {
    /// Width of the band of recovery that holds 8 runs of 10, now.
    pub band_now: f64,
    /// The same after the observation, on average.
    pub band_after: f64,
    /// Standard deviation of the recovery now, and root of its mean variance after.
    pub sd: (f64, f64),
    /// Money that better decisions bring, before the cost of the observation; 0 when it never changes one.
    pub worth: f64,
    /// Share of what may be seen after which another decision is best.
    pub changes: f64,
    /// Members that the weights are worth after it, on average.
    pub effective: f64,
}

/// Foresees an observation. `predicted(m, r)` is what is predicted for it in run r of member m, `imagined` how many members
/// are taken for true. The same for any number of threads.
pub fn foresee<'p>(
    evidence: &dyn Evidence,
    predicted: impl Fn(usize, usize) -> &'p [f64] + Sync,
    runs: usize,
    known: &Known<'_>,
    imagined: usize,
    seed: u64,
) -> Foreseen {
    let order = sorted(known.recovery);
    let truths = spread_over(known.weights, imagined);
    let views: Vec<View> = truths
        .par_iter()
        .enumerate()
        .map(|(i, truth)| {
            let mut rng = ChaCha8Rng::seed_from_u64(seed);
            rng.set_stream(i as u64);
            let seen = evidence.simulate(predicted(*truth, i % runs.max(1)), &mut rng);
            let weights = weights_after(seen.as_ref(), &predicted, runs, known.weights, *truth);
            View::of(&weights, known, &order)
        })
        .collect();
    let now = View::of(known.weights, known, &order);
    let mean = |of: &dyn Fn(&View) -> f64| views.iter().map(of).sum::<f64>() / views.len().max(1) as f64;
    let gain = |view: &View| -> f64 {
        let of = |set: usize| match (view.best[set], now.best[set]) {
            // Chosen by one set of runs, valued by the other.
            (Some(new), Some(old)) if new != old => view.money[1 - set][new] - view.money[1 - set][old],
            _ => 0.0,
        };
        0.5 * (of(0) + of(1))
    };
    let changed = |view: &View| if view.best == now.best { 0.0 } else { 1.0 };
    Foreseen {
        band_now: now.band,
        band_after: mean(&|v| v.band),
        sd: (now.variance.sqrt(), mean(&|v| v.variance).sqrt()),
        worth: mean(&gain).max(0.0),
        changes: mean(&changed),
        effective: mean(&|v| v.effective),
    }
}

/// What some weights say.
struct View {
    band: f64,
    variance: f64,
    effective: f64,
    /// Mean money of each decision by each set of runs, and the best.
    money: [Vec<f64>; 2],
    best: [Option<usize>; 2],
}

impl View {
    fn of(weights: &[f64], known: &Known<'_>, order: &[usize]) -> View {
        let mean: f64 = known.recovery.iter().zip(weights).map(|(r, w)| r * w).sum();
        let money = known.money.map(|set| {
            set.iter().map(|values| values.iter().zip(weights).map(|(v, w)| v * w).sum()).collect::<Vec<f64>>()
        });
        View {
            band: quantile(known.recovery, weights, order, 0.9) - quantile(known.recovery, weights, order, 0.1),
            variance: known.recovery.iter().zip(weights).map(|(r, w)| w * (r - mean) * (r - mean)).sum(),
            effective: 1.0 / weights.iter().map(|w| w * w).sum::<f64>(),
            best: [best(&money[0]), best(&money[1])],
            money,
        }
    }
}

/// Number of the largest; the first of equals.
fn best(values: &[f64]) -> Option<usize> {
    let mut at: Option<(usize, f64)> = None;
    for (i, v) in values.iter().enumerate() {
        if at.is_none_or(|(_, most)| *v > most) {
            at = Some((i, *v));
        }
    }
    at.map(|(i, _)| i)
}

/// Weights of the members after something was seen, without the one that was true. As they were when nothing is left.
fn weights_after<'p>(
    seen: &dyn Evidence,
    predicted: &impl Fn(usize, usize) -> &'p [f64],
    runs: usize,
    before: &[f64],
    truth: usize,
) -> Vec<f64> {
    let ln_of = |m: usize| -> f64 {
        let list: Vec<f64> = (0..runs).map(|r| seen.ln_likelihood(predicted(m, r))).filter(|x| !x.is_nan()).collect();
        let most = list.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if most.is_finite() { most + ln(list.iter().map(|x| exp(x - most)).sum()) } else { most }
    };
    let scores: Vec<f64> = (0..before.len()).map(|m| if m == truth { f64::NEG_INFINITY } else { ln_of(m) }).collect();
    let most = scores.iter().zip(before).filter(|(_, w)| **w > 0.0).map(|(s, _)| *s).fold(f64::NEG_INFINITY, f64::max);
    if !most.is_finite() {
        return before.to_vec();
    }
    let raw: Vec<f64> = scores.iter().zip(before).map(|(s, w)| w * exp(s - most)).collect();
    let sum: f64 = raw.iter().sum();
    raw.into_iter().map(|w| w / sum).collect()
}

/// So many members, picked by their weights with equal steps.
fn spread_over(weights: &[f64], count: usize) -> Vec<usize> {
    let mut picked = Vec::with_capacity(count);
    let mut reached = 0.0;
    for (m, w) in weights.iter().enumerate() {
        reached += w * count as f64;
        while picked.len() < count && picked.len() as f64 + 0.5 < reached {
            picked.push(m);
        }
    }
    picked
}

fn sorted(values: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    order
}

/// Value that a share `p` of the weight lies below, straight between the middles of neighbours.
fn quantile(values: &[f64], weights: &[f64], order: &[usize], p: f64) -> f64 {
    let mut below = 0.0;
    let mut last: Option<(f64, f64)> = None;
    for &i in order.iter().filter(|i| weights[**i] > 0.0) {
        let middle = below + 0.5 * weights[i];
        below += weights[i];
        if middle >= p {
            return match last {
                Some((m, v)) if middle > m => v + (p - m) / (middle - m) * (values[i] - v),
                _ => values[i],
            };
        }
        last = Some((middle, values[i]));
    }
    last.map_or(f64::NAN, |(_, v)| v)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::RngExt;
    use sim_core::stats::{normal, voi};

    /// One number, seen with a normal error.
    struct Seen {
        y: f64,
        sd: f64,
    }

    impl Evidence for Seen {
        fn name(&self) -> &str {
            "toy"
        }
        fn parts(&self) -> &[Part] {
            &[]
        }
        fn predict(&self, _: &mut Worker<'_>, _: &mut Vec<f64>) {}
        fn ln_likelihood(&self, predicted: &[f64]) -> f64 {
            let z = (self.y - predicted[0]) / self.sd;
            -0.5 * z * z
        }
        fn residuals(&self, _: &[f64], _: &mut Vec<f64>) {}
        fn simulate(&self, predicted: &[f64], rng: &mut dyn Rng) -> Box<dyn Evidence> {
            let u: f64 = rng.random();
            Box::new(Seen { y: predicted[0] + self.sd * normal::quantile(u.clamp(1e-12, 1.0 - 1e-12)), sd: self.sd })
        }
    }

    /// Members on the quantiles of a standard normal number, which is the recovery and is predicted.
    fn normal_members(n: usize) -> Vec<f64> {
        (0..n).map(|i| normal::quantile((i as f64 + 0.5) / n as f64)).collect()
    }

    #[test]
    fn published_narrowing_and_worth_of_a_normal_reading_are_those_of_the_conjugate_case() {
        let members = normal_members(2000);
        let weights = vec![1.0 / 2000.0; 2000];
        // Mine for a profit of 10 + 50 theta, or walk away: a reading of error 2 is a quarter of the prior's knowledge.
        let money: Vec<Vec<f64>> = vec![members.iter().map(|t| 10.0 + 50.0 * t).collect(), vec![0.0; 2000]];
        let known = Known { weights: &weights, recovery: &members, money: [&money, &money] };
        for sd in [0.5, 1.0, 2.0] {
            let f = foresee(&Seen { y: 0.0, sd }, |m, _| &members[m..=m], 1, &known, 1500, 7);
            let left = sd / (1.0 + sd * sd).sqrt();
            assert!((f.sd.1 / left - 1.0).abs() < 0.01, "{sd}: {} {left}", f.sd.1);
            assert!((f.band_after / (2.0 * normal::Z_90 * left) - 1.0).abs() < 0.02, "{sd}: {f:?}");
            // Raiffa and Schlaifer: n/(n + n0) with n = 1 and n0 = sd^2.
            let exact = voi::normal_evsi(10.0, 50.0, 1.0, sd * sd);
            assert!((f.worth / exact - 1.0).abs() < 0.06, "{sd}: {} {exact}", f.worth);
        }
    }

    #[test]
    fn identity_two_readings_together_are_one_reading_of_half_the_variance() {
        let members = normal_members(1000);
        let weights = vec![1e-3; 1000];
        let known = Known { weights: &weights, recovery: &members, money: [&[], &[]] };
        let pair = || (Box::new(Seen { y: 0.0, sd: 1.0 }) as Box<dyn Evidence>, 1);
        let both: Vec<[f64; 2]> = members.iter().map(|t| [*t, *t]).collect();
        let two = Together::of("two".into(), vec![pair(), pair()]);
        let f = foresee(&two, |m, _| &both[m][..], 1, &known, 800, 3);
        assert!((f.sd.1 / (1.0_f64 / 3.0).sqrt() - 1.0).abs() < 0.015, "{f:?}");
        assert_eq!((f.worth, f.changes), (0.0, 0.0));
    }

    #[test]
    fn identity_a_reading_that_says_nothing_narrows_nothing_and_is_worth_nothing() {
        let members = normal_members(400);
        let weights = vec![1.0 / 400.0; 400];
        let money: Vec<Vec<f64>> = vec![members.iter().map(|t| 10.0 + t).collect(), vec![0.0; 400]];
        let known = Known { weights: &weights, recovery: &members, money: [&money, &money] };
        let flat = [0.0];
        let f = foresee(&Seen { y: 0.0, sd: 1.0 }, |_, _| &flat[..], 1, &known, 200, 7);
        assert_eq!((f.worth, f.changes), (0.0, 0.0));
        assert!((f.band_after / f.band_now - 1.0).abs() < 0.01, "{f:?}");
        // A sharp reading of what changes no decision is worth nothing either.
        let f = foresee(&Seen { y: 0.0, sd: 0.5 }, |m, _| &members[m..=m], 1, &known, 200, 7);
        assert_eq!(f.worth, 0.0);
        assert!(f.band_after < 0.5 * f.band_now);
    }

    #[test]
    fn identity_the_luck_of_the_runs_is_not_taken_for_worth() {
        // Two decisions alike but for luck, which differs between the two sets of runs.
        let members = normal_members(600);
        let weights = vec![1.0 / 600.0; 600];
        let luck =
            |k: usize| -> Vec<f64> { (0..600).map(|m| (((m * 7919 + k * 104_729) % 1009) as f64) / 10.0).collect() };
        let (one, two) = (vec![luck(1), luck(2)], vec![luck(3), luck(4)]);
        let f = |a: &[Vec<f64>], b: &[Vec<f64>]| {
            let known = Known { weights: &weights, recovery: &members, money: [a, b] };
            foresee(&Seen { y: 0.0, sd: 0.05 }, |m, _| &members[m..=m], 1, &known, 400, 7).worth
        };
        let (crossed, fooled) = (f(&one, &two), f(&one, &one));
        assert!(fooled > 1.0, "{fooled} {crossed}");
        assert!(crossed < 0.5 * fooled, "{crossed} {fooled}");
    }
}
