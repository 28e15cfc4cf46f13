//! What another sample would tell, before it is taken.
//!
//! Every joint draw of the posterior is a ground that may be the true one. For a sample of a given size, counts are drawn from
//! such a ground, all draws are weighed by how likely they make those counts, and the spread that is left is read off. No
//! formula of a single class is needed: classes, patches and the size curve come in as the samples left them.
//!
//! Likelihood of counts n_j in volume V: product of Poisson(lambda_j V f_j), f_j the share of the class above the finest
//! sieve. In patchy ground the spots of the new sample are richer or poorer by one factor, Gamma(a, a) with a = spots x k;
//! integrated over it the likelihood is prod lambda_j^n_j x (a + V sum lambda_j f_j)^-(a + sum n_j), up to a constant.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::Distribution;

use super::gold_posterior::GoldPosterior;
use washgraph_physics::size::ByGold;
use washgraph_physics::size::GOLD_CLASSES;
use washgraph_units::math::{exp, ln};

/// A sample that may be taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plan {
    /// Loose ground, m3.
    pub volume_m3: f64,
    /// Independent spots that it comes from.
    pub spots: f64,
}

/// Possible grounds below which a spread is not read off: too few draws are left after so much information.
pub const FEWEST_GROUNDS: f64 = 20.0;

/// Weighs the joint draws by counts that have not been seen yet.
pub struct Foresight<'a> {
    posterior: &'a GoldPosterior,
    /// Logarithm of colours per m3 looked at, by draw and class.
    ln_numbers: Vec<ByGold>,
    /// Colours per m3 looked at, over all classes.
    colours_m3: Vec<f64>,
    looked: ByGold,
    /// Relative variance between spots; 0 when the ground is not patchy.
    between: f64,
}

/// What a plan leaves open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Left {
    /// Width of the band of 8 in 10 over the middle, averaged over possible grounds; NaN when too few draws are left.
    pub relative_width: f64,
    /// Draws that still carry the weight, on average.
    pub grounds: f64,
}

impl<'a> Foresight<'a> {
    /// `looked`: share of each class that lies above the finest sieve of the samples; `between`: relative variance of the
    /// density from spot to spot.
    pub fn new(posterior: &'a GoldPosterior, looked: ByGold, between: f64) -> Self {
        let ln_numbers = posterior
            .numbers()
            .iter()
            .map(|row| std::array::from_fn(|g| ln((row[g] * looked[g]).max(1e-300))))
            .collect();
        let colours_m3 =
            posterior.numbers().iter().map(|row| (0..GOLD_CLASSES).map(|g| row[g] * looked[g]).sum()).collect();
        Foresight { posterior, ln_numbers, colours_m3, looked, between }
    }

    /// Counts by class that a plan would find if the ground were that of a draw.
    pub fn find(&self, truth: usize, plan: Plan, rng: &mut ChaCha8Rng) -> ByGold {
        let Some(numbers) = self.posterior.numbers().get(truth) else { return [0.0; GOLD_CLASSES] };
        let rich = if self.between > 0.0 {
            let a = plan.spots / self.between;
            rand_distr::Gamma::new(a, 1.0 / a).map_or(1.0, |g| g.sample(rng))
        } else {
            1.0
        };
        std::array::from_fn(|g| {
            let mean = numbers[g] * self.looked[g] * plan.volume_m3 * rich;
            match rand_distr::Poisson::new(mean) {
                Ok(poisson) if mean > 0.0 => poisson.sample(rng),
                _ => 0.0,
            }
        })
    }

    /// Weight of every draw after these counts; they sum to 1.
    pub fn weights(&self, plan: Plan, counts: &ByGold) -> Vec<f64> {
        let total: f64 = counts.iter().sum();
        let found: Vec<usize> = (0..GOLD_CLASSES).filter(|g| counts[*g] > 0.0).collect();
        let a = if self.between > 0.0 { plan.spots / self.between } else { f64::INFINITY };
        let mut logs: Vec<f64> = self
            .ln_numbers
            .iter()
            .zip(&self.colours_m3)
            .map(|(row, per_m3)| {
                let seen: f64 = found.iter().map(|g| counts[*g] * row[*g]).sum();
                let expected = per_m3 * plan.volume_m3;
                seen - if a.is_finite() { (a + total) * ln(a + expected) } else { expected }
            })
            .collect();
        let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mut sum = 0.0;
        for x in &mut logs {
            *x = exp(*x - most);
            sum += *x;
        }
        for x in &mut logs {
            *x /= sum;
        }
        logs
    }

    /// Spread of the grade that a plan leaves, averaged over possible grounds.
    pub fn left(&self, plan: Plan) -> Left {
        const TRUTHS: usize = 48;
        let mut rng = ChaCha8Rng::seed_from_u64(0x5eed);
        let n = self.posterior.rows().len();
        let (mut width, mut grounds) = (0.0, 0.0);
        for t in 0..TRUTHS {
            let truth = (2 * t + 1) * n / (2 * TRUTHS);
            let weights = self.weights(plan, &self.find(truth, plan, &mut rng));
            let [low, middle, high] = self.quantiles(&weights);
            width += (high - low) / middle / TRUTHS as f64;
            grounds += 1.0 / weights.iter().map(|w| w * w).sum::<f64>() / TRUTHS as f64;
        }
        Left { relative_width: if grounds >= FEWEST_GROUNDS { width } else { f64::NAN }, grounds }
    }

    /// Grade below which one in ten, half and nine in ten of the weight lie, kg per loose m3.
    pub fn quantiles(&self, weights: &[f64]) -> [f64; 3] {
        let mut out = [f64::NAN; 3];
        let mut sum = 0.0;
        let mut next = 0;
        for (w, total) in weights.iter().zip(self.posterior.totals()) {
            sum += w;
            while next < 3 && sum >= [0.1, 0.5, 0.9][next] {
                out[next] = *total;
                next += 1;
            }
        }
        out
    }
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
        let colours: ByGold = std::array::from_fn(|g| if (5..13).contains(&g) { 40.0 / (g - 3) as f64 } else { 0.0 });
        let evidence = Evidence {
            colours: &colours,
            looked_m3: &[0.1; GOLD_CLASSES],
            grain_kg: &grain,
            grain_ln_sd: &[0.1; GOLD_CLASSES],
            follows: &[0.0; GOLD_CLASSES],
            common_ln_sd: 0.1,
            largest_m: 4.0e-3,
            patchiness: 0.0,
            whole: Whole::default(),
        };
        GoldPosterior::with_draws(&Prior::PLACER, &evidence, 4096)
    }

    #[test]
    fn identity_an_empty_plan_changes_nothing_and_more_ground_narrows() {
        let p = posterior();
        let all = [1.0; GOLD_CLASSES];
        let even = Foresight::new(&p, all, 0.0);
        let nothing = even.weights(Plan { volume_m3: 0.0, spots: 1.0 }, &[0.0; GOLD_CLASSES]);
        assert!(nothing.iter().all(|w| (w * 4096.0 - 1.0).abs() < 1e-9));
        let left = |f: &Foresight<'_>, volume_m3| f.left(Plan { volume_m3, spots: 1.0 }).relative_width;
        let (now, more) = (left(&even, 0.0), left(&even, 0.15));
        assert!(more < 0.97 * now, "{more} {now}");
        // In patchy ground one spot more tells less.
        let patchy = left(&Foresight::new(&p, all, 0.5), 0.15);
        assert!(more < patchy && patchy < now, "{more} {patchy} {now}");
    }
}
