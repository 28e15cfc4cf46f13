//! From what is seen on a plant to what may bring it, by the plant's own physics.
//!
//! ```text
//!   trials of the plant as it should be     readings off[t]  ──┐   each trial t has the same ground and the same
//!   trials with a cause switched on         readings on[t]   ──┴─> constants in both
//!   signature: which readings move, which way, by how much counts
//!                                              │
//!   chance that an owner calls it the symptom in trial t, with and without the cause
//! ```
//! The chance that a cause *brings* the symptom is taken over the runs that do not show it anyway, so that a cause that does
//! nothing brings nothing, however often the plant shows the symptom by itself.

use std::sync::atomic::{AtomicU64, Ordering};

use rayon::prelude::*;

use sim_core::plant::Plant;
use sim_core::stage::Goes;
use sim_core::stats::normal;
use sim_core::trial::Worker;

/// Trials worked on by one thread at a time.
const CHUNK: usize = 32;

/// One sign of a symptom: a reading that moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sign {
    /// Number of the reading.
    pub reading: usize,
    /// Which way.
    pub goes: Goes,
    /// By how much it counts: half of all owners would call it so here. A share, an amount or a level, by [`Goes`].
    pub counts: f64,
    /// How sharp that border is: standard deviation of where an owner draws it, in the same measure. Above 0.
    pub slack: f64,
}

impl Sign {
    /// Chance that the sign is seen where the reading should be `off` and is `on`: Phi((moved - counts)/slack).
    ///
    /// 0 where either reading has no value, and where a share is asked of nothing.
    pub fn chance(&self, off: f64, on: f64) -> f64 {
        let moved = match self.goes {
            Goes::Up => on / off - 1.0,
            Goes::Down => 1.0 - on / off,
            Goes::UpBy => on - off,
            Goes::DownBy => off - on,
            Goes::Above => on,
            Goes::Below => -on,
        };
        let counts = if self.goes == Goes::Below { -self.counts } else { self.counts };
        let z = (moved - counts) / self.slack;
        if z.is_nan() { 0.0 } else { normal::cdf(z) }
    }
}

/// Chance that all signs of a symptom are seen in one trial. The owner judges each for itself.
pub fn seen(signs: &[Sign], off: &[f64], on: &[f64]) -> f64 {
    let of = |list: &[f64], i: usize| list.get(i).copied().unwrap_or(f64::NAN);
    signs.iter().map(|s| s.chance(of(off, s.reading), of(on, s.reading))).product()
}

/// Readings of a plant, trial by trial.
pub type Rows = Vec<Vec<f64>>;

/// Runs a plant and reads it in each of the first trials. The same for any number of threads.
pub fn read_trials(
    plant: &Plant,
    seed: u64,
    trials: usize,
    read: impl Fn(&Worker<'_>) -> Vec<f64> + Sync,
    done: &AtomicU64,
) -> Rows {
    let starts: Vec<usize> = (0..trials).step_by(CHUNK).collect();
    let parts: Vec<Rows> = starts
        .into_par_iter()
        .map_init(
            || Worker::new(plant, seed),
            |worker, start| {
                let one = |t: usize| {
                    worker.run_trial(t as u64);
                    done.fetch_add(1, Ordering::Relaxed);
                    read(worker)
                };
                (start..(start + CHUNK).min(trials)).map(one).collect()
            },
        )
        .collect();
    parts.concat()
}

/// What switching a cause on does to a symptom.
#[derive(Debug, Clone, PartialEq)]
pub struct Brought {
    /// Share of the runs that show the symptom with the cause on.
    pub with: f64,
    /// Share of the runs that show it without.
    pub without: f64,
    /// Of the runs that do not show it without, the share in which the cause brings it; mean over how bad the cause is.
    pub brings: f64,
    /// The same for each grade of the cause.
    pub by_grade: Vec<f64>,
    /// Weight of each grade and trial among the runs that show the symptom; sums to 1, or to 0 when none does.
    pub weights: Rows,
}

/// Compares the readings of a plant with a cause on, grade by grade, with those without it.
///
/// brings = sum_t max(0, on_t - off_t) / sum_t (1 - off_t), with on_t and off_t the chances of [`seen`] in trial t: an owner
/// draws his border once, so he who calls it the symptom without the cause calls it so with it. Readings of both hold the
/// same trials in the same order.
pub fn brought(signs: &[Sign], off: &Rows, grades: &[Rows]) -> Brought {
    let without: Vec<f64> = off.iter().map(|row| seen(signs, row, row)).collect();
    let room: f64 = without.iter().map(|p| 1.0 - p).sum();
    let mut weights: Rows = Vec::with_capacity(grades.len());
    let mut by_grade = Vec::with_capacity(grades.len());
    let (mut total, mut count) = (0.0, 0.0);
    for grade in grades {
        let with: Vec<f64> = off.iter().zip(grade).map(|(a, b)| seen(signs, a, b)).collect();
        let gained: f64 = with.iter().zip(&without).map(|(p, q)| (p - q).max(0.0)).sum();
        by_grade.push(if room > 0.0 { gained / room } else { 0.0 });
        total += with.iter().sum::<f64>();
        count += with.len() as f64;
        weights.push(with);
    }
    if total > 0.0 {
        weights.iter_mut().flatten().for_each(|w| *w /= total);
    }
    let mean = |list: &[f64]| if list.is_empty() { 0.0 } else { list.iter().sum::<f64>() / list.len() as f64 };
    Brought {
        with: if count > 0.0 { total / count } else { 0.0 },
        without: mean(&without),
        brings: mean(&by_grade),
        by_grade,
        weights,
    }
}

/// A reading that an owner can take, and how well.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// Number of the reading.
    pub reading: usize,
    /// Standard deviation of reading it, as a share of it.
    pub error_share: f64,
    /// The same as an amount.
    pub error: f64,
}

