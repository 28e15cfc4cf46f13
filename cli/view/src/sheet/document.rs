//! What the parts said, in the user's units: the one source of page, tables, text and JSON.

use serde::Serialize;
use sim_core::plant::Plant;
use sim_core::quantity::{Dimension, UnitChoice};
use sim_core::shop::{Drawing, Figure, Phrase, Purpose, Reading, ShopRow};

use crate::sheet::bill::Bill;
use crate::sheet::gather::Owned;
use crate::sheet::prices::Prices;
use crate::sheet::tiles::{Paper, TileGrid};
use crate::sheet::words;

/// The sheet.
#[derive(Debug, Serialize)]
pub struct Document {
    /// Version of this layout.
    pub schema_version: u32,
    /// Title.
    pub title: String,
    /// The question that the scenario answers.
    pub question: String,
    /// What made it.
    pub made_by: MadeBy,
    /// Units of the user, by name.
    pub units: &'static str,
    /// Paper, by name.
    pub paper: &'static str,
    /// The parts, in the order of flow.
    pub parts: Vec<Part>,
    /// Quantities and prices.
    pub bill: Bill,
    /// Templates at true scale.
    pub templates: Vec<Template>,
    /// Units of the user.
    #[serde(skip)]
    pub choice: UnitChoice,
    /// Paper.
    #[serde(skip)]
    pub sheet_of_paper: Paper,
}

/// Where the numbers come from.
#[derive(Debug, Serialize)]
pub struct MadeBy {
    /// Name of the program.
    pub tool: &'static str,
    /// Its version.
    pub version: &'static str,
    /// SHA-256 of the scenario and the files that it names.
    pub scenario_sha256: String,
    /// Seed of the run behind the numbers.
    pub seed: u64,
    /// Its trials.
    pub trials: u64,
}

/// A part.
#[derive(Debug, Serialize)]
pub struct Part {
    /// Number of the part.
    pub number: usize,
    /// Stage or section that it belongs to.
    pub owner: String,
    /// Title.
    pub title: String,
    /// Its numbers.
    pub rows: Vec<Row>,
    /// The work, step by step.
    pub steps: Vec<String>,
    /// What to check when it is done.
    pub checks: Vec<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Drawings.
    #[serde(skip)]
    pub drawings: Vec<Drawing>,
}

/// A row: the printed words, and the bare number beside them.
#[derive(Debug, Serialize)]
pub struct Row {
    /// What the number is.
    pub what: String,
    /// In the user's units.
    pub value: String,
    /// In metric units, where those differ.
    pub metric: Option<String>,
    /// What 1 run in 10 falls below, and 1 in 10 is above.
    pub spread: Option<(String, String)>,
    /// The number, SI.
    pub si: Option<f64>,
    /// Its unit; `-` for a count or a share.
    pub si_unit: Option<&'static str>,
    /// How sure it is, in words.
    pub how_sure: &'static str,
    /// What else is to be known.
    pub note: String,
    /// Whether it stands at the head of its part.
    pub lead: bool,
}

/// A drawing that is printed at true scale.
#[derive(Debug, Serialize)]
pub struct Template {
    /// Number of the part.
    pub part: usize,
    /// Name, for files.
    pub name: String,
    /// Title.
    pub title: String,
    /// Width, mm.
    pub width_mm: f64,
    /// Height, mm.
    pub height_mm: f64,
    /// Number of holes.
    pub holes: u64,
    /// Area of all holes, m2.
    pub hole_area_m2: f64,
    /// Sheets of paper across.
    pub sheets_across: u32,
    /// Sheets of paper down.
    pub sheets_down: u32,
}

