//! Pans and bulk samples: rows of a sheet grouped by sample, with the volume of each and its gold, by sieve class or as one
//! weight.

use std::collections::BTreeMap;

use super::columns::gold as column;
use super::gold_row::{Found, Gold, read_found, read_tool, read_volume};
use super::sheet::{Sheet, SheetReader};
use washgraph_physics::size::ByGold;
use washgraph_physics::size::{GOLD_CLASSES, gold_class};
use washgraph_units::math::ln;
use washgraph_units::quantity::Basis;

/// What a sample was washed with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WashedWith {
    /// Gold pan.
    Pan,
    /// Small sluice or long tom.
    Sluice,
    /// Rocker.
    Rocker,
    /// Laboratory concentrator or assay of the whole sample.
    Laboratory,
}

impl WashedWith {
    /// Words of the scenario with their meaning.
    pub const WORDS: &'static [(&'static str, &'static str)] = &[
        ("pan", "gold pan, worked with care"),
        ("sluice", "small sluice or long tom"),
        ("rocker", "rocker"),
        ("laboratory", "shaking table, bowl or assay of the whole sample"),
    ];

    /// The tool that a word names.
    pub fn of(word: &str) -> Option<Self> {
        match word.trim().to_lowercase().as_str() {
            "pan" | "panned" | "gold pan" => Some(Self::Pan),
            "sluice" | "sluice box" | "long tom" => Some(Self::Sluice),
            "rocker" | "cradle" => Some(Self::Rocker),
            "laboratory" | "lab" | "table" | "assay" | "bowl" => Some(Self::Laboratory),
            _ => None,
        }
    }

    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pan => "pan",
            Self::Sluice => "sluice",
            Self::Rocker => "rocker",
            Self::Laboratory => "laboratory",
        }
    }

    /// True gold over gold found: one in ten below, middle, one in ten above. Assumed: a careful panner loses little but
    /// flour gold, a small sluice loses a fifth.
    pub const fn true_over_found(self) -> (f64, f64, f64) {
        match self {
            Self::Pan => (1.0, 1.05, 1.15),
            Self::Sluice => (1.05, 1.20, 1.60),
            Self::Rocker => (1.05, 1.15, 1.40),
            Self::Laboratory => (1.0, 1.01, 1.03),
        }
    }
}

/// One sample.
#[derive(Debug, Clone, PartialEq)]
pub struct GoldSample {
    /// Its name.
    pub name: String,
    /// Ground washed, loose, m3.
    pub volume_m3: f64,
    /// Colours in all (estimated from weight where they were not counted).
    pub colours: f64,
    /// Raw gold in all, kg (estimated from counts where it was not weighed).
    pub gold_kg: f64,
    /// Finest sieve that was looked at, m.
    pub finest_m: f64,
}

/// A sample whose gold was weighed as a whole, without sieves.
#[derive(Debug, Clone, PartialEq)]
pub struct WholeWeight {
    /// Its name.
    pub name: String,
    /// Ground washed, loose, m3.
    pub volume_m3: f64,
    /// Raw gold, kg; more than nothing.
    pub gold_kg: f64,
}

/// A sieve class of colours, over all samples.
#[derive(Debug, Clone, PartialEq)]
pub struct SieveClass {
    /// Sieve that passes it, m.
    pub through_m: f64,
    /// Sieve that retains it, m.
    pub on_m: f64,
    /// Colours counted in it.
    pub colours: f64,
    /// Raw gold weighed in it, kg.
    pub gold_kg: f64,
    /// Colours that were counted and weighed together.
    pub weighed_colours: f64,
    /// Their weight, kg.
    pub weighed_kg: f64,
    /// Heaviest weight of one sample's row in which a single colour was counted, kg.
    pub heaviest_kg: f64,
}

