//! The command `compare`: two plants on the same ground.

use sim_core::constants::G_H_PER_KG_S;
use std::fmt::Write as _;
use std::path::PathBuf;

use serde_json::json;
use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::registry::Registry;
use washgraph_model::paired::{DesignRun, Gap, gap};

use crate::books;
use crate::decide::answer::{Answer, CommonArgs};
use crate::exit::Exit;
use crate::load::load_base;
use crate::progress::watched;
use washgraph_advice::plants::base::Base;
use washgraph_advice::plants::contest::{Contest, mean};
use washgraph_view::contest::{document, gap_json, table};
use washgraph_view::figures;
use washgraph_view::tables::{Cell, TableFile};
use washgraph_view::words::{gap_line, money, percent, points};

/// Arguments of `compare`.
#[derive(Debug, clap::Args)]
pub(crate) struct CompareArgs {
    /// Scenario of the present plant
    pub a: PathBuf,
    /// Scenario of the other plant
    pub b: PathBuf,
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Compares two scenarios.
pub(crate) fn compare(registry: &Registry, args: &CompareArgs) -> Exit {
    // Both are read before either stops the command: all problems at once.
    let (a, b) = match (load_base(registry, &args.a), load_base(registry, &args.b)) {
        (Ok(a), Ok(b)) => (a, b),
        (Err(exit), _) | (_, Err(exit)) => return exit,
    };
    let trials = args.common.trials.unwrap_or(a.plant.trials);
    let seed = args.common.seed.unwrap_or(a.plant.seed);
    let differences = differences(&a, &b);
    let units = a.plant.units;
    let plants = [("A".to_string(), a.plant), ("B".to_string(), b.plant)];
    let contest = watched(2 * trials, |done| Contest::run(&plants, seed, trials as usize, done));
    if let Some(fault) = books::refused(contest.design_runs.iter().map(|run| &run.broken)) {
        return fault;
    }
    let [first, second] = contest.design_runs.as_slice() else { return Exit::Fault };
    let gaps = Gaps::of(first, second);
    let Some(gold) = gaps.gold else {
        anstream::eprintln!("error: the plants cannot be compared: no gold, or too few trials");
        return Exit::Impossible;
    };
    let (losses, loss_rows) = losses_table(first, second);
    let text = text(args, &plants, &contest, &gaps, &gold, &differences, &loss_rows, units);
    let figure = figures::difference::difference(
        "What changing from A to B does to the gold caught",
        &second.steady.iter().zip(&first.steady).map(|(b, a)| (b - a) * G_H_PER_KG_S).collect::<Vec<_>>(),
        "g/h",
    );
    let figures = match figure {
        Ok(figure) => figure.into_iter().collect(),
        Err(error) => {
            anstream::eprintln!("error: {error}");
            return Exit::Fault;
        }
    };
    let document = json!({
        "command": "compare", "a": args.a.display().to_string(), "b": args.b.display().to_string(),
        "seed": seed, "trials": trials,
        "differences": differences.iter().map(|d| json!({ "path": d.0, "a": d.1, "b": d.2 })).collect::<Vec<_>>(),
        "plants": document(&contest, "plant"),
        "gold_g_per_h": gap_json(&gold, G_H_PER_KG_S),
        "recovery": gaps.recovery.map(|g| gap_json(&g, 1.0)),
        "money_season": gaps.money.map(|g| gap_json(&g, 1.0)),
    });
    let mut settings = TableFile::new("settings", &["path", "a", "b"]);
    for (path, a, b) in &differences {
        settings.row([path.clone().into(), a.clone().into(), b.clone().into()]);
    }
    let tables = vec![table(&contest, "plants", "plant"), gaps.table(), losses, settings];
    Answer { command: "compare", text, document, tables, figures, exit: Exit::Done }.deliver(&args.a, &args.common)
}

/// The gaps of two plants.
pub(crate) struct Gaps {
    /// Gold caught over a season's hour, kg/s.
    pub gold: Option<Gap>,
    /// Recovery.
    pub recovery: Option<Gap>,
    /// Money of the season.
    pub money: Option<Gap>,
}

impl Gaps {
    /// From the first plant to the second.
    pub fn of(from: &DesignRun, to: &DesignRun) -> Gaps {
        Gaps {
            gold: gap(&from.steady, &to.steady),
            recovery: gap(&from.recovery(), &to.recovery()),
            money: gap(&from.season_net, &to.season_net),
        }
    }

