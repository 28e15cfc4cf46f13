//! The `[ground]` table: gradation from a sieve test, gold from pans or from a belief, and the uncertain rest.

use std::ops::Range;
use std::path::Path;

use sha2::{Digest, Sha256};
use toml::de::{DeTable, DeValue};

use super::read::MOST_BYTES;
use super::understood::rows_of;
use crate::draw::{Input, Nature};
use crate::ground::{ClassGold, Ground, GroundInputs};
use crate::math::ln;
use crate::particle::gold::SettlingTable;
use crate::particle::shape::default_corey;
use crate::particle::water::WaterState;
use crate::plant::Understood;
use crate::quantity::{Basis, Dimension, UnitChoice, show};
use crate::setting::{Kind, Preset, Reader, Setting};
use crate::size::{GOLD_CLASSES, Gradation, SOLID_CLASSES, gold_class, particles_in_class, solid_class};
use crate::stats::distribution::Spread;
use crate::stats::normal;
use crate::stats::quantile_table::QuantileTable;
use crate::stream::ByGold;

const ANY: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

/// Settings of `[ground]`.
pub const GROUND_SETTINGS: &[Setting] = &[
    Setting::nested("gradation", "the sieve test"),
    Setting::nested("gold", "what the pans held"),
    Setting::uncertain(
        "loose_density",
        Dimension::Density,
        || Spread::split_log_normal(1500.0, 1600.0, 1700.0),
        (800.0, 2400.0),
        Nature::Ignorance,
        "dry mass per loose volume",
        "assumed; handbooks 1500-1930 loose, from memory",
    ),
    Setting::uncertain(
        "swell",
        Dimension::Fraction,
        || Spread::triangular(0.08, 0.18, 0.30),
        (0.0, 1.0),
        Nature::Ignorance,
        "swell from bank to loose",
        "assumed within published 5-40 % for sand and gravel",
    ),
    Setting::uncertain(
        "moisture",
        Dimension::Fraction,
        || Spread::split_log_normal(0.03, 0.05, 0.09),
        (0.0, 0.5),
        Nature::Variability,
        "water over wet mass of the feed",
        "assumed",
    ),
    Setting::uncertain(
        "rock_density",
        Dimension::Density,
        || Spread::uniform(2650.0, 2750.0),
        (2000.0, 4000.0),
        Nature::Ignorance,
        "density of the rock",
        "quartz and common rock, from memory",
    ),
    Setting {
        key: "clay",
        meaning: "clay in lumps, share of the dry mass",
        kind: Kind::Quantity(Dimension::Fraction),
        preset: Preset::Required,
        range: (0.0, 0.6),
        nature: Nature::Ignorance,
        source: "",
    },
    Setting::uncertain(
        "clay_lump_size",
        Dimension::Length,
        || Spread::split_log_normal(0.020, 0.040, 0.080),
        (0.002, 0.5),
        Nature::Variability,
        "median size of the clay lumps by mass",
        "assumed",
    ),
    Setting::uncertain(
        "clay_richness",
        Dimension::Number,
        || Spread::split_log_normal(0.3, 1.0, 3.0),
        (0.0, 20.0),
        Nature::Ignorance,
        "gold per mass of clay lumps over gold per mass of the rest",
        "assumed",
    ),
    Setting::uncertain(
        "clay_wear",
        Dimension::Velocity,
        || Spread::log_uniform(1.0e-6, 1.0e-4),
        (0.0, 0.01),
        Nature::Ignorance,
        "speed at which the surface of a lump wears at 3.9 W/kg",
        "assumed; two decades wide: time lumps in a cement mixer",
    ),
    Setting::uncertain(
        "gold_density",
        Dimension::Density,
        || Spread::normal_within(17_000.0, 500.0, 15_000.0, 19_300.0),
        (10_000.0, 19_400.0),
        Nature::Ignorance,
        "density of the gold grains",
        "assumed; placer gold, with inclusions and pores",
    ),
    Setting::uncertain(
        "gold_shape",
        Dimension::Number,
        || Spread::log_normal_within(1.0, 0.25, 0.6, 1.7),
        (0.2, 3.0),
        Nature::Ignorance,
        "factor on the flatness (Corey factor) of all gold; below 1 is flatter",
        "assumed; weigh counted grains to pin it",
    ),
    Setting::uncertain(
        "water_temperature",
        Dimension::Temperature,
        || Spread::split_normal(4.0, 8.0, 13.0),
        (0.0, 35.0),
        Nature::Variability,
        "temperature of the water",
        "assumed; northern creek in season",
    ),
];