/// What two causes expect of one reading, given that both show the symptom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apart {
    /// Number of the reading.
    pub reading: usize,
    /// What it should be.
    pub should: f64,
    /// Expected with the one cause.
    pub one: f64,
    /// Expected with the other.
    pub other: f64,
    /// Distance of the two over what reading and ignorance blur: above 2 one reading decides.
    pub apart: f64,
}

/// One cause with its runs.
#[derive(Debug, Clone, Copy)]
pub struct Suspect<'a> {
    /// Readings by grade and trial.
    pub grades: &'a [Rows],
    /// Their weights, as in [`Brought::weights`].
    pub weights: &'a Rows,
}

impl Suspect<'_> {
    /// Weighted mean of a reading, of what it should be on the same runs, and standard deviation of its change.
    fn moments(&self, reading: usize, off: &Rows) -> (f64, f64, f64) {
        let mut sums = [0.0; 5];
        for (rows, weights) in self.grades.iter().zip(self.weights) {
            for ((row, base), w) in rows.iter().zip(off).zip(weights) {
                if let (Some(x), Some(y)) = (row.get(reading), base.get(reading))
                    && x.is_finite()
                    && y.is_finite()
                {
                    let d = x - y;
                    for (sum, term) in sums.iter_mut().zip([1.0, *x, *y, d, d * d]) {
                        *sum += w * term;
                    }
                }
            }
        }
        let [n, x, y, d, dd] = sums;
        (x / n, y / n, (dd / n - d / n * (d / n)).max(0.0).sqrt())
    }
}

/// The reading that tells two causes apart best; `None` when none has a value under both.
///
/// A reading counts by the distance of its two expectations, each taken as a change from what it should be on the same run
/// (the owner knows his plant), over the scatter of those changes and the error of reading together.
pub fn tell_apart(list: &[Reach], off: &Rows, one: &Suspect<'_>, other: &Suspect<'_>) -> Option<Apart> {
    let mut best: Option<Apart> = None;
    for reach in list {
        let (x, x_should, x_sd) = one.moments(reach.reading, off);
        let (y, y_should, y_sd) = other.moments(reach.reading, off);
        let error = reach.error.max(reach.error_share * 0.5 * (x.abs() + y.abs()));
        let blur = (x_sd * x_sd + y_sd * y_sd + error * error).sqrt();
        let apart = ((x - x_should) - (y - y_should)).abs() / blur;
        if apart.is_finite() && best.is_none_or(|b| apart > b.apart) {
            best = Some(Apart { reading: reach.reading, should: 0.5 * (x_should + y_should), one: x, other: y, apart });
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    const DOWN: Sign = Sign { reading: 0, goes: Goes::Down, counts: 0.1, slack: 0.05 };
    const UP: Sign = Sign { reading: 1, goes: Goes::UpBy, counts: 2.0, slack: 1.0 };

    #[test]
    fn identity_half_of_the_owners_see_a_sign_at_its_border_and_none_without_a_value() {
        assert!((DOWN.chance(10.0, 9.0) - 0.5).abs() < 1e-12);
        assert!((UP.chance(5.0, 7.0) - 0.5).abs() < 1e-12);
        let below = Sign { reading: 0, goes: Goes::Below, counts: 0.7, slack: 0.1 };
        assert!((below.chance(f64::INFINITY, 0.7) - 0.5).abs() < 1e-12 && below.chance(1.0, 0.6) > 0.8);
        assert_eq!(DOWN.chance(0.0, 0.0), 0.0);
        assert_eq!(UP.chance(f64::NAN, 1.0), 0.0);
        assert!((seen(&[DOWN, UP], &[10.0, 5.0], &[9.0, 7.0]) - 0.25).abs() < 1e-12);
    }

    #[test]
    fn identity_a_cause_that_does_nothing_brings_nothing_however_often_the_symptom_comes_anyway() {
        let off: Rows = (0..40).map(|t| vec![10.0, f64::from(t % 5)]).collect();
        let level = [Sign { reading: 1, goes: Goes::Above, counts: 3.0, slack: 0.5 }];
        let b = brought(&level, &off, std::slice::from_ref(&off));
        assert!((b.with - b.without).abs() < 1e-12 && b.without > 0.1);
        assert_eq!(b.brings, 0.0);
        let sum: f64 = b.weights.iter().flatten().sum();
        assert!((sum - 1.0).abs() < 1e-12);
    }

    #[test]
    fn identity_the_reading_that_moves_tells_two_causes_apart() {
        // One cause halves reading 0, the other leaves it; reading 1 scatters more than it moves.
        let scatter = |t: usize| ((t * 37) % 11) as f64;
        let off: Rows = (0..60).map(|t| vec![10.0 + scatter(t), 50.0]).collect();
        let halves: Rows = off.iter().map(|r| vec![0.5 * r[0], 50.0]).collect();
        let leaves: Rows = off.iter().enumerate().map(|(t, r)| vec![r[0], 50.0 + scatter(t + 3)]).collect();
        let weights: Rows = vec![vec![1.0 / 60.0; 60]];
        let list =
            [Reach { reading: 0, error_share: 0.05, error: 0.0 }, Reach { reading: 1, error_share: 0.05, error: 0.0 }];
        let one = Suspect { grades: &[halves], weights: &weights };
        let other = Suspect { grades: &[leaves], weights: &weights };
        let found = tell_apart(&list, &off, &one, &other).unwrap();
        assert_eq!(found.reading, 0);
        assert!(found.apart > 2.0 && (found.one - 0.5 * found.should).abs() < 1e-9, "{found:?}");
    }
}
