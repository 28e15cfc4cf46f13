//! `run --draws`: a table with a row a trial, for those who go on with it in a script.

use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};

use sim_core::constants::S_PER_H;
use sim_core::draw::Draws;
use sim_core::plant::Plant;
use sim_core::trial::TrialStatistics;
use washgraph_model::money::seasons::Seasons;

/// First column, by which a table of ours is known.
const TRIAL: &str = "trial";

/// Why the table could not be written.
#[derive(Debug, thiserror::Error)]
pub(crate) enum TableError {
    /// The system refused.
    #[error("cannot write {path}: {cause}")]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        cause: std::io::Error,
    },
    /// A file of the owner stands there.
    #[error("{0} is there already and is no table of trials: choose another name with --draws")]
    InTheWay(PathBuf),
}

/// Writes the table: whole or not at all, the same bytes for any number of threads. Inputs stand in SI with the unit behind the
/// name; grams are of raw gold, volumes of LOOSE gravel, money is in the currency of the plant.
pub(crate) fn write(path: &Path, plant: &Plant, seed: u64, statistics: &TrialStatistics) -> Result<(), TableError> {
    let io = |cause| TableError::Io { path: path.to_path_buf(), cause };
    if path.exists() && !is_ours(path) {
        return Err(TableError::InTheWay(path.to_path_buf()));
    }
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut file = tempfile::Builder::new().prefix(".washgraph-").tempfile_in(folder).map_err(io)?;
    rows(&mut BufWriter::new(file.as_file_mut()), plant, seed, statistics).map_err(io)?;
    file.persist(path).map_err(|error| io(error.error))?;
    Ok(())
}

/// A regular file that begins as a table of ours does.
fn is_ours(path: &Path) -> bool {
    let begins = |mut file: std::fs::File| {
        let mut first = [0; TRIAL.len() + 1];
        std::io::Read::read_exact(&mut file, &mut first).map(|()| first)
    };
    let is_file = std::fs::metadata(path).is_ok_and(|m| m.is_file());
    is_file && std::fs::File::open(path).and_then(begins).is_ok_and(|first| first == *b"trial,")
}

fn rows(out: &mut impl Write, plant: &Plant, seed: u64, statistics: &TrialStatistics) -> std::io::Result<()> {
    let mut csv = csv::Writer::from_writer(out);
    let seasons = Seasons::new(plant, seed, statistics);
    let mut heading = vec![TRIAL.to_owned()];
    heading.extend(plant.inputs.all().iter().map(|input| match input.dimension.si_symbol() {
        "-" => input.name.clone(),
        unit => format!("{} ({unit})", input.name),
    }));
    heading.extend(
        ["recovery", "gold fed (g/h)", "gold caught (g/h)", "feed (m3/h loose)", "grade (mg/m3 loose)"]
            .map(String::from),
    );
    if seasons.is_some() {
        let money = ["net (season)", "net after wage (season)", "net after all (season)"];
        heading.extend(money.map(String::from));
    }
    csv.write_record(&heading)?;
    let mut draws = Draws::new(seed, &plant.inputs);
    let mut row: Vec<String> = Vec::with_capacity(heading.len());
    for trial in 0..statistics.trials {
        let of = |list: &[f64]| list.get(trial).copied().unwrap_or(f64::NAN);
        let (fed, caught) = (of(&statistics.fed), of(&statistics.caught));
        draws.set_trial(trial as u64, &plant.inputs);
        row.clear();
        row.push(trial.to_string());
        row.extend(draws.values().iter().map(|x| number(*x)));
        let gold = [caught / fed, fed * 1000.0 * S_PER_H, caught * 1000.0 * S_PER_H];
        let gravel = [of(&statistics.feed) * S_PER_H, of(&statistics.grade_loose) * 1e6];
        row.extend(gold.into_iter().chain(gravel).map(number));
        if let Some(s) = &seasons {
            row.extend([of(&s.net), of(&s.after_wage), of(&s.after_all)].map(number));
        }
        csv.write_record(&row)?;
    }
    csv.flush()
}

/// All digits, so that nothing is lost; an empty cell where there is no number.
fn number(x: f64) -> String {
    if x.is_finite() { format!("{x}") } else { String::new() }
}