/// Settings of `[ground.gradation]`.
pub const GRADATION_SETTINGS: &[Setting] = &[
    Setting::required("sample_mass", Dimension::Mass, (0.05, 1.0e7), "dry mass that was sieved"),
    Setting::nested("passing", "list of [sieve, share passing]"),
    Setting {
        key: "file",
        meaning: "CSV file beside the scenario with columns size and passing",
        kind: Kind::Text,
        preset: Preset::Absent,
        range: ANY,
        nature: Nature::Ignorance,
        source: "",
    },
    Setting::optional(
        "largest",
        Dimension::SieveSize,
        (0.001, 5.0),
        "size of the largest stone, when the top sieve does not pass all",
    ),
];

/// Settings of `[ground.gold]`.
pub const GOLD_SETTINGS: &[Setting] = &[
    Setting::optional("volume", Dimension::Volume, (1.0e-4, 1.0e6), "volume that was panned; say loose or bank"),
    Setting::nested("found", "list of { through, on, colours, weight }"),
    Setting {
        key: "file",
        meaning: "CSV file beside the scenario with columns through, on, colours, weight",
        kind: Kind::Text,
        preset: Preset::Absent,
        range: ANY,
        nature: Nature::Ignorance,
        source: "",
    },
    Setting::uncertain(
        "true_over_found",
        Dimension::Number,
        || Spread::split_log_normal(1.0, 1.05, 1.15),
        (0.3, 10.0),
        Nature::Ignorance,
        "true gold over gold found, for what panning lost",
        "assumed",
    ),
    Setting {
        key: "grade",
        meaning: "raw gold per volume, when it is a belief and not from pans; say loose or bank",
        kind: Kind::Quantity(Dimension::Grade),
        preset: Preset::Absent,
        range: (1.0e-9, 1.0),
        nature: Nature::Ignorance,
        source: "",
    },
    Setting::optional(
        "median_size",
        Dimension::SieveSize,
        (1.0e-5, 0.05),
        "size that half the gold by weight is finer than, with a believed grade",
    ),
    Setting::usual(
        "size_spread",
        Dimension::Number,
        "2.2",
        (1.05, 10.0),
        "geometric standard deviation of the gold size by weight, with a believed grade",
    ),
    Setting::usual("fineness", Dimension::Fraction, "0.85", (0.2, 1.0), "gold in raw gold"),
];

/// Weight of the prior on counts: so many colours in all, spread like the sizes that were found. Assumed.
const PRIOR_COLOURS: f64 = 1.0;

/// Gamma shapes above this are known to better than 0.1 % and are taken as known.
const WELL_KNOWN_SHAPE: f64 = 1.0e6;

fn table_at<'t, 'i>(parent: &'t DeTable<'i>, key: &str) -> Option<(&'t DeTable<'i>, Range<usize>)> {
    let (_, value) = parent.iter().find(|(k, _)| k.get_ref() == key)?;
    value.get_ref().as_table().map(|t| (t, value.span()))
}

