//! Figures, tables and JSON of the output folder of `samples`.

use sim_core::quantity::UnitChoice;
use sim_core::samples::money::SampleMoney;
use sim_core::samples::summary::SamplesSummary;

use crate::figures::ground;
use crate::tables::{self, Cell, ContentError, TableFile};

/// File by which a folder is known as one of `samples`.
pub const MARK: &str = "samples.json";

/// Every file.
pub fn all(summary: &SamplesSummary, units: UnitChoice, said: &str) -> Result<Vec<(String, Vec<u8>)>, ContentError> {
    let content = |what: &'static str| move |cause: String| ContentError { what, cause };
    let json = serde_json::to_string_pretty(summary).map_err(|e| content(MARK)(e.to_string()))?;
    let mut list =
        vec![(MARK.to_string(), (json + "\n").into_bytes()), ("samples.txt".into(), said.as_bytes().to_vec())];
    let figures = ground::all(summary, units).map_err(|e| content("the figures")(e.to_string()))?;
    let mut sheets = table_files(summary);
    for f in &figures {
        // The table of grades in all units has the name of a figure already.
        let name = if sheets.iter().any(|t| t.name == f.name) { format!("{}-figure", f.name) } else { f.name.into() };
        sheets.push(TableFile::of_figure(&name, &f.table));
    }
    for figure in figures {
        list.push((format!("{}.svg", figure.name), figure.svg.into_bytes()));
        list.push((format!("{}.png", figure.name), figure.png));
    }
    list.extend(tables::files("samples", &sheets).map_err(|e| content("the workbook")(e.to_string()))?);
    Ok(list)
}

fn table_files(s: &SamplesSummary) -> Vec<TableFile> {
    let mut grade = TableFile::new("grade", &["volume", "gold", "unit", "pctl_10", "pctl_50", "pctl_90", "mean"]);
    for g in &s.grade {
        for (unit, x) in [("mg/m3", &g.mg_per_m3), ("mg/yd3", &g.mg_per_yd3)] {
            grade.row([
                g.volume.into(),
                g.gold.into(),
                unit.into(),
                x.pctl_10.into(),
                x.pctl_50.into(),
                x.pctl_90.into(),
                x.mean.into(),
            ]);
        }
    }
    let mut gold = TableFile::new(
        "gold-by-size",
        &[
            "from_mm",
            "to_mm",
            "colours",
            "weight_mg",
            "mg_per_m3_loose_pctl_10",
            "mg_per_m3_loose_pctl_50",
            "mg_per_m3_loose_pctl_90",
            "mean_share",
            "finer_pctl_10",
            "finer_pctl_50",
            "finer_pctl_90",
        ],
    );
    for c in &s.gold {
        let x = &c.mg_per_m3_loose;
        gold.row([
            c.from_mm.into(),
            Cell::from(c.to_mm),
            c.colours.into(),
            c.weight_mg.into(),
            x.pctl_10.into(),
            x.pctl_50.into(),
            x.pctl_90.into(),
            c.share.mean.into(),
            c.finer.pctl_10.into(),
            c.finer.pctl_50.into(),
            c.finer.pctl_90.into(),
        ]);
    }
    let mut gradation = TableFile::new("gradation", &["size_mm", "finer", "pctl_10", "pctl_90"]);
    for f in &s.gradation {
        gradation.row([f.size_mm.into(), f.finer.into(), f.pctl_10.into(), f.pctl_90.into()]);
    }
    let mut plans = TableFile::new("further-samples", &["what", "volume_m3_loose", "spots", "relative_width"]);
    plans.row(["now".into(), 0.0.into(), 0.0.into(), s.relative_width.into()]);
    for p in &s.plans {
        plans.row([p.what.clone().into(), p.volume_m3.into(), p.spots.into(), Cell::from(p.relative_width)]);
    }
    let mut samples =
        TableFile::new("gold-samples", &["sample", "volume_l_loose", "colours", "weight_mg_raw", "mg_per_m3_loose"]);
    for x in &s.samples {
        samples.row([
            x.name.clone().into(),
            x.volume_l_loose.into(),
            Cell::from(x.colours),
            x.weight_mg.into(),
            x.mg_per_m3_loose.into(),
        ]);
    }
    let mut list = vec![grade, gold, gradation, samples, plans];
    list.extend(s.money.as_ref().map(choices));
    list
}

/// The decisions with the money that each is expected to bring.
fn choices(m: &SampleMoney) -> TableFile {
    let mut table = TableFile::new(
        "choices",
        &["choice", "currency", "mean_money", "seasons", "best_now", "scatter_from_the_gold"],
    );
    for (i, d) in m.decisions.iter().enumerate() {
        table.row([
            d.name.clone().into(),
            m.currency.clone().into(),
            d.mean.into(),
            m.seasons.into(),
            if i == m.best_now { "yes" } else { "no" }.into(),
            d.explained.into(),
        ]);
    }
    table
}
