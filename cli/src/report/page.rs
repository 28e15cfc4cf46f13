//! The page and the order of its sections.

use maud::{DOCTYPE, Markup, PreEscaped, html as markup};
use sim_core::plant::Understood;
use sim_core::quantity::UnitChoice;
use sim_core::result::Outcome;

use super::{look, money, sections, standing};
use crate::figures::{Figure, Table};

/// The report as one HTML file. `verdict` is the plain text that the terminal shows.
pub fn html(
    outcome: &Outcome,
    understood: &[Understood],
    figures: &[Figure],
    verdict: &str,
    units: UnitChoice,
) -> String {
    let figure = |name: &str| figures.iter().find(|f| f.name == name).map(picture);
    let page = markup! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (outcome.plant.title) " - washgraph" }
                style { (PreEscaped(look::CSS)) }
            }
            body {
                main {
                    h1 { (outcome.plant.title) }
                    p { (outcome.plant.question) }
                    p.quiet { "Worked out " (outcome.provenance.trials) " times over, each time with other values of what is not known for sure. Planning estimate." }
                    h2 { "In short" }
                    pre { (verdict) }
                    h2 { "Where the gold goes" }
                    (sections::gold(outcome, units))
                    @if let Some(f) = figure("gold-path") { (f) }
                    (sections::losses(outcome))
                    @if let Some(f) = figure("losses") { (f) }
                    h2 { "Recovery by size of the gold" }
                    @match figure("recovery-by-size") {
                        Some(f) => (f),
                        None => p { "There is no gold in this result." },
                    }
                    h2 { "Gravel and drum" }
                    (sections::gravel(outcome, units))
                    @if let Some(f) = figure("gradation") { (f) }
                    @if let Some(f) = figure("bed-depth") { (f) }
                    @if let Some(f) = figure("screen-fate") { (f) }
                    @if let Some(f) = figure("scrub-time") { (f) }
                    @if let Some(f) = figure("drum-power") { (f) }
                    (sections::measures(outcome, units))
                    h2 { "Water" }
                    @if let Some(f) = figure("water") { (f) }
                    (sections::water(outcome, units))
                    @if let Some(m) = &outcome.money {
                        h2 { "Money" }
                        (money::money(outcome, m, figure("season-money"), units))
                    }
                    (sections::pond(outcome))
                    @if let Some(f) = figure("pond-days") { (f) }
                    h2 { "What was taken as given" }
                    (sections::inputs(understood))
                    h2 { "Warnings" }
                    (sections::warnings(outcome))
                    h2 { "Before you build" }
                    (standing::cautions())
                    h2 { "How far to trust this" }
                    (standing::trust(outcome))
                    h2 { "How this was made" }
                    (sections::provenance(outcome))
                }
            }
        }
    };
    page.into_string()
}

/// A figure with its numbers.
pub(crate) fn picture(figure: &Figure) -> Markup {
    markup! {
        figure {
            div role="img" aria-label=(figure.alt) { (PreEscaped(fluid(&figure.svg))) }
            details {
                summary { "The numbers of this picture" }
                (table(&figure.table))
            }
        }
    }
}

/// Our own drawing, whose texts the drawing library has escaped.
fn fluid(svg: &str) -> String {
    svg.replacen("<svg ", "<svg aria-hidden=\"true\" ", 1)
}

/// A table; all columns but words are set flush right.
pub(super) fn table(table: &Table) -> Markup {
    let starts_with_digit = |cell: &String| cell.starts_with(|c: char| c.is_ascii_digit() || c == '-');
    let number = |i: usize| {
        i > 0
            && table
                .rows
                .iter()
                .filter_map(|r| r.get(i))
                .all(|c| starts_with_digit(c) || c.starts_with("under ") || c.starts_with("No. "))
    };
    // On a narrow screen each row becomes a block and each cell carries its heading.
    let header = |i: usize| table.headers.get(i).map_or("", String::as_str);
    let class = |i: usize| if number(i) { "n" } else { "" };
    markup! {
        div.wide {
            table {
                thead { tr { @for (i, h) in table.headers.iter().enumerate() {
                    // An empty heading heads nothing.
                    @if h.is_empty() { td {} } @else { th class=(class(i)) scope="col" { (h) } }
                } } }
                tbody { @for row in &table.rows { tr { @for (i, cell) in row.iter().enumerate() { td class=(class(i)) data-h=(header(i)) { (cell) } } } } }
            }
        }
    }
}
