//! Plants on common trials as table and document.

use serde_json::{Value, json};
use sim_core::constants::{G_H_PER_KG_S, S_PER_H};
use sim_core::stats::choice::Call;
use washgraph_advice::plants::contest::{COARSE_M, Contest, FINE_M, fine_loss, mean, oversize_loss};
use washgraph_model::paired::Gap;

use crate::tables::{Cell, TableFile};

/// The table with a row for each variant. `first` names its first column.
pub fn table(contest: &Contest, name: &str, first: &str) -> TableFile {
    let mut columns = vec![
        first,
        "gold_caught_mean_g_per_h",
        "gold_caught_1_in_10_below_g_per_h",
        "gold_caught_middle_g_per_h",
        "gold_caught_1_in_10_above_g_per_h",
        "recovery_share",
        "caught_finer_than_0.3_mm_g_per_h",
        "caught_0.3_to_1_mm_g_per_h",
        "caught_coarser_than_1_mm_g_per_h",
        "lost_over_the_end_of_the_drum_share",
        "lost_finer_than_0.3_mm_in_the_box_share",
        "water_supplied_m3_per_h",
        "water_needed_m3_per_h",
        "short_of_water_share_of_runs",
        "trials",
        "chance_most_gold",
        "cost_of_being_wrong_g_per_h",
    ];
    if contest.money.is_some() {
        columns.extend([
            "money_season_mean",
            "money_season_1_in_10_below",
            "money_season_middle",
            "money_season_1_in_10_above",
            "money_per_hour_run",
            "chance_most_money",
            "cost_of_being_wrong_money",
        ]);
    }
    let mut table = TableFile::new(name, &columns);
    for (i, design_run) in contest.design_runs.iter().enumerate() {
        let gold = contest.gold_g_h(i);
        let of = |list: Option<&Vec<f64>>| list.and_then(|l| l.get(i)).copied();
        let mut row: Vec<Cell> = vec![design_run.name.clone().into()];
        let numbers = [
            gold.mean,
            gold.pctl_10,
            gold.pctl_50,
            gold.pctl_90,
            design_run.mean_recovery(),
            design_run.caught_of(|d| d < FINE_M) * G_H_PER_KG_S,
            design_run.caught_of(|d| (FINE_M..=COARSE_M).contains(&d)) * G_H_PER_KG_S,
            design_run.caught_of(|d| d > COARSE_M) * G_H_PER_KG_S,
            oversize_loss(design_run),
            fine_loss(design_run),
            mean(&design_run.supply) * S_PER_H,
            mean(&design_run.need) * S_PER_H,
            design_run.short_share,
            design_run.trials() as f64,
        ];
        row.extend(numbers.map(Cell::from));
        row.push(of(contest.gold.as_ref().map(|c| &c.chance_best)).into());
        row.push(of(contest.gold.as_ref().map(|c| &c.cost_of_wrong)).map(|x| x * G_H_PER_KG_S).into());
        if let (Some(choice), Some(money)) = (&contest.money, contest.season_money(i)) {
            row.extend([money.mean, money.pctl_10, money.pctl_50, money.pctl_90].map(Cell::from));
            row.push((money.mean / design_run.season_run_s * S_PER_H).into());
            row.push(choice.chance_best.get(i).copied().into());
            row.push(choice.cost_of_wrong.get(i).copied().into());
        }
        table.row(row);
    }
    table
}

/// The same as a document: a list with the table's headings as keys.
pub fn document(contest: &Contest, first: &str) -> Value {
    let table = table(contest, "", first);
    let rows = table.rows.iter().map(|row| {
        let pairs = table.columns.iter().zip(row).map(|(c, cell)| {
            let value = match cell {
                Cell::Text(t) => json!(t),
                Cell::Number(x) => json!(x),
                Cell::Empty => Value::Null,
            };
            (c.clone(), value)
        });
        Value::Object(pairs.collect())
    });
    Value::Array(rows.collect())
}

/// A gap for a document.
pub fn gap_json(g: &Gap, factor: f64) -> serde_json::Value {
    let c = &g.comparison;
    json!({
        "from": g.from * factor, "to": g.to * factor, "mean": c.mean_gap * factor, "standard_error": c.gap_error * factor,
        "pctl_10": g.pctl_10 * factor, "pctl_50": g.pctl_50 * factor, "pctl_90": g.pctl_90 * factor,
        "chance_better": c.chance_a, "chance_interval": [c.chance_interval.0, c.chance_interval.1],
        "correlation": g.correlation, "trials_saved_times": g.trials_saved,
    })
}

/// The call as a word of the document.
pub fn call_word(call: Call) -> &'static str {
    match call {
        Call::Clear => "clear",
        Call::Same => "the same",
        Call::TooClose => "too close to call",
    }
}
