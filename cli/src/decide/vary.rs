//! The command `vary`: one or two settings over a range, on the same ground.

use sim_core::constants::G_H_PER_KG_S;
use std::fmt::Write as _;
use std::path::PathBuf;

use serde_json::json;
use sim_core::plant::Plant;
use sim_core::quantity::parse;
use sim_core::registry::Registry;
use sim_core::stats::choice::{Call, Choice};
use sim_core::stats::summary::Summary;
use washgraph_model::paired::{DesignRun, gap};

use crate::books;
use crate::decide::answer::{Answer, CommonArgs};
use crate::exit::Exit;
use crate::load::complain;
use crate::load::load_base;
use crate::progress::watched;
use washgraph_advice::plants::base::{Base, Change};
use washgraph_advice::plants::contest::{Contest, currency, mean};
use washgraph_advice::plants::range::{USUAL_STEPS, Varied};
use washgraph_view::contest::{call_word, document, table};
use washgraph_view::figures::curves::{Curve, Curves, Panel, curves};
use washgraph_view::figures::map::{Map, map};
use washgraph_view::figures::{Figure, FigureError};
use washgraph_view::numbers::capital;
use washgraph_view::words::{call, chance, money, percent, percent_of, signed};

/// Values of each of two settings unless the user says how many.
const STEPS_OF_TWO: usize = 6;
/// Most plants in one command.
const MOST_PLANTS: usize = 400;

/// Arguments of `vary`.
#[derive(Debug, clap::Args)]
pub(crate) struct VaryArgs {
    /// Scenario file
    pub scenario: PathBuf,
    /// One or two settings: path=lo..hi, path=lo..hi:n or path="a; b; c", e.g. sluice.length="6 ft..16 ft"
    #[arg(required = true, num_args = 1..=2)]
    pub settings: Vec<String>,
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Varies one or two settings.
pub(crate) fn vary(registry: &Registry, args: &VaryArgs) -> Exit {
    let base = match load_base(registry, &args.scenario) {
        Ok(loaded) => loaded,
        Err(exit) => return exit,
    };
    let steps = if args.settings.len() == 2 { STEPS_OF_TWO } else { USUAL_STEPS };
    let mut varied = Vec::new();
    let mut wrong = false;
    for text in &args.settings {
        match Varied::read(text, &base, steps) {
            Ok(v) => varied.push(v),
            Err(error) => {
                complain(&error);
                wrong = true;
            }
        }
    }
    if wrong {
        return Exit::BadInput;
    }
    let Some(points) = points(&varied) else { return Exit::BadInput };
    let mut plants: Vec<(String, Plant)> = Vec::new();
    let mut refused: Vec<(String, String)> = Vec::new();
    let mut places = Vec::new();
    for point in &points {
        let changes: Vec<Change> =
            varied.iter().zip(point).filter_map(|(v, i)| Some((v.path.clone(), v.values.get(*i)?.clone()))).collect();
        let name = changes.iter().map(|c| c.1.clone()).collect::<Vec<_>>().join(" and ");
        match base.variant(&changes) {
            Ok(plant) => {
                plants.push((name, plant));
                places.push(point.clone());
            }
            Err(reason) => refused.push((name, reason)),
        }
    }
    if plants.len() < 2 {
        for (name, reason) in &refused {
            anstream::eprintln!("error: {name}: {reason}");
        }
        anstream::eprintln!("error: fewer than two of the plants can be built: nothing to compare");
        return Exit::BadInput;
    }
    let trials = args.common.trials.unwrap_or(base.plant.trials);
    let seed = args.common.seed.unwrap_or(base.plant.seed);
    let total = trials * (plants.len() as u64 + 1);
    let (present, contest) = watched(total, |done| Contest::beside(&base.plant, &plants, seed, trials as usize, done));
    if let Some(fault) = books::refused(contest.design_runs.iter().chain([&present]).map(|run| &run.broken)) {
        return fault;
    }
    let Some(gold) = &contest.gold else {
        anstream::eprintln!(
            "error: no gold reaches the plant, or the physics has no answer here: check rates and grades"
        );
        return Exit::Impossible;
    };
    let sweep = Sweep {
        base: &base,
        varied: &varied,
        places: &places,
        present: &present,
        contest: &contest,
        refused: &refused,
    };
    let figures = match sweep.figures(gold) {
        Ok(figures) => figures,
        Err(error) => {
            anstream::eprintln!("error: {error}");
            return Exit::Fault;
        }
    };
    let document = json!({
        "command": "vary", "scenario": args.scenario.display().to_string(), "seed": seed, "trials": trials,
        "settings": varied.iter().map(|v| json!({ "path": v.path.text(), "values": v.values, "si": v.si })).collect::<Vec<_>>(),
        "plants": document(&contest, "value"),
        "present_gold_g_per_h": mean(&present.steady) * G_H_PER_KG_S,
        "best": contest.design_runs.get(gold.best).map(|a| a.name.clone()),
        "as_good": sweep.names(&gold.as_good),
        "call": call_word(gold.call),
        "best_by_money": contest.money.as_ref().and_then(|m| contest.design_runs.get(m.best)).map(|a| a.name.clone()),
        "refused": refused.iter().map(|(n, r)| json!({ "value": n, "reason": r })).collect::<Vec<_>>(),
    });
    let text = sweep.text(gold);
    let tables = vec![table(&contest, "values", &args.settings.join(" and "))];
    Answer { command: "vary", text, document, tables, figures, exit: Exit::Done }.deliver(&args.scenario, &args.common)
}

/// All combinations of the values; too many are refused.
fn points(varied: &[Varied]) -> Option<Vec<Vec<usize>>> {
    let count: usize = varied.iter().map(|v| v.values.len()).product();
    if count > MOST_PLANTS {
        anstream::eprintln!("error: {count} plants are too many for one run; at most {MOST_PLANTS}: take fewer values");
        return None;
    }
    let mut points = vec![Vec::new()];
    for v in varied {
        points = points
            .into_iter()
            .flat_map(|p| {
                (0..v.values.len()).map(move |i| {
                    let mut longer = p.clone();
                    longer.push(i);
                    longer
                })
            })
            .collect();
    }
    Some(points)
}

struct Sweep<'a> {
    base: &'a Base<'a>,
    varied: &'a [Varied],
    /// Place of each plant in the lists of values.
    places: &'a [Vec<usize>],
    present: &'a DesignRun,
    contest: &'a Contest,
    refused: &'a [(String, String)],
}

