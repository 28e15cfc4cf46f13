//! The pump, its hoses and its engine as the shop buys and sets them up.

use sim_core::plumbing::HoseShop;
use sim_core::quantity::Dimension;
use sim_core::shop::{Amount, Figure, Phrase, Piece, Reading, ShopPart, Sure};

/// What of the pump the shop needs.
pub(crate) struct ShopPump<'a> {
    pub id: &'a str,
    pub suction: Option<&'a HoseShop>,
    pub delivery: Option<&'a HoseShop>,
    pub lift_m: f64,
    pub rise_m: f64,
    pub flow_m3_s: Reading,
    pub head_m: Reading,
    pub gauge_pa: Reading,
    pub power_w: Reading,
    pub fuel_m3_s: Reading,
    pub npsh_margin_m: Reading,
    pub suction_m_s: Reading,
    pub delivery_m_s: Reading,
    /// What the engine gives at the site, W.
    pub engine_power_w: Option<f64>,
    pub speed_rev_s: Option<f64>,
    pub electric: bool,
}

impl ShopPump<'_> {
    pub(crate) fn parts(&self) -> Vec<ShopPart> {
        let mut part = ShopPart::named("Pump", self.id);
        part.lead("duty: water", Figure::Run(self.flow_m3_s, Dimension::Flow), Sure::Run);
        part.lead("duty: head at that water", Figure::Run(self.head_m, Dimension::Head), Sure::Run)
            .note("lift, hoses and fittings included; not the head at a closed valve");
        part.lead("gauge on the manifold", Figure::Run(self.gauge_pa, Dimension::Pressure), Sure::Run);
        let taken = if self.electric { "power from the motor" } else { "power from the engine" };
        part.lead(taken, Figure::Run(self.power_w, Dimension::Power), Sure::Run).note("belts included");
        if let Some(power) = self.engine_power_w {
            part.row("power that there is at this site", Figure::Size(power, Dimension::Power), Sure::Worked)
                .note("rated power less altitude, heat and continuous duty");
        }
        if let Some(speed) = self.speed_rev_s {
            part.row("speed to run it at", Figure::Size(speed, Dimension::RotationSpeed), Sure::Given);
        }
        if !self.electric {
            part.row("fuel", Figure::Run(self.fuel_m3_s, Dimension::Flow), Sure::Run);
        }
        part.row("pump above the water", Figure::Size(self.lift_m, Dimension::Length), Sure::Given)
            .note("measured to the lowest water of the season; negative when flooded");
        part.row("manifold above the pump", Figure::Size(self.rise_m, Dimension::Length), Sure::Given);
        part.row("suction head to spare", Figure::Run(self.npsh_margin_m, Dimension::Head), Sure::Run)
            .note("over what the pump asks for; below half a metre it starts to rattle and wear");
        part.row("water in the suction hose", Figure::Run(self.suction_m_s, Dimension::Velocity), Sure::Run);
        part.row("water in the delivery hose", Figure::Run(self.delivery_m_s, Dimension::Velocity), Sure::Run);
        let mut pieces = vec![Piece {
            item: "pump".into(),
            size: Phrase::of(self.flow_m3_s.middle, Dimension::Flow)
                .text(" at ")
                .size(self.head_m.middle, Dimension::Head),
            used_for: self.id.to_string(),
            amount: Amount::Count(1.0),
            mass_kg: None,
        }];
        for (hose, name) in [(self.suction, "suction hose"), (self.delivery, "delivery hose")] {
            if let Some(hose) = hose {
                hose.rows(&mut part, name);
                pieces.extend(hose.pieces(name));
            }
        }
        part.way("buy it", pieces, Vec::new());
        part.steps.push("Suction rises all the way to the pump without a hump: air collects in a hump and the pump loses its prime.".into());
        part.steps.push("Put a gauge on the manifold where it can be read from the hopper: spray down and gauge up is plugging, both down is pump, suction or engine, water up and gauge down is worn holes or an opened branch.".into());
        part.checks.push("Strainer clean, foot valve holds, all suction joints tight under vacuum.".into());
        part.checks.push(
            Phrase::new("With everything open the gauge reads about ")
                .size(self.gauge_pa.middle, Dimension::Pressure)
                .text("."),
        );
        part.cautions.push("A hose under pressure whips when a coupling lets go: pins or clips in every cam-lock, and pressure off before one is opened.".into());
        part.cautions.push("Fuel and oil stay out of the creek: a tray under the engine, no filling while it is hot. Exhaust kills in a closed shed.".into());
        vec![part]
    }
}