impl Document {
    /// The document of a plant; `run` is seed and number of trials.
    pub fn new(plant: &Plant, owned: &[Owned], prices: &Prices, paper: Paper, run: (u64, u64)) -> Document {
        let units = plant.units;
        let parts: Vec<Part> = owned.iter().enumerate().map(|(i, o)| part(i + 1, o, units)).collect();
        let templates = parts.iter().flat_map(|p| templates(p, paper)).collect();
        Document {
            schema_version: 1,
            title: plant.title.clone(),
            question: plant.question.clone(),
            made_by: MadeBy {
                tool: plant.program.name,
                version: plant.program.version,
                scenario_sha256: plant.sha256.clone(),
                seed: run.0,
                trials: run.1,
            },
            units: match units {
                UnitChoice::Us => "us",
                UnitChoice::Imperial => "imperial",
                UnitChoice::Metric => "metric",
            },
            paper: paper.name,
            parts,
            bill: Bill::new(owned, prices, units),
            templates,
            choice: units,
            sheet_of_paper: paper,
        }
    }

    /// Every check with the part that it belongs to.
    pub fn checks(&self) -> impl Iterator<Item = (&Part, &String)> {
        self.parts.iter().flat_map(|p| p.checks.iter().map(move |c| (p, c)))
    }
}

fn part(number: usize, owned: &Owned, units: UnitChoice) -> Part {
    let p = &owned.part;
    let said = |list: &[Phrase]| list.iter().map(|x| words::phrase(x, units)).collect();
    Part {
        number,
        owner: owned.owner.clone(),
        title: p.title.clone(),
        rows: p.rows.iter().map(|r| row(r, units)).collect(),
        steps: said(&p.steps),
        checks: said(&p.checks),
        cautions: said(&p.cautions),
        drawings: p.drawings.clone(),
    }
}

fn row(r: &ShopRow, units: UnitChoice) -> Row {
    let mut row = Row {
        what: r.what.clone(),
        value: String::new(),
        metric: None,
        spread: None,
        si: None,
        si_unit: None,
        how_sure: r.sure.words(),
        note: words::phrase(&r.note, units),
        lead: r.lead,
    };
    match &r.figure {
        Figure::Size(si, dimension) => number(&mut row, *si, *dimension, units),
        Figure::Range(from, to, dimension) => {
            let (low, low_metric) = words::both(*from, *dimension, units);
            let (high, high_metric) = words::both(*to, *dimension, units);
            row.value = format!("{low} to {high}");
            row.metric = low_metric.zip(high_metric).map(|(l, h)| format!("{l} to {h}"));
        }
        Figure::Count(n) => {
            row.value = words::count(*n);
            row.si = Some(*n as f64);
            row.si_unit = Some("-");
        }
        Figure::Run(Reading { middle, low, high }, dimension) => {
            number(&mut row, *middle, *dimension, units);
            if middle.is_finite() && low != high {
                let joined = |si| words::joined(si, *dimension, units);
                row.spread = Some((joined(*low), joined(*high)));
            }
        }
        Figure::Words(phrase) => row.value = words::phrase(phrase, units),
    }
    row
}

fn number(row: &mut Row, si: f64, dimension: Dimension, units: UnitChoice) {
    let (own, metric) = words::both(si, dimension, units);
    row.value = own;
    row.metric = metric;
    if si.is_finite() {
        row.si = Some(si);
        row.si_unit = Some(dimension.si_symbol());
    }
}

fn templates(part: &Part, paper: Paper) -> Vec<Template> {
    part.drawings
        .iter()
        .filter(|d| d.purpose == Purpose::Template)
        .map(|d| {
            let grid = TileGrid::of(d.size_m, paper);
            Template {
                part: part.number,
                name: d.name.clone(),
                title: d.title.clone(),
                width_mm: 1000.0 * d.size_m.0,
                height_mm: 1000.0 * d.size_m.1,
                holes: d.grids().map(|g| g.count()).sum(),
                hole_area_m2: d.grids().map(|g| g.area_m2()).sum(),
                sheets_across: grid.columns,
                sheets_down: grid.rows,
            }
        })
        .collect()
}
