//! The fields and forms of the page. Every field is a plain text field first; the script turns those with steps into
//! sliders.

use maud::{Markup, html};
use sim_core::lever::Question;
use sim_core::setting::Kind;

use crate::page::answers::{message, spread_now};
use crate::page::design::SET;
use crate::page::field::{Field, Group, Sheet, group_id, id_of};
use crate::page::sieve;
use washgraph_view::numbers::capital;

/// Longest text of a quantity, and of a list or sentence.
const LONGEST: usize = 200;
const LONGEST_LIST: usize = 2_000;

fn longest(f: &Field) -> usize {
    if matches!(f.setting.kind, Kind::Words(_) | Kind::Text) { LONGEST_LIST } else { LONGEST }
}

/// A field with its label, what is said beside it, and the ends of its spread.
pub(super) fn field(f: &Field) -> Markup {
    let id = f.id();
    let hint = format!("h{}", id.trim_start_matches('f'));
    let said = format!("m{}", id.trim_start_matches('f'));
    let wrong = f.remarks.iter().any(|r| r.severity == sim_core::problem::Severity::Error);
    html! {
        div class=(if f.lever.is_some() { "field lever" } else { "field" }) {
            label for=(id) { (f.label()) }
            (input(f, &id, &format!("{hint} {said}"), wrong))
            (message(&id, &f.remarks))
            p.hint id=(hint) { (hint_text(f)) " " (spread_now(f)) }
            @if f.may_spread() { (ends(f, &id)) }
        }
    }
}

fn input(f: &Field, id: &str, described: &str, wrong: bool) -> Markup {
    let name = format!("{SET}{}", f.path);
    let usual = f.usual.clone().unwrap_or_default();
    let invalid = if wrong { "true" } else { "false" };
    match f.setting.kind {
        Kind::Choice(words) => html! {
            select id=(id) name=(name) data-file=(f.in_file) aria-describedby=(described) aria-invalid=(invalid) {
                @if !f.required() || f.value.is_empty() {
                    option value="" selected[f.value.is_empty()] { "usual" @if !usual.is_empty() { ": " (usual) } }
                }
                @if !f.value.is_empty() && !words.iter().any(|w| w.0 == f.value) { option value=(f.value) selected { (f.value) } }
                @for (word, meaning) in words { option value=(word) selected[*word == f.value] { (word) ": " (meaning) } }
            }
        },
        Kind::Switch => html! {
            select id=(id) name=(name) data-file=(f.in_file) aria-describedby=(described) aria-invalid=(invalid) {
                option value="" selected[f.value.is_empty()] { "usual" @if !usual.is_empty() { ": " (usual) } }
                option value="true" selected[f.value == "true"] { "yes" }
                option value="false" selected[f.value == "false"] { "no" }
            }
        },
        Kind::Rows(_) => html! {
            textarea id=(id) name=(name) rows="5" data-file=(f.in_file) maxlength="6000" spellcheck="false"
                aria-describedby=(described) aria-invalid=(invalid) { (f.value) }
        },
        _ => html! {
            input id=(id) name=(name) type="text" value=(f.value) data-file=(f.in_file) placeholder=(usual) maxlength=(longest(f))
                autocomplete="off" autocapitalize="off" spellcheck="false" aria-describedby=(described) aria-invalid=(invalid)
                data-stops=[(f.stops.len() > 1).then(|| f.stops.join("|"))] data-label=(f.label());
        },
    }
}

/// What a field is for, what may be typed, and where its usual value comes from.
fn hint_text(f: &Field) -> String {
    let s = &f.setting;
    let mut t = capital(s.meaning);
    match s.kind {
        Kind::Known(d) | Kind::Quantity(d) if f.lever.is_none() => {
            t += &format!(". A {}, e.g. {}", d.name(), d.example())
        }
        Kind::Whole if f.lever.is_none() => t += ". A whole number",
        Kind::Rows(columns) => {
            let row: Vec<&str> = columns.iter().map(|d| d.example()).collect();
            t += &format!(". One row a line, e.g. {}", row.join(", "));
        }
        Kind::Words(words) => {
            let known: Vec<&str> = words.iter().map(|w| w.0).collect();
            t += &format!(". Divided by commas; 2 x counts twice; known: {}", known.join(", "));
        }
        _ => {}
    }
    if f.value.is_empty() && !f.required() {
        match &f.usual {
            Some(usual) if !usual.is_empty() => t += &format!(". Left empty: {usual}"),
            _ => t += ". May stay empty",
        }
        if !s.source.is_empty() {
            t += &format!(" ({})", s.source);
        }
    }
    t + "."
}

