//! Sieve tests: rows of a sheet, grouped by pit, turned into shares passing, with the checks that belong to them.

use std::collections::BTreeMap;

use super::columns::sieves as column;
use super::sheet::{Row, Sheet, SheetReader};
use washgraph_physics::size::BySolid;
use washgraph_physics::size::{Gradation, GradationError};
use washgraph_units::quantity::{Dimension, UnitChoice, show};

/// Loss or gain of mass on sieving that ASTM C136 tolerates, share of the start (0.3 %; seen in a check list of the test).
pub const MASS_BALANCE: f64 = 0.003;

/// Loss or gain above which the test is refused. Assumed.
const MASS_LOST: f64 = 0.10;

/// One sieve test, ready for the posterior.
#[derive(Debug, Clone)]
pub struct SieveTest {
    /// Name of the pit; empty when there is only one.
    pub pit: String,
    /// Sieve, m, and share of the test finer than it, finest first.
    pub points: Vec<(f64, f64)>,
    /// Dry mass sieved, kg, clay lumps apart.
    pub sample_kg: f64,
    /// Clay lumps picked: size of the sieve, m, and mass, kg.
    pub lumps: Vec<(f64, f64)>,
    /// Share of each class of the grid.
    pub shares: BySolid,
}

/// What the scenario says for all tests of a sheet, used where the sheet is silent.
#[derive(Debug, Clone, Copy)]
pub struct SieveDefaults {
    /// Mass sieved, kg.
    pub sample_kg: Option<f64>,
    /// Whether it was weighed wet.
    pub wet: bool,
    /// Water over wet mass.
    pub moisture: f64,
    /// Largest stone, m.
    pub largest_m: Option<f64>,
    /// Size, m, above which stones are counted and not sieved; then the top sieve need not pass all.
    pub splice_m: Option<f64>,
    /// Units for messages.
    pub units: UnitChoice,
}

/// A row as read.
struct Line<'r> {
    row: &'r Row,
    /// `None` for the pan.
    size_m: Option<f64>,
    passing: Option<f64>,
    retained_kg: Option<f64>,
    lumps_kg: f64,
}

#[derive(Default)]
struct Group<'r> {
    lines: Vec<Line<'r>>,
    sample_kg: Option<f64>,
    wet: Option<bool>,
    moisture: Option<f64>,
}

/// Reads all tests of a sheet; problems go to the sheet_reader.
pub fn read(sheet: &Sheet, defaults: &SieveDefaults, sheet_reader: &mut SheetReader<'_>) -> Option<Vec<SieveTest>> {
    let before = sheet_reader.errors();
    if sheet.rows.is_empty() {
        sheet_reader.error(
            sheet,
            None,
            None,
            "no sieve is listed",
            "one row a sieve: size and passing, or size and retained",
        );
        return None;
    }
    let groups = group(sheet, sheet_reader);
    let mut tests = Vec::new();
    let alone = groups.len() == 1;
    for (pit, group) in groups {
        if let Some(mut test) = finish(sheet, &pit, group, defaults, sheet_reader) {
            test.pit = if alone { String::new() } else { pit };
            tests.push(test);
        }
    }
    (sheet_reader.errors() == before && !tests.is_empty()).then_some(tests)
}

