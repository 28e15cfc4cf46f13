//! The whole template at true scale, sheet by sheet.

use maud::{DOCTYPE, Markup, PreEscaped, html as markup};
use sim_core::shop::{Drawing, Purpose};

use crate::sheet::document::Document;
use crate::sheet::page::head;
use crate::sheet::tiles::TileGrid;
use crate::sheet::{ruler, svg};

/// All sheets of all templates; `None` when the plant has none.
pub fn html(d: &Document) -> Option<String> {
    let drawings: Vec<&Drawing> =
        d.parts.iter().flat_map(|p| &p.drawings).filter(|x| x.purpose == Purpose::Template).collect();
    if drawings.is_empty() {
        return None;
    }
    let page = markup! {
        (DOCTYPE)
        html lang="en" {
            (head(d, "template"))
            body {
                main {
                    h1 { (d.title) ": templates at true scale" }
                    p { "Print at 100 %, never \"fit to page\". Measure the ruler on each sheet: 100 mm and 4 in. If it is off, nothing else is right." }
                    p { "Sheets overlap: lay cross on cross, row by row (A1, A2, ... then B1, ...), and tape them down before you mark. Paper stretches when wet: check the whole girth with a tape before you punch the last row." }
                    @for drawing in &drawings { (contents(drawing, d)) }
                }
                @for drawing in drawings { (sheets(drawing, d)) }
            }
        }
    };
    Some(page.into_string())
}

fn contents(drawing: &Drawing, d: &Document) -> Markup {
    let grid = TileGrid::of(drawing.size_m, d.sheet_of_paper);
    markup! {
        h2 { (drawing.title) }
        p { (grid.columns) " sheets " (drawing.across) " by " (grid.rows) " " (drawing.down) ": " strong { (grid.columns * grid.rows) " sheets" } " of " (d.paper) " paper." }
    }
}

fn sheets(drawing: &Drawing, d: &Document) -> Markup {
    let grid = TileGrid::of(drawing.size_m, d.sheet_of_paper);
    let crosses = grid.crosses();
    markup! {
        @for (column, row, window) in grid.windows() {
            @let name = TileGrid::name(column, row);
            div.plan {
                div.head {
                    (PreEscaped(ruler::svg()))
                    strong { (name) } " · " (drawing.title) " · 1:1 · measure me: 100 mm / 4 in before cutting" br;
                    "To the right: " (drawing.across) " · Down: " (drawing.down)
                }
                (PreEscaped(svg::window(drawing, &window, &crosses, &format!("Sheet {name} of {}", drawing.title))))
            }
        }
    }
}