/// Reads the whole of `[ground]`.
pub(super) fn read_ground(
    document: &DeTable<'_>,
    whole: Range<usize>,
    reader: &mut Reader<'_>,
    folder: &Path,
    period_s: f64,
    units: UnitChoice,
    hasher: &mut Sha256,
    understood: &mut Vec<Understood>,
) -> Option<Ground> {
    let Some((table, place)) = table_at(document, "ground") else {
        reader.problems.error(whole, "the scenario lacks [ground]", "say what the ground is: gradation, gold, clay");
        return None;
    };
    let settings = reader.read(table, place.clone(), GROUND_SETTINGS, "ground");
    understood.push(Understood {
        owner: "ground".into(),
        kind: String::new(),
        rows: rows_of(&settings, GROUND_SETTINGS, units),
    });
    let swell = settings.maybe("swell").unwrap_or(0.18);
    let rock_density = settings.maybe("rock_density").unwrap_or(2700.0);
    let mut provenance = Vec::new();

    let gradation = match table_at(table, "gradation") {
        Some((t, at)) => {
            read_gradation(t, at, rock_density, reader, folder, units, hasher, understood, &mut provenance)
        }
        None => {
            reader.problems.error(
                place.clone(),
                "[ground] lacks its gradation",
                "add [ground.gradation] with sample_mass and passing",
            );
            None
        }
    };
    let corey: ByGold = std::array::from_fn(|g| default_corey(gold_class(g).middle_m));
    let settling = SettlingTable::new();
    let density = settings.maybe("gold_density").unwrap_or(17_000.0);
    let water = WaterState::clean(10.0);
    let grain_kg: ByGold = std::array::from_fn(|g| {
        let nominal_m = settling.gold_velocity(gold_class(g).middle_m, corey[g], density, &water).nominal_m;
        std::f64::consts::PI / 6.0 * density * nominal_m * nominal_m * nominal_m
    });
    let gold = match table_at(table, "gold") {
        Some((t, at)) => read_gold(t, at, swell, &grain_kg, reader, folder, units, hasher, understood, &mut provenance),
        None => {
            reader.problems.error(
                place,
                "[ground] lacks its gold",
                "add [ground.gold] with volume and found, or with a believed grade",
            );
            None
        }
    };
    let (gradation, gradation_spread) = gradation?;
    let gold = gold?;
    Some(Ground {
        inputs: GroundInputs {
            loose_density_kg_m3: settings.input("loose_density"),
            swell: settings.input("swell"),
            moisture: settings.input("moisture"),
            rock_density_kg_m3: settings.input("rock_density"),
            clay_share: settings.input("clay"),
            lump_size_m: settings.input("clay_lump_size"),
            clay_richness: settings.input("clay_richness"),
            clay_wear_m_s: settings.input("clay_wear"),
            gold_density_kg_m3: settings.input("gold_density"),
            shape_factor: settings.input("gold_shape"),
            water_temperature_c: settings.input("water_temperature"),
            grade_factor: gold.factor,
        },
        gradation,
        gradation_spread,
        gold: gold.classes,
        colours: gold.colours,
        grain_kg,
        corey,
        fineness: gold.fineness,
        lump_spread: 2.0,
        period_s,
        provenance,
        settling,
    })
}

type GradationRead = ([f64; SOLID_CLASSES], Vec<Option<QuantileTable>>);

fn read_gradation(
    table: &DeTable<'_>,
    place: Range<usize>,
    rock_density: f64,
    reader: &mut Reader<'_>,
    folder: &Path,
    units: UnitChoice,
    hasher: &mut Sha256,
    understood: &mut Vec<Understood>,
    provenance: &mut Vec<String>,
) -> Option<GradationRead> {
    let settings = reader.read(table, place.clone(), GRADATION_SETTINGS, "ground.gradation");
    understood.push(Understood {
        owner: "ground.gradation".into(),
        kind: String::new(),
        rows: rows_of(&settings, GRADATION_SETTINGS, units),
    });
    let rows = rows_from(table, "passing", &settings, &["size", "passing"], place.clone(), reader, folder, hasher)?;
    let mut points = Vec::new();
    for row in &rows {
        let size = reader.cell(row, 0, Dimension::SieveSize);
        let share = reader.cell(row, 1, Dimension::Fraction);
        points.push((size?, share?));
    }
    let finest = points.iter().map(|p| p.0).fold(f64::INFINITY, f64::min);
    // Below the finest sieve the curve goes on as a power law down to 2 micrometres (clay size), or a third of the sieve.
    let gradation = match Gradation::new(&points, settings.maybe("largest"), (2.0e-6_f64).min(finest / 3.0)) {
        Ok(gradation) => gradation,
        Err(errors) => {
            for error in errors {
                let at = place_of_list(table, "passing").unwrap_or(place.clone());
                reader.problems.error(at, format!("gradation: {error}"), "check the list of [sieve, share passing]");
            }
            return None;
        }
    };
    let shares = gradation.class_shares();
    let sample_kg = settings.number("sample_mass");
    let mut spread = Vec::with_capacity(SOLID_CLASSES);
    for (c, share) in shares.iter().enumerate() {
        let class = solid_class(c);
        let mass = (share * sample_kg).max(1e-12);
        let count = particles_in_class(
            mass,
            class.finite_from_m(),
            class.finite_to_m(),
            rock_density,
            std::f64::consts::PI / 6.0,
        );
        spread.push(if *share <= 0.0 || !(count < WELL_KNOWN_SHAPE) {
            None
        } else {
            // One stone shared over the classes keeps a class of which none was seen from being certain. Assumed.
            let shape = count + share;
            QuantileTable::gamma(shape, shape).ok()
        });
    }
    provenance.push(format!(
        "gradation from {} sieves on {} of ground",
        points.len(),
        show(sample_kg, Dimension::Mass, units)
    ));
    Some((shares, spread))
}