fn group<'r>(sheet: &'r Sheet, sheet_reader: &mut SheetReader<'_>) -> BTreeMap<String, Group<'r>> {
    let mut groups: BTreeMap<String, Group<'r>> = BTreeMap::new();
    let mut pit = String::new();
    for row in &sheet.rows {
        // A pit named once holds for the rows below it.
        if let Some(name) = sheet.text(row, column::PIT) {
            pit = name.to_string();
        }
        let group = groups.entry(pit.clone()).or_default();
        if let Ok(Some(read)) = sheet_reader.quantity(sheet, row, column::SAMPLE) {
            match group.sample_kg {
                Some(kg) if (kg / read.si - 1.0).abs() > 1e-6 => sheet_reader.error(
                    sheet,
                    Some(row),
                    Some(column::SAMPLE),
                    "another mass stands in a row above of the same pit",
                    "give the mass before sieving once a pit, or the pits different names",
                ),
                _ => group.sample_kg = Some(read.si),
            }
        }
        if let Ok(Some(read)) = sheet_reader.quantity(sheet, row, column::MOISTURE) {
            group.moisture = Some(read.si);
        }
        match sheet.text(row, column::WEIGHED).map(str::to_lowercase).as_deref() {
            None => {}
            Some("wet") => group.wet = Some(true),
            Some("dry") => group.wet = Some(false),
            Some(other) => sheet_reader.error(
                sheet,
                Some(row),
                Some(column::WEIGHED),
                format!("`{other}` is neither wet nor dry"),
                "write wet or dry",
            ),
        }
        let is_pan = sheet
            .text(row, column::SIZE_COLUMN)
            .is_some_and(|t| ["pan", "bottom", "rest", "fines"].contains(&t.trim().to_lowercase().as_str()));
        let size = if is_pan { Ok(None) } else { sheet_reader.quantity(sheet, row, column::SIZE_COLUMN) };
        let passing = sheet_reader.quantity(sheet, row, column::PASSING);
        let retained = sheet_reader.not_negative(sheet, row, column::RETAINED);
        let lumps = sheet_reader.not_negative(sheet, row, column::LUMPS);
        let (Ok(size), Ok(passing), Ok(retained), Ok(lumps)) = (size, passing, retained, lumps) else { continue };
        if !is_pan && size.is_none() {
            if passing.is_some() || retained.is_some() {
                sheet_reader.error(
                    sheet,
                    Some(row),
                    Some(column::SIZE_COLUMN),
                    "this row lacks its sieve",
                    "write its size",
                );
            }
            continue;
        }
        if size.is_some_and(|s| !(s.si > 1.0e-6 && s.si < 5.0)) {
            sheet_reader.error(
                sheet,
                Some(row),
                Some(column::SIZE_COLUMN),
                format!(
                    "a sieve of {} cannot be",
                    show(size.map_or(0.0, |s| s.si), Dimension::Length, UnitChoice::Metric)
                ),
                "sizes lie between 1 um and 5 m: is the unit right?",
            );
            continue;
        }
        if passing.is_none() && retained.is_none() && lumps.is_none() {
            sheet_reader.error(
                sheet,
                Some(row),
                None,
                "this sieve has neither a share passing nor a mass retained",
                "fill one of the two in; write 0 where nothing stayed",
            );
            continue;
        }
        group.lines.push(Line {
            row,
            size_m: size.map(|s| s.si),
            passing: passing.map(|p| p.si),
            retained_kg: retained.map(|m| m.si),
            lumps_kg: lumps.map_or(0.0, |m| m.si),
        });
    }
    groups
}

fn finish(
    sheet: &Sheet,
    pit: &str,
    mut group: Group<'_>,
    defaults: &SieveDefaults,
    sheet_reader: &mut SheetReader<'_>,
) -> Option<SieveTest> {
    let before = sheet_reader.errors();
    let dry = if group.wet.unwrap_or(defaults.wet) { 1.0 - group.moisture.unwrap_or(defaults.moisture) } else { 1.0 };
    group.lines.sort_by(|a, b| a.size_m.unwrap_or(0.0).total_cmp(&b.size_m.unwrap_or(0.0)));
    let first_row = group.lines.iter().map(|l| l.row).min_by_key(|r| r.number);
    let by_mass = group.lines.iter().any(|l| l.retained_kg.is_some());
    if by_mass && group.lines.iter().any(|l| l.passing.is_some()) {
        sheet_reader.error(
            sheet,
            first_row,
            None,
            "shares passing and masses retained are mixed in one test",
            "give one of the two for every sieve of a pit",
        );
        return None;
    }
    let lumps_kg: f64 = group.lines.iter().map(|l| l.lumps_kg * dry).sum();
    let start_kg = group.sample_kg.or(defaults.sample_kg).map(|kg| kg * dry);
    let (points, sample_kg) = if by_mass {
        from_masses(sheet, pit, &group, start_kg, dry, lumps_kg, sheet_reader)?
    } else {
        let Some(kg) = start_kg else {
            sheet_reader.error(
                sheet,
                first_row,
                None,
                format!("{}the mass that was sieved is missing: `sample_mass`", of_pit(pit)),
                "add sample_mass = \"...\" to [ground.gradation], or a column sample_mass: how well a size is known depends on it",
            );
            return None;
        };
        (from_shares(sheet, &group, defaults.units, sheet_reader), kg - lumps_kg)
    };
    if sheet_reader.errors() > before {
        return None;
    }
    let curve = gradation(&points, defaults);
    let shares = match curve {
        Ok(curve) => curve.class_shares(),
        Err(errors) => {
            for error in errors {
                let (message, help) = in_words(&error, defaults.units);
                sheet_reader.error(sheet, row_at(&group, &error), None, format!("{}{message}", of_pit(pit)), help);
            }
            return None;
        }
    };
    let lumps =
        group.lines.iter().filter(|l| l.lumps_kg > 0.0).filter_map(|l| Some((l.size_m?, l.lumps_kg * dry))).collect();
    Some(SieveTest { pit: String::new(), points, sample_kg, lumps, shares })
}

