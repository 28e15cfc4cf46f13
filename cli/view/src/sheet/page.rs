//! The sheet as one printable HTML file.

use maud::{DOCTYPE, Markup, PreEscaped, html as markup};
use sim_core::quantity::UnitChoice;
use sim_core::shop::{Drawing, Purpose};

use crate::report;
use crate::sheet::document::{Document, Part, Row};
use crate::sheet::tiles::TileGrid;
use crate::sheet::{look, ruler, svg, words};

/// Name of the file with the whole template, sheet by sheet.
pub const TILES_FILE: &str = "template.html";

/// The page.
pub fn html(d: &Document) -> String {
    markup! {
        (DOCTYPE)
        html lang="en" {
            (head(d, "shop sheet"))
            body {
                main {
                    (title_block(d))
                    @if d.parts.is_empty() { p { "No part of this plant has anything to say to the shop." } }
                    @for part in &d.parts { (card(part, d)) }
                    (bill(d))
                    (first_start(d))
                    (care())
                    (how_made(d))
                    @for part in &d.parts { @for drawing in part.drawings.iter().filter(|x| x.purpose == Purpose::Template) {
                        (stepping(d, part, drawing))
                    } }
                }
            }
        }
    }
    .into_string()
}

/// Its head; `what` names the page.
pub fn head(d: &Document, what: &str) -> Markup {
    markup! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            title { (d.title) " - " (what) }
            style { (PreEscaped(look::css(d.sheet_of_paper))) }
        }
    }
}

fn title_block(d: &Document) -> Markup {
    markup! {
        header {
            h1 { (d.title) }
            p { "Numbers to build by. Black frames: set out from these. Tick what is done." }
            div.mark { "SHOP" }
            p.signed {
                span { "Built by " span.blank {} } span { "Checked by " span.blank {} } span { "Date " span.blank {} }
            }
        }
    }
}

fn card(part: &Part, d: &Document) -> Markup {
    let (lead, rest): (Vec<&Row>, Vec<&Row>) = part.rows.iter().partition(|r| r.lead);
    markup! {
        section.card {
            h2 { span.no { (part.number) } (capital(&part.title)) }
            @if !lead.is_empty() { div.plates { @for r in lead { (plate(r)) } } }
            @if !rest.is_empty() { div.wide { table { tbody { @for r in rest { (line(part, r)) } } } } }
            @for drawing in &part.drawings { (figure(drawing, d)) }
            @if !part.steps.is_empty() { h3 { "How" } ol { @for s in &part.steps { li { (s) } } } }
            @for c in &part.cautions { div.careful { (c) } }
        }
    }
}

fn plate(r: &Row) -> Markup {
    markup! {
        div.plate {
            span.what { (r.what) }
            span.big { (r.value) }
            @if let Some(metric) = &r.metric { span.metric { (metric) } }
            small { (fine_print(r)) }
        }
    }
}

fn line(part: &Part, r: &Row) -> Markup {
    markup! {
        tr {
            td.box { input type="checkbox" aria-label=(format!("{}: {} done", part.title, r.what)); }
            td { (r.what) small { (fine_print(r)) } }
            td.v { (r.value) @if let Some(metric) = &r.metric { " " span.metric { "(" (metric) ")" } } }
        }
    }
}

/// How sure it is, its spread, and the note, in that order.
fn fine_print(r: &Row) -> String {
    let mut text = r.how_sure.to_string();
    if let Some((low, high)) = &r.spread {
        text += &format!("; 1 run in 10 falls below {low}, 1 run in 10 is above {high}");
    }
    if !r.note.is_empty() {
        text += &format!("; {}", r.note);
    }
    text
}

fn figure(drawing: &Drawing, d: &Document) -> Markup {
    let template = d.templates.iter().find(|t| t.name == drawing.name && drawing.purpose == Purpose::Template);
    markup! {
        figure {
            @if template.is_some() { (PreEscaped(svg::map(drawing, &TileGrid::of(drawing.size_m, d.sheet_of_paper), d.choice))) }
            @else { (PreEscaped(svg::picture(drawing, d.choice))) }
            figcaption {
                (drawing.title) "."
                @if !drawing.across.is_empty() { " To the right: " (drawing.across) "." }
                @if !drawing.down.is_empty() { " Down: " (drawing.down) "." }
                @if let Some(t) = template {
                    " At true scale it takes " (t.sheets_across) " by " (t.sheets_down) " sheets of paper: see "
                    (TILES_FILE) ", or " (t.name) ".svg for a plotter or a cutting table. One sheet to step along the work stands at the end of this one."
                } @else { " Not to scale." }
            }
        }
    }
}

