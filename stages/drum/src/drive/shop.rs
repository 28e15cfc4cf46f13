//! The drive as the shop builds it.

use sim_core::constants::INCH_M;
use sim_core::drum::chain::pitch_diameter_m;
use sim_core::drum::transport::critical_speed_rev_s;
use sim_core::quantity::Dimension;
use sim_core::shop::{Amount, Figure, Phrase, Piece, ShopPart, StageSite, Sure};

use super::{Chain, Drive};

use core::f64::consts::PI;

/// What a drive sprocket is bored over the drum, to be shimmed true: drums are out of round. Common practice, no source.
const SPROCKET_PLAY_M: f64 = 0.25 * INCH_M;
/// Where small plastic spider couplings end, 4 to 5 hp. Common practice, no source.
const SPIDER_END_W: (f64, f64) = (4.0 * 745.7, 5.0 * 745.7);

impl Drive {
    /// The part, for a drum of this diameter and wall, m, at this speed.
    pub(crate) fn part(&self, site: &StageSite<'_>, diameter_m: f64, wall_m: f64, speed_rev_s: f64) -> ShopPart {
        let mut part = ShopPart::new("Drive");
        let n = &self.numbers;
        let read = |measure| site.reading(measure);
        let critical = critical_speed_rev_s(diameter_m, 0.0);
        part.lead("speed of the drum", Figure::Size(speed_rev_s, Dimension::RotationSpeed), Sure::Given)
            .note(Phrase::of(speed_rev_s / critical, Dimension::Fraction).text(" of critical speed"));
        part.lead("torque at the shell, running", Figure::Run(read(n.torque), Dimension::Torque), Sure::Run)
            .note("bed, lifters and rollers");
        part.lead("torque at the shell to start", Figure::Run(read(n.start_torque), Dimension::Torque), Sure::Run)
            .note("2 to 2.5 times running (assumed): size motor, chain and couplings for this");
        part.lead("power at the engine for the drum", Figure::Run(read(n.engine), Dimension::Power), Sure::Run);
        part.row(
            "of the torque, rollers and bearings take",
            Figure::Run(read(n.friction), Dimension::Torque),
            Sure::Run,
        );
        part.row("load on each of four rollers", Figure::Run(read(n.roller), Dimension::Force), Sure::Run)
            .note("evenly shared; one end of a deep bed carries more");
        if self.hydraulic {
            self.oil_rows(&mut part, site, speed_rev_s);
        } else {
            part.row("drive", Figure::Words("gearbox on an engine or electric motor".into()), Sure::Given);
        }
        self.chain.rows(&mut part, site, n, diameter_m, wall_m, speed_rev_s);
        self.couplings(&mut part, site);
        part.way("buy it", self.pieces(site), Vec::new());
        words(&mut part, self.hydraulic);
        part
    }

    fn oil_rows(&self, part: &mut ShopPart, site: &StageSite<'_>, speed_rev_s: f64) {
        let n = &self.numbers;
        let read = |measure| site.reading(measure);
        match self.motor_m3 {
            Some(motor) => part.lead("hydraulic motor", Figure::Size(motor, Dimension::Displacement), Sure::Given),
            None => part.lead(
                "hydraulic motor to buy, at least",
                Figure::Run(read(n.to_buy), Dimension::Displacement),
                Sure::Run,
            ),
        }
        .note("displacement a turn; it must start the drum below the relief pressure");
        part.lead("oil that it needs", Figure::Run(read(n.oil), Dimension::Flow), Sure::Run)
            .note(Phrase::new("motor turns at ").size(speed_rev_s * self.chain.ratio(), Dimension::RotationSpeed));
        part.row("oil pressure, running", Figure::Run(read(n.running_pa), Dimension::Pressure), Sure::Run);
        part.row("oil pressure to start", Figure::Run(read(n.starting_pa), Dimension::Pressure), Sure::Run);
        part.row("relief valve opens at", Figure::Size(self.relief_pa, Dimension::Pressure), Sure::Given)
            .note("or the usual, when not set; never past the rating of hoses and motor");
        part.row("hydraulic tank", Figure::Words("a little above its pump".into()), Sure::Practice);
    }

    fn couplings(&self, part: &mut ShopPart, site: &StageSite<'_>) {
        let (low, high) = SPIDER_END_W;
        // A coupling between engine and drive passes the power, and what the start adds to it.
        let engine = site.reading(self.numbers.engine).high;
        let start = site.reading(self.numbers.start_torque).high / site.reading(self.numbers.torque).high;
        let judged = if engine * start > low {
            "this drive passes that at the start: take another coupling"
        } else {
            "this drive stays below that"
        };
        part.row("small plastic spider couplings end at", Figure::Range(low, high, Dimension::Power), Sure::Practice)
            .note(judged);
    }

