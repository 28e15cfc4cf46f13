//! The hopper as the shop builds it.

use sim_core::quantity::Dimension;
use sim_core::shop::{Figure, Phrase, Reading, ShopPart, Sure};

/// The parts of a hopper. The gap is NaN without a grizzly; water is m3 per kg of dry feed.
pub(crate) fn parts(id: &str, gap_m: f64, dry_kg_s: Reading, reject: Reading, water_m3_kg: Reading) -> Vec<ShopPart> {
    let mut part = ShopPart::named("Hopper", id);
    if gap_m > 0.0 {
        part.lead("clear gap between the grizzly bars", Figure::Size(gap_m, Dimension::Length), Sure::Given);
        part.row("stays on the grizzly, share of the dry feed", Figure::Run(reject, Dimension::Fraction), Sure::Run);
        part.steps.push(
            Phrase::new("Cut a gauge block of ")
                .length(gap_m)
                .text(" and set every bar with it, both ends and the middle: bars bend."),
        );
        part.steps.push("Slope the bars so that boulders roll off by themselves, away from where people stand (common practice, no source).".into());
    } else {
        part.row("grizzly", Figure::Words("none set: every boulder goes into the drum".into()), Sure::Given);
    }
    part.lead("dry feed to carry", Figure::Run(dry_kg_s, Dimension::MassRate), Sure::Run);
    part.row("water added in the hopper per dry weight", Figure::Run(water_m3_kg, Dimension::WaterPerMass), Sure::Run);
    part.checks.push("Nobody can fall in: rails and grating stand before the first bucket is tipped.".into());
    part.cautions
        .push("Rock falls off a grizzly. Keep people out from under it and out of the swing of the bucket.".into());
    vec![part]
}
