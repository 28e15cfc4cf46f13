//! Arguments of `water`, the run, and the answer.

use sim_core::constants::S_PER_H;
use std::path::PathBuf;

use serde_json::{Value, json};
use sim_core::quantity::{Dimension, UnitChoice, convert_to, preferred, show};
use sim_core::registry::Registry;
use sim_core::trial::run_trials;
use washgraph_advice::water::{Change, DutyToBuy, Standing, WANTED_SHARE, WaterStudy, remedies};
use washgraph_model::result::RunResult;

use crate::books;
use crate::decide::answer::{Answer, CommonArgs};
use crate::exit::Exit;
use crate::load::load_base;
use crate::progress::watched;
use washgraph_advice::plants::base::Base;
use washgraph_advice::water::feed_sweep::{AtFeed, feed_sweep};
use washgraph_view::figures::curves::{Curve, Curves, Panel, curves};
use washgraph_view::figures::hole_flows::{BarHoles, HoleFlows, hole_flows};
use washgraph_view::figures::pump_curve::{PumpCurveFigure, pump_curve};
use washgraph_view::figures::water_ways::{WaterWays, Way, water_ways};
use washgraph_view::figures::{Figure, FigureError};
use washgraph_view::line_words;
use washgraph_view::tables::{Cell, TableFile};
use washgraph_view::water_readings::{Readings, judge};
use washgraph_view::water_words::{self, duty_words, remedy_words, study_lines, water_lines};

/// A pump one size up gives half as much flow again at the same head; one size down, two thirds. Our choice of a step.
const SIZE_STEP: f64 = 1.5;
/// Most trials over which the network alone is studied.
const STUDY_TRIALS: usize = 300;
/// Points of a curve.
const CURVE_POINTS: usize = 24;
/// The curves are drawn to this share above the flow of the pump.
const BEYOND: f64 = 1.3;

/// Arguments of `water`.
#[derive(Debug, clap::Args)]
pub(crate) struct WaterArgs {
    /// Scenario file
    pub scenario: PathBuf,
    /// Pressure read on the manifold gauge, such as "38 psi"; with --flow: what is wrong
    #[arg(long, requires = "flow")]
    pub gauge: Option<String>,
    /// Flow through the pump measured at the same time, such as "420 US gpm"
    #[arg(long, requires = "gauge")]
    pub flow: Option<String>,
    /// Pump that the readings belong to, when there are several
    #[arg(long)]
    pub pump: Option<String>,
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Need against supply, and what would help.
pub(crate) fn water(registry: &Registry, args: &WaterArgs) -> Exit {
    let readings = match Readings::read(args.gauge.as_deref(), args.flow.as_deref()) {
        Ok(readings) => readings,
        Err(message) => return usage(&message),
    };
    let base = match load_base(registry, &args.scenario) {
        Ok(loaded) => loaded,
        Err(exit) => return exit,
    };
    let read_line = match base.plant.lines.iter().position(|l| args.pump.as_ref().is_none_or(|id| *id == l.id)) {
        None if args.pump.is_some() => return usage("there is no such pump in this plant"),
        None if readings.is_some() => return usage("this plant has no pump: readings of a gauge say nothing of it"),
        line => line,
    };
    let trials = args.common.trials.unwrap_or(base.plant.trials);
    let seed = args.common.seed.unwrap_or(base.plant.seed);
    let statistics = watched(trials, |done| run_trials(&base.plant, seed, trials as usize, done));
    if let Some(fault) = books::refused([&statistics.broken]) {
        return fault;
    }
    let outcome = RunResult::new(&base.plant, seed, &statistics);
    let units = base.plant.units;
    let mut say = Say::new(&outcome, &base, units);
    for line in 0..base.plant.lines.len() {
        let mine = readings.filter(|_| read_line == Some(line));
        if let Err(error) = say.line(&base, line, seed, trials as usize, mine) {
            anstream::eprintln!("error: {error}");
            return Exit::Fault;
        }
    }
    let short = outcome.water.short_share > water_words::SHORT;
    match say.finish(&outcome, seed, trials, if short { Exit::LimitMissed } else { Exit::Done }) {
        Ok(answer) => answer.deliver(&args.scenario, &args.common),
        Err(error) => {
            anstream::eprintln!("error: {error}");
            Exit::Fault
        }
    }
}

fn usage(message: &str) -> Exit {
    anstream::eprintln!("error: {message}");
    Exit::BadInput
}

/// The answer as it grows, pump by pump.
struct Say {
    units: UnitChoice,
    text: String,
    lines: Vec<Value>,
    tables: Vec<TableFile>,
    figures: Vec<Figure>,
    bars: Vec<BarHoles>,
}

impl Say {
    fn new(outcome: &RunResult, base: &Base<'_>, units: UnitChoice) -> Say {
        let mut text = format!("{}\n\n", base.plant.title);
        text += &water_lines(outcome, units);
        text += "\n";
        text += &line_words::outlets(outcome, units);
        if base.plant.lines.is_empty() {
            text +=
                "\nFlows and pressures are as typed: add a stage of kind `pump` to see whether a pump can give them.\n";
        }
        Say { units, text, lines: Vec::new(), tables: Vec::new(), figures: Vec::new(), bars: Vec::new() }
    }

