//! `[ground.gold]`: pans and bulk samples, or a belief.

use std::ops::Range;

use toml::de::DeTable;

use super::gradation::GradationRead;
use super::settings::GOLD_SETTINGS;
use super::{Surroundings, register, sheet_of};
use crate::scenario::understood::rows_of;
use sim_core::draw::{Input, Nature};
use sim_core::field::gold_posterior::{Evidence, GoldPosterior, Prior, lognormal_shares};
use sim_core::field::gold_sample::{self, GoldDefaults, GoldSamples, WashedWith};
use sim_core::field::patchiness::{self, Patchiness};
use sim_core::field::whole_weight::Whole;
use sim_core::field::{SheetReader, checks, gold_columns, grain_weight};
use sim_core::ground::GoldKnown;
use sim_core::math::ln;
use sim_core::plant::Understood;
use sim_core::quantity::{Basis, Dimension, Phrase, show, show_both};
use sim_core::setting::{Reader, Settings};
use sim_core::size::ByGold;
use sim_core::size::solid_class_of;
use sim_core::stats::{Spread, volumes};

/// Middle values of settings that the samples are read with.
pub(super) struct Middles {
    pub swell: f64,
    pub rock_density: f64,
    pub loose_density: f64,
    pub gold_density: f64,
}

/// The gold as read.
pub(super) struct GoldRead {
    pub gold: GoldKnown,
    pub factor: Input,
    pub day_factor: Input,
    pub fineness: f64,
    pub grain_kg: ByGold,
    pub flatness: Option<(f64, f64)>,
    pub samples: Option<GoldSamples>,
    pub patchiness: Option<Patchiness>,
    pub kept_share: f64,
    pub prior: Prior,
    pub findings: Vec<Phrase>,
    pub provenance: Vec<String>,
}

/// Without a stated largest size, gold is reckoned with up to so many times the sieve that passed the coarsest class that held
/// any: one step of the usual series. Assumed.
const STEP_ABOVE: f64 = 1.4;

/// Largest gold reckoned with where none went over sieves and nothing else is said, m. Assumed.
const LARGEST_UNSEEN_M: f64 = 2.0e-3;

/// How many independent spots the ground of one period is taken to hold, for its day-to-day spread. Assumed.
const SPOTS_OF_A_PERIOD: f64 = 4.0;

