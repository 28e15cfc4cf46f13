//! The method: trials weighed by the log, drawn anew where too few have weight, held against each other observation by
//! observation.

use super::conflict::{Clash, Observed, observed};
use super::ensemble::{Day, Ensemble, Members, ln_of_members};
use super::evidence::Evidence;
use super::redraw::{Fitting, Proposal, Residuals};
use super::tuning::{Round, Tuning};
use super::weigh::{effective_trials, ln_drawn, ln_sum, normalised};
use crate::tuned::constants::{Constants, GOLD};
use sim_core::draw::{Address, Draws};
use sim_core::field::gold_between::GoldRows;
use sim_core::ground::GoldKnown;
use sim_core::math::ln;
use sim_core::plant::Plant;
use sim_core::stats::normal;

/// First trial whose numbers begin a redrawn set of constants; those before are the trials of ordinary runs.
const FIRST_REDRAWN: u64 = 1 << 36;

/// Numbers of a constant are kept this far from 0 and 1.
const NEAREST_END: f64 = 1e-9;

/// How to tune.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// Sets of constants drawn before anything is seen, and in each round of drawing anew.
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
    /// Rounds of so many sets of constants until the effective trials are enough. Each set is run once through each day of the
    /// log: the likelihood of one run is right on average over the hours, so that weights stay right, and another set tells
    /// more than the same set at another hour. Small rounds, since each is drawn better than the one before.
    pub fn usual(seed: u64) -> Options {
        Options { trials: 800, runs: 1, least_effective: 200.0, most_rounds: 8, draws: 1000, seed }
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
    /// The same with the point of the draw of the gold behind them, instead of the score that names the draw.
    points: Vec<Vec<f64>>,
    /// What the observations leave of each member.
    left: Vec<Residuals>,
    /// The draws of the gold as points, and the column that names one.
    gold: GoldRows,
    gold_column: Option<usize>,
    /// Logarithm of the likelihood of each observation in each run.
    ln: Vec<Vec<f64>>,
    /// Logarithm of the likelihood of all observations in each member.
    ln_all: Vec<f64>,
    /// Logarithm of what all rounds together drew where each member lies, over the density before anything was seen: the sum
    /// over the rounds of sets drawn times ratio of densities.
    ln_drawn: Vec<f64>,
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
            points: Vec::new(),
            left: Vec::new(),
            gold: gold_of(plant),
            gold_column: constants.column(GOLD),
            ln: vec![Vec::new(); evidence.len()],
            ln_all: Vec::new(),
            ln_drawn: Vec::new(),
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
        let points: Vec<Vec<f64>> = (first..first + count).map(|m| self.point_of(m)).collect();
        let left: Vec<Residuals> = (first..first + count).map(|m| self.residuals_of(m)).collect();
        self.points.extend(points);
        self.left.extend(left);
        self.mix(first, count);
        let effective = self.effective();
        self.rounds.push(Round { trials: count, effective_trials: effective });
    }

    /// Takes the last round into the mixture that all members are weighed by.
    fn mix(&mut self, first: usize, count: usize) {
        let mut mixed = std::mem::take(&mut self.ln_drawn);
        if let Some(last) = self.proposals.last() {
            for (m, drawn) in mixed.iter_mut().enumerate() {
                *drawn = ln_sum([*drawn, ln(count as f64) + self.ln_ratio(last, m)].into_iter());
            }
        }
        let counts: Vec<f64> = self.rounds.iter().map(|r| r.trials as f64).chain([count as f64]).collect();
        for m in first..first + count {
            let by_proposals = self.proposals.iter().map(|p| self.ln_ratio(p, m));
            let terms: Vec<(f64, f64)> = std::iter::once(0.0).chain(by_proposals).zip(counts.iter().copied()).collect();
            mixed.push(ln_drawn(&terms));
        }
        self.ln_drawn = mixed;
    }

    fn ln_ratio(&self, proposal: &Proposal, m: usize) -> f64 {
        let gold = self.gold_column.and_then(|c| self.ensemble.members.row(m).get(c)).map(|u| (&self.gold, *u));
        proposal.ln_ratio(&self.scores[m], gold)
    }

    /// Logarithms of the weights of the members, without what was seen: density before anything was seen over that of the
    /// mixture that they were drawn from.
    fn ln_before(&self) -> Vec<f64> {
        let all = ln(self.scores.len() as f64);
        self.ln_drawn.iter().map(|drawn| all - drawn).collect()
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
        // A member of which a residual does not exist has no part in the fit.
        let ln_fit: Vec<f64> =
            self.ln_all.iter().zip(&self.left).map(|(l, r)| if r.exist { *l } else { f64::NEG_INFINITY }).collect();
        let fitting = Fitting {
            scores: &self.points,
            residuals: &self.left,
            ln_likelihood: &ln_fit,
            aside: self.gold_column.map(|c| c + 1),
        };
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

    fn point_of(&self, m: usize) -> Vec<f64> {
        let mut all = self.scores[m].clone();
        if let Some(column) = self.gold_column {
            let u = self.ensemble.members.row(m).get(column).copied().unwrap_or(0.5);
            all.extend_from_slice(self.gold.point(u));
            if let Some(score) = all.get_mut(column) {
                *score = 0.0;
            }
        }
        all
    }

    /// Mean residuals of a member over its runs, and their variance between runs.
    fn residuals_of(&self, m: usize) -> Residuals {
        let runs = self.options.runs;
        let (mut mean, mut square, mut of_run) = (Vec::new(), Vec::new(), Vec::new());
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
        let exist = mean.iter().chain(&square).all(|x: &f64| x.is_finite());
        if !exist {
            mean.iter_mut().chain(&mut square).for_each(|x| *x = 0.0);
        }
        let bias = runs as f64 / (runs as f64 - 1.0).max(1.0);
        let between = square.iter().zip(&mean).map(|(s, a)| (s - a * a).max(0.0) * bias).collect();
        Residuals { mean, between, exist }
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

/// The joint draws of the gold as points to aim at; none for a belief.
fn gold_of(plant: &Plant) -> GoldRows {
    match &plant.ground.gold {
        GoldKnown::Sampled(posterior) => posterior.between().clone(),
        GoldKnown::Believed(_) => GoldRows::default(),
    }
}

/// Normal scores of a row of numbers.
fn scores_of(row: &[f64]) -> Vec<f64> {
    row.iter().map(|u| normal::quantile(*u)).collect()
}