fn of_pit(pit: &str) -> String {
    if pit.is_empty() { String::new() } else { format!("pit {pit}: ") }
}

/// The curve; where stones are counted apart, the sample ends at the splice.
fn gradation(points: &[(f64, f64)], defaults: &SieveDefaults) -> Result<Gradation, Vec<GradationError>> {
    let finest = points.iter().map(|p| p.0).fold(f64::INFINITY, f64::min);
    let top = points.last().copied().unwrap_or((0.0, 0.0));
    let largest = defaults.largest_m.or_else(|| {
        // With the stones counted, what stays on the top sieve only has to end somewhere above it.
        defaults.splice_m.map(|s| if top.1 < 1.0 { (1.5 * top.0).max(1.5 * s) } else { s })
    });
    // Below the finest sieve the curve goes on as a power law down to 2 micrometres (clay size), or a third of the sieve.
    Gradation::new(points, largest, (2.0e-6_f64).min(finest / 3.0))
}

fn from_shares(
    sheet: &Sheet,
    group: &Group<'_>,
    units: UnitChoice,
    sheet_reader: &mut SheetReader<'_>,
) -> Vec<(f64, f64)> {
    let mut points: Vec<(f64, f64)> = Vec::new();
    for line in &group.lines {
        let (Some(size), Some(share)) = (line.size_m, line.passing) else { continue };
        if !(0.0..=1.000_001).contains(&share) {
            sheet_reader.error(
                sheet,
                Some(line.row),
                Some(column::PASSING),
                format!("{} % cannot pass: a share lies between 0 and 100 %", (1e4 * share).round() / 100.0),
                "write the share of the whole sample that passes this sieve, e.g. 57 %",
            );
            continue;
        }
        if let Some((finer_m, finer)) = points.last().copied() {
            if finer_m == size {
                sheet_reader.error(
                    sheet,
                    Some(line.row),
                    Some(column::SIZE_COLUMN),
                    format!("the sieve {} is listed twice", sieve(size, units)),
                    "keep one of the two rows",
                );
                continue;
            }
            if share < finer {
                sheet_reader.error(
                    sheet,
                    Some(line.row),
                    Some(column::PASSING),
                    format!(
                        "only {:.1} % passes {}, but {:.1} % passes the finer {}: a wider sieve cannot pass less",
                        100.0 * share,
                        sieve(size, units),
                        100.0 * finer,
                        sieve(finer_m, units)
                    ),
                    "check these two rows; are shares retained given instead of shares passing?",
                );
                continue;
            }
        }
        points.push((size, share.min(1.0)));
    }
    points
}

fn from_masses(
    sheet: &Sheet,
    pit: &str,
    group: &Group<'_>,
    start_kg: Option<f64>,
    dry: f64,
    lumps_kg: f64,
    sheet_reader: &mut SheetReader<'_>,
) -> Option<(Vec<(f64, f64)>, f64)> {
    let first_row = group.lines.iter().map(|l| l.row).min_by_key(|r| r.number);
    let held: f64 = group.lines.iter().filter_map(|l| l.retained_kg).map(|kg| kg * dry).sum();
    let has_pan = group.lines.iter().any(|l| l.size_m.is_none());
    let whole = match (has_pan, start_kg) {
        (true, start) => {
            if let Some(start) = start {
                balance(sheet, pit, first_row, held + lumps_kg, start, sheet_reader);
            }
            held
        }
        (false, Some(start)) => {
            let whole = start - lumps_kg;
            if held > whole * (1.0 + MASS_BALANCE) {
                sheet_reader.error(
                    sheet,
                    first_row,
                    None,
                    format!(
                        "{}the masses on the sieves come to {held:.1} kg, more than the {whole:.1} kg before sieving",
                        of_pit(pit)
                    ),
                    "check the masses, their units, and whether all were weighed dry",
                );
                return None;
            }
            whole.max(held)
        }
        (false, None) => {
            sheet_reader.error(
                sheet,
                first_row,
                None,
                format!("{}what passed the finest sieve is missing", of_pit(pit)),
                "add a row with size `pan`, or the mass before sieving as sample_mass",
            );
            return None;
        }
    };
    if !(whole > 0.0) {
        sheet_reader.error(sheet, first_row, None, format!("{}nothing was weighed", of_pit(pit)), "check the masses");
        return None;
    }
    let mut below = whole
        - group
            .lines
            .iter()
            .filter(|l| l.size_m.is_some())
            .filter_map(|l| l.retained_kg)
            .map(|kg| kg * dry)
            .sum::<f64>();
    let mut points: Vec<(f64, f64)> = Vec::new();
    for line in &group.lines {
        let Some(size) = line.size_m else { continue };
        if points.last().is_some_and(|p| p.0 == size) {
            sheet_reader.error(
                sheet,
                Some(line.row),
                Some(column::SIZE_COLUMN),
                "this sieve is listed twice",
                "keep one row, or name the pits",
            );
            continue;
        }
        points.push((size, (below / whole).clamp(0.0, 1.0)));
        below += line.retained_kg.unwrap_or(0.0) * dry;
    }
    Some((points, whole))
}

