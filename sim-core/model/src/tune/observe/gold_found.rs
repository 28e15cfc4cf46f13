//! Gold found in a sample, class by class, and its shares of the classes of the grid.

use crate::tune::log::columns::column;
use crate::tune::log::entry::Entry;
use sim_core::draw::Input;
use sim_core::field::Told;
use sim_core::math::ln;
use sim_core::plant::Plant;
use sim_core::size::{GOLD_CLASSES, gold_class};

/// Gold of one sieve class.
#[derive(Debug, Clone)]
pub struct ClassFound {
    /// The class as written.
    pub words: String,
    /// Colours counted.
    pub colours: Option<f64>,
    /// Raw gold, kg.
    pub kg: Option<f64>,
    /// Share of such colours that the panning keeps, when it was tested.
    pub kept: Option<f64>,
    /// Classes of the grid that it takes in, each with the share (in log size).
    pub grid: Vec<(usize, f64)>,
}

/// Reads the classes of an observation. `counted`: whether colours may stand for a weight.
pub fn classes(entry: &mut Entry<'_, '_>, counted: bool) -> Result<Vec<ClassFound>, Told> {
    let fine = is_fine(entry)?;
    let fineness = entry.plant.ground.fineness;
    let rows = entry.rows_with(&[column::THROUGH, column::ON, column::COLOURS]);
    let mut found: Vec<(f64, f64, usize, ClassFound)> = Vec::new();
    let mut failed = false;
    for row in rows {
        match one_class(entry, row, counted, if fine { fineness } else { 1.0 }) {
            Ok((on, through, class)) => found.push((on, through, row, class)),
            Err(Told) => failed = true,
        }
    }
    if failed {
        return Err(Told);
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    if let Some(pair) = found.windows(2).find(|w| w[1].0 < w[0].1 * 0.999) {
        return Err(entry.error(
            Some((pair[1].2, column::ON)),
            "two classes of gold overlap",
            "each colour belongs to one class: the sieve that passes one class retains the next",
        ));
    }
    Ok(found.into_iter().map(|f| f.3).collect())
}

/// Whether the weights are of fine gold.
pub fn is_fine(entry: &mut Entry<'_, '_>) -> Result<bool, Told> {
    match entry.word(column::GOLD)?.map(|w| w.to_lowercase()).as_deref() {
        None | Some("raw") => Ok(false),
        Some("fine") => Ok(true),
        Some(other) => {
            let row = entry.rows_with(&[column::GOLD]).first().copied().unwrap_or(0);
            Err(entry.error(
                Some((row, column::GOLD)),
                format!("`{other}` is neither raw nor fine"),
                "write raw (as it lies in the pan) or fine (assayed gold)",
            ))
        }
    }
}

fn one_class(
    entry: &mut Entry<'_, '_>,
    row: usize,
    counted: bool,
    per_raw: f64,
) -> Result<(f64, f64, ClassFound), Told> {
    let text = |e: &Entry<'_, '_>, c: usize| e.rows.get(row).and_then(|r| e.sheet.text(r, c)).unwrap_or("").to_string();
    let (through, on) = (entry.cell(row, column::THROUGH, false), entry.cell(row, column::ON, false));
    let (colours, weight) = (entry.cell(row, column::COLOURS, true), entry.cell(row, column::WEIGHT, true));
    let kept = entry.cell(row, column::KEPT, false);
    let (through, on, colours, weight, kept) = (through?, on?, colours?, weight?, kept?);
    let (Some(through), Some(on)) = (through, on) else {
        let lacks = if through.is_none() { column::THROUGH } else { column::ON };
        return Err(entry.error(
            Some((row, lacks)),
            "a class of gold without both of its sieves",
            "say which sieve it passed and which it stayed on; colours = 0 for a class in which there was none",
        ));
    };
    let (through, on) = (through.si, on.si);
    if !(on < through) {
        return Err(entry.error(
            Some((row, column::ON)),
            "the sieve that retains must be finer than the one that passes",
            "swap `through` and `on`",
        ));
    }
    if !(on > 1.0e-6 && through < 0.5) {
        return Err(entry.error(
            Some((row, column::THROUGH)),
            "gold has no such size",
            "check the units of the sieves",
        ));
    }
    let colours = colours.map(|c| c.si);
    if colours.is_some_and(|n| n != n.round() || n > 1e7) {
        return Err(entry.error(Some((row, column::COLOURS)), "colours are whole", "count them, or give their weight"));
    }
    let kg = weight.map(|w| w.si / per_raw);
    if kg.is_none() && (!counted || colours.is_none()) {
        let (what, add) =
            if counted { ("neither colours nor weight", "colours = 12") } else { ("no weight", "weight = \"1.2 g\"") };
        return Err(entry.error(
            Some((row, if counted { column::COLOURS } else { column::WEIGHT })),
            format!("this class has {what}"),
            format!("add {add}; 0 means that there was none"),
        ));
    }
    if colours == Some(0.0) && kg.is_some_and(|kg| kg > 0.0) {
        return Err(entry.error(
            Some((row, column::WEIGHT)),
            "no colours, and yet a weight",
            "count the colours of this class, or give the weight alone",
        ));
    }
    let kept = kept.map(|k| k.si);
    if kept.is_some_and(|k| k > 1.0) {
        return Err(entry.error(Some((row, column::KEPT)), "a pan cannot keep more than all", "give 0 to 100 %"));
    }
    let words = format!("through {} on {}", text(entry, column::THROUGH), text(entry, column::ON));
    Ok((on, through, ClassFound { words, colours, kg, kept, grid: grid_shares(on, through) }))
}

/// Classes of the grid within a sieve class, each with the share of it that lies inside, in log size.
fn grid_shares(on_m: f64, through_m: f64) -> Vec<(usize, f64)> {
    (0..GOLD_CLASSES)
        .filter_map(|g| {
            let class = gold_class(g);
            let (low, high) = (class.finite_from_m(), class.finite_to_m());
            let (from, to) = (low.max(on_m), high.min(through_m));
            (to > from).then(|| (g, ln(to / from) / ln(high / low)))
        })
        .collect()
}

/// Gold expected in a sieve class and the grains that it makes: kg, number, mass-weighted mean mass.
pub fn expected(
    grid: &[(usize, f64)],
    grain_kg: &[f64; GOLD_CLASSES],
    gold_kg: impl Fn(usize) -> f64,
) -> (f64, f64, f64) {
    let (mut kg, mut grains, mut square) = (0.0, 0.0, 0.0);
    for (g, share) in grid {
        let one = share * gold_kg(*g);
        let grain = grain_kg.get(*g).copied().unwrap_or(f64::NAN);
        kg += one;
        grains += one / grain;
        square += one * grain;
    }
    // Grains of one class of the grid differ in mass too: the class is a factor of 2.8 wide. Computed for an even spread.
    const INSIDE_A_CLASS: f64 = 1.09;
    (kg, grains, if kg > 0.0 { INSIDE_A_CLASS * square / kg } else { grain_of(grid, grain_kg) })
}

/// Some grain of the class, for one in which no gold is expected.
fn grain_of(grid: &[(usize, f64)], grain_kg: &[f64; GOLD_CLASSES]) -> f64 {
    grid.last().and_then(|(g, _)| grain_kg.get(*g)).copied().unwrap_or(1e-9)
}

/// The factor on the shape of all gold, and its middle, to which the masses of grains belong.
pub fn shape(plant: &Plant) -> (Input, f64) {
    let input = plant.ground.inputs.shape_factor;
    (input, plant.inputs.middle(input))
}

/// Mean masses of grains of the plant's ground.
pub fn grain_masses(plant: &Plant) -> [f64; GOLD_CLASSES] {
    plant.ground.grain_kg
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_a_class_of_the_grid_is_taken_in_once() {
        // Two sieve classes that part one class of the grid take in all of it together.
        let (a, b) = (grid_shares(0.25e-3, 0.3e-3), grid_shares(0.3e-3, 0.5e-3));
        let g = sim_core::size::gold_class_of(0.3e-3);
        let share = |list: &[(usize, f64)]| list.iter().filter(|x| x.0 == g).map(|x| x.1).sum::<f64>();
        assert!((share(&a) + share(&b) - 1.0).abs() < 1e-12);
        assert_eq!(grid_shares(0.18e-3, 0.25e-3).len(), 1);
    }
}