pub(super) fn read(
    table: &DeTable<'_>,
    place: Range<usize>,
    middles: &Middles,
    gradation: Option<&GradationRead>,
    assumed_kg: &ByGold,
    reader: &mut Reader<'_>,
    around: &mut Surroundings<'_>,
) -> Option<GoldRead> {
    let settings = reader.read(table, place.clone(), GOLD_SETTINGS, "ground.gold");
    around.understood.push(Understood {
        owner: "ground.gold".into(),
        kind: String::new(),
        rows: rows_of(&settings, GOLD_SETTINGS, &[], around.units),
    });
    let kept_share = kept_share(&settings, gradation, middles);
    if let Some(grade) = settings.maybe("grade") {
        return believed(grade, &settings, place, middles, kept_share, assumed_kg, reader, around);
    }
    if !settings.was_given("volume") && !settings.was_given("file") && !table.keys().any(|k| k.get_ref() == "found") {
        reader.problems.error(
            place,
            "[ground.gold] has neither samples nor a believed grade",
            "add volume and found, or file = \"pans.csv\", or grade and median_size",
        );
        return None;
    }
    let positional = [gold_columns::THROUGH, gold_columns::ON, gold_columns::COLOURS, gold_columns::WEIGHT];
    let sheet = sheet_of(
        table,
        "found",
        &settings,
        (gold_columns::COLUMNS, &positional, &["pans", "gold", "samples", "pans and bulk samples"]),
        place.clone(),
        reader,
        around,
    )?;
    let defaults = GoldDefaults {
        volume_m3: settings.maybe("volume"),
        basis: settings.basis("volume"),
        pan_m3: settings.maybe("pan_volume"),
        swell: middles.swell,
        fine: settings.word("gold") == "fine",
        fineness: settings.number("fineness"),
        washed_with: WashedWith::of(settings.word("washed_with")).unwrap_or(WashedWith::Pan),
    };
    if settings.was_given("volume") && defaults.basis.is_none() {
        reader.problems.warning(
            settings.place("volume"),
            "the volume does not say loose or bank: taken as loose, as measured in pan or bucket",
            "write e.g. \"240 L loose\"",
        );
    }
    let mut sheet_reader = SheetReader::new(reader.problems);
    let samples = gold_sample::read(&sheet, &defaults, assumed_kg, &mut sheet_reader);
    let samples = samples.filter(|s| {
        let any = s.total_kg() > 0.0;
        if !any {
            sheet_reader.error(
                &sheet,
                None,
                None,
                "no gold was found in the pans",
                "with no colour there is nothing to size a plant for; give a believed grade to explore",
            );
        }
        any
    });
    let weights = samples
        .as_ref()
        .map(|s| grain_weight::from_weights(assumed_kg, &s.weighed_colours, &s.weighed_kg, middles.gold_density));
    let mut findings = Vec::new();
    let patchy = samples.as_ref().and_then(|s| patchiness::of(&s.samples));
    if let (Some(samples), Some(weights)) = (&samples, &weights) {
        findings = checks::gold_samples(
            samples,
            weights,
            patchy,
            middles.gold_density,
            around.units,
            &sheet,
            &mut sheet_reader,
        );
    }
    sheet_reader.finish(&sheet);
    let (samples, weights) = (samples?, weights?);
    let shown = patchy.filter(|p| p.chance < patchiness::SHOWN_BELOW && p.between > 0.0);
    let between = match shown {
        Some(p) if settings.word("patchy") != "no" => p.between,
        _ => 0.0,
    };
    let usual_largest_m = if samples.coarsest_m() > 0.0 { STEP_ABOVE * samples.coarsest_m() } else { LARGEST_UNSEEN_M };
    let largest_m = settings.maybe("largest_gold").unwrap_or(usual_largest_m);
    if samples.coarsest_m() == 0.0 && !settings.was_given("largest_gold") {
        reader.problems.warning(
            place.clone(),
            format!(
                "no size of the gold was seen: gold up to {} is reckoned with, of the sizes usual in placers",
                show(largest_m, Dimension::SieveSize, around.units)
            ),
            "measure the largest colour and give largest_gold; sieve and count some of the gold",
        );
    }
    if largest_m < samples.coarsest_m() / STEP_ABOVE {
        reader.problems.warning(
            settings.place("largest_gold"),
            format!(
                "gold up to {} was found, coarser than the largest reckoned with",
                show(samples.coarsest_m(), Dimension::SieveSize, around.units)
            ),
            "raise largest_gold, or take it out",
        );
    }
    let evidence = Evidence {
        colours: &samples.colours,
        looked_m3: &samples.looked_m3,
        grain_kg: &weights.kg,
        grain_ln_sd: &weights.ln_sd,
        follows: &weights.follows,
        common_ln_sd: weights.common_ln_sd,
        largest_m,
        patchiness: patchiness::variance_of_mean(&samples.samples, between),
        whole: Whole { volume_m3: samples.volume_m3() - samples.sieved_volume_m3(), gold_kg: samples.whole_kg() },
    };
    let posterior = GoldPosterior::new(&Prior::PLACER, &evidence).scaled_by(kept_share);
    let factor = washing_losses(&settings, samples.washed_with, reader);
    let day_factor = day_to_day(&settings, between, place, reader)?;
    let flatness = weights.flatness.filter(|_| settings.word("shape") != "assumed");
    let provenance = in_words(&samples, between, kept_share, largest_m, around);
    Some(GoldRead {
        gold: GoldKnown::Sampled(Box::new(posterior)),
        factor,
        day_factor,
        fineness: defaults.fineness,
        grain_kg: weights.kg,
        flatness,
        samples: Some(samples),
        patchiness: patchy,
        kept_share,
        prior: Prior::PLACER,
        findings,
        provenance,
    })
}

/// Volume share of the loose ground that the samples stand for, the rest being stones thrown out before they were measured.
///
/// Grade of the ground = grade of the sample x (1 - boulder volume share); boulder volume share = mass share x loose
/// density/rock density, both of the whole ground.
fn kept_share(settings: &Settings, gradation: Option<&GradationRead>, middles: &Middles) -> f64 {
    let (Some(size), Some(gradation)) = (settings.maybe("left_out"), gradation) else { return 1.0 };
    let from = solid_class_of(size);
    let coarse: f64 = gradation.known.share.iter().skip(from).sum();
    volumes::grade_with_boulders(1.0, coarse * middles.loose_density / middles.rock_density)
}

/// Losses of washing the samples: as given, or those of the tool.
fn washing_losses(settings: &Settings, tool: WashedWith, reader: &mut Reader<'_>) -> Input {
    let input = settings.input("true_over_found");
    if settings.was_given("true_over_found") || tool == WashedWith::Pan {
        return input;
    }
    let (low, mid, high) = tool.true_over_found();
    match Spread::split_log_normal(low, mid, high) {
        Ok(spread) => {
            reader.inputs.respread(input, spread, &format!("assumed for samples washed with a {}", tool.word()))
        }
        Err(_) => input,
    }
}