/// Compares the masses on the sieves with the mass before.
fn balance(
    sheet: &Sheet,
    pit: &str,
    row: Option<&Row>,
    after_kg: f64,
    start_kg: f64,
    sheet_reader: &mut SheetReader<'_>,
) {
    let off = after_kg / start_kg - 1.0;
    if off.abs() <= MASS_BALANCE {
        return;
    }
    let message = format!(
        "{}the masses on the sieves come to {after_kg:.1} kg, {:.1} % {} than the {start_kg:.1} kg before sieving",
        of_pit(pit),
        100.0 * off.abs(),
        if off < 0.0 { "less" } else { "more" },
    );
    let help = "up to 0.3 % is usual (ASTM C136); look for a sieve left out, a wrong unit, or wet against dry weights";
    if off.abs() > MASS_LOST {
        sheet_reader.error(sheet, row, None, message, help);
    } else {
        sheet_reader.warning(sheet, row, None, message, help);
    }
}

fn sieve(size_m: f64, units: UnitChoice) -> String {
    show(size_m, Dimension::SieveSize, units)
}

/// Row that an error of the curve speaks of.
fn row_at<'r>(group: &Group<'r>, error: &GradationError) -> Option<&'r Row> {
    let size = match error {
        GradationError::BadSize { size_m }
        | GradationError::BadShare { size_m, .. }
        | GradationError::Twice { size_m }
        | GradationError::Falls { size_m, .. } => *size_m,
        GradationError::LargestTooSmall { top_m, .. } => *top_m,
        GradationError::NoLargest { .. } => group.lines.iter().filter_map(|l| l.size_m).fold(0.0, f64::max),
        GradationError::BadBound { finest_m, .. } => *finest_m,
        GradationError::TooFew { .. } => f64::NAN,
    };
    group.lines.iter().find(|l| l.size_m == Some(size)).or(group.lines.first()).map(|l| l.row)
}

fn in_words(error: &GradationError, units: UnitChoice) -> (String, String) {
    let s = |x: f64| sieve(x, units);
    match *error {
        GradationError::TooFew { count } => (
            format!("{count} sieve is too few for a curve"),
            "give at least two, better eight, from sand to stones".into(),
        ),
        GradationError::NoLargest { retained } => (
            format!("{:.1} % stays on the top sieve", 100.0 * retained),
            "say how large the largest stone is: largest = \"10 in\" in [ground.gradation], or count the stones".into(),
        ),
        GradationError::LargestTooSmall { largest_m, top_m } => (
            format!("the largest stone, {}, is not above the top sieve {} that retains it", s(largest_m), s(top_m)),
            "measure the largest stone, or take `largest` out".into(),
        ),
        GradationError::Twice { size_m } => (format!("the sieve {} is listed twice", s(size_m)), "keep one".into()),
        GradationError::Falls { size_m, finer, coarser } => (
            format!("only {:.1} % passes {}, but {:.1} % a finer sieve", 100.0 * coarser, s(size_m), 100.0 * finer),
            "a wider sieve cannot pass less".into(),
        ),
        GradationError::BadSize { size_m } => (format!("a sieve of {size_m} m cannot be"), "check the unit".into()),
        GradationError::BadShare { share, size_m } => {
            (format!("{:.1} % passing {} cannot be", 100.0 * share, s(size_m)), "shares lie between 0 and 100 %".into())
        }
        GradationError::BadBound { finest_m, .. } => {
            (format!("the finest sieve, {}, is too fine", s(finest_m)), "check its unit".into())
        }
    }
}
