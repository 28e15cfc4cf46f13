//! Where the gold goes, told from the hopper to the tailings: what each stage gets, catches and lets go, and what would stop that.

use maud::{Markup, html as markup};
use sim_core::quantity::UnitChoice;
use washgraph_model::result::{Loss, RunResult, StageSummary};

use super::changes;
use crate::answers::LEAST;
use crate::numbers::{mostly, percent, three};
use crate::report::backing::Backing;

/// The losses of a stage and its sections, largest first.
fn of_stage<'a>(outcome: &'a RunResult, stage: &StageSummary) -> Vec<&'a Loss> {
    let prefix = format!("{}.", stage.id);
    outcome.losses.iter().filter(|l| l.stage == stage.id || l.stage.starts_with(&prefix)).collect()
}

/// The story, a paragraph a stage; stages that only pass the gold on are left out.
pub fn story(outcome: &RunResult, backing: &Backing, units: UnitChoice) -> Markup {
    let mut left = 1.0;
    let mut parts: Vec<Markup> = Vec::new();
    for stage in &outcome.plant.stages {
        let losses = of_stage(outcome, stage);
        let lost: f64 = losses.iter().map(|l| l.share_of_fed.mean).sum();
        if lost + stage.caught_share > 0.0 {
            parts.push(paragraph(stage, left, lost, &losses, outcome, backing, units));
        }
        left -= lost + stage.caught_share;
    }
    let g = &outcome.gold;
    markup! {
        p { "In the mean of all runs " strong { (three(g.fed_g_per_h.mean)) " g" } " of raw gold an hour comes in with the gravel and "
            strong { (three(g.caught_g_per_h.mean)) " g" } " stays in the plant. Of every 100 g fed:" }
        @for part in parts { (part) }
        @if outcome.plant.stages.iter().filter(|s| s.caught_share > 0.0).count() == 0 { p { "Nothing in this plant catches gold." } }
    }
}

fn paragraph(
    stage: &StageSummary,
    arrives: f64,
    lost: f64,
    losses: &[&Loss],
    outcome: &RunResult,
    backing: &Backing,
    units: UnitChoice,
) -> Markup {
    let grams = |share: f64| format!("{} g", three(100.0 * share));
    let told: Vec<&&Loss> = losses.iter().filter(|l| l.share_of_fed.mean >= LEAST).collect();
    markup! {
        h3 { "At the " (stage.id) }
        p.lead {
            (grams(arrives.max(0.0))) " comes this far. "
            @if stage.caught_share > LEAST { "It catches " strong { (grams(stage.caught_share)) } ". " }
            @if lost >= LEAST { "It lets " strong { (grams(lost)) } " go" @if told.is_empty() { "." } @else { ":" } } @else { "Hardly any is lost here." }
        }
        @if !told.is_empty() {
            ul { @for loss in told {
                @let sizes = mostly(loss, outcome);
                li {
                    strong { (percent(loss.share_of_fed.mean)) } " " (loss.words) @if !sizes.is_empty() { " (" (sizes) ")" } ". "
                    span.stop { (changes::sentence(&backing.changes, loss, units)) }
                }
            } }
        }
    }
}
