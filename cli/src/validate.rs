//! The command `validate`: every published-value check, with source, published and computed value, band, pass or fail.

use comfy_table::{ContentArrangement, Table};
use serde_json::json;
use sim_core::check::{Check, Kind};
use sim_core::registry::Registry;

use crate::exit::Exit;
use crate::output::print;

/// Runs the checks. A failing published check makes the command end with 1.
pub(crate) fn validate(registry: &Registry, as_json: bool) -> Exit {
    let rows: Vec<(&Check, f64)> =
        washgraph_model::handbook::checks(registry).into_iter().map(|c| (c, (c.computed)())).collect();
    let failed = rows.iter().filter(|(c, v)| !c.passes(*v)).count();
    if as_json {
        let list: Vec<_> = rows
            .iter()
            .map(|(c, v)| {
                let (low, high) = c.limits();
                json!({
                    "id": c.id, "model": c.model, "kind": c.kind.word(), "source": c.source, "status": c.status.word(),
                    "published": c.published, "computed": v, "unit": c.unit, "band": [low, high], "pass": c.passes(*v)
                })
            })
            .collect();
        print(&serde_json::to_string_pretty(&list).unwrap_or_default());
    } else {
        print(&text(&rows));
    }
    if failed > 0 { Exit::LimitMissed } else { Exit::Done }
}

const KINDS: [(Kind, &str); 3] = [
    (Kind::Published, "Against values published outside this project (validation)"),
    (Kind::PublishedUsedInFit, "Against published values that set a constant here (calibration, not validation)"),
    (Kind::Identity, "Against exact limits and theory (tests the code)"),
];

fn text(rows: &[(&Check, f64)]) -> String {
    let mut out = String::new();
    let mut summary = Vec::new();
    for (kind, title) in KINDS {
        let of_kind: Vec<_> = rows.iter().filter(|(c, _)| c.kind == kind).collect();
        if of_kind.is_empty() {
            continue;
        }
        let mut table = Table::new();
        table.set_content_arrangement(ContentArrangement::Dynamic);
        table.set_header(["", "check", "model", "published", "computed", "band", "unit", "source"]);
        for (c, v) in &of_kind {
            let (low, high) = c.limits();
            table.add_row([
                if c.passes(*v) { "pass".into() } else { "FAIL".into() },
                c.id.to_string(),
                c.model.to_string(),
                number(c.published),
                number(*v),
                format!("{} to {}", number(low), number(high)),
                c.unit.to_string(),
                format!("{} ({})", c.source, c.status.word()),
            ]);
        }
        let passed = of_kind.iter().filter(|(c, v)| c.passes(*v)).count();
        summary.push(format!("{}: {passed} of {} pass", kind.word(), of_kind.len()));
        out.push_str(&format!("{title}\n{table}\n\n"));
    }
    out.push_str(&summary.join("\n"));
    out
}

/// About five significant digits.
fn number(x: f64) -> String {
    if x == 0.0 || !x.is_finite() {
        return x.to_string();
    }
    let digits = (4.0 - sim_core::math::log10(x.abs()).floor()).clamp(0.0, 9.0) as usize;
    if x.abs() < 1e-5 || x.abs() >= 1e7 { format!("{x:.4e}") } else { format!("{x:.digits$}") }
}
