//! Reading a scenario, and showing all its problems at once, each with its place and remedy.

use std::fmt::Write as _;
use std::ops::Range;
use std::path::Path;

use miette::{
    GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteDiagnostic, NamedSource, Report, Severity as Level,
};
use sim_core::plant::{Plant, UnderstoodRow};
use sim_core::problem::{Problem, Problems, Severity, as_read};
use sim_core::registry::Registry;
use sim_core::trial::{BrokenBooks, Worker};
use washgraph_advice::plants::base::Base;
use washgraph_model::scenario::{Opened, build, open};
use washgraph_model::variant::PathError;

use crate::books;
use crate::exit::Exit;

/// Trials that a plant must balance in before any command answers of it.
const TRIED: u64 = 8;

/// Reads and builds a scenario. Problems are printed to stderr; the exit code when any of them prevents the run, or when a stage of
/// the plant does not keep its books: no command may answer of such a plant.
pub(crate) fn load(registry: &Registry, path: &Path) -> Result<Plant, Exit> {
    load_with_text(registry, path).map(|(_, plant)| plant)
}

/// The same with the text of the scenario, for changing it.
pub(crate) fn load_with_text(registry: &Registry, path: &Path) -> Result<(Opened, Plant), Exit> {
    let opened = match open(path) {
        Ok(opened) => opened,
        Err(message) => {
            anstream::eprintln!("error: {message}");
            return Err(Exit::BadInput);
        }
    };
    let mut problems = Problems::default();
    let plant = build(&opened, registry, &mut problems);
    show(&problems, path, &opened);
    let Some(plant) = plant else {
        anstream::eprintln!("{}", count(&problems));
        return Err(Exit::BadInput);
    };
    match books::refused([&books_broken(&plant)]) {
        Some(fault) => Err(fault),
        None => Ok((opened, plant)),
    }
}

/// The stage whose books do not close in the middle case or in the first trials, if there is one.
pub(crate) fn books_broken(plant: &Plant) -> Option<BrokenBooks> {
    let mut worker = Worker::new(plant, plant.seed);
    worker.broken_books().or_else(|| {
        (0..TRIED).find_map(|trial| {
            worker.run_trial(trial);
            worker.broken_books()
        })
    })
}

/// The same as a base for variants.
pub(crate) fn load_base<'r>(registry: &'r Registry, path: &Path) -> Result<Base<'r>, Exit> {
    let (opened, plant) = load_with_text(registry, path)?;
    Base::of(registry, opened, plant).map_err(|error| {
        complain(&error);
        Exit::BadInput
    })
}

/// Prints what is wrong with a path.
pub(crate) fn complain(error: &PathError) {
    anstream::eprintln!("error: {}", error.message);
    if !error.help.is_empty() {
        anstream::eprintln!("  {}", error.help);
    }
}

/// Prints what stands in the way. What is only to be looked at is one line each: `check` shows it with its place.
pub(crate) fn show(problems: &Problems, path: &Path, opened: &Opened) {
    let list = problems.in_order();
    let read = as_read(&list);
    let errors: Vec<Problem> = read.iter().filter(|p| p.severity == Severity::Error).cloned().collect();
    let (path_shown, mut text) = (path.display(), String::new());
    for warning in read.iter().filter(|p| p.severity == Severity::Warning) {
        let line =
            warning.span.as_ref().map_or(String::new(), |s| format!("{path_shown}:{}: ", line_of(&opened.text, s)));
        let more =
            if warning.again.is_empty() { String::new() } else { format!(" (and {} more)", warning.again.len()) };
        let _ = writeln!(text, "warning: {line}{}{more}", warning.message);
    }
    if !text.is_empty() && errors.is_empty() {
        let _ = writeln!(text, "  `washgraph check {path_shown}` shows each in its place, with what to do.");
    }
    text += &render(&errors, path, opened);
    anstream::eprint!("{text}");
}

/// Number of the line where a place begins, counted from 1.
fn line_of(text: &str, span: &Range<usize>) -> usize {
    text.get(..span.start).unwrap_or(text).matches('\n').count() + 1
}

pub(crate) fn count(problems: &Problems) -> String {
    match problems.error_count() {
        1 => "1 error: nothing was run".into(),
        n => format!("{n} errors: nothing was run"),
    }
}

