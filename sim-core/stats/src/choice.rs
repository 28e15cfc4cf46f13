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
    choose_after_pilot(designs, designs)
}

/// The same when some designs ran in a pilot only, because they were [`far_behind`]: `full[d]` is then empty. `pilot[d]` holds the
/// results of every design in the pilot, all treated alike.
///
/// The pilot tells how often, and by how much, a stopped design lies above a design that is the best of the others; the trials in
/// full decide among the others.
pub fn choose_after_pilot(pilot: &[Vec<f64>], full: &[Vec<f64>]) -> Option<Choice> {
    let trials = full.iter().map(Vec::len).max()?;
    let in_full: Vec<usize> = (0..full.len()).filter(|d| full[*d].len() == trials).collect();
    let in_pilot = pilot.iter().map(Vec::len).max()?;
    let stopped = |d: usize| full[d].is_empty();
    if trials < 2 || pilot.len() != full.len() || pilot.iter().any(|h| h.len() != in_pilot) {
        return None;
    }
    if (0..full.len()).any(|d| full[d].len() != trials && !stopped(d)) {
        return None;
    }
    let mean = |list: &[f64]| Moments::of(list).mean();
    let mut means: Vec<f64> = (0..full.len()).map(|d| mean(if stopped(d) { &pilot[d] } else { &full[d] })).collect();
    let mut order: Vec<usize> = (0..full.len()).collect();
    order.sort_by(|a, b| stopped(*a).cmp(&stopped(*b)).then(means[*b].total_cmp(&means[*a])));
    let best = *order.first()?;
    // What the leader came to in full more than in the pilot, a stopped design would have come to as well.
    let lift = means[best] - mean(&pilot[best]);
    (0..full.len()).filter(|d| stopped(*d)).for_each(|d| means[d] += lift);
    let runner_up = order.get(1).copied();
    let against = |d: usize| if stopped(d) { paired(&pilot[best], &pilot[d]) } else { paired(&full[best], &full[d]) };
    let (mut as_good, mut undecided) = (Vec::new(), false);
    for d in 0..full.len() {
        if d == best {
            as_good.push(d);
            continue;
        }
        let gap = against(d)?;
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
    let costs = |lists: &[Vec<f64>]| -> Vec<f64> { (0..lists.len()).map(|d| regret(lists, d)).collect() };
    let (mut chance, mut cost) = (chance_best(pilot), costs(pilot));
    if in_full.len() == full.len() {
        (chance, cost) = (chance_best(full), costs(full));
    } else {
        let pick = |lists: &[Vec<f64>]| -> Vec<Vec<f64>> { in_full.iter().map(|d| lists[*d].clone()).collect() };
        let (among, among_in_heat) = (pick(full), pick(pilot));
        let (more, more_in_heat) = (chance_best(&among), chance_best(&among_in_heat));
        let best_in_heat = cost[best];
        for (k, d) in in_full.iter().enumerate() {
            chance[*d] = (chance[*d] + more[k] - more_in_heat[k]).max(0.0);
            cost[*d] += regret(&among, k) - regret(&among_in_heat, k);
        }
        let moved = cost[best] - best_in_heat;
        (0..full.len()).filter(|d| stopped(*d)).for_each(|d| cost[d] += moved);
    }
    Some(Choice {
        best,
        runner_up,
        lead: runner_up.and_then(against),
        chance_best: chance,
        cost_of_wrong: cost,
        means,
        as_good,
        call,
    })
}

/// Standard errors by which a design must lie behind to be stopped early. Our choice: an accident of the trials of 1 in
/// 3 million.
const HOPELESS_ERRORS: f64 = 5.0;
/// A chance of losing to the best so near [`TOLD_APART`] calls for more trials. Our choice: three standard errors of 2,000.
const NEAR_TOLD_APART: f64 = 0.03;

/// Designs that further trials could not make the best on average: behind the best of these trials by five standard errors,
/// and known to be told from it or not to be.
pub fn far_behind(designs: &[Vec<f64>]) -> Vec<bool> {
    let Some(choice) = choose(designs) else { return vec![false; designs.len()] };
    let stops = |d: usize| {
        let gap = paired(&designs[choice.best], &designs[d])?;
        let told = (gap.chance_a - TOLD_APART).abs() > NEAR_TOLD_APART;
        Some(told && gap.mean_gap > 0.0 && gap.mean_gap >= HOPELESS_ERRORS * gap.gap_error)
    };
    (0..designs.len()).map(|d| d != choice.best && stops(d) == Some(true)).collect()
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

    /// The last of three designs stopped after 200 of 500 trials.
    fn stopped_early(designs: &[Vec<f64>; 3]) -> Choice {
        let pilot: Vec<Vec<f64>> = designs.iter().map(|d| d[..200].to_vec()).collect();
        choose_after_pilot(&pilot, &[designs[0].clone(), designs[1].clone(), Vec::new()]).unwrap()
    }

    #[test]
    fn property_a_hopeless_design_stopped_early_leaves_the_choice_as_it_is() {
        let designs = [design(|g| g), design(|g| 101.0 + 1.6 * (g - 100.0)), design(|g| 0.9 * g - 20.0)];
        assert_eq!(far_behind(&designs), [false, false, true]);
        let (all, some) = (choose(&designs).unwrap(), stopped_early(&designs));
        assert_eq!((some.best, some.runner_up, some.call), (all.best, all.runner_up, all.call));
        assert_eq!(some.as_good, all.as_good);
        for (some, all) in some.chance_best.iter().zip(&all.chance_best) {
            assert!((some - all).abs() < 1e-12, "{some} {all}");
        }
        assert_eq!(some.cost_of_wrong[..2], all.cost_of_wrong[..2]);
        // On the trials that it has.
        assert!((some.cost_of_wrong[2] / all.cost_of_wrong[2] - 1.0).abs() < 0.05);
        // One that is the best now and then keeps its chance, and the others theirs.
        let now_and_then = |t: usize| if t.is_multiple_of(20) { 140.0 } else { 60.0 };
        let designs = [design(|g| g), design(|g| 101.0 + 1.6 * (g - 100.0)), (0..500).map(now_and_then).collect()];
        assert_eq!(far_behind(&designs), [false, false, true]);
        let (all, some) = (choose(&designs).unwrap(), stopped_early(&designs));
        assert!((some.chance_best.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        for (some, all) in some.chance_best.iter().zip(&all.chance_best) {
            assert!((some - all).abs() < 0.02, "{some} {all}");
        }
        for (some, all) in some.cost_of_wrong.iter().zip(&all.cost_of_wrong) {
            assert!((some / all - 1.0).abs() < 0.1, "{some} {all}");
        }
    }
}