struct GoldRead {
    classes: Vec<ClassGold>,
    colours: ByGold,
    factor: Input,
    fineness: f64,
}

fn read_gold(
    table: &DeTable<'_>,
    place: Range<usize>,
    swell: f64,
    grain_kg: &ByGold,
    reader: &mut Reader<'_>,
    folder: &Path,
    units: UnitChoice,
    hasher: &mut Sha256,
    understood: &mut Vec<Understood>,
    provenance: &mut Vec<String>,
) -> Option<GoldRead> {
    let settings = reader.read(table, place.clone(), GOLD_SETTINGS, "ground.gold");
    understood.push(Understood {
        owner: "ground.gold".into(),
        kind: String::new(),
        rows: rows_of(&settings, GOLD_SETTINGS, units),
    });
    let fineness = settings.number("fineness");
    if let Some(grade) = settings.maybe("grade") {
        let to_loose = match settings.basis("grade") {
            Some(Basis::Bank) => 1.0 / (1.0 + swell),
            Some(Basis::Loose) => 1.0,
            None => {
                reader.problems.warning(
                    settings.place("grade"),
                    "the grade does not say loose or bank: taken as bank",
                    "write e.g. \"200 mg/m3 bank\"",
                );
                1.0 / (1.0 + swell)
            }
        };
        let Some(median) = settings.maybe("median_size") else {
            reader.problems.error(
                place,
                "a believed grade needs `median_size`",
                "add median_size = \"0.4 mm\" (half of the gold by weight is finer)",
            );
            return None;
        };
        let shares = lognormal_shares(ln(median), ln(settings.number("size_spread")));
        provenance.push(format!("gold is a belief, not a sample: about {}", show(grade, Dimension::Grade, units)));
        return Some(GoldRead {
            classes: shares.iter().map(|s| ClassGold::Believed(s * to_loose)).collect(),
            colours: [0.0; GOLD_CLASSES],
            factor: settings.input("grade"),
            fineness,
        });
    }
    let Some(volume) = settings.maybe("volume") else {
        reader.problems.error(
            place,
            "[ground.gold] has neither pans nor a believed grade",
            "add volume and found, or grade and median_size",
        );
        return None;
    };
    let volume_loose = match settings.basis("volume") {
        Some(Basis::Bank) => volume * (1.0 + swell),
        _ => volume,
    };
    let rows = rows_from(
        table,
        "found",
        &settings,
        &["through", "on", "colours", "weight"],
        place.clone(),
        reader,
        folder,
        hasher,
    )?;
    let mut colours = [0.0; GOLD_CLASSES];
    let mut mass = [0.0; GOLD_CLASSES];
    for row in &rows {
        let through = reader.cell(row, 0, Dimension::SieveSize)?;
        let on = reader.cell(row, 1, Dimension::SieveSize)?;
        let count = reader.maybe_cell(row, 2, Dimension::Number)?;
        let weight = reader.maybe_cell(row, 3, Dimension::Mass)?;
        if !(on < through) {
            reader.problems.error(
                row.place.clone(),
                "the sieve that retains must be finer than the one that passes",
                "swap `through` and `on`",
            );
            return None;
        }
        if count.is_none() && weight.is_none() {
            reader.problems.error(
                row.place.clone(),
                "this class has neither colours nor weight",
                "add colours = 12 or weight = \"8 mg\"",
            );
            return None;
        }
        if count.is_some_and(|n| n < 0.0) || weight.is_some_and(|w| w < 0.0) {
            reader.problems.error(row.place.clone(), "colours and weight cannot be negative", "");
            return None;
        }
        spread_over_classes(through, on, count, weight, grain_kg, &mut colours, &mut mass);
    }
    let (total_n, total_kg) = (colours.iter().sum::<f64>(), mass.iter().sum::<f64>());
    if !(total_n > 0.0 && total_kg > 0.0) {
        reader.problems.error(
            place,
            "no gold was found in the pans",
            "with no colour there is nothing to size a plant for; give a believed grade to explore",
        );
        return None;
    }
    if total_n < 20.0 {
        reader.problems.warning(
            place_of_list(table, "found"),
            format!("only {total_n:.0} colours: the grade is known to about +-{:.0} % at best", 100.0 / total_n.sqrt()),
            "pan more ground until there are at least 20 colours (Clifton and others 1969)",
        );
    }
    let mean = (0..GOLD_CLASSES).map(|g| mass[g] * ln(gold_class(g).middle_m)).sum::<f64>() / total_kg;
    let variance = (0..GOLD_CLASSES)
        .map(|g| mass[g] * (ln(gold_class(g).middle_m) - mean) * (ln(gold_class(g).middle_m) - mean))
        .sum::<f64>()
        / total_kg;
    let sigma = variance.sqrt().max(0.3);
    // Hatch and Choate 1929: the number distribution is lognormal too, its median lower by exp(-3 sigma^2).
    let prior = lognormal_shares(mean - 3.0 * sigma * sigma, sigma);
    let mut classes = Vec::with_capacity(GOLD_CLASSES);
    for g in 0..GOLD_CLASSES {
        let grain = if colours[g] > 0.0 { mass[g] / colours[g] } else { grain_kg[g] };
        let shape = colours[g] + PRIOR_COLOURS * prior[g];
        let mean = shape * grain / volume_loose;
        classes.push(if !(shape > 1e-6) || shape > WELL_KNOWN_SHAPE {
            ClassGold::Believed(mean)
        } else {
            match QuantileTable::gamma(shape.max(0.02), shape.max(0.02)) {
                Ok(table) => ClassGold::Counted(table.scaled_by(mean)),
                Err(error) => {
                    reader.problems.error(place.clone(), format!("gold of a class: {error}"), "");
                    return None;
                }
            }
        });
    }
    provenance.push(format!(
        "gold from {total_n:.0} colours ({:.1} mg) in {} of loose ground",
        total_kg * 1e6,
        show(volume_loose, Dimension::Volume, units)
    ));
    Some(GoldRead { classes, colours, factor: settings.input("true_over_found"), fineness })
}

