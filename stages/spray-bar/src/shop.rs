//! Spray bars and nozzles as the shop drills and fits them.

use sim_core::hydraulics::orifice::{hole_area_m2, jet_speed_m_s, jet_thrust_n};
use sim_core::quantity::Dimension;
use sim_core::shop::{Amount, Drawing, Figure, HoleGrid, Mark, Opening, OutletSite, Phrase, Piece, Purpose, ShopPart, Stroke, Sure};

/// Density of cold water for jets, kg/m3; the few parts in a thousand that it varies do not matter to a bracket.
const WATER_KG_M3: f64 = 999.0;

/// Holes in a pipe as drilled.
pub(crate) struct ShopBar<'a> {
    pub count: f64,
    pub hole_m: f64,
    pub made: &'a str,
}

/// Bore of a pipe with so many times the area of the holes, m. Source: geometry.
fn bore_for_m(count: f64, hole_m: f64, times: f64) -> f64 {
    hole_m * (count * times).sqrt()
}

impl ShopBar<'_> {
    pub(crate) fn parts(&self, id: &str, site: &OutletSite<'_>) -> Vec<ShopPart> {
        let mut part = ShopPart::new(format!("Spray bar ({id}) on {}", site.on));
        part.lead("holes", Figure::Count(self.count as u64), Sure::Given);
        part.lead("hole, diameter", Figure::Size(self.hole_m, Dimension::Length), Sure::Given)
            .note(self.made.to_string());
        if let Some(run) = site.run_m {
            part.lead("middle to middle", Figure::Size(run / self.count, Dimension::Length), Sure::Worked)
                .note(Phrase::new("spread evenly over ").length(run).text(", the first half a spacing from the end"));
        }
        part.lead("pressure ahead of the holes", Figure::Run(site.pressure_pa, Dimension::Pressure), Sure::Run);
        part.lead("water, all holes", Figure::Run(site.flow_m3_s, Dimension::Flow), Sure::Run);
        part.row("water a hole", Figure::Run(site.flow_m3_s.times(1.0 / self.count), Dimension::Flow), Sure::Run);
        let area = self.count * hole_area_m2(self.hole_m);
        part.row("area of all holes", Figure::Size(area, Dimension::Area), Sure::Worked);
        part.row("bore of the bar, at least", Figure::Size(bore_for_m(self.count, self.hole_m, 2.0), Dimension::Length), Sure::Worked)
            .note("holes take half the area of the bore: first and last hole within about 4 %");
        part.row("bore of the bar, better", Figure::Size(bore_for_m(self.count, self.hole_m, 4.0), Dimension::Length), Sure::Worked)
            .note("holes take a quarter: within about 1 %");
        part.row("direction", Figure::Words("at the bed where it rides up, a few up through the plate to knock out pegged stones".into()), Sure::Practice);
        let run = site.run_m;
        part.way(
            "drill it from pipe",
            run.map(|m| Piece {
                item: "pipe".into(),
                size: Phrase::new("bore at least ").length(bore_for_m(self.count, self.hole_m, 2.0)),
                used_for: format!("spray bar {id}"),
                amount: Amount::Length(m),
                mass_kg: None,
            })
            .into_iter()
            .collect(),
            Vec::new(),
        );
        if let Some(run) = run {
            part.drawings.push(self.drawing(id, run));
        }
        part.steps.push("Drill straight through clean, take the burr off inside: a ragged hole gives a third less.".into());
        part.steps.push("A cap that screws off at the far end, so that the bar can be flushed; a gauge tapping at the near end.".into());
        part.checks.push("Flush the bar with the cap off, then look at every jet: mark and clear the plugged ones.".into());
        part.checks.push(Phrase::new("Read the gauge at the bar with all water on: about ").size(site.pressure_pa.middle, Dimension::Pressure).text("."));
        vec![part]
    }

    fn drawing(&self, id: &str, run: f64) -> Drawing {
        let step = run / self.count;
        let height = 0.12 * run;
        let pipe = bore_for_m(self.count, self.hole_m, 2.0).max(0.02 * run);
        let y = 0.35 * height;
        Drawing {
            name: format!("{id}-bar"),
            title: format!("{id}: holes along the bar"),
            size_m: (run, height),
            across: "along the bar".into(),
            down: String::new(),
            closes: false,
            purpose: Purpose::Picture,
            marks: vec![
                Mark::Rectangle((0.0, y - 0.5 * pipe), (run, pipe), Stroke::Edge),
                Mark::Holes(HoleGrid {
                    opening: Opening::Round(self.hole_m),
                    first_m: (0.5 * step, y),
                    columns: self.count as u32,
                    rows: 1,
                    column_step_m: step,
                    row_step_m: step,
                    shift_m: 0.0,
                }),
                Mark::Span((0.0, 0.8 * height), (run, 0.8 * height), Phrase::of(run, Dimension::Length)),
            ],
            alt: Phrase::new(format!("{} holes at ", self.count)).length(step).text(" along a bar of ").length(run),
        }
    }
}

/// The parts of a set of nozzles.
pub(crate) fn nozzles(id: &str, count: f64, bore_m: f64, site: &OutletSite<'_>) -> Vec<ShopPart> {
    let mut part = ShopPart::new(format!("Nozzles ({id}) on {}", site.on));
    part.lead("nozzles", Figure::Count(count as u64), Sure::Given);
    part.lead("bore", Figure::Size(bore_m, Dimension::Length), Sure::Given);
    part.lead("pressure ahead of them", Figure::Run(site.pressure_pa, Dimension::Pressure), Sure::Run);
    part.lead("water, all nozzles", Figure::Run(site.flow_m3_s, Dimension::Flow), Sure::Run);
    let one = site.flow_m3_s.times(1.0 / count);
    part.row("water a nozzle", Figure::Run(one, Dimension::Flow), Sure::Run);
    let speed = jet_speed_m_s(site.pressure_pa.high, WATER_KG_M3);
    part.row("speed of the jet, 1 run in 10 is above", Figure::Size(speed, Dimension::Velocity), Sure::Worked);
    part.row("push of one jet on its bracket", Figure::Size(jet_thrust_n(WATER_KG_M3, one.high, speed), Dimension::Force), Sure::Worked)
        .note("at that speed, without the hose jerking on it");
    part.row("direction", Figure::Words("two down the feed plate, the others across into the pile, so that no dry corner is left".into()), Sure::Practice);
    part.way(
        "buy or turn them",
        vec![Piece {
            item: "nozzle".into(),
            size: Phrase::new("bore ").length(bore_m),
            used_for: id.to_string(),
            amount: Amount::Count(count),
            mass_kg: None,
        }],
        Vec::new(),
    );
    part.checks.push("Each nozzle has its own valve and is tied so that it cannot swing if its hose bursts.".into());
    part.cautions.push("A nozzle jet takes eyes and skin: valve shut before a hose is loosened.".into());
    vec![part]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_bore_has_the_area_asked_for() {
        let bore = bore_for_m(40.0, 0.006, 2.0);
        assert!((hole_area_m2(bore) / (40.0 * hole_area_m2(0.006)) - 2.0).abs() < 1e-12);
    }
}
