//! The command line of `sheet`.

use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicU64;

use sim_core::owner_file;
use sim_core::plant::Plant;
use sim_core::quantity::UnitChoice;
use sim_core::registry::Registry;
use sim_core::trial::run_trials;

use crate::books;
use crate::exit::Exit;
use crate::load;
use crate::output::{self, OutputError};
use washgraph_view::sheet::document::Document;
use washgraph_view::sheet::prices::Prices;
use washgraph_view::sheet::tiles::Paper;
use washgraph_view::sheet::{gather, page, svg, tables, template, text};
use washgraph_view::tables::ContentError;

/// Arguments of `sheet`.
#[derive(Debug, clap::Args)]
pub(crate) struct SheetArgs {
    /// Scenario file
    pub scenario: PathBuf,
    /// Folder for the sheet, template and tables (default: out/NAME-sheet)
    #[arg(long)]
    pub out: Option<PathBuf>,
    /// Paper to print on (default: letter for US units, else a4)
    #[arg(long, value_parser = ["a4", "letter"])]
    pub paper: Option<String>,
    /// Your prices: the bill.csv of an earlier sheet with its column `price` filled in
    #[arg(long)]
    pub prices: Option<PathBuf>,
    /// Number of trials behind flows, pressures and torques (default: as the scenario says)
    #[arg(long, value_parser = clap::value_parser!(u64).range(1..=10_000_000))]
    pub trials: Option<u64>,
    /// Print the document alone to stdout; write files only with --out
    #[arg(long)]
    pub json: bool,
}

/// Name of the document in the folder; by it a folder is known as ours.
const DOCUMENT_FILE: &str = "sheet.json";

/// Writes the shop sheet of a scenario.
pub(crate) fn sheet(registry: &Registry, args: &SheetArgs) -> Exit {
    let plant = match load::load(registry, &args.scenario) {
        Ok(loaded) => loaded,
        Err(exit) => return exit,
    };
    let prices = match args.prices.as_deref().map_or(Ok(Prices::default()), read_prices) {
        Ok(prices) => prices,
        Err(faults) => {
            for fault in faults {
                anstream::eprintln!("error: {fault}");
            }
            return Exit::BadInput;
        }
    };
    let document = match of_plant(&plant, &prices, paper(args.paper.as_deref(), plant.units), args.trials) {
        Ok(document) => document,
        Err(fault) => return fault,
    };
    let json = match serde_json::to_string_pretty(&document) {
        Ok(json) => json,
        Err(error) => {
            anstream::eprintln!("error: the sheet cannot be written as JSON: {error}");
            return Exit::Fault;
        }
    };
    if args.json {
        output::print(&json);
    } else {
        output::print(&text::text(&document));
    }
    let folder = args.out.clone().or_else(|| (!args.json).then(|| default_folder(&args.scenario)));
    let Some(folder) = folder else { return Exit::Done };
    match output::write_files(&folder, DOCUMENT_FILE, || files(&document, &json)) {
        Ok(()) => {
            anstream::eprintln!("Shop sheet: {}", folder.join("sheet.html").display());
            Exit::Done
        }
        Err(error) => {
            anstream::eprintln!("error: {error}");
            Exit::BadInput
        }
    }
}

/// The sheet of a plant, unless the books of a stage do not close.
pub(super) fn of_plant(plant: &Plant, prices: &Prices, paper: Paper, trials: Option<u64>) -> Result<Document, Exit> {
    let trials = trials.unwrap_or(plant.trials);
    let statistics = run_trials(plant, plant.seed, trials as usize, &AtomicU64::new(0));
    if let Some(fault) = books::refused([&statistics.broken]) {
        return Err(fault);
    }
    Ok(Document::new(plant, &gather::parts(plant, &statistics), prices, paper, (plant.seed, trials)))
}

/// What was asked for, or what the user's country prints on.
fn paper(asked: Option<&str>, units: UnitChoice) -> Paper {
    match asked {
        Some("a4") => Paper::A4,
        Some("letter") => Paper::LETTER,
        _ if units == UnitChoice::Us => Paper::LETTER,
        _ => Paper::A4,
    }
}

fn default_folder(scenario: &Path) -> PathBuf {
    let mut name = scenario.file_stem().unwrap_or_default().to_os_string();
    name.push("-sheet");
    PathBuf::from("out").join(name)
}

/// Name and content of every file.
pub(super) fn files(d: &Document, json: &str) -> Result<Vec<(String, Vec<u8>)>, OutputError> {
    let content = |e: rust_xlsxwriter::XlsxError| ContentError { what: "the tables", cause: e.to_string() };
    let mut files = vec![
        (DOCUMENT_FILE.to_string(), format!("{json}\n").into_bytes()),
        ("sheet.html".into(), page::html(d).into_bytes()),
    ];
    files.extend(washgraph_view::tables::files("sheet", &tables::all(d)).map_err(content)?);
    if let Some(html) = template::html(d) {
        files.push((page::TILES_FILE.into(), html.into_bytes()));
    }
    for drawing in d.parts.iter().flat_map(|p| &p.drawings) {
        if d.templates.iter().any(|t| t.name == drawing.name) {
            files.push((format!("{}.svg", drawing.name), svg::whole(drawing).into_bytes()));
        }
    }
    Ok(files)
}

/// Largest price list that is read.
const MOST_BYTES: u64 = 2_000_000;

/// Reads a CSV file of prices; all its faults are told at once.
fn read_prices(path: &Path) -> Result<Prices, Vec<String>> {
    let shown = path.display().to_string();
    let text = owner_file::read_text(path, &shown, "price list", MOST_BYTES).map_err(|why| vec![why.to_string()])?;
    Prices::parse(&text).map_err(|faults| faults.into_iter().map(|f| format!("{shown}, {f}")).collect())
}
