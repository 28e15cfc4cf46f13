//! What to measure next: the inputs that the answer hangs on, and how each is measured.

use maud::{Markup, html as markup};
use washgraph_model::paired::DriverGroup;
use washgraph_model::result::{HangsOn, RunResult};

use crate::numbers::percent;
use crate::report::grid::{Grid, share};
use crate::words::how_to_narrow;

/// Inputs named for each result.
const NAMED: usize = 4;
/// A share of the spread below this is not worth measuring. Our choice.
const WORTH: f64 = 0.02;

fn group(h: &HangsOn) -> DriverGroup {
    match h.group.as_str() {
        "ground" => DriverGroup::Ground,
        "prices" => DriverGroup::Prices,
        "running" => DriverGroup::Running,
        _ => DriverGroup::Constants,
    }
}

fn of<'a>(outcome: &'a RunResult, what: &'a str) -> impl Iterator<Item = &'a HangsOn> {
    outcome.hangs_on.iter().filter(move |h| h.of == what)
}

/// How it is measured, without naming it again.
fn remedy(h: &HangsOn) -> String {
    let text = how_to_narrow(&h.input, group(h), &h.meaning);
    text.split_once(": ").map_or(text.clone(), |(what_to_do, _)| what_to_do.to_string())
}

/// All of them in numbers.
pub fn grid(outcome: &RunResult) -> Grid {
    let heads = [
        ("Result", "result"),
        ("Goes with", "meaning"),
        ("Input", "input"),
        ("Kind", "group"),
        ("Share of the spread", "share"),
        ("It", "direction"),
    ];
    let rows = outcome.hangs_on.iter().map(|h| {
        let result = if h.of == "season" { "money of the season" } else { "share caught" };
        let direction = if h.rises { "rises with it" } else { "falls with it" };
        vec![
            result.into(),
            h.meaning.clone().into(),
            h.input.clone().into(),
            h.group.clone().into(),
            share(h.share),
            direction.into(),
        ]
    });
    Grid::new("hangs-on", &heads, rows.collect())
}

/// The section.
pub fn next(outcome: &RunResult) -> Markup {
    let results = [("recovery", "the share of the gold that is caught"), ("season", "what is left of the season")];
    markup! {
        @for (name, words) in results {
            @let list: Vec<&HangsOn> = of(outcome, name).filter(|h| group(h) != DriverGroup::Running && h.share >= WORTH).take(NAMED).collect();
            @if of(outcome, name).next().is_some() {
                p { "How far " (words) " differs from run to run goes most with:" }
                @if list.is_empty() { p { "nothing that measuring would tell; what changes from hour to hour leads." } } @else {
                    ol { @for h in list { li { (h.meaning) " (" strong { (percent(h.share)) } " of it): " (remedy(h)) } } }
                }
            }
        }
        @if outcome.hangs_on.is_empty() { p { "No single input stands out in so few runs." } } @else {
            details { summary { "Every input that stands out, in numbers" } (grid(outcome).html()) }
            p.quiet { "A share is the squared rank correlation over the first 1000 runs: a rough guide that costs nothing. " code { "washgraph drivers" } " works it out with care, " code { "washgraph samples" } " says what a further pan is worth." }
        }
    }
}
