//! Spray bars and nozzles as the shop drills and fits them, by the rule of hole area against bore of
//! `sim_core::hydraulics::spray_bar`.

use sim_core::hydraulics::orifice::{hole_area_m2, jet_speed_m_s, jet_thrust_n};
use sim_core::plumbing::HoseShop;
use sim_core::quantity::Dimension;
use sim_core::shop::{
    Amount, Drawing, Figure, HoleGrid, Mark, Opening, OutletSite, Phrase, Piece, Purpose, ShopPart, Stroke, Sure,
};

/// Density of cold water for jets, kg/m3; the few parts in a thousand that it varies do not matter to a bracket.
const WATER_KG_M3: f64 = 999.0;

/// Share of the bore that the holes may take: half keeps first and last hole within about 4 %, a quarter within 1 %.
const HALF: f64 = 2.0;
const QUARTER: f64 = 4.0;

/// A spray bar as drilled.
pub(crate) struct ShopBar<'a> {
    pub count: f64,
    pub hole_m: f64,
    pub made: &'a str,
    /// Length and bore of its pipe, where they were set.
    pub pipe_m: Option<(f64, f64)>,
    /// How far the jets must carry, m.
    pub throw_m: Option<f64>,
    pub hose: Option<&'a HoseShop>,
}

/// Bore of a pipe with so many times the area of the holes, m. Source: geometry.
fn bore_for_m(count: f64, hole_m: f64, times: f64) -> f64 {
    hole_m * (count * times).sqrt()
}

impl ShopBar<'_> {
    /// Length to drill: of the pipe, or of what it is mounted on.
    fn run(&self, site: &OutletSite<'_>) -> Option<(f64, Sure)> {
        match self.pipe_m {
            Some((length, _)) => Some((length, Sure::Given)),
            None => site.run_m.map(|m| (m, Sure::Taken)),
        }
    }

    fn bore_m(&self) -> f64 {
        self.pipe_m.map_or_else(|| bore_for_m(self.count, self.hole_m, HALF), |p| p.1)
    }

    pub(crate) fn parts(&self, site: &OutletSite<'_>) -> Vec<ShopPart> {
        let id = site.id;
        let mut part = ShopPart::new(format!("Spray bar ({id}) on {}", site.on));
        part.lead("holes", Figure::Count(self.count as u64), Sure::Given);
        part.lead("hole, diameter", Figure::Size(self.hole_m, Dimension::Length), Sure::Given).note(self.made);
        if let Some((run, sure)) = self.run(site) {
            part.lead("middle to middle", Figure::Size(run / self.count, Dimension::Length), Sure::Worked)
                .note("the first hole a whole spacing from the inlet, the last at the far end");
            part.row("length of the bar", Figure::Size(run, Dimension::Length), sure);
        }
        part.lead("pressure at the bar", Figure::Run(site.pressure_pa, Dimension::Pressure), Sure::Run);
        part.lead("water, all holes", Figure::Run(site.flow_m3_s, Dimension::Flow), Sure::Run);
        part.row("water a hole", Figure::Run(site.flow_m3_s.times(1.0 / self.count), Dimension::Flow), Sure::Run);
        self.bore_rows(&mut part);
        let to_bed =
            "at the bed where it rides up the rising side, a few up through the plate to knock out pegged stones";
        part.row("direction", Figure::Words(to_bed.into()), Sure::Practice);
        if let Some(throw) = self.throw_m {
            part.row("the jets must carry", Figure::Size(throw, Dimension::Length), Sure::Given);
        }
        if let Some(hose) = self.hose {
            hose.rows(&mut part, "hose from the manifold");
        }
        part.way("drill it from pipe", self.pieces(site), Vec::new());
        if let Some((run, _)) = self.run(site) {
            part.drawings.push(self.drawing(id, run));
        }
        part.steps.push(
            "Drill straight through clean and take the burr off inside: a ragged hole gives a third less water.".into(),
        );
        part.steps.push(
            "A cap that screws off at the far end, so that the bar can be flushed; a gauge tapping at the near end."
                .into(),
        );
        part.checks
            .push("Flush the bar with the cap off, then look at every jet: mark and clear the plugged ones.".into());
        part.checks.push(
            Phrase::new(format!("Read the gauge at {id} with all water on: about "))
                .size(site.pressure_pa.middle, Dimension::Pressure)
                .text("."),
        );
        vec![part]
    }

    fn bore_rows(&self, part: &mut ShopPart) {
        let holes_m2 = self.count * hole_area_m2(self.hole_m);
        if let Some((_, bore)) = self.pipe_m {
            part.row("bore of the bar", Figure::Size(bore, Dimension::Length), Sure::Given);
            part.row(
                "area of all holes over that of the bore",
                Figure::Size(holes_m2 / hole_area_m2(bore), Dimension::Fraction),
                Sure::Worked,
            )
            .note("up to a half: first and last hole within about 4 %; up to a quarter: within 1 %");
            return;
        }
        for (what, times, note) in [
            (
                "bore of the bar, at least",
                HALF,
                "holes take half the area of the bore: first and last within about 4 %",
            ),
            ("bore of the bar, better", QUARTER, "holes take a quarter: within about 1 %"),
        ] {
            part.row(what, Figure::Size(bore_for_m(self.count, self.hole_m, times), Dimension::Length), Sure::Worked)
                .note(note);
        }
    }

    fn pieces(&self, site: &OutletSite<'_>) -> Vec<Piece> {
        let used_for = format!("spray bar {}", site.id);
        let words = if self.pipe_m.is_some() { "bore " } else { "bore at least " };
        let mut list: Vec<Piece> = self
            .run(site)
            .map(|(run, _)| Piece {
                item: "pipe".into(),
                size: Phrase::new(words).length(self.bore_m()),
                used_for: used_for.clone(),
                amount: Amount::Length(run),
                mass_kg: None,
            })
            .into_iter()
            .collect();
        list.extend(self.hose.iter().flat_map(|h| h.pieces(&used_for)));
        list
    }

    fn drawing(&self, id: &str, run: f64) -> Drawing {
        let step = run / self.count;
        let height = 0.14 * run;
        let pipe = self.bore_m().max(0.02 * run);
        let y = 0.3 * height;
        Drawing {
            name: format!("{id}-bar"),
            title: format!("{id}: holes along the bar, inlet left"),
            size_m: (run, height),
            across: "along the bar".into(),
            down: String::new(),
            closes: false,
            purpose: Purpose::Picture,
            marks: vec![
                Mark::Rectangle((0.0, y - 0.5 * pipe), (run, pipe), Stroke::Edge),
                Mark::Holes(HoleGrid {
                    opening: Opening::Round(self.hole_m),
                    first_m: (step, y),
                    columns: self.count as u32,
                    rows: 1,
                    column_step_m: step,
                    row_step_m: step,
                    shift_m: 0.0,
                }),
                Mark::Span((0.0, 0.78 * height), (run, 0.78 * height), Phrase::of(run, Dimension::Length)),
            ],
            alt: Phrase::new(format!("{} holes at ", self.count)).length(step).text(" along a bar of ").length(run),
        }
    }
}

