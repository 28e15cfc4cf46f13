//! What changes from hour to hour averages out over a season.
//!
//! A trial holds one draw of what is not known for sure (it stays as drawn for the whole season) and one of what changes by
//! itself (feed, moisture, pressure ...: the season sees all of it). A series y over the trials is turned into an estimate of
//! its mean over the changing inputs, given the others, by taking the part away that a regression on them explains:
//!
//! y' = y - sum_k b_k (x_k - mean x_k), with x_k each changing input and its square
//!
//! The mean of y is unchanged. Only what goes with one changing input at a time is taken away; where two of them act together,
//! a little spread too much is left. Same bytes for any number of threads: sums by fixed chunks, folded in order.

use rayon::prelude::*;

use washgraph_stats::draw::{Draws, InputList, Nature};

/// Trials summed together before the sums are folded; part of the result's identity.
const CHUNK: usize = 2048;

/// Trials drawn by one thread at a time. No part of any result.
const DRAWN: usize = 128;

/// So many trials are drawn once and kept, some megabytes; more are drawn a second time.
const KEPT_TRIALS: usize = 20_000;

/// Trials needed for each column of the regression; with fewer nothing is taken away. Our choice.
const LEAST_TRIALS_PER_COLUMN: usize = 10;

/// Regression of series on the inputs that change by themselves.
pub struct Averaging<'a> {
    inputs: &'a InputList,
    seed: u64,
    changing: Vec<usize>,
    /// Middle and half width of each changing input, to keep the sums well scaled.
    scale: Vec<(f64, f64)>,
    /// The changing inputs, scaled, of the first trials, a row a trial.
    drawn: Vec<f64>,
}

/// Most numbers kept of the changing inputs; trials beyond are drawn again when they are needed.
const MOST_KEPT: usize = 4_000_000;

/// Sums of products of a chunk: lower triangle of columns with columns, then columns with each series.
struct Sums {
    count: f64,
    means: Vec<f64>,
    products: Vec<f64>,
}

impl<'a> Averaging<'a> {
    /// For the trials 0, 1, 2 ... of a seed.
    pub fn new(inputs: &'a InputList, seed: u64) -> Self {
        let mut changing = Vec::new();
        let mut scale = Vec::new();
        for (i, input) in inputs.all().iter().enumerate().filter(|(_, input)| input.nature == Nature::Variability) {
            let width = 0.5 * (input.spread.quantile(0.9) - input.spread.quantile(0.1));
            if width > 0.0 {
                changing.push(i);
                scale.push((input.spread.middle(), width));
            }
        }
        Averaging { inputs, seed, changing, scale, drawn: Vec::new() }
    }

    /// The same with the changing inputs of so many trials drawn once and kept, for several series or several plants.
    pub fn kept(inputs: &'a InputList, seed: u64, trials: usize) -> Self {
        let averaging = Averaging::new(inputs, seed);
        let width = averaging.changing.len();
        let trials = trials.min(MOST_KEPT / width.max(1));
        let starts: Vec<usize> = (0..trials).step_by(CHUNK).collect();
        let parts: Vec<Vec<f64>> = starts
            .into_par_iter()
            .map(|start| {
                let mut draws = Draws::new(seed, inputs);
                let end = (start + CHUNK).min(trials);
                let mut part = vec![0.0; (end - start) * width];
                for (row, t) in part.chunks_mut(width.max(1)).zip(start..end) {
                    averaging.draw(t, &mut draws, row);
                }
                part
            })
            .collect();
        Averaging { drawn: parts.concat(), ..averaging }
    }

    /// Whether the inputs that change by themselves are the same in another list, so that this averaging serves its series.
    pub fn suits(&self, inputs: &InputList) -> bool {
        let changing = |list: &InputList| {
            let all = list.all().iter().filter(|i| i.nature == Nature::Variability);
            all.map(|i| (i.name.clone(), i.spread.clone())).collect::<Vec<_>>()
        };
        self.inputs.joint() == inputs.joint() && changing(self.inputs) == changing(inputs)
    }

    /// Number of inputs that change by themselves.
    pub fn inputs(&self) -> usize {
        self.changing.len()
    }

