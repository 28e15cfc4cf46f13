//! The page and the order of its sections.

use maud::{DOCTYPE, Markup, PreEscaped, html as markup};
use sim_core::quantity::UnitChoice;
use washgraph_model::result::RunResult;

use super::changes;
use crate::figures::Figure;
use crate::report::backing::Backing;
use crate::report::sections::{folded, is_wet, measures_grid};
use crate::report::{front, ground, look, money, next, questions, sections, sizes, standing, story};
use crate::tables::Table;

/// The report as one HTML file.
pub fn html(outcome: &RunResult, backing: &Backing, figures: &[Figure], units: UnitChoice) -> String {
    let figure = |name: &str| figures.iter().find(|f| f.name == name).map(picture);
    let any = |names: &[&str]| markup! { @for name in names { @if let Some(f) = figure(name) { (f) } } };
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
                    header {
                        h1 { (outcome.plant.title) }
                        p { (outcome.plant.question) }
                        p.quiet { "Worked out " (outcome.provenance.trials) " times over, each time with other values of what is not known for sure. \"1 run in 10 falls below\" a number means that 9 in 10 do not. A planning estimate, not a promise." }
                    }
                    (front::front(outcome, backing, figure("in-short"), units))
                    (contents(outcome.money.is_some()))
                    (chapter("gold", "Where the gold goes", markup! {
                        (any(&["gold-path"]))
                        (story::story(outcome, backing, units))
                        (any(&["losses"]))
                        (folded("Every loss in numbers", &sections::losses_grid(outcome)))
                        @if !backing.changes.list.is_empty() {
                            (folded("Every single change that was tried", &changes::grid(&backing.changes, units)))
                            p.quiet { "Each change was run by itself on the same " (backing.changes.trials) " runs, all else as it is; what it costs to make is not counted. " code { "washgraph losses" } " tries them on more runs." }
                        }
                        (sections::gold(outcome, units))
                    }))
                    (chapter("sizes", "What size is lost where", markup! {
                        (sizes::story(outcome))
                        @match figure("recovery-by-size") {
                            Some(f) => (f),
                            None => p { "There is no gold in this result." },
                        }
                    }))
                    (chapter("water", "Water", markup! {
                        (any(&["water"]))
                        (sections::water(outcome, units))
                        (sections::remedies(backing))
                        (sections::pond(outcome))
                        (any(&["pond-days"]))
                        (folded("Pump and pond in numbers", &measures_grid(outcome, units, "measures", &is_wet)))
                    }))
                    (chapter("drum", "Gravel and drum", markup! {
                        (sections::gravel(outcome, units))
                        (any(&["gradation", "bed-depth", "screen-fate", "scrub-time", "drum-power"]))
                        (folded("Hopper, drum and box in numbers", &measures_grid(outcome, units, "measures", &|kind| !is_wet(kind))))
                    }))
                    @if let Some(m) = &outcome.money {
                        (chapter("money", "Money", money::money(outcome, m, figure("season-money"), units)))
                    }
                    (chapter("ground", "The ground, and how well it is known", ground::ground(outcome, backing, units)))
                    (chapter("next", "What to measure next", next::next(outcome)))
                    (chapter("warnings", "Warnings", sections::warnings(outcome)))
                    (chapter("inputs", "What was taken as given", sections::inputs(backing)))
                    (chapter("asked", "Questions that come up", questions::questions(outcome, backing)))
                    (chapter("trust", "How far to trust this", standing::trust(outcome, backing)))
                    (chapter("cautions", "Before you build", standing::cautions()))
                    (chapter("made", "How this was made", sections::provenance(outcome)))
                }
            }
        }
    };
    page.into_string()
}

/// Chapters behind page one.
const CHAPTERS: [(&str, &str); 11] = [
    ("gold", "Where the gold goes"),
    ("sizes", "Sizes"),
    ("water", "Water"),
    ("drum", "Gravel and drum"),
    ("money", "Money"),
    ("ground", "The ground"),
    ("next", "What to measure next"),
    ("warnings", "Warnings"),
    ("inputs", "Inputs"),
    ("asked", "Questions"),
    ("trust", "How far to trust this"),
];

fn contents(money: bool) -> Markup {
    let there = CHAPTERS.iter().filter(|c| money || c.0 != "money");
    markup! {
        nav aria-label="Contents" { p { @for (i, (id, words)) in there.enumerate() { @if i > 0 { " · " } a href=(format!("#{id}")) { (words) } } } }
    }
}

fn chapter(id: &str, title: &str, body: Markup) -> Markup {
    markup! { section id=(id) { h2 { (title) } (body) } }
}

/// A figure with its numbers.
pub fn picture(figure: &Figure) -> Markup {
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

/// Rows that stay together on paper.
const SHORT: usize = 14;

/// A table; all columns but words are set flush right.
pub fn table(table: &Table) -> Markup {
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
        // A short table is not torn apart on paper. A wide one is scrolled sideways on a screen, by keyboard, too.
        div.wide.short[table.rows.len() <= SHORT] tabindex="0" role="group" aria-label="Table" {
            table.many[table.headers.len() > 4] {
                thead { tr { @for (i, h) in table.headers.iter().enumerate() {
                    // An empty heading heads nothing.
                    @if h.is_empty() { td {} } @else { th class=(class(i)) scope="col" { (h) } }
                } } }
                tbody { @for row in &table.rows { tr { @for (i, cell) in row.iter().enumerate() { td class=(class(i)) data-h=(header(i)) { (cell) } } } } }
            }
        }
    }
}