/// Share of each gold class of a lognormal distribution, renormalised over the grid.
fn lognormal_shares(mean_ln: f64, sigma: f64) -> ByGold {
    let below = |edge: f64| if edge > 0.0 { normal::cdf((ln(edge) - mean_ln) / sigma) } else { 0.0 };
    let mut shares: ByGold = std::array::from_fn(|g| {
        let class = gold_class(g);
        let upper = if class.to_m.is_finite() { below(class.to_m) } else { 1.0 };
        upper - below(class.from_m)
    });
    let sum: f64 = shares.iter().sum();
    for share in &mut shares {
        *share /= sum;
    }
    shares
}

/// Gives the colours and the weight of a sieve class to the classes of the grid. Weight is spread evenly over log size;
/// colours as weight over grain mass, so that the finer part has more of them.
fn spread_over_classes(
    through: f64,
    on: f64,
    count: Option<f64>,
    weight: Option<f64>,
    grain_kg: &ByGold,
    colours: &mut ByGold,
    mass: &mut ByGold,
) {
    let width = ln(through / on);
    let mut share = [0.0; GOLD_CLASSES];
    for (g, share) in share.iter_mut().enumerate() {
        let class = gold_class(g);
        let (low, high) = (class.finite_from_m().max(on), class.finite_to_m().min(through));
        if high > low {
            *share = ln(high / low) / width;
        }
    }
    let number_per_kg: f64 = (0..GOLD_CLASSES).map(|g| share[g] / grain_kg[g]).sum();
    let kg = weight.or(count.map(|n| n / number_per_kg)).unwrap_or(0.0);
    let n = count.unwrap_or(kg * number_per_kg);
    for g in 0..GOLD_CLASSES {
        mass[g] += kg * share[g];
        if number_per_kg > 0.0 {
            colours[g] += n * (share[g] / grain_kg[g]) / number_per_kg;
        }
    }
}

/// A row of a list or of a CSV file: cells as text, each with its place.
pub(super) struct Row {
    cells: Vec<Option<(String, Range<usize>)>>,
    place: Option<Range<usize>>,
    /// Said before the message when the row stands in a file.
    where_in_file: String,
}

