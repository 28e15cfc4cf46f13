//! An observation: numbers that scatter each by its own law, and all together by one error that they share.
//!
//! The shared error (how much a box of concentrate still held, how well one pans) multiplies all predictions of the observation
//! by exp(s z), z standard normal. It is integrated out: the likelihood is the mean over z, taken at five nodes of Gauss
//! and Hermite set about the z that explains the numbers best.

use std::sync::Arc;

use rand::Rng;

use super::law::{Expected, Law, Sight, score};
use crate::tune::evidence::{Evidence, Part};
use sim_core::math::{exp, ln};
use sim_core::trial::Worker;

/// What a trial predicts: for each part its number; for each weight also, after all numbers and in order, the grains expected
/// and the mass-weighted mean mass of a grain (kg).
pub type Predict = Arc<dyn for<'p> Fn(&mut Worker<'p>, &mut Vec<f64>) + Send + Sync>;

/// Residual where a prediction cannot be compared at all.
const HOPELESS: f64 = 8.0;
/// Steps taken towards the shared error that explains the numbers best.
const STEPS: usize = 3;
/// Nodes and weights of Gauss and Hermite for five points, from the middle outwards. Source: Abramowitz and Stegun, table 25.10
/// (from memory; the test sums them). Nine points move no likelihood by 1 in 1,000.
const NODES: [(f64, f64); 3] = [
    (0.0, 0.945_308_720_482_941_9),
    (0.958_572_464_613_818_5, 0.393_619_323_152_241_2),
    (2.020_182_870_456_085_6, 0.019_953_242_059_045_91),
];
const SQRT_2: f64 = std::f64::consts::SQRT_2;
const LN_SQRT_PI: f64 = 0.572_364_942_924_700_1;

/// An observation of any kind.
#[derive(Clone)]
pub struct Observation {
    name: String,
    parts: Vec<Part>,
    laws: Vec<Law>,
    /// What of each number does not hang on the prediction.
    sights: Vec<Sight>,
    /// Standard deviation of the logarithm of what all numbers are off by together.
    shared: f64,
    predict: Predict,
}

fn sights(parts: &[Part], laws: &[Law]) -> Vec<Sight> {
    laws.iter().zip(parts).map(|(law, part)| law.sight(part.seen)).collect()
}

impl Observation {
    /// An observation; `parts` and `laws` go together. The weight of counted colours stands right behind their count.
    pub fn new(name: String, parts: Vec<Part>, laws: Vec<Law>, shared: f64, predict: Predict) -> Self {
        let sights = sights(&parts, &laws);
        Observation { name, parts, laws, sights, shared, predict }
    }

    /// What is expected of each part.
    fn expected(&self, predicted: &[f64]) -> Vec<Expected> {
        let mut extra = self.parts.len();
        let number = |i: usize| predicted.get(i).copied().unwrap_or(f64::NAN);
        let mut list = Vec::with_capacity(self.parts.len());
        for (i, law) in self.laws.iter().enumerate() {
            list.push(match law {
                Law::Weight { .. } | Law::OfCounted { .. } => {
                    extra += 2;
                    Expected { mean: number(i), grains: number(extra - 2), grain_kg: number(extra - 1) }
                }
                _ => Expected::plain(number(i)),
            });
        }
        list
    }

    fn each<'a>(&'a self, expected: &'a [Expected]) -> impl Iterator<Item = (Law, f64, Sight, Expected)> + 'a {
        let seen = self.laws.iter().zip(&self.parts).zip(&self.sights);
        seen.zip(expected).map(|(((law, part), sight), e)| (*law, part.seen, *sight, *e))
    }

    /// Sum of the densities when the shared error is z.
    fn ln_given(&self, expected: &[Expected], z: f64) -> f64 {
        let factor = exp(self.shared * z);
        self.each(expected).map(|(law, seen, sight, e)| law.ln_density_of(seen, sight, law.off_by(factor, e))).sum()
    }

    /// The shared error that explains the numbers best, and how closely they pin it: standard deviation.
    fn best_shared(&self, expected: &[Expected]) -> (f64, f64) {
        let (mut z, mut spread) = (0.0, 1.0);
        for _ in 0..STEPS {
            let factor = exp(self.shared * z);
            let (mut pull, mut pins) = (-z, 1.0);
            for (law, seen, sight, e) in self.each(expected) {
                let e = law.off_by(factor, e);
                let u = self.shared * law.slope(e);
                let r = law.residual_of(seen, sight, e);
                if u.is_finite() && r.is_finite() {
                    pull += u * r;
                    pins += u * u;
                }
            }
            z = (z + pull / pins).clamp(-40.0, 40.0);
            spread = 1.0 / pins.sqrt();
        }
        (z, spread)
    }
}