    /// Takes away from each series, value by value in the order of the trials, what goes with the changing inputs. All series
    /// have the same length; a trial with a value that does not exist is left out of the fit and left as it is.
    pub fn average_out(&self, series: &mut [Vec<f64>]) {
        let columns = 2 * self.changing.len();
        let trials = series.first().map_or(0, Vec::len);
        if columns == 0 || trials < LEAST_TRIALS_PER_COLUMN * columns || series.iter().any(|s| s.len() != trials) {
            return;
        }
        let rows = columns + series.len();
        let kept = if trials <= KEPT_TRIALS { self.drawn(trials, columns) } else { Vec::new() };
        let sums = self.sums(series, &kept, columns, rows, trials);
        let Some(slopes) = slopes(&sums, columns, rows) else { return };
        let starts: Vec<usize> = (0..trials).step_by(CHUNK).collect();
        let corrections: Vec<Vec<f64>> = starts
            .into_par_iter()
            .map(|start| self.corrections(start..(start + CHUNK).min(trials), &kept, &slopes, &sums.means))
            .collect();
        for (k, list) in corrections.into_iter().enumerate() {
            for (i, row) in list.chunks(series.len()).enumerate() {
                for (values, correction) in series.iter_mut().zip(row) {
                    if let Some(y) = values.get_mut(k * CHUNK + i) {
                        *y -= correction;
                    }
                }
            }
        }
    }

    /// The columns of all trials, one after the other.
    fn drawn(&self, trials: usize, columns: usize) -> Vec<f64> {
        let mut all = vec![0.0; trials * columns];
        all.par_chunks_mut(DRAWN * columns).enumerate().for_each(|(chunk, rows)| {
            let mut draws = Draws::new(self.seed, self.inputs);
            for (i, row) in rows.chunks_mut(columns).enumerate() {
                self.columns(chunk * DRAWN + i, &mut draws, row);
            }
        });
        all
    }

    /// The columns of a trial, kept or drawn.
    fn row(&self, trial: usize, kept: &[f64], draws: &mut Draws, row: &mut [f64]) {
        match kept.get(trial * row.len()..(trial + 1) * row.len()) {
            Some(known) => row.copy_from_slice(known),
            None => self.columns(trial, draws, row),
        }
    }

    fn sums(&self, series: &[Vec<f64>], kept: &[f64], columns: usize, rows: usize, trials: usize) -> Sums {
        let starts: Vec<usize> = (0..trials).step_by(CHUNK).collect();
        let parts: Vec<Sums> = starts
            .into_par_iter()
            .map(|start| {
                let mut draws = Draws::new(self.seed, self.inputs);
                let mut sums = Sums { count: 0.0, means: vec![0.0; rows], products: vec![0.0; columns * rows] };
                let mut row = vec![0.0; rows];
                for t in start..(start + CHUNK).min(trials) {
                    self.row(t, kept, &mut draws, &mut row[..columns]);
                    for (y, values) in row[columns..].iter_mut().zip(series) {
                        *y = values[t];
                    }
                    if row.iter().all(|v| v.is_finite()) {
                        sums.add(&row, columns);
                    }
                }
                sums
            })
            .collect();
        let mut all = Sums { count: 0.0, means: vec![0.0; rows], products: vec![0.0; columns * rows] };
        for part in parts {
            all.count += part.count;
            all.means.iter_mut().zip(part.means).for_each(|(a, b)| *a += b);
            all.products.iter_mut().zip(part.products).for_each(|(a, b)| *a += b);
        }
        let count = all.count;
        all.means.iter_mut().for_each(|m| *m /= count);
        // Products about the means.
        for i in 0..columns {
            for j in 0..rows {
                all.products[i * rows + j] -= count * all.means[i] * all.means[j];
            }
        }
        all
    }

    /// The columns of a trial: each changing input, scaled, and its square.
    fn columns(&self, trial: usize, draws: &mut Draws, row: &mut [f64]) {
        let width = self.changing.len();
        match self.drawn.get(trial * width..(trial + 1) * width) {
            Some(kept) => row.iter_mut().step_by(2).zip(kept).for_each(|(x, kept)| *x = *kept),
            None => self.draw(trial, draws, row.iter_mut().step_by(2)),
        }
        for pair in row[..2 * width].chunks_mut(2) {
            pair[1] = pair[0] * pair[0];
        }
    }

    /// Draws the changing inputs of a trial, scaled.
    fn draw<'x>(&self, trial: usize, draws: &mut Draws, out: impl IntoIterator<Item = &'x mut f64>) {
        draws.set_some(trial as u64, self.inputs, &self.changing);
        for ((x, input), (middle, width)) in out.into_iter().zip(&self.changing).zip(&self.scale) {
            *x = (washgraph_stats::draw::Input::Drawn(*input).get(draws) - middle) / width;
        }
    }

    fn corrections(
        &self,
        trials: std::ops::Range<usize>,
        kept: &[f64],
        slopes: &[Vec<f64>],
        means: &[f64],
    ) -> Vec<f64> {
        let mut draws = Draws::new(self.seed, self.inputs);
        let mut row = vec![0.0; 2 * self.changing.len()];
        let mut list = Vec::with_capacity(trials.len() * slopes.len());
        for t in trials {
            self.row(t, kept, &mut draws, &mut row);
            for slope in slopes {
                list.push(row.iter().zip(means).zip(slope).map(|((x, m), b)| b * (x - m)).sum());
            }
        }
        list
    }
}

