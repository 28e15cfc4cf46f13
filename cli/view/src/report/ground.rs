//! The ground, and how well it is known.

use maud::{Markup, html as markup};
use sim_core::quantity::UnitChoice;
use washgraph_model::result::RunResult;

use crate::money_words::grade;
use crate::numbers::{capital, three};
use crate::report::backing::Backing;
use crate::report::grid::{Grid, grade as piece, spread};

/// Grades in numbers: loose and bank, raw and fine.
pub fn grid(outcome: &RunResult, units: UnitChoice) -> Grid {
    let g = &outcome.gold;
    let mut rows = vec![
        ("Raw gold in the loose gravel".to_string(), spread(&g.grade_mg_per_m3_loose, |v| piece(v, units))),
        (
            "Fine gold in the loose gravel".to_string(),
            spread(&g.grade_mg_per_m3_loose, |v| piece(v * g.fineness, units)),
        ),
    ];
    if let Some(m) = &outcome.money {
        let bank = &m.grade_mg_per_m3_bank;
        rows.push(("Raw gold in the bank, over the season".into(), spread(bank, |v| piece(v, units))));
    }
    Grid::of_spreads("grade", rows)
}

/// The section.
pub fn ground(outcome: &RunResult, backing: &Backing, units: UnitChoice) -> Markup {
    let g = &outcome.gold.grade_mg_per_m3_loose;
    let times = g.pctl_90 / g.pctl_10;
    markup! {
        p { "The ground holds " strong { (grade(g.pctl_50, units)) } " of raw gold, loose, in the middle run; 1 run in 10 falls below "
            (grade(g.pctl_10, units)) ", 1 run in 10 is above " (grade(g.pctl_90, units)) "."
            @if times.is_finite() && times > 1.2 { " Between the two lies a factor of " (three(times)) ": so little do the samples tell." }
        }
        @if !backing.sampled && !backing.samples.is_empty() { p { strong { "The gold of this ground is a belief, not a sample." } } }
        @if !backing.samples.is_empty() { p { "It stands on:" } ul { @for line in &backing.samples { li { (capital(line)) } } } }
        @if !backing.findings.is_empty() { p { "What the samples lack:" } ul { @for line in &backing.findings { li { (capital(line)) } } } }
        (grid(outcome, units).html())
        p.quiet { code { "washgraph samples" } " shows the size curve with its band and what further pans would tell." }
    }
}
