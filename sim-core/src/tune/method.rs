//! The method: trials weighed by the log, drawn anew where too few have weight, held against each other observation by
//! observation.

use super::conflict::{Clash, Observed, observed};
use super::constants::{Constants, GOLD};
use super::ensemble::{Day, Ensemble, Members, ln_of_members};
use super::evidence::Evidence;
use super::gold_rows::GoldRows;
use super::redraw::{Fitting, Proposal};
use super::tuning::{Round, Tuning};
use super::weigh::{effective_trials, ln_mean, normalised};
use crate::draw::{Address, Draws};
use crate::math::ln;
use crate::plant::Plant;
use crate::stats::normal;

/// First trial whose numbers begin a redrawn set of constants; those before are the trials of ordinary runs.
const FIRST_REDRAWN: u64 = 1 << 36;

/// Numbers of a constant are kept this far from 0 and 1.
const NEAREST_END: f64 = 1e-9;

/// How to tune.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// Sets of constants drawn before anything is seen.
    pub trials: usize,
    /// Runs of each under the settings of each day.
    pub runs: usize,
    /// Effective trials below which constants are drawn anew.
    pub least_effective: f64,
    /// Most rounds of drawing anew.
    pub most_rounds: usize,
    /// Joint draws in the tuned file.
    pub draws: usize,
    /// Seed.
    pub seed: u64,
}

impl Options {
    /// Two thousand trials, drawn anew below 200 effective trials. Each day of the log is run two to four times for each, the
    /// fewer the longer the log: what changes from hour to hour is small beside the errors of most observations.
    pub fn usual(seed: u64, days: usize) -> Options {
        const TRIALS: usize = 2000;
        const MOST_PASSES: usize = 12_000;
        let runs = (MOST_PASSES / (TRIALS * days.max(1))).clamp(2, 4);
        Options { trials: TRIALS, runs, least_effective: 200.0, most_rounds: 4, draws: 1000, seed }
    }
}

/// Why a plant cannot be tuned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TuneError {
    /// Nothing is uncertain.
    #[error("nothing in this scenario is uncertain, so there is nothing to tune")]
    NothingUncertain,
    /// An observation that no trial allows.
    #[error("no trial of the plant allows what was seen: {}", .names.join("; "))]
    Impossible {
        /// Names of the observations that no trial allows by themselves, or of all when only together.
        names: Vec<String>,
    },
}

/// Tunes a plant on the days of a log.
pub fn tune(plant: &Plant, days: &[Day<'_>], options: &Options) -> Result<Tuning, TuneError> {
    let constants = Constants::of(plant);
    if constants.is_empty() {
        return Err(TuneError::NothingUncertain);
    }
    let evidence: Vec<&dyn Evidence> = days.iter().flat_map(|d| d.evidence.iter().map(|e| e.as_ref())).collect();
    if evidence.is_empty() {
        return Ok(Tuning::untouched(constants, options));
    }
    let mut search = Search::start(plant, days, &constants, &evidence, options);
    search.possible()?;
    while search.effective() < options.least_effective && search.rounds.len() <= options.most_rounds {
        if !search.again() {
            break;
        }
    }
    let (observed, clashes) = search.held_against_each_other();
    Ok(search.finish(observed, clashes))
}

/// The trials so far.
struct Search<'a> {
    plant: &'a Plant,
    days: &'a [Day<'a>],
    constants: &'a Constants,
    evidence: &'a [&'a dyn Evidence],
    options: Options,
    ensemble: Ensemble,
    /// Normal scores of the members.
    scores: Vec<Vec<f64>>,
    /// The draws of the gold as points, and the column that names one.
    gold: GoldRows,
    gold_column: Option<usize>,
    /// Logarithm of the likelihood of each observation in each run.
    ln: Vec<Vec<f64>>,
    /// Logarithm of the likelihood of all observations in each member.
    ln_all: Vec<f64>,
    proposals: Vec<Proposal>,
    rounds: Vec<Round>,
}