impl Evidence for Observation {
    fn name(&self) -> &str {
        &self.name
    }

    fn parts(&self) -> &[Part] {
        &self.parts
    }

    fn predict(&self, worker: &mut Worker<'_>, out: &mut Vec<f64>) {
        (self.predict)(worker, out);
    }

    fn ln_likelihood(&self, predicted: &[f64]) -> f64 {
        let expected = self.expected(predicted);
        if self.shared == 0.0 {
            return self.ln_given(&expected, 0.0);
        }
        let (middle, spread) = self.best_shared(&expected);
        let mut terms = [f64::NEG_INFINITY; 5];
        for (i, (node, weight)) in NODES.iter().flat_map(|(x, w)| [(*x, *w), (-*x, *w)]).skip(1).enumerate() {
            let z = middle + SQRT_2 * spread * node;
            // The density of z, over that of the nodes.
            terms[i] = self.ln_given(&expected, z) - 0.5 * z * z + node * node + ln(weight);
        }
        let most = terms.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if most == f64::NEG_INFINITY {
            return most;
        }
        most + ln(terms.iter().map(|t| exp(t - most)).sum::<f64>()) + ln(spread) - LN_SQRT_PI
    }

    /// The shared error is taken out: residuals d with covariance I + u u', u what a unit of shared error moves them by, are
    /// brought to I by the inverse root of that matrix, which is again I less a multiple of u u'.
    fn residuals(&self, predicted: &[f64], out: &mut Vec<f64>) {
        let expected = self.expected(predicted);
        let (mut d, mut u): (Vec<f64>, Vec<f64>) = (Vec::new(), Vec::new());
        for (law, seen, sight, e) in self.each(&expected) {
            let (r, slope) = (law.residual_of(seen, sight, e), self.shared * law.slope(e));
            d.push(if r.is_nan() { HOPELESS } else { r.clamp(-1e3, 1e3) });
            u.push(if slope.is_finite() { slope } else { 0.0 });
        }
        let square: f64 = u.iter().map(|x| x * x).sum();
        let along: f64 = u.iter().zip(&d).map(|(u, d)| u * d).sum();
        let cut = if square > 0.0 { (1.0 - 1.0 / (1.0 + square).sqrt()) / square * along } else { 0.0 };
        out.extend(d.iter().zip(&u).map(|(d, u)| d - cut * u));
    }

    fn simulate(&self, predicted: &[f64], rng: &mut dyn Rng) -> Box<dyn Evidence> {
        let factor = if self.shared > 0.0 { exp(self.shared * score(rng)) } else { 1.0 };
        let expected = self.expected(predicted);
        let mut other = self.clone();
        let mut counted = 0.0;
        for ((part, law), e) in other.parts.iter_mut().zip(&mut other.laws).zip(expected) {
            // A weight of colours stands behind their count.
            if let Law::OfCounted { colours, .. } = law {
                *colours = counted;
            }
            part.seen = law.draw(law.off_by(factor, e), rng);
            counted = part.seen;
        }
        other.sights = sights(&other.parts, &other.laws);
        Box::new(other)
    }
}

#[cfg(test)]
mod tests {
    use rand::SeedableRng;
    use rand_chacha::ChaCha8Rng;

    use super::*;
    use sim_core::quantity::Dimension;

    fn of(seen: &[f64], laws: Vec<Law>, shared: f64) -> Observation {
        let part = |s: &f64| Part { words: String::new(), dimension: Dimension::Number, seen: *s };
        Observation::new("test".into(), seen.iter().map(part).collect(), laws, shared, Arc::new(|_, _| {}))
    }

    #[test]
    fn identity_nodes_integrate_even_powers_of_a_normal_number() {
        let sum = |power: i32| -> f64 {
            NODES
                .iter()
                .flat_map(|(x, w)| [(*x, *w), (-*x, *w)])
                .skip(1)
                .map(|(x, w)| w * sim_core::math::pow(2.0 * x * x, f64::from(power) / 2.0))
                .sum()
        };
        let root_pi = exp(LN_SQRT_PI);
        for (power, moment) in [(0, 1.0), (2, 1.0), (4, 3.0), (6, 15.0), (8, 105.0)] {
            assert!((sum(power) / root_pi / moment - 1.0).abs() < 1e-8, "{power}: {}", sum(power) / root_pi);
        }
    }