/// Grade of a period's ground over the mean: as given, or from patchy samples.
fn day_to_day(settings: &Settings, between: f64, place: Range<usize>, reader: &mut Reader<'_>) -> Option<Input> {
    if settings.was_given("day_to_day") || !(between > 0.0) {
        return Some(settings.input("day_to_day"));
    }
    let variance = sim_core::math::ln_1p(between / SPOTS_OF_A_PERIOD);
    let spread = Spread::log_normal(sim_core::math::exp(-0.5 * variance), variance.sqrt()).ok()?;
    register(
        reader,
        "ground.gold/day_to_day",
        "grade of one period's ground over the mean grade",
        Dimension::Number,
        spread,
        Nature::Variability,
        place,
    )
}

fn believed(
    grade: f64,
    settings: &Settings,
    place: Range<usize>,
    middles: &Middles,
    kept_share: f64,
    assumed_kg: &ByGold,
    reader: &mut Reader<'_>,
    around: &mut Surroundings<'_>,
) -> Option<GoldRead> {
    let to_loose = match settings.basis("grade") {
        Some(Basis::Bank) => 1.0 / (1.0 + middles.swell),
        Some(Basis::Loose) => 1.0,
        None => {
            reader.problems.warning(
                settings.place("grade"),
                "the grade does not say loose or bank: taken as bank",
                "write e.g. \"200 mg/m3 bank\"",
            );
            1.0 / (1.0 + middles.swell)
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
    let fineness = settings.number("fineness");
    let raw = if settings.word("gold") == "fine" { 1.0 / fineness } else { 1.0 };
    let shares = lognormal_shares(
        ln(median),
        ln(settings.number("size_spread")),
        settings.maybe("largest_gold").unwrap_or(f64::INFINITY),
    );
    let line = Phrase::new("gold is a belief, not a sample: about ").size(grade, Dimension::Grade);
    Some(GoldRead {
        gold: GoldKnown::Believed(Box::new(shares.map(|s| s * to_loose * raw * kept_share))),
        factor: settings.input("grade"),
        day_factor: settings.input("day_to_day"),
        fineness,
        grain_kg: *assumed_kg,
        flatness: None,
        samples: None,
        patchiness: None,
        kept_share,
        prior: Prior::PLACER,
        provenance: vec![line.say(around.units)],
        findings: vec![line],
    })
}

fn in_words(
    samples: &GoldSamples,
    between: f64,
    kept_share: f64,
    largest_m: f64,
    around: &Surroundings<'_>,
) -> Vec<String> {
    let named = |n: usize| if n == 1 { "one sample".to_string() } else { format!("{n} samples") };
    let mut lines = Vec::new();
    if !samples.samples.is_empty() {
        lines.push(format!(
            "gold from {:.0} colours ({:.1} mg raw) in {}, {} of loose ground in all, washed with: {}",
            samples.total_colours(),
            (samples.total_kg() - samples.whole_kg()) * 1e6,
            named(samples.samples.len()),
            show(samples.sieved_volume_m3(), Dimension::Volume, around.units),
            samples.washed_with.word()
        ));
    }
    if !samples.whole.is_empty() {
        lines.push(format!(
            "gold of {} weighed without sieves: {:.1} mg raw from {} of loose ground; it speaks for the grade, its size is taken from {}",
            named(samples.whole.len()),
            samples.whole_kg() * 1e6,
            show(samples.volume_m3() - samples.sieved_volume_m3(), Dimension::Volume, around.units),
            if samples.total_colours() > 0.0 { "the sieved samples and what is usual" } else { "what is usual in placers" }
        ));
    }
    if samples.total_colours() > 0.0 {
        lines.push(format!(
            "the gold of a class is its own count once it holds more than {:.0} colours; below, the size curve fitted to all classes counts for more",
            Prior::PLACER.curve_weight
        ));
    }
    lines.push(format!(
        "gold coarser than {} is left out; set largest_gold when the creek is known for larger",
        show_both(largest_m, Dimension::SieveSize, around.units)
    ));
    if between > 0.0 {
        lines.push(format!(
            "the samples are patchy: spots differ by about {:.0} % beyond chance",
            100.0 * between.sqrt()
        ));
    }
    if kept_share < 1.0 {
        lines.push(format!(
            "stones left out of the samples take {:.0} % of the volume: the grade is that much lower",
            100.0 * (1.0 - kept_share)
        ));
    }
    lines
}