fn bill(d: &Document) -> Markup {
    let b = &d.bill;
    let shown = |x: Option<f64>| x.map_or(String::new(), words::money);
    let unit_price = "Price a unit";
    markup! {
        section.card {
            h2 { span.no { "$" } "Quantities and cost" }
            @if b.lines.is_empty() { p { "Nothing to buy is named." } } @else {
                div.wide { table.bill {
                    thead { tr { @for h in ["Got", "Item", "For", "Quantity", unit_price, "Cost"] { th scope="col" { (h) } } } }
                    tbody { @for l in &b.lines { tr {
                        td.box data-h="" { input type="checkbox" aria-label=(format!("{} bought", l.name())); }
                        td data-h="" { strong { (l.name()) } @if !l.counted { small { "instead: " (l.way) "; not in the sum" } } @if !l.note.is_empty() { small { (l.note) } } }
                        td data-h="For" { (l.used_for) @if let (Some(count), Some(pace)) = (l.count, l.pace_per_h) { small { (words::count(count)) " at " (words::trimmed(format!("{pace:.1}"))) " an hour" } } }
                        td.n data-h="Quantity" { (l.quantity_words()) }
                        td.n data-h=(unit_price) { (shown(l.price)) }
                        td.n data-h="Cost" { (shown(l.cost)) }
                    } } }
                } }
                p.sum { @if b.any_price() { "Sum of what is priced: " (words::money(b.sum)) } @else { "No prices given: the cost column is blank." } }
                @if !b.unpriced.is_empty() { p { "Without a price, and not in the sum: " (b.unpriced.join("; ")) "." } }
                p { "Weight of the pieces whose weight is known: " strong { (b.weight) } ". Welds, offcuts, frame, rollers, bolts and what is not listed come on top." }
                @for c in &b.choices { p { strong { (c.title) ". " } (c.words) "." } }
                @for u in &b.unused_prices { p.quiet { "Price list, " (u) "." } }
                p.quiet.noprint { "Put your prices into the column `price` of bill.csv and run the command again with --prices bill.csv. No price is supplied by the program." }
            }
        }
    }
}

fn first_start(d: &Document) -> Markup {
    markup! {
        section.card {
            h2 { span.no { "✓" } "Before the first start" }
            ul.ticks {
                @for (part, check) in d.checks() {
                    li { input type="checkbox" aria-label=(check); span { (check) small { (part.title) } } }
                }
                @for check in FIRST_START { li { input type="checkbox" aria-label=(check); span { (check) } } }
            }
        }
    }
}

/// Holds for any plant.
pub const FIRST_START: [&str; 4] = [
    "Everybody who will be near the plant has been shown the stop, the pinch points and the way out.",
    "Run empty for a quarter of an hour, then with water alone, then with half the feed. Stop and look after each.",
    "Tighten every bolt again after the first day.",
    "Water right, discharge and camp rules of the place are met: ask before the pump starts.",
];

fn care() -> Markup {
    markup! {
        section.card {
            h2 { span.no { "!" } "Care" }
            p { "What concerns one part stands with that part. For all of it:" }
            (report::cautions())
        }
    }
}

fn how_made(d: &Document) -> Markup {
    let m = &d.made_by;
    markup! {
        p.quiet {
            (m.tool) " " (m.version) ", seed " (m.seed) ", " (m.trials) " runs. Numbers from the run are its middle: half of the runs fall below. Planning estimates; local codes and licensed practice decide. Scenario (SHA-256):"
            br; span.hash { (m.scenario_sha256) }
        }
    }
}

/// The page at true scale that is stepped along the work.
fn stepping(d: &Document, part: &Part, drawing: &Drawing) -> Markup {
    let paper = d.sheet_of_paper;
    let (w, h) = paper.window_mm();
    let step = drawing.grids().next().and_then(|grid| svg::step(grid, (w, h)));
    markup! {
        div.plan tabindex="0" role="group" aria-label="Template at true scale" {
            div.head {
                (PreEscaped(ruler::svg()))
                strong { (part.number) " · " (drawing.title) " · stepping template 1:1" } br;
                @match &step {
                    Some(s) => {
                        "Measure me: 100 mm / 4 in before cutting; print at 100 %, not \"fit to page\". Start at the seam and the first row and mark every hole, dashed ones too. Then step to the right and down with the dashed holes on holes already marked: each step adds "
                        (s.columns) " holes in " (s.rows) " rows. To the right: " (drawing.across) "."
                    }
                    None => { "The holes are too large for a stepping sheet of this paper: use the sheets of " (TILES_FILE) "." }
                }
            }
            @if let Some(s) = &step { (PreEscaped(s.svg.as_str())) }
        }
    }
}

fn capital(text: &str) -> String {
    crate::numbers::capital(text)
}

/// Used by the terminal, too.
pub fn unit_words(units: UnitChoice) -> &'static str {
    match units {
        UnitChoice::Metric => "metric units",
        _ => "inches and pounds, metric in brackets",
    }
}