    /// Two readings of 0.1 each with a shared error of 0.2 in the logarithm: normal with covariance 0.01 I + 0.04 in all places.
    #[test]
    fn identity_a_shared_error_gives_the_joint_normal_density() {
        let laws = vec![Law::Reading { absolute: 0.0, relative: 0.1 }; 2];
        let one = of(&[2.3, 3.1], laws, 0.2);
        let (x, y) = (ln(2.3 / 2.0), ln(3.1 / 3.0));
        let (a, b) = (0.05_f64, 0.04_f64);
        let det = a * a - b * b;
        let exponent = -0.5 * (a * x * x - 2.0 * b * x * y + a * y * y) / det;
        let density = exponent - 0.5 * ln(det) - 2.0 * 0.918_938_533_204_672_8 - ln(2.3 * 3.1);
        assert!((one.ln_likelihood(&[2.0, 3.0]) - density).abs() < 1e-9);
        let mut r = Vec::new();
        one.residuals(&[2.0, 3.0], &mut r);
        assert!((-0.5 * (r[0] * r[0] + r[1] * r[1]) - exponent).abs() < 1e-12);
    }

    #[test]
    fn identity_the_likelihood_peaks_where_predicted_is_seen() {
        let cases = [
            (Law::Reading { absolute: 0.3, relative: 0.1 }, 5.0, 0.0),
            (Law::Reading { absolute: 0.0, relative: 0.1 }, 5.0, 0.3),
            (Law::Count { extra: 0.0 }, 12.0, 0.0),
            (Law::Count { extra: 0.2 }, 12.0, 0.0),
        ];
        for (law, seen, shared) in cases {
            let one = of(&[seen], vec![law], shared);
            let at = |p: f64| one.ln_likelihood(&[p]);
            let top = at(seen);
            assert!(at(seen * 0.999) < top && at(seen * 1.001) < top, "{law:?}");
        }
        // A weight of some 40 grains peaks within a grain of it.
        let one = of(&[40e-6], vec![Law::Weight { extra: 0.01 }], 0.0);
        let at = |kg: f64| one.ln_likelihood(&[kg, kg / 1e-6, 1.3e-6]);
        let best = (300..500).max_by(|a, b| at(f64::from(*a) * 1e-7).total_cmp(&at(f64::from(*b) * 1e-7))).unwrap();
        assert!((f64::from(best) * 0.1 - 40.0).abs() < 1.0, "{best}");
    }

    /// Many owners on the plant that predicts this: the squares of their residuals have mean 1.
    #[test]
    fn identity_simulated_residuals_have_unit_squares() {
        let laws = vec![
            Law::Reading { absolute: 0.2, relative: 0.1 },
            Law::Count { extra: 0.02 },
            Law::Weight { extra: 0.02 },
            Law::Reading { absolute: 0.0, relative: 0.15 },
        ];
        let predicted = [4.0, 30.0, 50e-6, 7.0, 50.0, 1.4e-6];
        for shared in [0.0, 0.2] {
            let one = of(&[1.0; 4], laws.clone(), shared);
            let mut rng = ChaCha8Rng::seed_from_u64(11);
            let (mut sum, owners) = (0.0, 3000);
            for _ in 0..owners {
                let mut r = Vec::new();
                let seen = one.simulate(&predicted, &mut rng);
                assert!(seen.ln_likelihood(&predicted).is_finite());
                seen.residuals(&predicted, &mut r);
                sum += r.iter().map(|x| x * x).sum::<f64>();
            }
            // Standard error of the mean of 12,000 squares: sqrt(2/12000) = 0.013.
            let mean = sum / f64::from(owners) / 4.0;
            assert!((mean - 1.0).abs() < 0.05, "shared {shared}: {mean}");
        }
    }

    #[test]
    fn identity_a_shared_error_on_counts_agrees_with_a_fine_sum() {
        let laws = vec![Law::Count { extra: 0.01 }; 3];
        let one = of(&[0.0, 14.0, 33.0], laws, 0.25);
        let predicted = [1.0, 10.0, 30.0];
        let expected = one.expected(&predicted);
        let step = 0.01;
        let sum: f64 = (-600..=600)
            .map(|i| {
                let z = f64::from(i) * step;
                exp(one.ln_given(&expected, z) - 0.5 * z * z) * step
            })
            .sum();
        let fine = ln(sum) - 0.918_938_533_204_672_8;
        assert!((one.ln_likelihood(&predicted) - fine).abs() < 1e-4, "{} {fine}", one.ln_likelihood(&predicted));
    }
}
