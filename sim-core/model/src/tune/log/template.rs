//! An empty log to write into, with an example of each observation switched off; and a TOML log as a sheet.

use std::fmt::Write as _;

use super::columns::{COLUMNS, column};
use super::file::LogFile;
use super::toml_file;
use crate::tune::observe::{ObservationKind, all};
use sim_core::problem::Problems;
use sim_core::registry::Registry;

/// Longest line of a comment.
const WIDE: usize = 110;

const HEAD: &str = "Field log of the running plant. Every figure below is invented and switched off by the # before it: take the # off, \
write your own. Observe what you can; each is optional. Then: washgraph tune SCENARIO THIS-FILE";

const RULES: [&str; 5] = [
    "date: the day, year-month-day. What was seen on one day at the same settings is compared with one plant.",
    "settings: how the plant was set when it differed from the scenario, by the paths of the scenario: \
     settings = { \"drum.speed\" = \"20 rpm\", \"hopper.rate\" = \"24 yd3/h loose\" }",
    "at: stage or water outlet of the scenario; needed only where more than one fits.",
    "error: what each number may be off by (standard deviation over the value: 1 in 3 is further off), instead of the usual share that is \
     named below; shared_error: what all numbers of the observation may be off by together.",
    "None seen is seen too: colours = 0 for a sieve class without any gold.",
];

/// The template in TOML, with every observation of a program.
pub fn toml(registry: &Registry) -> String {
    let mut text = String::new();
    comment(&mut text, "", HEAD);
    text.push('\n');
    for rule in RULES {
        comment(&mut text, "- ", rule);
    }
    for kind in all(registry) {
        let _ = write!(text, "\n# ---- {} ", kind.name);
        text.push_str(&"-".repeat(60_usize.saturating_sub(kind.name.len())));
        text.push('\n');
        comment(&mut text, "", &format!("{}.", sentence(kind.words)));
        comment(&mut text, "Tells: ", &format!("{}.", kind.tells));
        for step in kind.steps.iter() {
            comment(&mut text, "* ", step);
        }
        for caution in kind.cautions.iter() {
            comment(&mut text, "CAUTION: ", caution);
        }
        comment(&mut text, "Off by, unless you say: ", &format!("{}.", kind.errors));
        for line in format!("[[seen]]\ndate = 2026-06-12\n{}", kind.example).lines() {
            let _ = writeln!(text, "# {line}");
        }
    }
    text
}

/// The template as a sheet.
pub fn csv(registry: &Registry) -> String {
    let known = all(registry);
    let mut text = String::new();
    comment(&mut text, "", HEAD);
    for rule in RULES.iter().filter(|r| !r.starts_with("settings")) {
        comment(&mut text, "- ", rule);
    }
    comment(
        &mut text,
        "- ",
        "a row that says `what` begins an observation; rows below that do not say it belong to it. A column headed by a path of the \
         scenario, such as drum.speed, holds the settings of the day.",
    );
    for kind in &known {
        comment(
            &mut text,
            &format!("{}: ", kind.name),
            &format!("{}. Off by, unless you say: {}.", kind.words, kind.errors),
        );
    }
    let mut told: Vec<&str> = Vec::new();
    for caution in known.iter().flat_map(|k| k.cautions.iter()) {
        if !told.contains(caution) {
            comment(&mut text, "CAUTION: ", caution);
            told.push(caution);
        }
    }
    let all: String = known.iter().map(entry_of).collect();
    let example = LogFile::of_bytes("example.toml", all.into_bytes()).ok();
    for (i, row) in example.as_ref().and_then(csv_rows).unwrap_or_default().iter().enumerate() {
        text.push_str(if i == 0 { "" } else { "# " });
        text.push_str(row);
        text.push('\n');
    }
    text
}

fn entry_of(kind: &ObservationKind) -> String {
    format!("[[seen]]\ndate = 2026-06-12\n{}\n", kind.example)
}

/// A TOML log as a sheet, comments left out; `None` when it is no TOML log.
pub fn csv_of(file: &LogFile) -> Option<String> {
    let rows = csv_rows(file)?;
    Some(rows.iter().map(|r| format!("{r}\n")).collect())
}

/// Lines of the sheet, headings first: the columns that are used, then those of settings.
fn csv_rows(file: &LogFile) -> Option<Vec<String>> {
    let raw = toml_file::raw_log(file, &mut Problems::default())?;
    let rows = &raw.sheet.rows;
    let used: Vec<usize> = (0..COLUMNS.len())
        .filter(|c| {
            [column::DATE, column::WHAT].contains(c)
                || rows.iter().any(|r| r.cells.get(*c).is_some_and(Option::is_some))
        })
        .collect();
    let mut paths: Vec<&str> = Vec::new();
    for setting in raw.entries.iter().flat_map(|e| &e.settings) {
        if !paths.contains(&setting.path.as_str()) {
            paths.push(&setting.path);
        }
    }
    let heading = used.iter().filter_map(|c| COLUMNS.get(*c)).map(|c| c.key).chain(paths.iter().copied());
    let mut lines = vec![heading.map(cell).collect::<Vec<_>>().join(",")];
    for entry in &raw.entries {
        for r in entry.rows.clone() {
            let Some(row) = rows.get(r) else { continue };
            let mut cells: Vec<String> =
                used.iter().map(|c| raw.sheet.text(row, *c).map_or(String::new(), cell)).collect();
            for path in &paths {
                let typed = entry.settings.iter().find(|s| s.path == *path && r == entry.rows.start);
                cells.push(typed.map_or(String::new(), |s| cell(&s.text)));
            }
            lines.push(cells.join(","));
        }
    }
    Some(lines)
}

fn cell(text: &str) -> String {
    if text.contains([',', '"', '\n']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.to_string() }
}

/// A text as comment lines of bearable width.
fn comment(text: &mut String, first: &str, said: &str) {
    let mut line = format!("# {first}");
    let indent = " ".repeat(if first.len() < 3 { first.len() } else { 2 });
    for word in said.split_whitespace() {
        if line.len() + word.len() >= WIDE {
            let _ = writeln!(text, "{}", line.trim_end());
            line = format!("# {indent}");
        }
        line.push_str(word);
        line.push(' ');
    }
    let _ = writeln!(text, "{}", line.trim_end());
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |c| c.to_uppercase().collect::<String>() + letters.as_str())
}
