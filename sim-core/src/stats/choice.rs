//! The choice among several designs over common trials, and whether it can be called at all.

use super::average::Moments;
use super::compare::{Comparison, chance_best, paired, regret};

/// A design is told from the best when it loses to it with at least this chance. Assumed: four to one.
pub const TOLD_APART: f64 = 0.8;

/// Designs whose means differ by less than this share are as good as each other: no clean-up could tell. Assumed.
pub const SAME: f64 = 0.005;

/// A gap of fewer standard errors than this may be an accident of the trials. Our choice.
const LEAST_ERRORS: f64 = 3.0;

/// How sure a choice is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Call {
    /// The best is told apart from every other design.
    Clear,
    /// Others come out the same within half a percent, most of the time: take the one that is easiest to build.
    Same,
    /// What is known of the ground and the plant does not decide between the best and some other.
    TooClose,
}

/// The choice among designs.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// The design with the best mean.
    pub best: usize,
    /// The next best by its mean.
    pub runner_up: Option<usize>,
    /// The best against the runner-up.
    pub lead: Option<Comparison>,
    /// Mean of each design.
    pub means: Vec<f64>,
    /// Share of trials in which each design is the best.
    pub chance_best: Vec<f64>,
    /// What choosing each design would cost on average against knowing the best of each trial.
    pub cost_of_wrong: Vec<f64>,
    /// Designs that cannot be told from the best, itself included, in their order.
    pub as_good: Vec<usize>,
    /// How sure the choice is.
    pub call: Call,
}

/// Chooses by the mean over common trials. `designs[d][t]` = result of design d in trial t, more being better.
///
/// A design is told from the best when the best beats it in at least [`TOLD_APART`] of the trials and leads by at least
/// three standard errors and by more than [`SAME`]. `None` without designs or with fewer than two trials. Trial t of all must rest
/// on the same draws, and what merely changes from hour to hour should have been averaged out before: a choice is made for
/// a season.
pub fn choose(designs: &[Vec<f64>]) -> Option<Choice> {
    let trials = designs.iter().map(Vec::len).min()?;
    if trials < 2 || designs.iter().any(|d| d.len() != trials) {
        return None;
    }
    let means: Vec<f64> = designs.iter().map(|d| Moments::of(d).mean()).collect();
    let mut order: Vec<usize> = (0..designs.len()).collect();
    order.sort_by(|a, b| means[*b].total_cmp(&means[*a]));
    let best = *order.first()?;
    let runner_up = order.get(1).copied();
    let (mut as_good, mut undecided) = (Vec::new(), false);
    for (d, design) in designs.iter().enumerate() {
        if d == best {
            as_good.push(d);
            continue;
        }
        let gap = paired(&designs[best], design)?;
        let same = gap.mean_gap <= SAME * means[best].abs();
        let decided = gap.chance_a >= TOLD_APART && gap.mean_gap >= LEAST_ERRORS * gap.gap_error;
        if same || !decided {
            as_good.push(d);
            undecided |= !same;
        }
    }
    let call = match (as_good.len(), undecided) {
        (1, _) => Call::Clear,
        (_, false) => Call::Same,
        (_, true) => Call::TooClose,
    };
    Some(Choice {
        best,
        runner_up,
        lead: runner_up.and_then(|r| paired(&designs[best], &designs[r])),
        chance_best: chance_best(designs),
        cost_of_wrong: (0..designs.len()).map(|d| regret(designs, d)).collect(),
        means,
        as_good,
        call,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ground(t: usize) -> f64 {
        100.0 + 40.0 * (((t * 37) % 101) as f64 / 100.0 - 0.5)
    }

    fn design(f: impl Fn(f64) -> f64) -> Vec<f64> {
        (0..500).map(|t| f(ground(t))).collect()
    }

    #[test]
    fn property_a_choice_is_clear_the_same_or_too_close() {
        let base = design(|g| g);
        let worse = design(|g| 0.95 * g);
        let clear = choose(&[worse.clone(), base.clone()]).unwrap();
        assert_eq!((clear.best, clear.call, clear.as_good.as_slice()), (1, Call::Clear, &[1][..]));
        assert_eq!(clear.chance_best, [0.0, 1.0]);
        assert_eq!(clear.cost_of_wrong[1], 0.0);
        assert!((clear.cost_of_wrong[0] - 0.05 * clear.means[1]).abs() < 1e-9);
        // Hardly different: no need to choose.
        let same = choose(&[base.clone(), design(|g| 1.001 * g)]).unwrap();
        assert_eq!((same.best, same.call), (1, Call::Same));
        // Better on rich ground, worse on poor.
        let steep = choose(&[base.clone(), design(|g| 101.0 + 1.6 * (g - 100.0))]).unwrap();
        assert_eq!((steep.best, steep.call), (1, Call::TooClose));
        assert!(steep.cost_of_wrong[1] > 0.0 && steep.cost_of_wrong[1] < steep.cost_of_wrong[0]);
        assert!(choose(&[]).is_none() && choose(&[vec![1.0]]).is_none() && choose(&[base, vec![1.0, 2.0]]).is_none());
    }
}
