//! The command `new`: a commented scenario to start from. At a terminal it asks for what the flags leave open.

use std::io::{BufRead, IsTerminal};
use std::path::{Path, PathBuf};

use sim_core::problem::Problems;
use sim_core::quantity::{self, Dimension};
use sim_core::registry::Registry;
use washgraph_model::scenario::{Opened, build};

use crate::exit::Exit;
use crate::new_sheets::{self, SheetKind};

/// Arguments of `new`.
#[derive(Debug, clap::Args)]
pub(crate) struct NewArgs {
    /// File to write; never overwritten
    pub file: PathBuf,
    /// Write an empty field log of the running plant instead, for `tune`: .toml or .csv
    #[arg(long, conflicts_with_all = ["title", "rate", "drum", "hole", "width", "sheets"])]
    pub log: bool,
    /// Title of the scenario
    #[arg(long)]
    pub title: Option<String>,
    /// Loose feed rate, e.g. "30 yd3/h loose"
    #[arg(long)]
    pub rate: Option<String>,
    /// Drum diameter, e.g. "36 in"
    #[arg(long)]
    pub drum: Option<String>,
    /// Screen hole, e.g. "1/2 in"
    #[arg(long)]
    pub hole: Option<String>,
    /// Sluice width, e.g. "36 in"
    #[arg(long)]
    pub width: Option<String>,
    /// Field sheets beside the scenario, to write sieve tests, stones and pans into
    #[arg(long, value_enum)]
    pub sheets: Option<crate::new_sheets::SheetKind>,
}

const TEMPLATE: &str = include_str!("new_scenario.toml");

/// Writes the scenario. The file is never overwritten.
pub(crate) fn new(registry: &Registry, args: &NewArgs) -> Exit {
    if args.file.exists() {
        anstream::eprintln!("error: {} is there already; nothing was written", args.file.display());
        return Exit::BadInput;
    }
    if args.log {
        return crate::new_log::new_log(registry, &args.file);
    }
    let asked = [
        ("{title}", "Name of plant and ground", &args.title, "My plant", None),
        ("{rate}", "Loose ground fed per hour", &args.rate, "30 yd3/h loose", Some(Dimension::GravelRate)),
        ("{drum}", "Inside diameter of the drum", &args.drum, "36 in", Some(Dimension::Length)),
        ("{hole}", "Size of the screen holes", &args.hole, "1/2 in", Some(Dimension::Length)),
        ("{width}", "Width of the sluice", &args.width, "36 in", Some(Dimension::Length)),
    ];
    let mut text = TEMPLATE.to_string();
    let mut hole_m = 0.0127;
    for (slot, question, given, usual, dimension) in asked {
        let answer = match given {
            Some(answer) => answer.clone(),
            None => ask(question, usual, dimension),
        };
        if let Some(dimension) = dimension {
            match quantity::parse(&answer, dimension) {
                Ok(parsed) if slot == "{hole}" => hole_m = parsed.si,
                Ok(_) => {}
                Err(error) => {
                    anstream::eprintln!("error: {question}: {}; {}", error.message, error.help);
                    return Exit::BadInput;
                }
            }
        }
        text = text.replace(slot, &answer.replace('\\', "\\\\").replace('"', "\\\""));
    }
    // A pitch of one and a half holes is the usual start.
    text = text.replace("{pitch}", &format!("{:.1} mm", 1500.0 * hole_m));
    let stem = args.file.file_stem().map_or("ground".into(), |s| s.to_string_lossy().into_owned());
    let kind = args.sheets.unwrap_or_else(ask_sheets);
    let sheets = match new_sheets::files(kind, &stem) {
        Ok(sheets) => sheets,
        Err(error) => {
            anstream::eprintln!("error: the workbook cannot be made: {error}");
            return Exit::Fault;
        }
    };
    if kind != SheetKind::None {
        text = new_sheets::point_to(&text, kind, &stem.replace('\\', "\\\\").replace('"', "\\\""));
    }
    if let Err(told) = try_out(registry, &text, &sheets) {
        anstream::eprint!("{told}");
        anstream::eprintln!("nothing was written");
        return Exit::BadInput;
    }
    let name = args.file.file_name().map_or(String::new(), |n| n.to_string_lossy().into_owned());
    let folder = args.file.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut files = vec![(name, text.into_bytes())];
    files.extend(sheets);
    match new_sheets::write_new(folder, &files) {
        Ok(()) => {
            let beside: Vec<&str> = files.iter().skip(1).map(|f| f.0.as_str()).collect();
            let with = if beside.is_empty() { String::new() } else { format!(" with {}", beside.join(", ")) };
            anstream::eprintln!(
                "Wrote {}{with}. Put in your own sieve and pan figures, then: washgraph check {0}",
                args.file.display()
            );
            Exit::Done
        }
        Err(error) => {
            anstream::eprintln!("error: {error}; nothing was written");
            Exit::BadInput
        }
    }
}

/// Builds the scenario beside its sheets in a folder of its own, before anything is written where it shall stand.
fn try_out(registry: &Registry, text: &str, sheets: &[(String, Vec<u8>)]) -> Result<(), String> {
    let folder = tempfile::tempdir().map_err(|e| format!("error: no folder to try the scenario in: {e}\n"))?;
    new_sheets::write_new(folder.path(), sheets).map_err(|e| format!("error: {e}\n"))?;
    let mut problems = Problems::default();
    let opened = Opened { text: text.to_string(), folder: folder.path().to_path_buf() };
    match build(&opened, registry, &mut problems) {
        Some(_) => Ok(()),
        None => Err(problems
            .in_order()
            .iter()
            .map(|p| format!("{}: {}; {}\n", p.severity.word(), p.message, p.help))
            .collect()),
    }
}

/// Asks at a terminal for the kind of field sheets; elsewhere there are none.
fn ask_sheets() -> SheetKind {
    if !std::io::stdin().is_terminal() {
        return SheetKind::None;
    }
    loop {
        match ask("Field sheets for your samples: none, csv or xlsx", "none", None).to_lowercase().as_str() {
            "none" | "no" => return SheetKind::None,
            "csv" => return SheetKind::Csv,
            "xlsx" | "excel" | "workbook" => return SheetKind::Xlsx,
            other => anstream::eprintln!("  `{other}` is none of them"),
        }
    }
}

/// Asks at a terminal until the answer can be read; elsewhere the usual value holds.
fn ask(question: &str, usual: &str, dimension: Option<Dimension>) -> String {
    if !std::io::stdin().is_terminal() {
        return usual.to_string();
    }
    loop {
        anstream::eprint!("{question} [{usual}]: ");
        let mut line = String::new();
        if std::io::stdin().lock().read_line(&mut line).unwrap_or(0) == 0 || line.trim().is_empty() {
            return usual.to_string();
        }
        let answer = line.trim().to_string();
        match dimension.map(|d| quantity::parse(&answer, d)) {
            Some(Err(error)) => anstream::eprintln!("  {}; {}", error.message, error.help),
            _ => return answer,
        }
    }
}