/// The parts of a set of nozzles.
pub(crate) fn nozzles(count: f64, bore_m: f64, hose: Option<&HoseShop>, site: &OutletSite<'_>) -> Vec<ShopPart> {
    let id = site.id;
    let mut part = ShopPart::new(format!("Nozzles ({id}) on {}", site.on));
    part.lead("nozzles", Figure::Count(count as u64), Sure::Given);
    part.lead("bore", Figure::Size(bore_m, Dimension::Length), Sure::Given);
    part.lead("pressure ahead of them", Figure::Run(site.pressure_pa, Dimension::Pressure), Sure::Run);
    part.lead("water, all nozzles", Figure::Run(site.flow_m3_s, Dimension::Flow), Sure::Run);
    let one = site.flow_m3_s.times(1.0 / count);
    part.row("water a nozzle", Figure::Run(one, Dimension::Flow), Sure::Run);
    let speed = jet_speed_m_s(site.pressure_pa.high, WATER_KG_M3);
    part.row("speed of the jet, 1 run in 10 is above", Figure::Size(speed, Dimension::Velocity), Sure::Worked);
    part.row(
        "push of one jet on its bracket",
        Figure::Size(jet_thrust_n(WATER_KG_M3, one.high, speed), Dimension::Force),
        Sure::Worked,
    )
    .note("at that speed, without the hose jerking on it");
    part.row(
        "direction",
        Figure::Words("two down the feed plate, the others across into the pile, so that no dry corner is left".into()),
        Sure::Practice,
    );
    let mut pieces = vec![Piece {
        item: "nozzle".into(),
        size: Phrase::new("bore ").length(bore_m),
        used_for: id.to_string(),
        amount: Amount::Count(count),
        mass_kg: None,
    }];
    if let Some(hose) = hose {
        hose.rows(&mut part, "hose from the manifold");
        pieces.extend(hose.pieces(&format!("nozzles {id}")));
    }
    part.way("buy or turn them", pieces, Vec::new());
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