    fn table(&self) -> TableFile {
        let mut table = TableFile::new(
            "gaps",
            &[
                "of",
                "a_mean",
                "b_mean",
                "gap_mean",
                "gap_standard_error",
                "gap_1_in_10_below",
                "gap_middle",
                "gap_1_in_10_above",
                "chance_b_better",
                "correlation",
                "trials_saved_times",
            ],
        );
        let rows = [
            ("gold caught, g/h", &self.gold, G_H_PER_KG_S),
            ("recovery, share", &self.recovery, 1.0),
            ("money of the season", &self.money, 1.0),
        ];
        for (name, gap, f) in rows {
            let Some(g) = gap else { continue };
            let c = &g.comparison;
            let mut row = vec![Cell::from(name)];
            let numbers =
                [g.from * f, g.to * f, c.mean_gap * f, c.gap_error * f, g.pctl_10 * f, g.pctl_50 * f, g.pctl_90 * f];
            row.extend(numbers.map(Cell::from));
            row.extend([c.chance_a, g.correlation, g.trials_saved].map(Cell::from));
            table.row(row);
        }
        table
    }
}

/// Settings in which two scenarios differ: path, value of A, value of B.
fn differences(a: &Base<'_>, b: &Base<'_>) -> Vec<(String, String, String)> {
    let none = "-".to_string();
    let mut list = Vec::new();
    let value = |s: &washgraph_model::variant::Settable| match &s.spread {
        Some([low, mid, high]) => format!("{low} / {mid} / {high}"),
        None => s.in_force().unwrap_or("-").to_string(),
    };
    for s in &a.list {
        let own = value(s);
        let other = b.list.iter().find(|o| o.path == s.path).map_or(none.clone(), value);
        if own != other {
            list.push((s.path.clone(), own, other));
        }
    }
    for s in b.list.iter().filter(|s| s.given.is_some() && !a.list.iter().any(|o| o.path == s.path)) {
        list.push((s.path.clone(), none.clone(), value(s)));
    }
    list.retain(|(path, ..)| !["title", "question", "seed", "trials"].contains(&path.as_str()));
    list
}

type LossRow = (String, String, f64, f64);

/// Losses of both plants, largest change first.
fn losses_table(a: &DesignRun, b: &DesignRun) -> (TableFile, Vec<LossRow>) {
    let mut rows: Vec<LossRow> = Vec::new();
    for note in a.notes.iter().chain(&b.notes) {
        let (stage, reason) = (note.stage.clone(), note.reason.name.to_string());
        if rows.iter().any(|r| r.0 == stage && r.1 == reason) {
            continue;
        }
        let of =
            |design_run: &DesignRun| design_run.lost_share(|n| n.stage == stage && n.reason.name == reason, |_| true);
        let (x, y) = (of(a), of(b));
        if x > 1e-9 || y > 1e-9 {
            rows.push((stage, reason, x, y));
        }
    }
    rows.sort_by(|x, y| (y.3 - y.2).abs().total_cmp(&(x.3 - x.2).abs()));
    let mut table = TableFile::new("losses", &["stage", "reason", "a_share_of_fed", "b_share_of_fed"]);
    for (stage, reason, x, y) in &rows {
        table.row([stage.clone().into(), reason.clone().into(), (*x).into(), (*y).into()]);
    }
    (table, rows)
}

fn text(
    args: &CompareArgs,
    plants: &[(String, sim_core::plant::Plant); 2],
    contest: &Contest,
    gaps: &Gaps,
    gold: &Gap,
    differences: &[(String, String, String)],
    losses: &[LossRow],
    units: UnitChoice,
) -> String {
    let trials = contest.trials();
    let mut t = String::new();
    for ((name, plant), path) in plants.iter().zip([&args.a, &args.b]) {
        let _ = writeln!(t, "{name}: {} ({})", plant.title, path.display());
    }
    let same_ground = !differences.iter().any(|d| d.0.starts_with("ground"));
    let _ = writeln!(
        t,
        "{}",
        if same_ground {
            "Same ground, same hours, same luck in every trial."
        } else {
            "The scenarios differ in their ground too: the gap holds what the ground does and what the plant does."
        }
    );
    let _ = writeln!(t, "\nThey differ in:");
    for (path, a, b) in differences.iter().take(12) {
        let _ = writeln!(t, "  {path}: {a} -> {b}");
    }
    if differences.len() > 12 {
        let _ = writeln!(t, "  and {} more (settings.csv)", differences.len() - 12);
    }
    if differences.is_empty() {
        let _ = writeln!(t, "  nothing that can be set by a path (stages or wires may differ)");
    }
    let _ = writeln!(
        t,
        "\nRaw gold caught an hour, on average over a season: A {:.2} g, B {:.2} g.",
        gold.from * G_H_PER_KG_S,
        gold.to * G_H_PER_KG_S
    );
    let in_grams = Gap {
        from: gold.from * G_H_PER_KG_S,
        pctl_10: gold.pctl_10 * G_H_PER_KG_S,
        pctl_90: gold.pctl_90 * G_H_PER_KG_S,
        comparison: sim_core::stats::compare::Comparison {
            mean_gap: gold.comparison.mean_gap * G_H_PER_KG_S,
            ..gold.comparison
        },
        ..*gold
    };
    let _ = writeln!(t, "  B against A: {}.", gap_line(&in_grams, "g/h", trials));
    if let [a, b] = contest.design_runs.as_slice() {
        let _ = writeln!(
            t,
            "  Of the gold fed A catches {}, B {} ({}).",
            percent(a.mean_recovery()),
            percent(b.mean_recovery()),
            points(b.mean_recovery() - a.mean_recovery())
        );
        let water = |design_run: &DesignRun| {
            format!(
                "{} supplied, {} needed, short in {} of runs",
                show(mean(&design_run.supply), Dimension::Flow, units),
                show(mean(&design_run.need), Dimension::Flow, units),
                percent(design_run.short_share)
            )
        };
        let _ = writeln!(t, "  Water: A {}; B {}.", water(a), water(b));
    }
    if let Some(g) = &gaps.money {
        let c = &contest.currency;
        let _ = writeln!(
            t,
            "Money of a season before the owner's wage and the plant: A {}, B {}.\n  B against A: {} on average; 1 season in 10 falls below {}, 1 in 10 is above {}; better in {} of seasons.",
            money(g.from, c),
            money(g.to, c),
            money(g.comparison.mean_gap, c),
            money(g.pctl_10, c),
            money(g.pctl_90, c),
            washgraph_view::words::chance(g.comparison.chance_a, trials)
        );
    }
    let _ = writeln!(t, "\nWhere the losses change most (shares of the gold fed):");
    for (stage, reason, a, b) in losses.iter().take(4) {
        let _ = writeln!(t, "  {stage}, {reason}: {} -> {} ({})", percent(*a), percent(*b), points(b - a));
    }
    let _ = writeln!(
        t,
        "\n{trials} common trials, correlation {:.2}: without common ground it would take {} as many for the same certainty.",
        gold.correlation,
        times(gold.trials_saved)
    );
    t
}

fn times(saved: f64) -> String {
    if !saved.is_finite() {
        "any number of times".into()
    } else if saved < 9.95 {
        format!("{saved:.1} times")
    } else {
        format!("{saved:.0} times")
    }
}
