//! Values and spreads to try in place of what a scenario says.

use rayon::prelude::*;
use sim_core::problem::Problems;
use sim_core::quantity::{self, Dimension};
use sim_core::setting::Kind;
use sim_core::trial::Worker;
use washgraph_model::scenario::build;
use washgraph_model::variant::Settable;

use crate::Suite;

impl Suite<'_> {
    /// Each setting at both ends of its range, at half and at twice its value, each word, each switch.
    pub fn ends(&self) -> Vec<String> {
        self.try_all(values_of)
    }

    /// Each setting that takes a spread, with spreads that have no lower half, no upper half, and ends that touch the range.
    pub fn spreads(&self) -> Vec<String> {
        self.try_all(spreads_of)
    }

    /// Each uncertain input at its far ends, all others at their middle; and a source for each.
    pub fn far_ends(&self) -> Vec<String> {
        let asked = match self.asked() {
            Ok(asked) => asked,
            Err(faults) => return faults,
        };
        let mut problems = Problems::default();
        let Some(plant) = build(&self.opened, self.registry, &mut problems) else {
            return vec!["the scenario does not run".into()];
        };
        let mut worker = Worker::new(&plant, 1);
        let mut list = Vec::new();
        for (k, input) in plant.inputs.all().iter().enumerate() {
            let owner = input.name.rsplit_once('/').map_or("", |n| n.0);
            if !self.kinds.is_empty() && !asked.iter().any(|s| s.owner == owner) {
                continue;
            }
            if input.source.is_empty() {
                list.push(format!("{}: no source", input.name));
            }
            for u in [1e-4, 0.9999] {
                worker.run_middle_but(k, u);
                list.extend(self.fault_of(&worker).map(|fault| format!("{} at {u}: {fault}", input.name)));
            }
        }
        list
    }

    fn try_all(&self, values: fn(&Settable) -> Vec<String>) -> Vec<String> {
        let asked = match self.asked() {
            Ok(asked) => asked,
            Err(faults) => return faults,
        };
        let changes: Vec<(&Settable, String)> =
            asked.iter().flat_map(|s| values(s).into_iter().map(move |value| (s, value))).collect();
        changes
            .par_iter()
            .flat_map_iter(|(settable, value)| {
                let found = match self.changed(settable, value, &asked) {
                    Ok(changed) => self.faults_of(&changed, settable),
                    Err(error) => vec![error],
                };
                found.into_iter().map(|f| format!("{} = {value}: {f}", settable.path)).collect::<Vec<_>>()
            })
            .collect()
    }
}

/// A quantity as it is typed.
pub(crate) fn typed(si: f64, dimension: Dimension) -> String {
    let basis = if dimension.takes_basis() { " loose" } else { "" };
    format!("{si} {}{basis}", dimension.si_symbol())
}

/// What holds now, SI.
pub(crate) fn now(settable: &Settable, dimension: Dimension) -> Option<f64> {
    settable.in_force().and_then(|text| quantity::parse(text, dimension).ok()).map(|p| p.si)
}

/// Values to try: each word, both ends of the range, and half and twice of what holds.
fn values_of(settable: &Settable) -> Vec<String> {
    let setting = &settable.setting;
    let (low, high) = setting.range;
    match setting.kind {
        Kind::Choice(words) => words.iter().map(|w| w.0.to_string()).collect(),
        Kind::Switch => vec!["true".into(), "false".into()],
        Kind::Known(dimension) | Kind::Quantity(dimension) => {
            let near = now(settable, dimension).into_iter().flat_map(|x| [0.5 * x, 2.0 * x]);
            let ends = [low, high].into_iter().filter(|x| x.is_finite());
            ends.chain(near.filter(|x| (low..=high).contains(x))).map(|x| typed(x, dimension)).collect()
        }
        Kind::Whole => [low, high].into_iter().filter(|x| x.is_finite() && *x < 1e6).map(|x| format!("{x}")).collect(),
        Kind::Text | Kind::File { .. } | Kind::Rows(_) | Kind::Words(_) | Kind::Nested => Vec::new(),
    }
}

/// Spreads to try: low and mid alike, mid and high alike, low at the lower and high at the upper end of the range.
fn spreads_of(settable: &Settable) -> Vec<String> {
    let Kind::Quantity(dimension) = settable.setting.kind else { return Vec::new() };
    let (low, high) = settable.setting.range;
    let now = now(settable, dimension);
    let or = |x: Option<f64>, end: f64| x.filter(|x| x.is_finite()).unwrap_or(end).clamp(low, high);
    let from = or(now.filter(|x| *x > 0.0).map(|x| 0.5 * x), low);
    let to = or(now.filter(|x| *x > 0.0).map(|x| 2.0 * x), high);
    let mid = or(now, 0.5 * (from + to));
    let all = [(from, from, to), (from, to, to), (low, mid, to), (from, mid, high)];
    let fits = |(a, b, c): &(f64, f64, f64)| a.is_finite() && c.is_finite() && a <= b && b <= c && a < c;
    let text = |(a, b, c): (f64, f64, f64)| {
        let [a, b, c] = [a, b, c].map(|x| typed(x, dimension));
        format!("{{ low = \"{a}\", mid = \"{b}\", high = \"{c}\" }}")
    };
    all.into_iter().filter(fits).map(text).collect()
}