impl Sweep<'_> {
    fn names(&self, list: &[usize]) -> Vec<String> {
        list.iter().filter_map(|i| self.contest.design_runs.get(*i)).map(|a| a.name.clone()).collect()
    }

    fn text(&self, gold: &Choice) -> String {
        let c = self.contest;
        let trials = c.trials();
        let mut t = format!("{}\n", self.base.plant.title);
        for v in self.varied {
            let now = self.base.in_force(&v.path.text()).unwrap_or("not set");
            let _ = writeln!(t, "{} ({}): now {now}", v.path.text(), v.meaning());
        }
        let _ = writeln!(
            t,
            "Present plant: {:.2} g of raw gold an hour, averaged over a season.\n",
            mean(&self.present.steady) * G_H_PER_KG_S
        );
        let widest = c.design_runs.iter().map(|a| a.name.chars().count()).max().unwrap_or(5).max(5);
        let _ = write!(t, "{:<widest$}  gold g/h  against now   better in  caught   best in", "value");
        let _ = writeln!(t, "{}", if c.money.is_some() { "   money of a season" } else { "" });
        for (i, design_run) in c.design_runs.iter().enumerate() {
            let Some(g) = gap(&self.present.steady, &design_run.steady) else { continue };
            let _ = write!(
                t,
                "{:<widest$}  {:>8.3}  {:>11}  {:>10}  {:>6}  {:>8}",
                design_run.name,
                g.to * G_H_PER_KG_S,
                percent_of(g.comparison.mean_gap, g.from),
                if g.comparison.gap_sd == 0.0 { "-".into() } else { chance(g.comparison.chance_a, trials) },
                percent(design_run.mean_recovery()),
                gold.chance_best.get(i).map_or(String::new(), |p| percent(*p)),
            );
            let season = c.season_money(i).map_or(String::new(), |m| format!("   {}", money(m.mean, &c.currency)));
            let mark = if design_run.short_share > 0.5 { "  short of water" } else { "" };
            let limit =
                design_run.limits.iter().find(|l| l.2 > 0.5).map_or(String::new(), |l| format!("  limit: {}", l.1));
            let _ = writeln!(t, "{season}{mark}{limit}");
        }
        for (name, reason) in self.refused {
            let _ = writeln!(t, "{name}: cannot be built: {reason}");
        }
        let _ = writeln!(t, "\n{}", call(gold, |i| self.name(i), trials, "gold"));
        if let Some(flat) = self.flat(gold) {
            let _ = writeln!(t, "{flat}");
        }
        let _ = writeln!(
            t,
            "Choosing {} costs {} g/h on average against knowing what the ground holds.",
            self.name(gold.best),
            signed(gold.cost_of_wrong.get(gold.best).copied().unwrap_or(f64::NAN) * G_H_PER_KG_S)
                .trim_start_matches('+')
        );
        if let Some(m) = &c.money {
            let _ = writeln!(t, "By the money of a season: {}", call(m, |i| self.name(i), trials, "money"));
        }
        let _ = writeln!(
            t,
            "{trials} common trials each: same ground, same hours, same luck. Nothing else was re-tuned to suit."
        );
        t
    }

    fn name(&self, i: usize) -> String {
        self.contest.design_runs.get(i).map_or(String::new(), |a| a.name.clone())
    }

    /// The flat part of the curve around the optimum, and whether the optimum is at the end of the range.
    fn flat(&self, gold: &Choice) -> Option<String> {
        let [only] = self.varied else { return None };
        if !only.numeric {
            return None;
        }
        let (first, last) = (0, self.contest.design_runs.len() - 1);
        let run = |step: isize| {
            let mut at = gold.best;
            while let Some(next) = at.checked_add_signed(step).filter(|n| *n <= last && gold.as_good.contains(n)) {
                at = next;
            }
            at
        };
        let (from, to) = (run(-1), run(1));
        let mut text = if from < to {
            format!("The curve is flat from {} to {}: any of them will do.", self.name(from), self.name(to))
        } else {
            format!("The optimum is sharp: neighbours of {} already bring less.", self.name(gold.best))
        };
        if gold.best == first || gold.best == last {
            let _ = write!(
                text,
                " The best value stands at the {} of the range: look further{}.",
                if gold.best == first { "start" } else { "end" },
                if gold.best == first { " down" } else { " up" }
            );
        }
        Some(text)
    }

    fn figures(&self, gold: &Choice) -> Result<Vec<Figure>, FigureError> {
        match self.varied {
            [one] => self.curve(one, gold).map(|f| vec![f]),
            [across, up] => {
                let mut list = vec![self.map(across, up, gold, "gold", "Raw gold, g/h", |i| {
                    self.contest.design_runs.get(i).map(|a| mean(&a.steady) * G_H_PER_KG_S)
                })?];
                if let Some(m) = &self.contest.money {
                    let what = format!("Money of a season, {}", currency(&self.base.plant));
                    let mut figure =
                        self.map(across, up, m, "money", &what, |i| self.contest.season_money(i).map(|s| s.mean))?;
                    figure.name = "map-money";
                    list.push(figure);
                }
                Ok(list)
            }
            _ => Ok(Vec::new()),
        }
    }

    fn curve(&self, v: &Varied, gold: &Choice) -> Result<Figure, FigureError> {
        let c = self.contest;
        let si = |place: &Vec<usize>| place.first().and_then(|i| v.si.get(*i)).copied().unwrap_or(0.0);
        let summaries: Vec<_> = (0..c.design_runs.len()).map(|i| c.gold_g_h(i)).collect();
        let curve = |name: String, list: &[Summary]| Panel {
            name,
            curves: vec![Curve {
                name: "mean".into(),
                mean: list.iter().map(|s| s.mean).collect(),
                low: list.iter().map(|s| s.pctl_10).collect(),
                high: list.iter().map(|s| s.pctl_90).collect(),
            }],
        };
        let mut panels = vec![
            curve("Raw gold caught, g/h".into(), &summaries),
            curve("More (or less) than the present plant, g/h".into(), &c.against(self.present, false)),
        ];
        let mut chances = vec![("most gold".to_string(), gold.chance_best.clone())];
        if let Some(m) = &c.money {
            let name = format!("More (or less) money a season, {}", c.currency);
            panels.push(curve(name, &c.against(self.present, true)));
            chances.push(("most money".into(), m.chance_best.clone()));
        }
        let present = self
            .base
            .in_force(&v.path.text())
            .and_then(|now| parse(now, v.path.setting().dimension()?).ok())
            .map(|p| p.si)
            .filter(|x| v.numeric && v.si.first() <= Some(x) && Some(x) <= v.si.last());
        curves(&Curves {
            file: "vary",
            title: format!("{}: {}", capital(v.meaning()), finding(gold, |i| self.name(i))),
            axis: format!("{} ({})", capital(v.meaning()), v.path.text()),
            x: self.places.iter().map(si).collect(),
            names: c.design_runs.iter().map(|a| a.name.clone()).collect(),
            panels,
            chances,
            present,
        })
    }

    fn map(
        &self,
        across: &Varied,
        up: &Varied,
        choice: &Choice,
        of: &str,
        what: &str,
        value: impl Fn(usize) -> Option<f64>,
    ) -> Result<Figure, FigureError> {
        let mut values = vec![vec![None; across.values.len()]; up.values.len()];
        let tile = |place: &[usize]| Some((*place.get(1)?, *place.first()?));
        for (i, place) in self.places.iter().enumerate() {
            if let Some((r, c)) = tile(place)
                && let Some(cell) = values.get_mut(r).and_then(|row| row.get_mut(c))
            {
                *cell = value(i);
            }
        }
        map(&Map {
            title: format!("Most {of} at {}", self.name(choice.best)),
            what: what.to_string(),
            across: (across.path.text(), across.values.clone()),
            up: (up.path.text(), up.values.clone()),
            values,
            as_good: choice.as_good.iter().filter_map(|i| tile(self.places.get(*i)?)).collect(),
        })
    }
}

/// The finding of a figure in a few words.
pub(crate) fn finding(choice: &Choice, name: impl Fn(usize) -> String) -> String {
    let best = name(choice.best);
    match choice.call {
        Call::Clear => format!("{best} brings the most gold"),
        Call::Same => format!("{best} brings the most gold, others as good as the same"),
        Call::TooClose => format!("{best} brings the most gold, but others may be as good"),
    }
}