/// All gold samples of a scenario, on the grid.
#[derive(Debug, Clone)]
pub struct GoldSamples {
    /// Samples whose gold went over sieves, in order of name.
    pub samples: Vec<GoldSample>,
    /// Samples whose gold was weighed as a whole, in order of name.
    pub whole: Vec<WholeWeight>,
    /// Sieve classes, finest first.
    pub sieve_classes: Vec<SieveClass>,
    /// Colours by class of the grid.
    pub colours: ByGold,
    /// Raw gold by class, kg.
    pub gold_kg: ByGold,
    /// Colours that were both counted and weighed, by class.
    pub weighed_colours: ByGold,
    /// Their weight, kg.
    pub weighed_kg: ByGold,
    /// Loose ground in which colours of the class would have been seen, m3.
    pub looked_m3: ByGold,
    /// What most of the ground was washed with.
    pub washed_with: WashedWith,
}

impl GoldSamples {
    /// Loose ground washed in all, m3.
    pub fn volume_m3(&self) -> f64 {
        self.sieved_volume_m3() + self.whole.iter().map(|s| s.volume_m3).sum::<f64>()
    }
    /// Loose ground whose gold went over sieves, m3.
    pub fn sieved_volume_m3(&self) -> f64 {
        self.samples.iter().map(|s| s.volume_m3).sum()
    }
    /// Raw gold weighed as a whole, without sieves, kg.
    pub fn whole_kg(&self) -> f64 {
        self.whole.iter().map(|s| s.gold_kg).sum()
    }
    /// Sieve that passed the coarsest class in which gold was found, m; 0 when no gold went over sieves.
    pub fn coarsest_m(&self) -> f64 {
        self.sieve_classes.iter().filter(|c| c.gold_kg > 0.0).map(|c| c.through_m).fold(0.0, f64::max)
    }
    /// Colours in all.
    pub fn total_colours(&self) -> f64 {
        self.colours.iter().sum()
    }
    /// Raw gold in all, kg.
    pub fn total_kg(&self) -> f64 {
        self.gold_kg.iter().sum::<f64>() + self.whole_kg()
    }
}

/// What the scenario says for all samples, used where the sheet is silent.
#[derive(Debug, Clone, Copy)]
pub struct GoldDefaults {
    /// Volume of the (single) sample, m3.
    pub volume_m3: Option<f64>,
    /// Its basis.
    pub basis: Option<Basis>,
    /// What a struck pan holds, m3.
    pub pan_m3: Option<f64>,
    /// Swell, for volumes in the bank.
    pub swell: f64,
    /// Whether weights are fine gold.
    pub fine: bool,
    /// Gold in raw gold.
    pub fineness: f64,
    /// Tool.
    pub washed_with: WashedWith,
}

/// A sample as far as its rows have been read.
#[derive(Default)]
pub(super) struct Draft {
    pub(super) volume_m3: Option<f64>,
    pub(super) washed: Option<WashedWith>,
    pub(super) colours: f64,
    pub(super) gold_kg: f64,
    pub(super) finest_m: Option<f64>,
    /// Raw gold weighed without sieves.
    pub(super) whole_kg: Option<f64>,
}

/// Reads all samples of a sheet; problems go to the sheet_reader. `grain_kg`: expected grain mass by class, for colours that were
/// not weighed and weights that were not counted.
pub fn read(
    sheet: &Sheet,
    defaults: &GoldDefaults,
    grain_kg: &ByGold,
    sheet_reader: &mut SheetReader<'_>,
) -> Option<GoldSamples> {
    let before = sheet_reader.errors();
    let mut drafts: BTreeMap<String, Draft> = BTreeMap::new();
    let mut classes: BTreeMap<(u64, u64), SieveClass> = BTreeMap::new();
    let mut totals = Totals::new();
    let mut name = String::new();
    let mut unsaid_basis = false;
    for row in &sheet.rows {
        if let Some(said) = sheet.text(row, column::SAMPLE) {
            name.clear();
            name.push_str(said);
        }
        if !drafts.contains_key(&name) {
            drafts.insert(name.clone(), Draft::default());
        }
        let Some(draft) = drafts.get_mut(&name) else { continue };
        read_volume(sheet, row, defaults, draft, &mut unsaid_basis, sheet_reader);
        read_tool(sheet, row, draft, sheet_reader);
        let found = match read_found(sheet, row, defaults, sheet_reader) {
            Some(Gold::Class(found)) => found,
            Some(Gold::Whole(kg)) => {
                draft.whole_kg = Some(draft.whole_kg.unwrap_or(0.0) + kg);
                continue;
            }
            None => continue,
        };
        let n_kg = totals.share_out(&found, grain_kg);
        draft.colours += n_kg.0;
        draft.gold_kg += n_kg.1;
        draft.finest_m = Some(draft.finest_m.map_or(found.on_m, |f: f64| f.min(found.on_m)));
        note_class(&mut classes, &found, n_kg);
    }
    if unsaid_basis {
        sheet_reader.warning(
            sheet,
            None,
            None,
            "the volumes do not say loose or bank: taken as loose, as measured in pan or bucket",
            "write e.g. \"240 L loose\", or the heading `volume (L loose)`",
        );
    }
    let samples = finish(sheet, drafts, defaults, sheet_reader);
    if sheet_reader.errors() > before {
        return None;
    }
    let Finished { samples, whole, looked_m3, washed_with } = samples;
    Some(GoldSamples {
        samples,
        whole,
        sieve_classes: classes.into_values().collect(),
        colours: totals.colours,
        gold_kg: totals.gold_kg,
        weighed_colours: totals.weighed_colours,
        weighed_kg: totals.weighed_kg,
        looked_m3,
        washed_with,
    })
}

