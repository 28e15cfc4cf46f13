//! The command `rerun`: a result repeated from the inputs kept with it.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use serde_json::Value;
use sim_core::draw::LAYOUT;
use sim_core::owner_file;
use sim_core::plant::Plant;
use sim_core::provenance::Program;
use sim_core::registry::Registry;
use sim_core::trial::run_trials;
use washgraph_model::result::{Provenance, RunResult, SCHEMA_VERSION};
use washgraph_model::scenario::Opened;

use crate::exit::Exit;
use crate::output::{OutputError, RESULT_FILE};
use crate::progress::watched;
use crate::{books, files, kept_inputs, load, output};
use washgraph_view::verdict;
use washgraph_view::verdict::Verdict;

/// A result document has some 300 kB; far above that it is another file.
const MOST_BYTES: u64 = 200_000_000;
/// Differing numbers that are listed.
const MOST_LISTED: usize = 12;

/// Arguments of `rerun`.
#[derive(Debug, clap::Args)]
pub(crate) struct RerunArgs {
    /// Folder of a run, or its result.json
    pub result: PathBuf,
    /// Scenario file, when its copy is not beside the result
    #[arg(long)]
    pub scenario: Option<PathBuf>,
    /// Write the repeated run into this folder
    #[arg(long)]
    pub out: Option<PathBuf>,
}

/// Repeats a result.
pub(crate) fn rerun(registry: &Registry, args: &RerunArgs) -> Exit {
    match repeat(registry, args) {
        Ok(exit) => exit,
        Err(message) => {
            if !message.is_empty() {
                anstream::eprintln!("error: {message}");
            }
            Exit::BadInput
        }
    }
}

/// The work. An empty message means that the problems were shown already.
fn repeat(registry: &Registry, args: &RerunArgs) -> Result<Exit, String> {
    let file = if args.result.is_dir() { args.result.join(RESULT_FILE) } else { args.result.clone() };
    let folder = file.parent().map(Path::to_path_buf).unwrap_or_default();
    let old = read(&file)?;
    let made: RunResult = serde_json::from_slice(&old)
        .map_err(|e| format!("{} is not a result of this program, version {SCHEMA_VERSION}: {e}", file.display()))?;
    let laid_out = match &args.scenario {
        Some(_) => None,
        None => Some(kept_inputs::lay_out(&folder, &made.provenance.files)?),
    };
    let scenario = args.scenario.as_ref().or(laid_out.as_ref().map(|l| &l.scenario)).ok_or("no scenario")?;
    let (opened, plant) = match load::load_with_text(registry, scenario) {
        Ok(loaded) => loaded,
        Err(Exit::BadInput) => return Err(String::new()),
        Err(exit) => return Ok(exit),
    };
    same_inputs(&made.provenance, &plant)?;
    for line in other_program(&made.provenance, plant.program) {
        anstream::eprintln!("note: {line}");
    }

    let (seed, trials) = (made.provenance.seed, made.provenance.trials);
    let statistics = watched(trials, |done| run_trials(&plant, seed, trials as usize, done));
    if let Some(fault) = books::refused([&statistics.broken]) {
        return Ok(fault);
    }
    let outcome = RunResult::new(&plant, seed, &statistics);
    let said = verdict::with_remedies(&outcome, &plant, seed);
    if let Some(out) = &args.out {
        files::write_folder(out, &outcome, &plant, &opened, registry, &said).map_err(|e| e.to_string())?;
        anstream::eprintln!("Report: {}", out.join("report.html").display());
    }
    let new = files::result_json(&outcome).map_err(|e| e.to_string())?;
    if new.as_bytes() != old {
        output::print(&differences(&old, &new));
        return Ok(Exit::LimitMissed);
    }
    output::print(&format!("{}: {trials} trials repeated, the same {} bytes.", file.display(), old.len()));
    let (same, differing) = beside(&folder, &outcome, &plant, &opened, registry, &said)
        .map_err(|e| format!("the files beside the result: {e}"))?;
    if same > 0 || !differing.is_empty() {
        output::print(&format!("Files beside it (report, figures, tables): {same} the same."));
    }
    if differing.is_empty() {
        return Ok(Exit::Done);
    }
    output::print(&format!("Not the same: {}.", differing.join(", ")));
    Ok(Exit::LimitMissed)
}

fn read(file: &Path) -> Result<Vec<u8>, String> {
    owner_file::read(file, &file.display().to_string(), "result", MOST_BYTES).map_err(|why| why.to_string())
}

