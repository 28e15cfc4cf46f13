//! The verdict in the terminal: one screen, plain words.

use std::fmt::Write as _;

use sim_core::plant::Plant;
use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::result::{Loss, Outcome};

use crate::water_words;

use crate::money_words;

const S_PER_H: f64 = 3600.0;

/// Whether a limit is missed: water supply below need, or a limit warning in half of the trials.
pub(crate) fn limits_missed(outcome: &Outcome) -> bool {
    outcome.water.short_share > water_words::SHORT
        || outcome.warnings.iter().any(|w| w.severity == "limit" && w.share_of_trials > 0.5)
}

/// Why the plant cannot run at all: the water of its pond never clears, in the middle case or in half of the runs.
pub(crate) fn water_never_clears(outcome: &Outcome) -> Option<String> {
    let circuit = outcome.water.circuit.as_ref()?;
    let impossible = !circuit.middle_closes || circuit.unclosed_share > 0.5;
    impossible.then(|| {
        format!(
            "the water of the pond never clears in {} of runs{}: the fines build up until it is a paste, and the gold figures above mean nothing. \
             Let some water out for good (bleed), take more fresh water, or make the clay settle; time a jar of your water first",
            percent(circuit.unclosed_share),
            if circuit.middle_closes { "" } else { ", the middle case among them" }
        )
    })
}

/// The verdict and, when water is short, what would bring enough of it.
pub(crate) fn with_remedies(outcome: &Outcome, plant: &Plant, seed: u64) -> String {
    let mut text = verdict(outcome, plant);
    if outcome.water.short_share > water_words::SHORT {
        text += "\n";
        text += &water_words::remedy_lines(plant, seed);
    }
    text
}

/// The verdict as text.
fn verdict(outcome: &Outcome, plant: &Plant) -> String {
    let units = plant.units;
    let mut t = String::new();
    let gold = &outcome.gold;
    let _ = writeln!(t, "{}", plant.title);
    if !plant.question.is_empty() {
        let _ = writeln!(t, "{}", plant.question);
    }
    let feed = &outcome.plant.feed_loose_m3_h;
    let _ = writeln!(
        t,
        "\nFed: {} loose, {:.2} g of raw gold an hour in the middle run.",
        show(feed.pctl_50 / S_PER_H, Dimension::GravelRate, units),
        gold.fed_g_per_h.pctl_50
    );
    let _ = writeln!(
        t,
        "Caught: {:.2} g an hour in the middle run; 1 run in 10 is below {:.2}, 1 in 10 above {:.2}.",
        gold.caught_g_per_h.pctl_50, gold.caught_g_per_h.pctl_10, gold.caught_g_per_h.pctl_90
    );
    let _ = writeln!(
        t,
        "That is {} of the gold fed ({} to {} in 8 runs of 10). Raw gold, {:.0} fine.",
        percent(gold.recovery.mean),
        percent(gold.recovery.pctl_10),
        percent(gold.recovery.pctl_90),
        gold.fineness * 1000.0
    );
    let _ = writeln!(t, "\nWhere the rest goes, largest first:");
    for loss in outcome.losses.iter().filter(|l| l.share_of_fed.mean >= 0.0005).take(3) {
        let _ = writeln!(
            t,
            "  {}  at the {}: {}{}",
            padded(loss.share_of_fed.mean),
            loss.stage,
            loss.words,
            sizes(loss, outcome)
        );
    }
    let others: f64 = outcome.losses.iter().skip(3).map(|l| l.share_of_fed.mean).sum();
    if others >= 0.0005 {
        let _ = writeln!(t, "  {}  all other losses", padded(others));
    }
    let _ = write!(t, "\n{}", water_words::water_lines(outcome, units));
    if let Some(line) = pond_line(outcome, units) {
        let _ = writeln!(t, "{line}");
    }
    let bed: Vec<_> = outcome.warnings.iter().filter(|w| w.id.starts_with("drum")).collect();
    if bed.is_empty() {
        let depth = outcome.measures.iter().find(|m| m.name == "bed_depth_feed_end");
        if let Some(depth) = depth {
            let _ = writeln!(
                t,
                "Bed: the drum carries the feed; {} deep at the feed end.",
                show(depth.value.pctl_50, Dimension::Length, units)
            );
        }
    }
    if let Some(money) = &outcome.money {
        let _ = writeln!(t, "\nMoney (your prices): {}", money_words::season(money, units).join("\n"));
        if let Some(plant) = money_words::plant(money) {
            let _ = writeln!(t, "{plant}");
        }
        let _ = writeln!(t, "Clean-up: {}", money_words::clean_up(money, units).join("\n"));
        for note in &money.notes {
            let _ = writeln!(t, "{note}");
        }
    }
    let worth: Vec<_> = outcome.warnings.iter().filter(|w| w.severity != "note").take(4).collect();
    if !worth.is_empty() {
        let _ = writeln!(t, "\nTake care of:");
        for w in worth {
            let _ = writeln!(t, "  {} of runs, {}: {}", percent(w.share_of_trials), w.stage, w.text);
        }
    }
    let _ = writeln!(t, "\nNext: {}", next_step(outcome));
    if let Some(tuned) = &outcome.provenance.tuned {
        let _ = writeln!(t, "{}", tuned.words());
    }
    let _ = writeln!(
        t,
        "{} trials, seed {}. A planning estimate on assumed constants, not a promise: see the report.",
        outcome.provenance.trials, outcome.provenance.seed
    );
    t
}

