//! What a command of this room has to say, printed and written.

use std::path::PathBuf;

use serde_json::Value;

use crate::exit::Exit;
use crate::output::{OutputError, print, write_files};
use washgraph_view::figures::Figure;
use washgraph_view::tables::{self, ContentError, TableFile};

/// Text, document, tables and figures.
pub(crate) struct Answer {
    /// Name of the command; the document is `NAME.json`.
    pub command: &'static str,
    /// For the terminal.
    pub text: String,
    /// The numbers.
    pub document: Value,
    /// Tables beside those of the figures.
    pub tables: Vec<TableFile>,
    /// Figures.
    pub figures: Vec<Figure>,
    /// How the command ends when all is written.
    pub exit: Exit,
}

/// What all commands of this room take.
#[derive(Debug, Clone, clap::Args)]
pub(crate) struct CommonArgs {
    /// Trials of each plant (default: as the scenario says)
    #[arg(long, value_parser = clap::value_parser!(u64).range(2..=10_000_000))]
    pub trials: Option<u64>,
    /// Seed of the random numbers (default: as the scenario says)
    #[arg(long)]
    pub seed: Option<u64>,
    /// Folder for figures and tables (default: out/NAME-COMMAND)
    #[arg(long)]
    pub out: Option<PathBuf>,
    /// Print the result document alone to stdout; write files only with --out
    #[arg(long)]
    pub json: bool,
}

impl Answer {
    /// Folder of a command that is written when no other is named.
    pub fn usual_folder(scenario: &std::path::Path, command: &str) -> PathBuf {
        let stem = scenario.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        PathBuf::from("out").join(format!("{stem}-{command}"))
    }

    /// Prints the answer and writes its folder.
    pub fn deliver(self, scenario: &std::path::Path, args: &CommonArgs) -> Exit {
        self.deliver_with(scenario, args, Vec::new())
    }

    /// The same with further files in the folder.
    pub fn deliver_with(self, scenario: &std::path::Path, args: &CommonArgs, further: Vec<(String, Vec<u8>)>) -> Exit {
        let json = match serde_json::to_string_pretty(&self.document) {
            Ok(json) => json,
            Err(error) => {
                anstream::eprintln!("error: the result cannot be written as JSON: {error}");
                return Exit::Fault;
            }
        };
        print(if args.json { &json } else { &self.text });
        let usual = || Answer::usual_folder(scenario, self.command);
        let Some(folder) = args.out.clone().or_else(|| (!args.json).then(usual)) else { return self.exit };
        let mark = format!("{}.json", self.command);
        let files = || -> Result<Vec<(String, Vec<u8>)>, OutputError> {
            let mut list = vec![
                (mark.clone(), (json + "\n").into_bytes()),
                ("answer.txt".to_string(), self.text.clone().into_bytes()),
            ];
            list.extend(further);
            let of_figures = self.figures.iter().map(|f| TableFile::of_figure(f.name, &f.table));
            let all: Vec<TableFile> = self.tables.iter().cloned().chain(of_figures).collect();
            list.extend(
                tables::files("tables", &all)
                    .map_err(|e| ContentError { what: "the workbook", cause: e.to_string() })?,
            );
            for figure in &self.figures {
                list.push((format!("{}.svg", figure.name), figure.svg.clone().into_bytes()));
                list.push((format!("{}.png", figure.name), figure.png.clone()));
            }
            Ok(list)
        };
        match write_files(&folder, &mark, files) {
            Ok(()) => {
                anstream::eprintln!("Figures and tables: {}", folder.display());
                self.exit
            }
            Err(error) => {
                anstream::eprintln!("error: {error}");
                Exit::BadInput
            }
        }
    }
}