struct Finished {
    samples: Vec<GoldSample>,
    whole: Vec<WholeWeight>,
    looked_m3: ByGold,
    washed_with: WashedWith,
}

/// Finest colours that a pan without gold was looked at for, where no other sample says it, m. Assumed.
pub(crate) const FINEST_SEEN_M: f64 = 0.1e-3;

fn finish(
    sheet: &Sheet,
    drafts: BTreeMap<String, Draft>,
    defaults: &GoldDefaults,
    sheet_reader: &mut SheetReader<'_>,
) -> Finished {
    let alone = drafts.len() == 1;
    let (mut samples, mut whole) = (Vec::new(), Vec::new());
    let mut looked = [0.0; GOLD_CLASSES];
    let mut by_tool: BTreeMap<WashedWith, f64> = BTreeMap::new();
    // A sample without any colour was looked at as finely as the others.
    let finest_of_all = drafts.values().filter_map(|d| d.finest_m).reduce(f64::min).unwrap_or(FINEST_SEEN_M);
    for (name, draft) in drafts {
        let loose = |v: f64| if defaults.basis == Some(Basis::Bank) { v * (1.0 + defaults.swell) } else { v };
        let of_all = if alone { defaults.volume_m3.map(loose) } else { None };
        let Some(volume_m3) = draft.volume_m3.or(of_all) else {
            let of = if name.is_empty() { String::new() } else { format!("sample {name}: ") };
            sheet_reader.error(
                sheet,
                None,
                None,
                format!("{of}the ground that was washed is missing: `volume`"),
                "add volume = \"240 L loose\" to [ground.gold], or a column volume (or pans and pan_volume)",
            );
            continue;
        };
        *by_tool.entry(draft.washed.unwrap_or(defaults.washed_with)).or_insert(0.0) += volume_m3;
        if let Some(gold_kg) = draft.whole_kg {
            if draft.finest_m.is_some() {
                sheet_reader.error(
                    sheet,
                    None,
                    None,
                    format!("sample {name} has gold by sieve class and gold weighed without sieves"),
                    "give one of the two, or the two parts different names, each with its own ground",
                );
            }
            whole.push(WholeWeight { name, volume_m3, gold_kg });
            continue;
        }
        let finest_m = draft.finest_m.unwrap_or(finest_of_all);
        for (g, slot) in looked.iter_mut().enumerate() {
            *slot += volume_m3 * share_above(g, finest_m);
        }
        samples.push(GoldSample { name, volume_m3, colours: draft.colours, gold_kg: draft.gold_kg, finest_m });
    }
    let washed_with = by_tool.iter().max_by(|a, b| a.1.total_cmp(b.1)).map_or(defaults.washed_with, |(t, _)| *t);
    if by_tool.len() > 1 {
        sheet_reader.warning(
            sheet,
            None,
            None,
            format!(
                "samples were washed with different tools; losses are taken as those of the {}",
                washed_with.word()
            ),
            "set true_over_found yourself if you know the losses",
        );
    }
    Finished { samples, whole, looked_m3: looked, washed_with }
}

