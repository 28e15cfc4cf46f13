//! The files of an output folder, prepared in memory.

use std::fmt::Write as _;

use sim_core::plant::Plant;
use sim_core::result::{Money, Outcome, Summary};

use crate::output::{OutputError, RESULT_FILE};

/// Name and content of every file.
pub(crate) fn all(outcome: &Outcome, plant: &Plant, verdict: &str) -> Result<Vec<(String, Vec<u8>)>, OutputError> {
    let json = result_json(outcome)?;
    let figures = crate::figures::all(outcome, plant.units)
        .map_err(|e| OutputError::Content { what: "the figures", cause: e.to_string() })?;
    let report = crate::report::html(outcome, &plant.understood, &figures, verdict, plant.units);
    let mut files: Vec<(String, Vec<u8>)> = vec![
        (RESULT_FILE.into(), json.into_bytes()),
        ("verdict.txt".into(), verdict.as_bytes().to_vec()),
        ("losses.csv".into(), losses_csv(outcome).into_bytes()),
        ("recovery-by-size.csv".into(), recovery_csv(outcome).into_bytes()),
        ("report.html".into(), report.into_bytes()),
    ];
    if let Some(money) = &outcome.money {
        files.push(("money.csv".into(), money_csv(money).into_bytes()));
    }
    for figure in figures {
        files.push((format!("{}.svg", figure.name), figure.svg.into_bytes()));
        files.push((format!("{}.png", figure.name), figure.png));
    }
    Ok(files)
}

/// The result document as it stands in `result.json`, with its line end.
pub(crate) fn result_json(outcome: &Outcome) -> Result<String, OutputError> {
    let json = serde_json::to_string_pretty(outcome)
        .map_err(|e| OutputError::Content { what: RESULT_FILE, cause: e.to_string() })?;
    Ok(json + "\n")
}

fn losses_csv(outcome: &Outcome) -> String {
    let mut t = String::from("stage,reason,mean_share_of_fed,pctl_10,pctl_50,pctl_90\n");
    for l in &outcome.losses {
        let s = &l.share_of_fed;
        let _ = writeln!(t, "{},{},{},{},{},{}", l.stage, l.reason, s.mean, s.pctl_10, s.pctl_50, s.pctl_90);
    }
    t
}

fn recovery_csv(outcome: &Outcome) -> String {
    let mut t = String::from("from_mm,to_mm,share_of_gold_fed,mean_recovery,pctl_10,pctl_50,pctl_90\n");
    for c in &outcome.gold.recovery_by_size {
        let s = &c.recovery;
        let to = c.to_mm.map_or(String::new(), |x| x.to_string());
        let _ =
            writeln!(t, "{},{},{},{},{},{},{}", c.from_mm, to, c.fed_share, s.mean, s.pctl_10, s.pctl_50, s.pctl_90);
    }
    t
}

/// Spreads first, then the account; every amount in the currency of the second column's unit.
fn money_csv(m: &Money) -> String {
    let mut t = String::from("what,unit,mean,pctl_10,pctl_50,pctl_90\n");
    let c = &m.currency;
    let rows: [(&str, String, &Summary); 14] = [
        ("net_per_season", c.clone(), &m.net_per_season),
        ("net_after_wage_per_season", c.clone(), &m.net_after_wage_per_season),
        ("net_after_all_per_season", c.clone(), &m.net_after_all_per_season),
        ("net_per_h", format!("{c}/h"), &m.net_per_h),
        ("net_per_h_one_period", format!("{c}/h"), &m.net_per_h_one_period),
        ("net_per_m3_loose", format!("{c}/m3 loose"), &m.net_per_m3_loose),
        ("net_per_m3_bank", format!("{c}/m3 bank"), &m.net_per_m3_bank),
        ("grade", "mg/m3 bank".into(), &m.grade_mg_per_m3_bank),
        ("wash_or_waste", "mg/m3 bank".into(), &m.wash_or_waste_mg_per_m3_bank),
        ("breakeven", "mg/m3 bank".into(), &m.breakeven_mg_per_m3_bank),
        ("breakeven_all", "mg/m3 bank".into(), &m.breakeven_all_mg_per_m3_bank),
        ("washed", "m3 bank".into(), &m.washed_m3_bank),
        ("sold", "g raw".into(), &m.sold_g),
        ("run", "h".into(), &m.run_h),
    ];
    for (what, unit, s) in rows {
        let _ = writeln!(t, "{what},{unit},{},{},{},{}", s.mean, s.pctl_10, s.pctl_50, s.pctl_90);
    }
    for line in &m.account {
        let _ = writeln!(t, "account: {},{c},{},,,", line.name, line.mean);
    }
    t
}