/// Whether the scenario and the files that it names are those of the result.
fn same_inputs(made: &Provenance, plant: &Plant) -> Result<(), String> {
    if made.scenario_sha256 == plant.sha256 {
        return Ok(());
    }
    let changed: Vec<&str> = plant.files.iter().filter(|f| !made.files.contains(f)).map(|f| f.name.as_str()).collect();
    let what = if changed.is_empty() { "the text of the scenario".into() } else { changed.join(", ") };
    Err(format!("the inputs are not those of the result: {what} differs; `run` makes a new result of them"))
}

/// What of the program is not as it was.
fn other_program(made: &Provenance, program: Program) -> Vec<String> {
    let mut lines = Vec::new();
    if made.tool != program.name {
        lines.push(format!("the result was made by {}, this is {}: numbers may differ", made.tool, program.name));
    } else if made.version != program.version {
        lines.push(format!(
            "the result was made by version {}, this is {}: numbers may differ",
            made.version, program.version
        ));
    }
    if made.rng_layout != LAYOUT {
        lines.push(format!(
            "random numbers stood in another order then ({} against {LAYOUT}): trials are other trials, and answers \
             differ as between two seeds",
            made.rng_layout
        ));
    }
    lines
}

/// Files of the folder that are the same when made again, and the names of those that are not. Files that are not there
/// are left out: a result may have been saved alone.
fn beside(
    folder: &Path,
    outcome: &RunResult,
    plant: &Plant,
    opened: &Opened,
    registry: &Registry,
    verdict: &Verdict,
) -> Result<(usize, Vec<String>), OutputError> {
    if !folder.join("report.html").exists() {
        return Ok((0, Vec::new()));
    }
    let mut made = files::all(outcome, plant, opened, registry, verdict)?;
    made.extend(kept_inputs::of(plant, opened)?);
    let (mut same, mut differing) = (0, Vec::new());
    for (name, bytes) in made.into_iter().filter(|(name, _)| name != RESULT_FILE) {
        match read(&folder.join(&name)) {
            Ok(there) if there == bytes => same += 1,
            Ok(_) => differing.push(name),
            Err(_) => {}
        }
    }
    Ok((same, differing))
}

/// The places of two documents whose values differ, with both values.
fn differences(old: &[u8], new: &str) -> String {
    let (Ok(a), Ok(b)) = (serde_json::from_slice::<Value>(old), serde_json::from_str::<Value>(new)) else {
        return "The result differs.".into();
    };
    let mut list = Vec::new();
    gather(&a, &b, &mut String::new(), &mut list);
    if list.is_empty() {
        return "The same numbers, but the file was written or edited in another form.".into();
    }
    let mut text = format!("The repeated run differs in {} places:\n", list.len());
    for (path, was, is) in list.iter().take(MOST_LISTED) {
        let _ = writeln!(text, "  {path}: was {was}, is now {is}");
    }
    if list.len() > MOST_LISTED {
        let _ = writeln!(text, "  and {} more", list.len() - MOST_LISTED);
    }
    text
}

fn gather(a: &Value, b: &Value, path: &mut String, list: &mut Vec<(String, String, String)>) {
    let length = path.len();
    match (a, b) {
        (Value::Object(x), Value::Object(y)) => {
            for key in x.keys().chain(y.keys().filter(|k| !x.contains_key(*k))) {
                let _ = write!(path, "{}{key}", if length == 0 { "" } else { "." });
                gather(x.get(key).unwrap_or(&Value::Null), y.get(key).unwrap_or(&Value::Null), path, list);
                path.truncate(length);
            }
        }
        (Value::Array(x), Value::Array(y)) if x.len() == y.len() => {
            for (k, (p, q)) in x.iter().zip(y).enumerate() {
                let _ = write!(path, "[{k}]");
                gather(p, q, path, list);
                path.truncate(length);
            }
        }
        _ if a != b => list.push((path.clone(), shortly(a), shortly(b))),
        _ => {}
    }
}

fn shortly(value: &Value) -> String {
    match value {
        Value::Array(items) => format!("a list of {}", items.len()),
        Value::Object(_) => "a table".into(),
        Value::Null => "nothing".into(),
        other => other.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_differences_name_their_place_and_both_values() {
        let text = differences(br#"{"a":{"b":[1,2]},"c":"x"}"#, r#"{"a":{"b":[1,3]},"d":null}"#);
        assert!(text.contains("a.b[1]: was 2, is now 3"), "{text}");
        assert!(text.contains("c: was \"x\", is now nothing"), "{text}");
        assert!(text.contains("2 places"), "{text}");
        assert!(differences(b"{\"a\": 1}", "{\"a\":1}").contains("another form"));
    }
}
