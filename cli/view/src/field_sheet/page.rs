//! One observation on one page: what to bring, what to do, boxes to fill in, where the numbers go.

use maud::{DOCTYPE, Markup, PreEscaped, html as markup};
use sim_core::field::Content;
use sim_core::quantity::UnitChoice;
use washgraph_model::tune::log::columns::{COLUMNS, column};
use washgraph_model::tune::observe::ObservationKind;

use crate::field_sheet::look;
use washgraph_advice::next::effort::{Effort, effort};

/// What the sheet says beside the observation.
pub struct Sheet<'a> {
    /// Title of the plant.
    pub plant: &'a str,
    /// The observation.
    pub kind: &'a ObservationKind,
    /// Why this one: what the model expects of it. May be empty.
    pub why: &'a str,
    /// Units of the user.
    pub units: UnitChoice,
}

/// A4 for metric users, Letter for the others, mm.
fn paper_mm(units: UnitChoice) -> (f64, f64) {
    match units {
        UnitChoice::Us => (215.9, 279.4),
        _ => (210.0, 297.0),
    }
}

/// A letter for each box: the log is written from them.
fn letter(i: usize) -> String {
    char::from_u32(u32::from(b'A') + (i % 26) as u32).map_or(String::new(), String::from)
}

/// The sheet as a file.
pub fn html(sheet: &Sheet<'_>) -> String {
    let kind = sheet.kind;
    let effort = effort(kind);
    let (once, rows) = boxes(kind);
    markup! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title(kind)) " - " (sheet.plant) }
                style { (PreEscaped(look::css(paper_mm(sheet.units)))) }
            }
            body {
                h1 { (title(kind)) }
                p.why { (capital(kind.words)) ". It tells " (kind.tells) "." @if !sheet.why.is_empty() { " " (sheet.why) } }
                div.head {
                    (low("plant", sheet.plant)) (low("date (year-month-day)", "")) (low("by", ""))
                }
                div.boxes {
                    (low("buckets fed per hour", "")) (low("one bucket holds", "")) (low("pump speed, rpm", "")) (low("what was set otherwise than planned", ""))
                }
                div.care { @for c in kind.cautions.iter() { p { (c) } } @if kind.cautions.is_empty() { p { "Stay clear of what turns." } } }
                div.two {
                    div { h2 { "Bring" } ul.tick { @for b in effort.bring { li { (b) } } } p.quiet { (time_words(&effort)) } }
                    div { h2 { "Do" } ol { @for s in kind.steps.iter() { li { (s) } } } }
                }
                h2 { "Numbers" }
                @if !once.is_empty() { div.boxes { @for (i, c) in once.iter().enumerate() { (number_box(kind, &letter(i), *c)) } } }
                @if !rows.is_empty() { (readings(&rows, once.len(), effort.rows)) }
                h2 { "Into the log" }
                pre { (snippet(kind, &once, &rows)) }
                p.quiet {
                    "Put the number of each box in place of its letter, with its unit. Leave out what you did not measure; write 0 where \
                     you looked and there was none."
                }
            }
        }
    }
    .into_string()
}

/// Columns that are said once, and those of the readings. What pans keep is known from practice pans, not from this day.
fn boxes(kind: &ObservationKind) -> (Vec<usize>, Vec<usize>) {
    let of = |list: &[usize]| list.iter().copied().filter(|c| *c != column::KEPT).collect();
    (of(&kind.once), of(&kind.rows))
}

fn title(kind: &ObservationKind) -> String {
    capital(&kind.name.replace('-', " "))
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

fn time_words(effort: &Effort) -> String {
    let stopped = if effort.stopped > 0.0 {
        format!("; the plant stands {:.0} min of it", effort.stopped)
    } else {
        String::new()
    };
    format!("About {:.0} minutes (assumed){stopped}.", effort.minutes)
}

/// A low box with a heading, filled in or not.
fn low(what: &str, filled: &str) -> Markup {
    markup! { div.box.low { span.what { (what) } (filled) } }
}

fn number_box(kind: &ObservationKind, key: &str, c: usize) -> Markup {
    let (meaning, unit) = COLUMNS.get(c).map_or(("", ""), |x| (x.meaning, x.unit));
    let what = if c == column::VALUE { kind.words } else { meaning };
    markup! { div.box { span.what { (what) } span.key { (key) } span.unit { (unit) } } }
}

/// The table of readings; a single column becomes a grid of boxes.
fn readings(columns: &[usize], letters_used: usize, rows: usize) -> Markup {
    let of = |c: usize| COLUMNS.get(c).map_or(("", ""), |x| (x.meaning, x.unit));
    if let [c] = columns {
        let (what, unit) = of(*c);
        return markup! {
            p { b { (letter(letters_used)) } " - " (what) }
            div.boxes { @for i in 0..rows.max(6) { div.box.low { span.what { (i + 1) } span.unit { (unit) } } } }
        };
    }
    markup! {
        table {
            thead { tr { th.no { } @for (i, c) in columns.iter().enumerate() { th { b { (letter(letters_used + i)) } (of(*c).0) } } } }
            tbody { @for i in 0..rows { tr { td.no { (i + 1) } @for c in columns { td { (of(*c).1) } } } } }
        }
    }
}

/// What goes into the log, a letter for each number.
fn snippet(kind: &ObservationKind, once: &[usize], rows: &[usize]) -> String {
    let pair = |(i, c): (usize, &usize)| {
        let column = COLUMNS.get(*c);
        let bare = column.is_some_and(|x| x.content == Content::Number);
        let value = if bare { letter(i) } else { format!("\"{}\"", letter(i)) };
        format!("{} = {value}", column.map_or("", |x| x.key))
    };
    let mut lines = vec!["[[seen]]".to_string(), "date = ".to_string(), format!("what = \"{}\"", kind.name)];
    lines.extend(once.iter().enumerate().map(pair));
    if !rows.is_empty() {
        let cells: Vec<String> = rows.iter().enumerate().map(|(i, c)| pair((once.len() + i, c))).collect();
        lines.push(format!("readings = [ # a line for each row\n  {{ {} }},\n]", cells.join(", ")));
    }
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use washgraph_model::tune::observe::all;

    #[test]
    fn identity_every_observation_has_a_sheet_with_a_box_for_each_number_of_its_log_entry() {
        for kind in &all(&washgraph_standard_stages::registry()) {
            let html = html(&Sheet { plant: "Juniper <Creek>", kind, why: "", units: UnitChoice::Us });
            assert!(html.contains("Juniper &lt;Creek&gt;"), "{}", kind.name);
            for step in kind.steps.iter() {
                let start = step.split(['&', '<', '>', '"', '\'']).next().unwrap();
                assert!(html.contains(start), "{}: {step}", kind.name);
            }
            let (once, rows) = boxes(kind);
            for c in once.iter().chain(&rows) {
                assert!(html.contains(&format!("{} = ", COLUMNS[*c].key)), "{}: {}", kind.name, COLUMNS[*c].key);
            }
        }
    }
}