impl Sums {
    fn add(&mut self, row: &[f64], columns: usize) {
        self.count += 1.0;
        for (m, v) in self.means.iter_mut().zip(row) {
            *m += v;
        }
        for (i, x) in row[..columns].iter().enumerate() {
            for (p, v) in self.products[i * row.len()..(i + 1) * row.len()].iter_mut().zip(row) {
                *p += x * v;
            }
        }
    }
}

/// Slopes of each series by Cholesky's method; a column that hardly varies, or goes along with those before it, gets none.
/// `None` when nothing can be fitted.
fn slopes(sums: &Sums, columns: usize, rows: usize) -> Option<Vec<Vec<f64>>> {
    if !(sums.count > columns as f64 + 1.0) {
        return None;
    }
    let at = |i: usize, j: usize| sums.products[i * rows + j];
    let mut factor = vec![vec![0.0; columns]; columns];
    let mut used = vec![true; columns];
    for i in 0..columns {
        for j in 0..=i {
            let dot: f64 = (0..j).map(|k| factor[i][k] * factor[j][k]).sum();
            let rest = at(i, j) - dot;
            if i == j {
                used[i] = rest > 1e-9 * at(i, i) && rest > 0.0;
                factor[i][i] = if used[i] { rest.sqrt() } else { 0.0 };
            } else {
                factor[i][j] = if used[j] { rest / factor[j][j] } else { 0.0 };
            }
        }
    }
    let solve = |y: usize| {
        let mut forward = vec![0.0; columns];
        for i in 0..columns {
            let dot: f64 = (0..i).map(|k| factor[i][k] * forward[k]).sum();
            forward[i] = if used[i] { (at(i, y) - dot) / factor[i][i] } else { 0.0 };
        }
        let mut slope = vec![0.0; columns];
        for i in (0..columns).rev() {
            let dot: f64 = (i + 1..columns).map(|k| factor[k][i] * slope[k]).sum();
            slope[i] = if used[i] { (forward[i] - dot) / factor[i][i] } else { 0.0 };
        }
        slope
    };
    Some((columns..rows).map(solve).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use washgraph_stats::Spread;
    use washgraph_stats::average::Moments;
    use washgraph_stats::draw::{Input, UncertainInput};
    use washgraph_units::quantity::Dimension;

    fn list() -> InputList {
        let mut inputs = InputList::default();
        for (name, nature) in [
            ("ground/grade", Nature::Ignorance),
            ("hopper/rate", Nature::Variability),
            ("ground/moisture", Nature::Variability),
        ] {
            let spread = Spread::normal(1.0, 0.2).unwrap();
            let input = UncertainInput {
                name: name.into(),
                meaning: String::new(),
                dimension: Dimension::Number,
                spread,
                nature,
                source: String::new(),
            };
            inputs.add(input).unwrap();
        }
        inputs
    }

    /// y = grade (1 + 0.5 rate + rate^2 - moisture); its mean over the changing inputs, given the grade, is known.
    #[test]
    fn identity_what_is_not_known_stays_and_what_changes_averages_out() {
        let inputs = list();
        let mut draws = Draws::new(5, &inputs);
        let (mut y, mut truth) = (Vec::new(), Vec::new());
        for t in 0..20_000 {
            draws.set_trial(t, &inputs);
            let [g, r, m] = [0, 1, 2].map(|i| Input::Drawn(i).get(&draws));
            y.push(g * (1.0 + 0.5 * r + r * r - m));
            truth.push(g * (1.0 + 0.5 + 1.0 + 0.04 - 1.0));
        }
        let before = Moments::of(&y);
        let mut series = [y];
        Averaging::new(&inputs, 5).average_out(&mut series);
        let after = Moments::of(&series[0]);
        assert!((after.mean() - before.mean()).abs() < 1e-9);
        let wanted = Moments::of(&truth).standard_deviation();
        assert!(before.standard_deviation() > 1.9 * wanted, "{}", before.standard_deviation());
        // Left over: grade and rate acting together, 0.2 x 0.5 against 0.31.
        assert!((after.standard_deviation() / wanted - 1.0).abs() < 0.08, "{} {wanted}", after.standard_deviation());
    }

    #[test]
    fn property_few_trials_and_no_changing_input_leave_the_series_alone() {
        let inputs = list();
        let mut series = [vec![1.0, 2.0, 3.0]];
        Averaging::new(&inputs, 1).average_out(&mut series);
        assert_eq!(series[0], [1.0, 2.0, 3.0]);
        let none = InputList::default();
        let mut long = [vec![1.5; 1000]];
        Averaging::new(&none, 1).average_out(&mut long);
        assert_eq!(long[0], vec![1.5; 1000]);
    }
}