/// The ends of a spread, folded away.
fn ends(f: &Field, id: &str) -> Markup {
    let open = f.ends.iter().any(|e| !e.is_empty());
    let shown =
        |i: usize| f.spread.as_ref().and_then(|s| s.get(if i == 0 { 0 } else { 2 })).cloned().unwrap_or_default();
    html! {
        details.ends open[open] {
            summary { "How sure is this?" }
            @for (i, (end, words)) in [("low", "1 run in 10 falls below"), ("high", "1 run in 10 is above")].into_iter().enumerate() {
                div {
                    label for=(format!("{id}-{end}")) { (words) }
                    input id=(format!("{id}-{end}")) name=(format!("{SET}{}.{end}", f.path)) type="text" data-file=""
                        value=(f.ends.get(i).map_or("", String::as_str)) placeholder=(shown(i)) maxlength=(LONGEST)
                        autocomplete="off" autocapitalize="off" spellcheck="false";
                }
            }
            p.hint { "Left empty, the ends move along with the middle. The scenario may say that low and high are limits instead." }
        }
    }
}

/// The levers beside a question.
pub(super) fn levers(sheet: &Sheet, question: Question) -> Markup {
    let mut list: Vec<&Field> = sheet.fields().filter(|f| f.lever.is_some_and(|l| l.question == question)).collect();
    list.sort_by_key(|f| !f.lever.is_some_and(|l| l.first));
    // Two outlets of a kind have the same lever: their names tell them apart.
    let twice = |f: &Field| list.iter().filter(|o| o.label() == f.label()).count() > 1;
    html! {
        div.levers {
            @for f in &list {
                @if twice(f) { (named(f)) } @else { (field(f)) }
            }
            button.plain type="submit" { "Work it out" }
        }
    }
}

fn named(f: &Field) -> Markup {
    html! { div role="group" aria-label=(f.path) { p.owner { (f.path.rsplit_once('.').map_or("", |(owner, _)| owner)) } (field(f)) } }
}

/// Every setting that is no lever, table by table.
pub(super) fn everything(sheet: &Sheet) -> Markup {
    html! {
        @for group in &sheet.groups { (table(group, sheet)) }
    }
}

fn table(group: &Group, sheet: &Sheet) -> Markup {
    let fields: Vec<&Field> = group.fields.iter().filter(|f| f.lever.is_none()).collect();
    let changed = fields.iter().filter(|f| f.changed()).count();
    let wrong = !group.remarks.is_empty() || fields.iter().any(|f| !f.remarks.is_empty());
    let sieves = group.owner == "ground.gradation";
    html! {
        @if !fields.is_empty() || sieves {
            details.group open[changed > 0 || wrong] {
                summary id=(group_id(&group.owner)) { (group.title) @if changed > 0 { " (" (changed) " changed)" } }
                @if !group.purpose.is_empty() { p.quiet { (capital(&group.purpose)) "." } }
                (message(&group_id(&group.owner), &group.remarks))
                @if sieves { (sieve_sheet(sheet)) }
                div.fields { @for f in fields { (field(f)) } }
                button.plain type="submit" { "Work it out" }
            }
        }
    }
}

/// Where a sieve sheet is typed, pasted or opened from a file.
fn sieve_sheet(sheet: &Sheet) -> Markup {
    let id = id_of(sieve::PATH);
    let said = format!("m{}", id.trim_start_matches('f'));
    html! {
        div.field.sheet {
            label for=(id) { "Sieve sheet" }
            textarea id=(id) name=(format!("{SET}{}", sieve::PATH)) rows="12" data-file=(sheet.sieves_in_file) maxlength="6000"
                spellcheck="false" aria-describedby=(format!("h-sieves {said}")) { (sheet.sieves) }
            (message(&id, &sheet.sieve_remarks))
            p.hint #h-sieves { "One sieve a line: size, then the share that passes, e.g. 1/2 in, 57 %. Paste two columns of a spreadsheet, or open a field sheet: shares passing or weights retained." }
            p.only-script { label.button for="sieve-file" { "Open a field sheet (CSV, XLSX)" } input #sieve-file type="file" accept=".csv,.txt,.xlsx" data-into=(id); }
        }
    }
}
