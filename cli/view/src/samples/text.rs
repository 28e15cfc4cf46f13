//! What the samples say, in words.

use std::fmt::Write as _;

use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::samples::summary::{Grade, SamplesSummary};

use crate::numbers::{capital, class, percent, three};
use crate::sample_money;

/// The whole text.
pub fn text(s: &SamplesSummary, units: UnitChoice) -> String {
    let mut t = format!("{}\n", s.title);
    if s.gold_from == "belief" {
        let _ = writeln!(t, "The gold of this ground is a belief, not a sample. Nothing below was measured.");
    }
    let _ = writeln!(t, "\nWhere it comes from");
    for line in &s.provenance {
        let _ = writeln!(t, "  {}.", capital(line));
    }
    if s.gold_from == "samples" && !s.findings.is_empty() {
        let _ = writeln!(t, "\nLook at this first");
        for line in &s.findings {
            let _ = writeln!(t, "  {}.", capital(line));
        }
    }
    grade(&mut t, s);
    gold(&mut t, s);
    gradation(&mut t, s, units);
    further(&mut t, s, units);
    sample_money::add(&mut t, s);
    t
}

fn grade(t: &mut String, s: &SamplesSummary) {
    let _ = writeln!(t, "\nGrade of the ground\n");
    let _ = writeln!(t, "  {:<28}{:>16}{:>12}{:>16}{:>10}", "", "1 in 10 below", "middle", "1 in 10 above", "mean");
    let row = |t: &mut String, name: &str, x: &sim_core::stats::summary::Summary| {
        let _ = writeln!(
            t,
            "  {name:<28}{:>16}{:>12}{:>16}{:>10}",
            three(x.pctl_10),
            three(x.pctl_50),
            three(x.pctl_90),
            three(x.mean)
        );
    };
    for g in &s.grade {
        let Grade { volume, gold, mg_per_m3, mg_per_yd3 } = g;
        row(t, &format!("mg {gold} gold per {volume} m3"), mg_per_m3);
        row(t, &format!("mg {gold} gold per {volume} yd3"), mg_per_yd3);
    }
    if let Some(found) = s.found_mg_per_m3_loose {
        let _ = writeln!(
            t,
            "\n  The samples thrown together hold {} mg of raw gold per loose m3. Small samples read low more often than high:\n  \
             the few coarse grains that carry much of the gold are missed by most of them. The spread above allows for that,\n  \
             and for what washing lost.",
            three(found)
        );
    }
}

fn gold(t: &mut String, s: &SamplesSummary) {
    if s.gold.is_empty() {
        return;
    }
    let _ = writeln!(t, "\nGold by size (raw, per loose m3)\n");
    let _ = writeln!(
        t,
        "  {:<18}{:>9}{:>11}{:>13}{:>16}{:>16}",
        "size", "colours", "weight mg", "share", "1 in 10 below", "1 in 10 above"
    );
    for c in s.gold.iter().rev() {
        let _ = writeln!(
            t,
            "  {:<18}{:>9}{:>11}{:>13}{:>13} mg{:>13} mg{}",
            class(c.from_mm, c.to_mm),
            colours(c.colours),
            if c.weight_mg > 0.0 { three(c.weight_mg) } else { "-".into() },
            percent(c.share.mean),
            three(c.mg_per_m3_loose.pctl_10),
            three(c.mg_per_m3_loose.pctl_90),
            if s.gold_from == "samples" && c.colours < 20.0 && c.share.mean > 0.005 { "  *" } else { "" }
        );
    }
    if !s.few_colours.is_empty() {
        let share: f64 = s.gold.iter().filter(|c| c.colours < 20.0 && c.share.mean > 0.005).map(|c| c.share.mean).sum();
        let _ = writeln!(
            t,
            "\n  * rests on fewer than 20 colours (Clifton and others 1969): {} of the gold. Colours of a sieve class that spans two of\n  these are shared out between them.",
            percent(share)
        );
    }
}

/// Colours of a class of the grid; sieve classes that span two of them are shared out, so that there are parts of colours.
fn colours(n: f64) -> String {
    if n <= 0.0 {
        "-".into()
    } else if n < 9.95 {
        format!("{n:.1}")
    } else {
        format!("{n:.0}")
    }
}

fn gradation(t: &mut String, s: &SamplesSummary, units: UnitChoice) {
    let _ = writeln!(t, "\nGradation (share finer, by weight)\n");
    let _ = writeln!(t, "  {:<26}{:>10}{:>16}{:>16}", "size", "finer", "1 in 10 below", "1 in 10 above");
    for f in s.gradation.iter().rev().filter(|f| f.finer > 5e-4 && f.pctl_10 < 0.9999) {
        let size = crate::numbers::size(f.size_mm, units);
        let _ =
            writeln!(t, "  {:<26}{:>10}{:>16}{:>16}", size, percent(f.finer), percent(f.pctl_10), percent(f.pctl_90));
    }
}

fn further(t: &mut String, s: &SamplesSummary, units: UnitChoice) {
    if s.plans.is_empty() {
        return;
    }
    let _ = writeln!(
        t,
        "\nWhat further samples would tell\n\n  Now the grade lies, in 8 cases of 10, within a band as wide as {} of its middle. The band would be:",
        percent(s.relative_width)
    );
    for plan in &s.plans {
        let left = match plan.relative_width {
            Some(width) => format!("{} of the middle", percent(width)),
            None => "much narrower; too far from what is known now to say how much".into(),
        };
        let _ =
            writeln!(t, "  {:<52} ({}): {left}", capital(&plan.what), show(plan.volume_m3, Dimension::Volume, units));
    }
    let _ = writeln!(
        t,
        "  Counting and washing as before. What washing loses and what a colour weighs stay as uncertain as they are."
    );
}