impl Reader<'_> {
    fn cell(&mut self, row: &Row, column: usize, dimension: Dimension) -> Option<f64> {
        match row.cells.get(column).and_then(Option::as_ref) {
            Some((text, at)) => self.row_text(row, text, at, dimension),
            None => {
                self.problems.error(
                    row.place.clone(),
                    format!("{}this row lacks column {}", row.where_in_file, column + 1),
                    "",
                );
                None
            }
        }
    }

    fn maybe_cell(&mut self, row: &Row, column: usize, dimension: Dimension) -> Option<Option<f64>> {
        match row.cells.get(column).and_then(Option::as_ref) {
            Some((text, at)) => self.row_text(row, text, at, dimension).map(Some),
            None => Some(None),
        }
    }

    fn row_text(&mut self, row: &Row, text: &str, at: &Range<usize>, dimension: Dimension) -> Option<f64> {
        if row.where_in_file.is_empty() {
            return self.parse(text, dimension, at, Some(at.clone())).map(|p| p.si);
        }
        match crate::quantity::parse(text, dimension) {
            Ok(parsed) => Some(parsed.si),
            Err(error) => {
                self.problems.error(row.place.clone(), format!("{}{}", row.where_in_file, error.message), error.help);
                None
            }
        }
    }
}

fn place_of_list(table: &DeTable<'_>, key: &str) -> Option<Range<usize>> {
    table.iter().find(|(k, _)| k.get_ref() == key).map(|(_, v)| v.span())
}

/// Rows of a list in the scenario, or of the CSV file that the table names.
fn rows_from(
    table: &DeTable<'_>,
    key: &str,
    settings: &crate::setting::Settings,
    columns: &[&str],
    place: Range<usize>,
    reader: &mut Reader<'_>,
    folder: &Path,
    hasher: &mut Sha256,
) -> Option<Vec<Row>> {
    let file = settings.word("file");
    if let Some((_, value)) = table.iter().find(|(k, _)| k.get_ref() == key) {
        if !file.is_empty() {
            reader.problems.error(
                settings.place("file"),
                format!("both `file` and `{key}` are given"),
                "keep one of the two",
            );
            return None;
        }
        return rows_of_list(value.get_ref(), value.span(), key, columns, reader);
    }
    if file.is_empty() {
        reader.problems.error(
            place,
            format!("`{key}` is missing"),
            format!("give {key} = [ ... ] or file = \"samples.csv\""),
        );
        return None;
    }
    rows_of_file(file, settings.place("file"), columns, reader, folder, hasher)
}

fn rows_of_list(
    value: &DeValue<'_>,
    span: Range<usize>,
    key: &str,
    columns: &[&str],
    reader: &mut Reader<'_>,
) -> Option<Vec<Row>> {
    let DeValue::Array(items) = value else {
        reader.problems.error(span, format!("`{key}` is a list"), "write it in square brackets");
        return None;
    };
    let mut rows = Vec::new();
    let mut good = true;
    for item in items.iter() {
        let mut cells = vec![None; columns.len()];
        match item.get_ref() {
            DeValue::Array(list) => {
                if list.len() > columns.len() {
                    reader.problems.error(
                        item.span(),
                        format!("this row has {} entries, {} are known", list.len(), columns.len()),
                        format!("columns: {}", columns.join(", ")),
                    );
                    good = false;
                }
                for (slot, cell) in cells.iter_mut().zip(list.iter()) {
                    *slot = cell_text(cell.get_ref(), cell.span());
                }
            }
            DeValue::Table(row) => {
                for (k, cell) in row.iter() {
                    match columns.iter().position(|c| *c == k.get_ref().as_ref()) {
                        Some(i) => cells[i] = cell_text(cell.get_ref(), cell.span()),
                        None => {
                            reader.problems.error(
                                k.span(),
                                format!("`{}` is not a column of {key}", k.get_ref()),
                                format!("columns: {}", columns.join(", ")),
                            );
                            good = false;
                        }
                    }
                }
            }
            _ => {
                reader.problems.error(
                    item.span(),
                    format!("each row of `{key}` is a list or a table"),
                    format!("columns: {}", columns.join(", ")),
                );
                good = false;
            }
        }
        rows.push(Row { cells, place: Some(item.span()), where_in_file: String::new() });
    }
    good.then_some(rows)
}