/// Share (in log size) of a class of the grid that lies above the finest sieve.
pub(crate) fn share_above(class: usize, finest_m: f64) -> f64 {
    let c = gold_class(class);
    let (low, high) = (c.finite_from_m(), c.finite_to_m());
    if finest_m <= low {
        1.0
    } else if finest_m >= high || !c.to_m.is_finite() && finest_m >= low {
        0.0
    } else {
        ln(high / finest_m) / ln(high / low)
    }
}

fn note_class(classes: &mut BTreeMap<(u64, u64), SieveClass>, found: &Found, (n, kg): (f64, f64)) {
    let class = classes.entry((found.on_m.to_bits(), found.through_m.to_bits())).or_insert(SieveClass {
        through_m: found.through_m,
        on_m: found.on_m,
        colours: 0.0,
        gold_kg: 0.0,
        weighed_colours: 0.0,
        weighed_kg: 0.0,
        heaviest_kg: 0.0,
    });
    class.colours += n;
    class.gold_kg += kg;
    if let (Some(count), Some(weight)) = (found.colours, found.gold_kg) {
        class.weighed_colours += count;
        class.weighed_kg += weight;
        if count == 1.0 {
            class.heaviest_kg = class.heaviest_kg.max(weight);
        }
    }
}

struct Totals {
    colours: ByGold,
    gold_kg: ByGold,
    weighed_colours: ByGold,
    weighed_kg: ByGold,
}

impl Totals {
    fn new() -> Self {
        let none = [0.0; GOLD_CLASSES];
        Totals { colours: none, gold_kg: none, weighed_colours: none, weighed_kg: none }
    }

    /// Gives the colours and the weight of a sieve class to the classes of the grid. Weight is spread evenly over log size;
    /// colours as weight over grain mass, so that the finer part has more of them. Returns colours and kg.
    fn share_out(&mut self, found: &Found, grain_kg: &ByGold) -> (f64, f64) {
        let width = ln(found.through_m / found.on_m);
        let mut share = [0.0; GOLD_CLASSES];
        for (g, share) in share.iter_mut().enumerate() {
            let class = gold_class(g);
            let low = class.finite_from_m().max(found.on_m);
            let high = class.finite_to_m().min(found.through_m);
            if high > low {
                *share = ln(high / low) / width;
            }
        }
        let per_kg: f64 = (0..GOLD_CLASSES).map(|g| share[g] / grain_kg[g]).sum();
        let kg = found.gold_kg.or(found.colours.map(|n| n / per_kg)).unwrap_or(0.0);
        let n = found.colours.unwrap_or(kg * per_kg);
        let both = found.colours.is_some() && found.gold_kg.is_some();
        for g in 0..GOLD_CLASSES {
            let part = n * (share[g] / grain_kg[g]) / per_kg;
            self.gold_kg[g] += kg * share[g];
            self.colours[g] += part;
            if both {
                self.weighed_kg[g] += kg * share[g];
                self.weighed_colours[g] += part;
            }
        }
        (n, kg)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_spreading_a_class_keeps_its_weight_and_colours() {
        let grain: ByGold = std::array::from_fn(|g| 1e-9 * (g as f64 + 1.0));
        let mut totals = Totals::new();
        let found = Found { through_m: 1.0e-3, on_m: 0.3e-3, colours: Some(17.0), gold_kg: Some(5.0e-6) };
        totals.share_out(&found, &grain);
        assert!((totals.colours.iter().sum::<f64>() - 17.0).abs() < 1e-9);
        assert!((totals.gold_kg.iter().sum::<f64>() - 5.0e-6).abs() < 1e-15);
    }

    #[test]
    fn identity_ground_looked_at_ends_at_the_finest_sieve() {
        let c = washgraph_physics::size::gold_class_of(0.2e-3);
        let class = gold_class(c);
        assert_eq!(share_above(c, class.from_m), 1.0);
        assert_eq!(share_above(c, class.to_m), 0.0);
        assert!((share_above(c, class.middle_m) - 0.5).abs() < 1e-12);
    }
}
