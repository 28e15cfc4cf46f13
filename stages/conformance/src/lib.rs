//! What every kind of stage, drum section and water outlet must do, whoever makes it. For tests alone.
//!
//! A crate with a kind of its own calls [`faults`] from one test, with the registry of its program and the text of a scenario in which
//! the kind stands in a plant that runs:
//!
//! ```no_run
//! # let (registry, scenario) = (washgraph_conformance::Registry::new(), "");
//! assert_eq!(washgraph_conformance::faults(&registry, scenario, &["bar-screen"]), Vec::<String>::new());
//! ```
//!
//! | asked | method |
//! |---|---|
//! | words and sources for everything, no clash with another kind | [`Suite::words`] |
//! | its formulas answer, its checks pass | [`Suite::formulas`] |
//! | the scenario holds the kind and runs | [`Suite::presence`] |
//! | each setting at both ends of its range, at half and twice its value: mass closes in each class, nothing is NaN, or it is refused with words | [`Suite::ends`] |
//! | each setting that takes a spread: low and mid alike, mid and high alike, ends that touch the range; draws stay inside | [`Suite::spreads`] |
//! | each uncertain input at its far ends | [`Suite::far_ends`] |
//! | each move of its levers: the plant with it runs and closes, or is refused with words | [`Suite::levers`] |
//! | no jump: half a small step changes about half as much | [`Suite::smoothness`] |
//! | each fault has something to move, and its three grades run and close, or are refused with words | [`Suite::troubles`] |
//! | each reading finds its number | [`Suite::readings`] |

mod levers;
mod plant;
mod smooth;
mod troubles;
mod values;

use std::path::PathBuf;

use sim_core::formula::{Formula, Symbol};
use sim_core::problem::Problems;
pub use sim_core::registry::Registry;
use washgraph_model::handbook;
use washgraph_model::scenario::{Opened, build};
use washgraph_model::variant::{Settable, settables};

/// All that is wrong with some kinds of a registry, in words; empty when they do all that a kind must. Without `kinds` every kind is
/// asked, and every setting of the scenario.
pub fn faults(registry: &Registry, scenario: &str, kinds: &[&str]) -> Vec<String> {
    Suite::new(registry, scenario).of(kinds).faults()
}

/// The questions, for those who ask them one by one.
pub struct Suite<'a> {
    registry: &'a Registry,
    opened: Opened,
    kinds: Vec<&'a str>,
    silent: Vec<&'a str>,
}

impl<'a> Suite<'a> {
    /// All kinds of a registry in a scenario that names no files.
    pub fn new(registry: &'a Registry, scenario: &str) -> Self {
        let opened = Opened { text: scenario.into(), folder: PathBuf::new() };
        Suite { registry, opened, kinds: Vec::new(), silent: Vec::new() }
    }