    fn pieces(&self, site: &StageSite<'_>) -> Vec<Piece> {
        let chain = &self.chain;
        let mut list = Vec::new();
        if self.hydraulic {
            let motor = self.motor_m3.unwrap_or(site.reading(self.numbers.to_buy).middle);
            list.push(piece("hydraulic motor", Phrase::of(motor, Dimension::Displacement), Amount::Count(1.0)));
        }
        let pitch = || Phrase::new("pitch ").length(chain.pitch_m);
        let strands = Amount::Length(chain.strands * PI * chain.circle_m * if chain.touching { 1.0 } else { 1.6 });
        list.push(piece("roller chain, one strand", pitch(), strands));
        list.push(piece("pinion", pitch().text(format!(", {} teeth", chain.teeth)), Amount::Count(1.0)));
        list.push(piece("riding roller with bearings", Phrase::none(), Amount::Count(4.0)));
        list
    }
}

fn piece(item: &str, size: Phrase, amount: Amount) -> Piece {
    Piece { item: item.into(), size, used_for: "drive of the drum".into(), amount, mass_kg: None }
}

impl Chain {
    fn rows(
        &self,
        part: &mut ShopPart,
        site: &StageSite<'_>,
        n: &super::Numbers,
        diameter_m: f64,
        wall_m: f64,
        speed_rev_s: f64,
    ) {
        let read = |measure| site.reading(measure);
        let sure = if self.given { Sure::Given } else { Sure::Taken };
        part.row("chain, pitch", Figure::Size(self.pitch_m, Dimension::Length), sure)
            .note(format!("{} strands", self.strands));
        part.row("pinion, teeth", Figure::Count(self.teeth as u64), sure)
            .note(Phrase::new("pitch diameter ").length(pitch_diameter_m(self.pitch_m, self.teeth)));
        part.row("chain round the drum, pitch diameter", Figure::Size(self.circle_m, Dimension::Length), sure)
            .note(format!("about {:.0} pitches round", PI * self.circle_m / self.pitch_m));
        part.row(
            "reduction, turns of the pinion a turn of the drum",
            Figure::Size(self.ratio(), Dimension::Number),
            Sure::Worked,
        )
        .note(Phrase::new("pinion turns at ").size(speed_rev_s * self.ratio(), Dimension::RotationSpeed));
        part.row("pull in the chain at the start", Figure::Run(read(n.pull), Dimension::Force), Sure::Run);
        part.row("strength over running pull", Figure::Run(read(n.margin), Dimension::Number), Sure::Run)
            .note("7 to 8 is wanted for a slow chain (from memory)");
        part.row("rating used, service factor included", Figure::Run(read(n.rating), Dimension::Fraction), Sure::Run)
            .note("over 100 %: more strands, larger pitch or more teeth");
        part.row("teeth of the pinion in mesh", Figure::Run(read(n.mesh), Dimension::Number), Sure::Run)
            .note("where a chain only touches, 2 to 3 (common practice, no source), and one takes over half of the pull: add an idler");
        let outside = diameter_m + 2.0 * wall_m;
        part.row(
            "sprocket round the drum, bore",
            Figure::Size(outside + SPROCKET_PLAY_M, Dimension::Length),
            Sure::Practice,
        )
        .note("about 1/4 in over the drum, shimmed until it runs true: drums are out of round");
    }
}

fn words(part: &mut ShopPart, hydraulic: bool) {
    part.checks
        .push("Guards are on chain, sprockets, rollers and shaft ends, and cannot be opened without a tool.".into());
    part.checks
        .push("The stop can be reached from the hopper and from the discharge, and everyone knows where it is.".into());
    part.checks.push("The drum turns the right way round: lifters and rising side as planned.".into());
    part.checks.push("A dial or a chalk at the sprocket shows that it runs true before the chain goes on.".into());
    part.cautions.push("A turning drum, chain and roller take an arm in a blink. Guard them, and lock the drive out and tag it before anyone reaches in, even for a stone.".into());
    if hydraulic {
        part.checks.push(
            "Hoses are rated above the relief setting, relief set, oil level read, no hose where it can chafe.".into(),
        );
        part.cautions.push("Hydraulic oil at pressure goes through skin. Never feel for a leak; let the pressure off before loosening a fitting; an injection is an emergency even if it looks like a pinprick.".into());
    }
}