pub(crate) fn render(problems: &[Problem], path: &Path, opened: &Opened) -> String {
    use std::io::IsTerminal;
    let theme = if std::io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none() {
        GraphicalTheme::unicode()
    } else {
        GraphicalTheme::unicode_nocolor()
    };
    let handler = GraphicalReportHandler::new_themed(theme).with_width(100);
    let mut text = String::new();
    for problem in problems {
        let mut diagnostic = MietteDiagnostic::new(problem.message.clone()).with_severity(match problem.severity {
            Severity::Error => Level::Error,
            Severity::Warning => Level::Warning,
            Severity::Note => Level::Advice,
        });
        let again: Vec<String> = problem.again.iter().map(|s| line_of(&opened.text, s).to_string()).collect();
        let more = match again.len() {
            0 => String::new(),
            n => format!(
                "{}the same in {n} more: lines {}",
                if problem.help.is_empty() { "" } else { "; " },
                again.join(", ")
            ),
        };
        if !problem.help.is_empty() || !more.is_empty() {
            diagnostic = diagnostic.with_help(format!("{}{more}", problem.help));
        }
        if let Some(quote) = &problem.quote {
            // Empty lines before it, so that the row keeps its number.
            let before = quote.row.saturating_sub(1);
            let whole = "\n".repeat(before) + &quote.text;
            let part = if quote.part.is_empty() { 0..quote.text.len() } else { quote.part.clone() };
            let label = LabeledSpan::underline(before + part.start..before + part.end);
            let report =
                Report::new(diagnostic.with_label(label)).with_source_code(NamedSource::new(&quote.file, whole));
            if handler.render_report(&mut text, report.as_ref()).is_err() {
                let _ = writeln!(text, "{}: {}", problem.severity.word(), problem.message);
            }
            continue;
        }
        if let Some(span) = &problem.span {
            // A table as a whole is shown by its first line.
            let end = opened.text.get(span.clone()).and_then(|s| s.find('\n')).map_or(span.end, |n| span.start + n);
            diagnostic = diagnostic.with_label(LabeledSpan::underline(span.start..end));
        }
        let report =
            Report::new(diagnostic).with_source_code(NamedSource::new(path.display().to_string(), opened.text.clone()));
        if handler.render_report(&mut text, report.as_ref()).is_err() {
            let _ = writeln!(text, "{}: {}", problem.severity.word(), problem.message);
        }
    }
    text
}

/// The command `check`.
pub(crate) fn check(registry: &Registry, path: &Path, json: bool) -> Exit {
    let opened = match open(path) {
        Ok(opened) => opened,
        Err(message) => {
            if json {
                crate::output::print(
                    &serde_json::json!([{ "severity": "error", "message": message, "help": "", "line": null }])
                        .to_string(),
                );
            } else {
                anstream::eprintln!("error: {message}");
            }
            return Exit::BadInput;
        }
    };
    let mut problems = Problems::default();
    let plant = build(&opened, registry, &mut problems);
    let list = problems.in_order();
    if json {
        let rows: Vec<_> = list
            .iter()
            .map(|p| {
                let line =
                    p.span.as_ref().map(|s| opened.text[..s.start.min(opened.text.len())].matches('\n').count() + 1);
                serde_json::json!({ "severity": p.severity.word(), "message": p.message, "help": p.help, "line": line })
            })
            .collect();
        crate::output::print(&serde_json::to_string_pretty(&rows).unwrap_or_default());
    } else {
        anstream::eprint!("{}", render(&as_read(&list), path, &opened));
    }
    match plant {
        None => {
            if !json {
                anstream::eprintln!("{}", count(&problems));
            }
            Exit::BadInput
        }
        Some(plant) => {
            if !json {
                crate::output::print(&understood(&plant));
            }
            Exit::Done
        }
    }
}

/// What was understood, in words.
fn understood(plant: &Plant) -> String {
    let mut text = format!("{}\n", plant.title);
    if !plant.question.is_empty() {
        let _ = writeln!(text, "Question: {}", plant.question);
    }
    let _ = writeln!(text, "\nFlow:");
    for wire in &plant.wires {
        let _ = writeln!(text, "  {wire}");
    }
    for line in &plant.ground.known.provenance {
        let _ = writeln!(text, "Ground: {line}");
    }
    if let Some(tuned) = &plant.tuned {
        let _ = writeln!(text, "Tuned: {} It bears on {} constants.", tuned.words(), tuned.constants);
    }
    for table in &plant.understood {
        let kind = if table.kind.is_empty() || table.kind == table.owner {
            String::new()
        } else {
            format!(" ({})", table.kind)
        };
        let _ = writeln!(text, "\n{}{kind}", table.owner);
        for UnderstoodRow { meaning, value, given, .. } in &table.rows {
            let mark = if *given { "given" } else { "taken" };
            let _ = writeln!(text, "  {mark}  {meaning}: {value}");
        }
    }
    let _ = writeln!(text, "\n{} uncertain inputs. No problems found.", plant.inputs.all().len());
    text
}