impl<'a> Search<'a> {
    fn start(
        plant: &'a Plant,
        days: &'a [Day<'a>],
        constants: &'a Constants,
        evidence: &'a [&'a dyn Evidence],
        options: &Options,
    ) -> Search<'a> {
        let mut search = Search {
            plant,
            days,
            constants,
            evidence,
            options: *options,
            ensemble: Ensemble::empty(days),
            scores: Vec::new(),
            gold: GoldRows::of(plant),
            gold_column: constants.column(GOLD),
            ln: vec![Vec::new(); evidence.len()],
            ln_all: Vec::new(),
            proposals: Vec::new(),
            rounds: Vec::new(),
        };
        let members = Members::of_trials(constants, plant, options.seed, 0, options.trials);
        let scores = (0..members.len()).map(|m| scores_of(members.row(m))).collect();
        search.add(members, scores);
        search
    }

    /// Runs further members and weighs them.
    fn add(&mut self, members: Members, mut scores: Vec<Vec<f64>>) {
        let options = &self.options;
        let (first, count) = (self.ensemble.members.len(), members.len());
        self.ensemble.extend(self.days, self.constants, options.seed, options.runs, members);
        for (ln, (evidence, predictions)) in
            self.ln.iter_mut().zip(self.evidence.iter().zip(&self.ensemble.predictions))
        {
            ln.extend(predictions.ln_likelihoods_from(first, *evidence));
        }
        let new: Vec<Vec<f64>> = self.ln.iter().map(|l| l[first * options.runs..].to_vec()).collect();
        self.ln_all.extend(ln_of_members(&new, &self.ensemble.day_of, options.runs, |_| true));
        self.scores.append(&mut scores);
        let effective = self.effective();
        self.rounds.push(Round { trials: count, effective_trials: effective });
    }

    /// Logarithm of the density of the constants before anything was seen over that of the mixture they were drawn from.
    fn ln_prior(&self, m: usize) -> f64 {
        let scores = &self.scores[m];
        let gold = self.gold_column.and_then(|c| self.ensemble.members.row(m).get(c)).map(|u| (&self.gold, *u));
        let all = self.rounds_drawn() as f64;
        let first = ln(self.options.trials as f64 / all);
        let parts = self.proposals.iter().map(|p| ln(self.options.trials as f64 / all) + p.ln_ratio(scores, gold));
        let terms: Vec<f64> = std::iter::once(first).chain(parts).collect();
        -(ln_mean(terms.iter().copied()) + ln(terms.len() as f64))
    }

    fn rounds_drawn(&self) -> usize {
        self.options.trials * (1 + self.proposals.len())
    }

    /// Logarithms of the weights of the members, without what was seen.
    fn ln_before(&self) -> Vec<f64> {
        (0..self.scores.len()).map(|m| self.ln_prior(m)).collect()
    }

    fn ln_weights(&self) -> Vec<f64> {
        self.ln_before().iter().zip(&self.ln_all).map(|(p, l)| p + l).collect()
    }

    fn effective(&self) -> f64 {
        normalised(&self.ln_weights()).map_or(0.0, |(w, _)| effective_trials(&w))
    }

    /// Whether any trial allows what was seen.
    fn possible(&self) -> Result<(), TuneError> {
        if self.ln_all.iter().any(|l| l.is_finite()) {
            return Ok(());
        }
        let alone = self.ln.iter().zip(self.evidence).filter(|(l, _)| !l.iter().any(|x| x.is_finite()));
        let mut names: Vec<String> = alone.map(|(_, e)| e.name().to_string()).collect();
        if names.is_empty() {
            names = self.evidence.iter().map(|e| e.name().to_string()).collect();
        }
        Err(TuneError::Impossible { names })
    }

    /// One round of drawing anew; false when no proposal can be fitted.
    fn again(&mut self) -> bool {
        let (residuals, between_runs, ln_fit) = self.residuals();
        let points = self.with_points();
        let fitting =
            Fitting { scores: &points, residuals: &residuals, ln_likelihood: &ln_fit, between_runs: &between_runs };
        let Some(proposal) = Proposal::fit(&fitting, &self.gold) else { return false };
        let first = FIRST_REDRAWN + self.ensemble.members.len() as u64;
        let count = self.options.trials;
        let mut members = Members::empty(self.constants.len());
        let mut scores = Vec::with_capacity(count);
        let drawn = Members::of_trials(self.constants, self.plant, self.options.seed, first, count);
        let mut draws = Draws::new(self.options.seed, &self.plant.inputs);
        for m in 0..count {
            let mut z = scores_of(drawn.row(m));
            draws.set_some(first + m as u64, &self.plant.inputs, &[]);
            let gold = self.gold_column.map(|c| (&self.gold, c));
            proposal.draw(&mut z, gold, draws.generator_at(Address::of("tune/redraw")));
            let row: Vec<f64> = z.iter().map(|z| normal::cdf(*z).clamp(NEAREST_END, 1.0 - NEAREST_END)).collect();
            members.push(&row);
            scores.push(z);
        }
        self.proposals.push(proposal);
        self.add(members, scores);
        true
    }

    /// Scores of each member with the point of its draw of the gold behind them, instead of the score that names the draw.
    fn with_points(&self) -> Vec<Vec<f64>> {
        let members = &self.ensemble.members;
        let with_point = |(m, scores): (usize, &Vec<f64>)| {
            let mut all = scores.clone();
            if let Some(column) = self.gold_column {
                let u = members.row(m).get(column).copied().unwrap_or(0.5);
                all.extend_from_slice(self.gold.point(u));
                if let Some(score) = all.get_mut(column) {
                    *score = 0.0;
                }
            }
            all
        };
        self.scores.iter().enumerate().map(with_point).collect()
    }

    /// Mean residuals of each member over its runs, their variance between runs, and the likelihood to fit by (zero where a
    /// residual does not exist).
    fn residuals(&self) -> (Vec<Vec<f64>>, Vec<Vec<f64>>, Vec<f64>) {
        let runs = self.options.runs;
        let (mut means, mut variances, mut ln_fit) = (Vec::new(), Vec::new(), self.ln_all.clone());
        let mut of_run = Vec::new();
        for (m, ln) in ln_fit.iter_mut().enumerate() {
            let (mut mean, mut square) = (Vec::new(), Vec::new());
            for r in 0..runs {
                of_run.clear();
                for (evidence, predictions) in self.evidence.iter().zip(&self.ensemble.predictions) {
                    evidence.residuals(predictions.of(m, r), &mut of_run);
                }
                mean.resize(of_run.len(), 0.0);
                square.resize(of_run.len(), 0.0);
                for ((a, b), x) in mean.iter_mut().zip(&mut square).zip(&of_run) {
                    *a += x / runs as f64;
                    *b += x * x / runs as f64;
                }
            }
            if mean.iter().chain(&square).any(|x: &f64| !x.is_finite()) {
                *ln = f64::NEG_INFINITY;
                mean.iter_mut().for_each(|x| *x = 0.0);
                square.iter_mut().for_each(|x| *x = 0.0);
            }
            let bias = runs as f64 / (runs as f64 - 1.0).max(1.0);
            variances.push(square.iter().zip(&mean).map(|(s, a)| (s - a * a).max(0.0) * bias).collect());
            means.push(mean);
        }
        (means, variances, ln_fit)
    }

    fn held_against_each_other(&self) -> (Vec<Observed>, Vec<Clash>) {
        observed(self.evidence, self.days, &self.ensemble, &self.ln, &self.ln_before(), &self.ln_all, self.options.seed)
    }

    fn finish(self, observations: Vec<Observed>, clashes: Vec<Clash>) -> Tuning {
        let weights = normalised(&self.ln_weights()).map_or_else(Vec::new, |(w, _)| w);
        let before = normalised(&self.ln_before()).map_or_else(Vec::new, |(w, _)| w);
        Tuning::of(
            self.constants.clone(),
            self.ensemble,
            before,
            weights,
            self.rounds,
            self.options,
            observations,
            clashes,
        )
    }
}

/// Normal scores of a row of numbers.
fn scores_of(row: &[f64]) -> Vec<f64> {
    row.iter().map(|u| normal::quantile(*u)).collect()
}