fn cell_text(value: &DeValue<'_>, span: Range<usize>) -> Option<(String, Range<usize>)> {
    match value {
        DeValue::String(s) => Some((s.to_string(), span.start + 1..span.end.saturating_sub(1))),
        DeValue::Integer(n) => Some((n.as_str().to_string(), span)),
        DeValue::Float(n) => Some((n.as_str().to_string(), span)),
        _ => None,
    }
}

fn rows_of_file(
    file: &str,
    place: Option<Range<usize>>,
    columns: &[&str],
    reader: &mut Reader<'_>,
    folder: &Path,
    hasher: &mut Sha256,
) -> Option<Vec<Row>> {
    let path = folder.join(file);
    let bytes = match std::fs::metadata(&path) {
        Ok(meta) if meta.len() > MOST_BYTES => {
            reader.problems.error(
                place,
                format!("{file} has {} bytes, more than any sample sheet", meta.len()),
                "is it the right file?",
            );
            return None;
        }
        Ok(_) => std::fs::read(&path),
        Err(error) => Err(error),
    };
    let bytes = match bytes {
        Ok(bytes) => bytes,
        Err(error) => {
            reader.problems.error(
                place,
                format!("cannot read {file}: {error}"),
                "files are looked for beside the scenario",
            );
            return None;
        }
    };
    hasher.update(&bytes);
    let mut csv =
        csv::ReaderBuilder::new().comment(Some(b'#')).trim(csv::Trim::All).flexible(true).from_reader(bytes.as_slice());
    let headers = match csv.headers() {
        Ok(headers) => headers.clone(),
        Err(error) => {
            reader.problems.error(place, format!("{file}: {error}"), "the first row names the columns");
            return None;
        }
    };
    let mut index = vec![None; columns.len()];
    for (i, header) in headers.iter().enumerate() {
        match columns.iter().position(|c| c.eq_ignore_ascii_case(header.trim())) {
            Some(c) => index[c] = Some(i),
            None => reader.problems.warning(
                place.clone(),
                format!("{file}: column `{header}` is not read"),
                format!("known: {}", columns.join(", ")),
            ),
        }
    }
    if let Some(missing) = columns.iter().zip(&index).take(2).find(|(_, i)| i.is_none()) {
        reader.problems.error(
            place,
            format!("{file} lacks the column `{}`", missing.0),
            format!("its first row is: {}", headers.iter().collect::<Vec<_>>().join(", ")),
        );
        return None;
    }
    let mut rows = Vec::new();
    for (n, record) in csv.records().enumerate() {
        let line = n + 2;
        match record {
            Ok(record) => rows.push(Row {
                cells: index
                    .iter()
                    .map(|i| i.and_then(|i| record.get(i)).filter(|s| !s.is_empty()).map(|s| (s.to_string(), 0..0)))
                    .collect(),
                place: place.clone(),
                where_in_file: format!("{file}, row {line}: "),
            }),
            Err(error) => {
                reader.problems.error(place.clone(), format!("{file}, row {line}: {error}"), "");
                return None;
            }
        }
    }
    Some(rows)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::exp;

    #[test]
    fn identity_shares_of_a_lognormal_sum_to_one_and_centre_on_the_median() {
        let shares = lognormal_shares(ln(0.4e-3), ln(2.0));
        assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        let mean = (0..GOLD_CLASSES).map(|g| shares[g] * ln(gold_class(g).middle_m)).sum::<f64>();
        assert!((exp(mean) / 0.4e-3 - 1.0).abs() < 0.02);
    }

    #[test]
    fn identity_spreading_a_class_keeps_its_weight_and_colours() {
        let grain: ByGold = std::array::from_fn(|g| 1e-9 * (g as f64 + 1.0));
        let (mut n, mut kg) = ([0.0; GOLD_CLASSES], [0.0; GOLD_CLASSES]);
        spread_over_classes(1.0e-3, 0.3e-3, Some(17.0), Some(5.0e-6), &grain, &mut n, &mut kg);
        assert!((n.iter().sum::<f64>() - 17.0).abs() < 1e-9);
        assert!((kg.iter().sum::<f64>() - 5.0e-6).abs() < 1e-15);
    }
}