    fn line(
        &mut self,
        base: &Base<'_>,
        line: usize,
        seed: u64,
        trials: usize,
        readings: Option<Readings>,
    ) -> Result<(), FigureError> {
        let units = self.units;
        let Some(study) = WaterStudy::new(&base.plant, line, seed, trials.min(STUDY_TRIALS)) else { return Ok(()) };
        let now = study.standing(&[]);
        let up = study.standing(&[Change::PumpFlow(SIZE_STEP)]);
        let down = study.standing(&[Change::PumpFlow(1.0 / SIZE_STEP)]);
        let buy = study.duty_to_buy();
        let sweep = feed_sweep(base, line, seed, study.middle.feed_m3_s);
        let pumps = [
            ("this pump", now.pump_flow_m3_s),
            ("one size up (half as much again)", up.pump_flow_m3_s),
            ("one size down (two thirds)", down.pump_flow_m3_s),
        ];
        self.text += "\n";
        self.text += &line_words::working_point(&study, &now, units);
        self.text += &format!("{}\n", duty_words(buy, units));
        self.text += &line_words::reach(&sweep, &pumps, units);
        let helps = remedies(&study);
        if now.short_share > 1.0 - WANTED_SHARE {
            self.text += &study_lines(&study, units);
        }
        let verdict = readings.and_then(|r| judge(&study.middle.case, r, units));
        if let Some(verdict) = &verdict {
            self.text += "\n";
            self.text += &verdict.text;
        }
        if let Some(figure) = over_feed(&sweep, &pumps, study.middle.feed_m3_s, units) {
            self.figures.push(curves(&figure)?);
        }
        self.figures.push(pump_curve(&curve_figure(&study, &now, buy.as_ref(), units))?);
        self.bars.extend(bars(&study));
        self.tables.push(sweep_table(&sweep, &study.middle.case.pump));
        self.lines.push(json!({
            "pump": study.middle.case.pump,
            "now": standing_json(&now), "one_size_up": standing_json(&up), "one_size_down": standing_json(&down),
            "duty_to_buy": buy.map(|d| json!({ "flow_m3_s": d.flow_m3_s, "head_m": d.head_m, "meets_share": d.share })),
            "over_feed": sweep.iter().map(|a| json!({
                "feed_loose_m3_s": a.feed_m3_s, "needed_m3_s": a.needed_m3_s.map(|x| x.is_finite().then_some(x)),
            })).collect::<Vec<_>>(),
            "remedies": helps.iter().map(|r| json!({
                "what": remedy_words(r, &study, units), "meets": r.meets, "after": standing_json(&r.standing),
            })).collect::<Vec<_>>(),
            "readings": verdict.map(|v| v.document),
        }));
        Ok(())
    }

