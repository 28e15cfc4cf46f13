//! What a tuning came to.

use super::conflict::{Clash, Observed};
use super::ensemble::{Ensemble, Members};
use super::method::Options;
use super::weigh::{effective_trials, systematic, weighted_moments, weighted_quantiles};
use crate::tuned::constants::{Constant, Constants, GOLD, set_middle_of_gold};
use crate::tuned::file::{FORMAT, TunedConstant, TunedFile, draws_text, on_steps};
use sim_core::draw::{Address, Draws, InputList};
use sim_core::joint::JointDraws;
use sim_core::math::ln;
use sim_core::plant::Plant;
use sim_core::stats::normal;

/// One round of drawing constants.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Round {
    /// Sets of constants drawn.
    pub trials: usize,
    /// Effective trials of all rounds up to this.
    pub effective_trials: f64,
}

/// What the observations say of one constant.
#[derive(Debug, Clone, PartialEq)]
pub struct Move {
    /// Its column.
    pub column: usize,
    /// 1 in 10 below, middle, 1 in 10 above: as the scenario has it, SI.
    pub before: [f64; 3],
    /// The same with the observations.
    pub after: [f64; 3],
    /// Shift of the middle, in standard deviations of the constant before.
    pub shift: f64,
    /// Standard deviation over that before, on the scale of the normal scores.
    pub narrowing: f64,
    /// What was learned: relative entropy of the new spread against the old, taken as normal ones (nat).
    pub learned: f64,
}

/// What a tuning came to.
#[derive(Debug, Clone)]
pub struct Tuning {
    /// The constants.
    pub constants: Constants,
    /// Sets of constants, with their predictions.
    pub ensemble: Ensemble,
    /// Weight of each set before anything was seen.
    pub before: Vec<f64>,
    /// Weight of each with all that was seen.
    pub weights: Vec<f64>,
    /// Rounds of drawing.
    pub rounds: Vec<Round>,
    /// How many independent sets the weighed ones are worth.
    pub effective_trials: f64,
    /// How it was done.
    pub options: Options,
    /// The observations, in the order of the log.
    pub observations: Vec<Observed>,
    /// Pairs that do not go together, the worst first.
    pub clashes: Vec<Clash>,
    /// What was learned of the constants, most first; but those that mean something only together with the draw of the gold.
    pub moves: Vec<Move>,
    /// The same of those.
    pub aside: Vec<Move>,
    /// Joint draws of the constants with all that was seen, equally likely; none when nothing was seen.
    pub draws: Members,
}

impl Tuning {
    pub(super) fn untouched(constants: Constants, options: &Options) -> Tuning {
        let none = Members::empty(constants.len());
        Tuning {
            constants,
            ensemble: Ensemble::default(),
            before: Vec::new(),
            weights: Vec::new(),
            rounds: Vec::new(),
            effective_trials: 0.0,
            options: *options,
            observations: Vec::new(),
            clashes: Vec::new(),
            moves: Vec::new(),
            aside: Vec::new(),
            draws: none,
        }
    }

    pub(super) fn of(
        constants: Constants,
        ensemble: Ensemble,
        before: Vec<f64>,
        weights: Vec<f64>,
        rounds: Vec<Round>,
        options: Options,
        observations: Vec<Observed>,
        clashes: Vec<Clash>,
    ) -> Tuning {
        let draws = equal_draws(&ensemble.members, &weights, constants.len(), &options);
        let is_aside = |m: &Move| constants.all().get(m.column).is_some_and(Constant::is_aside);
        let (aside, moves) = moves(&constants, &ensemble.members, &weights).into_iter().partition(is_aside);
        Tuning {
            effective_trials: effective_trials(&weights),
            constants,
            ensemble,
            before,
            weights,
            rounds,
            options,
            observations,
            clashes,
            moves,
            aside,
            draws,
        }
    }

    /// Whether enough trials have weight.
    pub fn stands(&self) -> bool {
        self.observations.is_empty() || self.effective_trials >= self.options.least_effective
    }

    /// The joint draws for a plant: the one that was tuned, or one that differs from it by some settings. `None` when nothing
    /// was seen.
    pub fn joint(&self, plant: &Plant) -> Option<JointDraws> {
        let numbers = (0..self.draws.len()).flat_map(|m| self.draws.row(m).iter().copied()).collect();
        let mut joint = JointDraws::new(self.constants.places(plant), self.constants.len(), numbers)?;
        set_middle_of_gold(&mut joint, &plant.ground);
        Some(joint)
    }

    /// The tuned file.
    pub fn file(&self, plant: &Plant, log: &str) -> TunedFile {
        let dates: Vec<&str> = self.observations.iter().map(|o| o.date.as_str()).filter(|d| !d.is_empty()).collect();
        let after = |column: usize| self.moves.iter().chain(&self.aside).find(|m| m.column == column).map(|m| m.after);
        let list = self.constants.all().iter().enumerate();
        let numbers: Vec<f64> = (0..self.draws.len()).flat_map(|m| self.draws.row(m).iter().copied()).collect();
        TunedFile {
            format: FORMAT,
            made_by: format!("{} {}", plant.program.name, plant.program.version),
            title: plant.title.clone(),
            log: log.to_string(),
            scenario_sha256: plant.sha256.clone(),
            observations: self.observations.len(),
            first: dates.iter().min().map_or(String::new(), ToString::to_string),
            last: dates.iter().max().map_or(String::new(), ToString::to_string),
            seed: self.options.seed,
            trials: self.ensemble.members.len(),
            effective_trials: self.effective_trials,
            constant: list.map(|(i, c)| TunedConstant::new(c, after(i).unwrap_or_else(|| c.before()))).collect(),
            draws: draws_text(&numbers, self.constants.len()),
        }
    }
}

/// Equally likely draws from the weighed members, on the steps of the tuned file.
fn equal_draws(members: &Members, weights: &[f64], width: usize, options: &Options) -> Members {
    let none = InputList::default();
    let mut draws = Draws::new(options.seed, &none);
    draws.set_trial(0, &none);
    let mut u = [0.5];
    draws.uniforms(Address::of("tune/draws"), &mut u);
    let mut all = Members::empty(width);
    for m in systematic(weights, options.draws, u[0]) {
        let row: Vec<f64> = members.row(m).iter().map(|u| on_steps(*u)).collect();
        all.push(&row);
    }
    all
}

fn moves(constants: &Constants, members: &Members, weights: &[f64]) -> Vec<Move> {
    let mut list: Vec<Move> = constants
        .all()
        .iter()
        .enumerate()
        .map(|(column, constant)| {
            let numbers: Vec<f64> = match constant.name.as_str() {
                // The grade, whatever the draw and however far aside of it.
                GOLD => (0..members.len()).map(|m| constants.gold_number(members.row(m)).unwrap_or(0.5)).collect(),
                _ => members.column(column).collect(),
            };
            let (shift, narrowing) = weighted_moments(numbers.iter().map(|u| normal::quantile(*u)), weights);
            let after = weighted_quantiles(&numbers, weights, [0.1, 0.5, 0.9]).map(|u| constant.value(u));
            let learned = 0.5 * (shift * shift + narrowing * narrowing - 1.0) - ln(narrowing.max(1e-6));
            Move { column, before: constant.before(), after, shift, narrowing, learned }
        })
        .collect();
    list.sort_by(|a, b| b.learned.total_cmp(&a.learned));
    list
}