    /// Only these kinds.
    #[must_use]
    pub fn of(mut self, kinds: &[&'a str]) -> Self {
        self.kinds = kinds.to_vec();
        self
    }

    /// Measures that may have no number in some cases, such as the pressure of a motor that is not there. Any other
    /// measure of the kinds that is not a number in a trial is a fault.
    #[must_use]
    pub fn silent_at_times(mut self, measures: &[&'a str]) -> Self {
        self.silent = measures.to_vec();
        self
    }

    /// The answers to all questions.
    pub fn faults(&self) -> Vec<String> {
        let mut list = [self.words(), self.formulas(), self.presence()].concat();
        // A scenario that does not run would only say so once more in each of the others.
        if list.is_empty() {
            list = [
                self.ends(),
                self.spreads(),
                self.far_ends(),
                self.levers(),
                self.smoothness(),
                self.troubles(),
                self.readings(),
            ]
            .concat();
        }
        list
    }

    /// Words and sources for everything that a kind declares; no two things of one name.
    pub fn words(&self) -> Vec<String> {
        handbook::problems(self.registry)
    }

    /// Formulas that answer somewhere, with as many numbers as they declare, and say where they come from; checks that pass.
    pub fn formulas(&self) -> Vec<String> {
        let r = self.registry;
        let formulas = (r.stages().iter().map(|k| (k.name, (k.formulas)(), (k.checks)())))
            .chain(r.sections().iter().map(|k| (k.name, (k.formulas)(), (k.checks)())))
            .chain(r.outlets().iter().map(|k| (k.name, (k.formulas)(), (k.checks)())));
        let mut list = Vec::new();
        for (kind, formulas, checks) in formulas.filter(|(kind, ..)| self.asks_of(kind)) {
            list.extend(formulas.iter().flat_map(|f| faults_of_formula(f)).map(|fault| format!("{kind}: {fault}")));
            if checks.is_empty() && !formulas.is_empty() {
                list.push(format!("{kind}: formulas without a single check"));
            }
            for check in checks {
                let computed = (check.computed)();
                if !check.passes(computed) {
                    list.push(format!("{kind}: check `{}` gives {computed}, not {}", check.id, check.published));
                }
                if check.source.is_empty() {
                    list.push(format!("{kind}: check `{}` has no source", check.id));
                }
            }
        }
        list
    }

    /// The kinds stand in the scenario, and the scenario runs.
    pub fn presence(&self) -> Vec<String> {
        let mut list: Vec<String> = self.names().into_iter().filter(|k| !self.is_there(k)).map(absent).collect();
        list.extend(
            self.kinds.iter().filter(|k| !self.names().contains(k)).map(|k| format!("no kind `{k}` in the registry")),
        );
        let mut problems = Problems::default();
        if build(&self.opened, self.registry, &mut problems).is_none() {
            list.extend(problems.in_order().into_iter().map(|p| format!("the scenario does not run: {}", p.message)));
        }
        list
    }

    /// Names of the kinds that are asked.
    fn names(&self) -> Vec<&'static str> {
        let r = self.registry;
        let all = r.stages().iter().map(|k| k.name);
        let all = all.chain(r.sections().iter().map(|k| k.name)).chain(r.outlets().iter().map(|k| k.name));
        all.filter(|name| self.asks_of(name)).collect()
    }

    fn asks_of(&self, kind: &str) -> bool {
        self.kinds.is_empty() || self.kinds.contains(&kind)
    }

    fn is_there(&self, kind: &str) -> bool {
        self.opened.text.contains(&format!("kind = \"{kind}\""))
    }

    /// Settings that are asked: those of the kinds, or all that bear on a trial.
    fn asked(&self) -> Result<Vec<Settable>, Vec<String>> {
        let all = settables(&self.opened, self.registry).map_err(|e| vec![e.to_string()])?;
        let bears = |s: &Settable| !["seed", "trials", "units"].contains(&s.path.as_str());
        let asked = |s: &Settable| if self.kinds.is_empty() { bears(s) } else { self.kinds.contains(&s.kind.as_str()) };
        Ok(all.into_iter().filter(asked).collect())
    }
}

fn absent(kind: &str) -> String {
    format!("the scenario has no kind = \"{kind}\"")
}

/// A sane value: the usual one, or one well inside the range.
fn sane(s: &Symbol) -> f64 {
    let (low, high) = s.range;
    match (s.default, low.is_finite(), high.is_finite()) {
        (Some(usual), ..) => usual,
        (None, true, true) if low > 0.0 => (low * high).sqrt(),
        (None, true, true) => low + 0.1 * (high - low),
        (None, true, false) => (2.0 * low).max(1.0),
        (None, false, true) => (0.5 * high).min(1.0),
        (None, false, false) => 1.0,
    }
}

fn faults_of_formula(f: &Formula) -> Vec<String> {
    let mut list = Vec::new();
    if f.source.is_empty() || f.meaning.is_empty() || f.equation.is_empty() {
        list.push(format!("formula `{}` lacks meaning, equation or source", f.name));
    }
    // The inputs alike, rising and falling, for formulas that want sizes in order; and each end of all ranges at once.
    let leaning = |lean: f64| -> Vec<f64> {
        let one = |(i, s): (usize, &Symbol)| (sane(s) * (1.0 + lean * i as f64)).clamp(s.range.0, s.range.1);
        f.inputs.iter().enumerate().map(one).collect()
    };
    let end = |of: fn(&Symbol) -> f64| -> Vec<f64> {
        f.inputs.iter().map(|s| if of(s).is_finite() { of(s) } else { sane(s) }).collect()
    };
    let inside: Vec<Vec<f64>> = [0.0, 0.15, -0.08].iter().map(|lean| (f.evaluate)(&leaning(*lean))).collect();
    let ends = [(f.evaluate)(&end(|s| s.range.0)), (f.evaluate)(&end(|s| s.range.1))];
    if inside.iter().chain(&ends).any(|y| y.len() != f.outputs.len()) {
        list.push(format!("formula `{}` does not give its {} outputs", f.name, f.outputs.len()));
    }
    for (k, output) in f.outputs.iter().enumerate() {
        if inside.iter().all(|y| y.get(k).is_none_or(|y| y.is_nan())) {
            list.push(format!("formula `{}` gives no {} for sane inputs", f.name, output.name));
        }
    }
    list
}