    fn finish(mut self, outcome: &RunResult, seed: u64, trials: u64, exit: Exit) -> Result<Answer, FigureError> {
        let mut ways: Vec<Way> = outcome
            .water
            .branches
            .iter()
            .map(|b| Way {
                name: b.name.clone(),
                on: b.on.clone(),
                flow_m3_s: b.flow_m3_h.pctl_50 / S_PER_H,
                fed_by: b.fed_by.clone(),
            })
            .filter(|w| w.flow_m3_s > 0.0)
            .collect();
        ways.sort_by(|a, b| b.flow_m3_s.total_cmp(&a.flow_m3_s));
        let bars = HoleFlows { units: self.units, bars: std::mem::take(&mut self.bars) };
        for figure in [hole_flows(&bars), water_ways(&WaterWays { units: self.units, ways })].into_iter().flatten() {
            self.figures.push(figure?);
        }
        self.text += "\n";
        self.text += line_words::CAUTIONS;
        let document = json!({
            "command": "water", "seed": seed, "trials": trials, "water": outcome.water, "pumps": self.lines,
        });
        Ok(Answer { command: "water", text: self.text, document, tables: self.tables, figures: self.figures, exit })
    }
}

fn standing_json(s: &Standing) -> Value {
    json!({
        "short_share": s.short_share, "shortfall_1_in_10_above_m3_s": s.shortfall_m3_s,
        "pump_flow_m3_s": s.pump_flow_m3_s, "pump_head_m": s.pump_head_m, "gauge_head_m": s.gauge_m,
    })
}

fn sweep_table(sweep: &[AtFeed], pump: &str) -> TableFile {
    let columns = [
        "pump",
        "feed_loose_m3_per_h",
        "needed_1_in_10_below_m3_per_h",
        "needed_middle_m3_per_h",
        "needed_1_in_10_above_m3_per_h",
    ];
    let mut table = TableFile::new("need-over-feed", &columns);
    for a in sweep {
        let mut row = vec![Cell::from(pump), Cell::from(a.feed_m3_s * S_PER_H)];
        row.extend(a.needed_m3_s.map(|q| Cell::from(q * S_PER_H)));
        table.row(row);
    }
    table
}

/// Need and supply over the feed rate, as far as hoses and holes let any pump meet it.
fn over_feed(sweep: &[AtFeed], pumps: &[(&str, f64)], now_m3_s: f64, units: UnitChoice) -> Option<Curves> {
    let in_reach: Vec<&AtFeed> = sweep.iter().take_while(|a| a.needed_m3_s[2].is_finite()).collect();
    let [_, _, ..] = in_reach.as_slice() else { return None };
    let q_unit = preferred(Dimension::Flow, units);
    let x_unit = preferred(Dimension::GravelRate, units);
    let q = |x: f64| convert_to(x, Dimension::Flow, q_unit).unwrap_or(f64::NAN);
    let feed = |x: f64| convert_to(x, Dimension::GravelRate, x_unit).unwrap_or(f64::NAN);
    let need = |k: usize| in_reach.iter().map(|a| q(a.needed_m3_s[k])).collect::<Vec<_>>();
    let flat = |supply: f64| vec![q(supply); in_reach.len()];
    let mut list = vec![Curve { name: "needed".into(), mean: need(1), low: need(0), high: need(2) }];
    let names = ["this pump", "size up", "size down"];
    list.extend(pumps.iter().zip(names).map(|((_, supply), name)| Curve {
        name: name.into(),
        mean: flat(*supply),
        low: flat(*supply),
        high: flat(*supply),
    }));
    let supply = pumps.first()?.1;
    let title = match washgraph_advice::water::feed_sweep::largest_feed_m3_s(sweep, supply) {
        None => "The pump is too small at every feed rate tried".to_string(),
        Some(most) if most < now_m3_s => {
            format!(
                "The pump is enough for {}; {} is fed",
                show(most, Dimension::GravelRate, units),
                show(now_m3_s, Dimension::GravelRate, units)
            )
        }
        Some(most) => {
            format!("The pump is enough for up to {} of loose ground", show(most, Dimension::GravelRate, units))
        }
    };
    Some(Curves {
        file: "need-and-supply",
        title,
        axis: format!("Loose ground fed, {x_unit}"),
        x: in_reach.iter().map(|a| feed(a.feed_m3_s)).collect(),
        names: in_reach.iter().map(|a| format!("{:.0}", feed(a.feed_m3_s))).collect(),
        panels: vec![Panel { name: format!("Flow through the pump, {q_unit}"), curves: list }],
        chances: Vec::new(),
        present: Some(feed(now_m3_s)),
    })
}

fn curve_figure(study: &WaterStudy, now: &Standing, buy: Option<&DutyToBuy>, units: UnitChoice) -> PumpCurveFigure {
    let case = &study.middle.case;
    let working: Vec<(f64, f64)> =
        study.trials.iter().filter_map(|t| t.case.solve().ok().map(|f| (f.pump_flow_m3_s, f.pump_head_m))).collect();
    let middle = case.solve().map_or((now.pump_flow_m3_s, now.pump_head_m), |f| (f.pump_flow_m3_s, f.pump_head_m));
    let buy = buy.map(|d| (d.flow_m3_s, d.head_m));
    let title = match buy {
        Some((q, h)) if q > middle.0 => format!(
            "This pump gives {}; {} at {} of head would be enough",
            show(middle.0, Dimension::Flow, units),
            show(q, Dimension::Flow, units),
            show(h, Dimension::Head, units)
        ),
        _ => format!(
            "The pump works at {} and {} of head",
            show(middle.0, Dimension::Flow, units),
            show(middle.1, Dimension::Head, units)
        ),
    };
    let most = BEYOND * middle.0.max(buy.map_or(0.0, |b| b.0));
    PumpCurveFigure {
        title,
        units,
        pump: case.pump_points(CURVE_POINTS),
        plant: case.plant_points(most, CURVE_POINTS),
        working,
        middle,
        buy,
    }
}

/// Holes of every bar in the middle case.
fn bars(study: &WaterStudy) -> Vec<BarHoles> {
    let case = &study.middle.case;
    let Ok(flow) = case.solve() else { return Vec::new() };
    let holes = |(j, branch): (usize, &washgraph_advice::water::CaseBranch)| {
        Some(BarHoles { name: branch.id.clone(), flow_m3_s: case.holes_of(&flow, j)?.hole_flow_m3_s })
    };
    case.branches.iter().enumerate().filter_map(holes).collect()
}