fn percent(share: f64) -> String {
    let p = 100.0 * share;
    if p > 0.0 && p < 0.1 {
        "less than 0.1 %".into()
    } else if p < 10.0 {
        format!("{p:.1} %")
    } else {
        format!("{p:.0} %")
    }
}

fn padded(share: f64) -> String {
    format!("{:>5.1} %", 100.0 * share)
}

/// The size range that holds the middle four fifths of a loss.
fn sizes(loss: &Loss, outcome: &Outcome) -> String {
    let total: f64 = loss.by_size.iter().sum();
    let mut sum = 0.0;
    let (mut from, mut to) = (None, None);
    for (share, class) in loss.by_size.iter().zip(&outcome.gold.recovery_by_size) {
        sum += share;
        if from.is_none() && sum > 0.1 * total {
            from = Some(class.from_mm);
        }
        if to.is_none() && sum >= 0.9 * total {
            to = class.to_mm.or(Some(f64::INFINITY));
        }
    }
    match (from, to) {
        (Some(from), Some(to)) if from <= 0.0 && to.is_finite() => format!(" (mostly finer than {} mm)", tidy(to)),
        (Some(from), Some(to)) if to.is_finite() => format!(" (mostly {} to {} mm)", tidy(from), tidy(to)),
        (Some(from), _) => format!(" (mostly over {} mm)", tidy(from)),
        _ => String::new(),
    }
}

/// A size in mm without the dust of binary fractions.
fn tidy(mm: f64) -> String {
    let text = format!("{mm:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// What the pond takes and gives back; `None` without a pond.
fn pond_line(outcome: &Outcome, units: UnitChoice) -> Option<String> {
    let makeup = outcome.water.makeup_m3_h.as_ref()?;
    let returned = outcome.measures.iter().find(|m| m.name == "returned_fines")?;
    Some(format!(
        "Pond: {} of fresh water while running; the return water carries {} of fines in the end, 1 run in 10 above {}.",
        show(makeup.pctl_50 / S_PER_H, Dimension::Flow, units),
        show(returned.value.pctl_50, Dimension::Density, units),
        show(returned.value.pctl_90, Dimension::Density, units)
    ))
}

/// What to do next about the greatest loss.
pub(crate) fn next_step(outcome: &Outcome) -> String {
    if outcome.water.short_share > 0.5 {
        return "give the plant more water or less gravel before anything else; better screening alone would thicken the sluice.".into();
    }
    match outcome.losses.first().map(|l| l.reason.as_str()) {
        Some("never settled") => {
            "a longer or wider box, or shallower water, for the fine gold; pan the tailings to check.".into()
        }
        Some("packed riffles") => "less gravel or more water in the box; watch for riffles that stay full.".into(),
        Some("scoured out") => {
            "less slope, or riffles that shelter better; check the first and last third of the box at clean-up.".into()
        }
        Some("locked in clay") => {
            "more scrubbing time or water on the clay; time a few lumps in a cement mixer first.".into()
        }
        Some("missed the holes" | "too big for the holes") => {
            "a longer screen or larger holes, or a nugget trap on the oversize.".into()
        }
        Some("spilled at the feed end") => "feed less, or turn or tilt the drum more.".into(),
        _ => "pan the tailings at the end of the box and compare with the table of recovery by size.".into(),
    }
}
