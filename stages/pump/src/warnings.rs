//! What the pump, its suction, its engine and its hoses may complain about, with the numbers and a way out.

use sim_core::hydraulics::fitting::HOSE_SPEED_LIMIT_M_S;
use sim_core::hydraulics::pump::ALLOWED_RANGE;
use sim_core::hydraulics::spray_bar::{HOLE_TO_BORE_LIMIT, hole_to_bore_area};
use sim_core::hydraulics::suction::NPSH_MARGIN_M;
use sim_core::plumbing::{Fed, OutletFacts};
use sim_core::quantity::{Dimension, Phrase};
use sim_core::stage::Severity;

use crate::facts::{PumpFacts, Site};

/// Weakest hole over strongest below which a bar counts as uneven. Our choice: what a hole area of half the bore gives.
const EVEN_ENOUGH: f64 = 0.95;
/// Share of its free flight that a small jet carries before it breaks up. Assumed.
const JET_SHARE: f64 = 0.5;

/// The numbers behind the warnings of a trial.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Outside {
    pub facts: PumpFacts,
    pub site: Site,
    /// Branch that the head does not reach.
    pub dry: Option<usize>,
    /// Branch with the fastest hose and its speed, m/s.
    hose: Option<(usize, f64)>,
    /// Bar with the least even holes: branch, weakest over strongest, hole area over bore area.
    bar: Option<(usize, f64, f64)>,
    /// Jets that fall short: branch, how far they carry, how far they must, m.
    jet: Option<(usize, f64, f64)>,
}

impl Outside {
    pub fn new(facts: PumpFacts, site: Site) -> Self {
        Outside { facts, site, dry: None, hose: None, bar: None, jet: None }
    }

    pub fn see_hose(&mut self, branch: usize, speed_m_s: f64) {
        if self.hose.is_none_or(|(_, s)| speed_m_s > s) {
            self.hose = Some((branch, speed_m_s));
        }
    }

    pub fn see_bar(&mut self, branch: usize, weakest: f64, facts: &OutletFacts) {
        if self.bar.is_none_or(|(_, w, _)| weakest < w) {
            let area = facts.bar_bore_m.map_or(0.0, |bore| hole_to_bore_area(facts.hole_m, facts.holes, bore));
            self.bar = Some((branch, weakest, area));
        }
    }

    pub fn see_jet(&mut self, branch: usize, free_flight_m: f64, facts: &OutletFacts) {
        let carries = JET_SHARE * free_flight_m;
        if let Some(needed) = facts.throw_m.filter(|needed| carries < *needed) {
            self.jet = Some((branch, carries, needed));
        }
    }
}

/// What may be wrong with a pump and its line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Concern {
    NoWater,
    DryBranch,
    Cavitates,
    SuctionTight,
    EngineOverloaded,
    PastEnd,
    Hunts,
    BelowBest,
    BeyondBest,
    FastSuction,
    FastDelivery,
    FastHose,
    UnevenBar,
    ShortJet,
}

impl Concern {
    pub const ALL: [Concern; 14] = [
        Concern::NoWater,
        Concern::DryBranch,
        Concern::Cavitates,
        Concern::SuctionTight,
        Concern::EngineOverloaded,
        Concern::PastEnd,
        Concern::Hunts,
        Concern::BelowBest,
        Concern::BeyondBest,
        Concern::FastSuction,
        Concern::FastDelivery,
        Concern::FastHose,
        Concern::UnevenBar,
        Concern::ShortJet,
    ];

    pub const fn id(self) -> &'static str {
        match self {
            Concern::NoWater => "pump-no-water",
            Concern::DryBranch => "pump-dry-branch",
            Concern::Cavitates => "pump-cavitates",
            Concern::SuctionTight => "pump-suction-tight",
            Concern::EngineOverloaded => "pump-engine-overloaded",
            Concern::PastEnd => "pump-past-its-curve",
            Concern::Hunts => "pump-hunts",
            Concern::BelowBest => "pump-far-below-best",
            Concern::BeyondBest => "pump-far-beyond-best",
            Concern::FastSuction => "suction-too-fast",
            Concern::FastDelivery => "delivery-too-fast",
            Concern::FastHose => "hose-too-fast",
            Concern::UnevenBar => "spray-bar-uneven",
            Concern::ShortJet => "jet-too-short",
        }
    }

    pub const fn severity(self) -> Severity {
        match self {
            Concern::NoWater | Concern::DryBranch | Concern::Cavitates | Concern::EngineOverloaded => Severity::Limit,
            _ => Severity::Caution,
        }
    }

    /// The text without numbers.
    pub const fn plain(self) -> &'static str {
        match self {
            Concern::NoWater => {
                "the pump does not lift the water to the outlets: lower the manifold, run faster, or take a pump with more head"
            }
            Concern::DryBranch => "the head does not reach one of the outlets: lower it or throttle the ones below it",
            Concern::Cavitates => {
                "the suction starves the pump, which will cavitate: set it lower, or give it a wider and shorter suction hose and a clean strainer"
            }
            Concern::SuctionTight => "the suction has little to spare: keep the strainer clean, and the pump low",
            Concern::EngineOverloaded => "the pump asks for more power than the engine gives at the site",
            Concern::PastEnd => "the pump works past the last point of its curve, where its head is a guess",
            Concern::Hunts => "the pump works left of the peak of its curve, where it may hunt: let more water through",
            Concern::BelowBest => {
                "the pump works far below its best flow: it wastes fuel and wears; a smaller pump would do"
            }
            Concern::BeyondBest => {
                "the pump works far beyond its best flow: it shakes and wears; a larger pump would do better"
            }
            Concern::FastSuction => "the water runs too fast in the suction hose: a wider one saves head and suction",
            Concern::FastDelivery => "the water runs too fast in the delivery hose: a wider one saves head",
            Concern::FastHose => "the water runs too fast in a hose: a wider one saves head",
            Concern::UnevenBar => "the holes of a spray bar get uneven water: a wider pipe, or fewer or smaller holes",
            Concern::ShortJet => {
                "jets do not carry to the gravel: move the bar closer, or fewer holes for more pressure"
            }
        }
    }

    pub fn raised(self, o: &Outside) -> bool {
        let f = &o.facts;
        match self {
            Concern::NoWater => false,
            Concern::DryBranch => o.dry.is_some(),
            Concern::Cavitates => f.npsh_margin_m < 0.0,
            Concern::SuctionTight => (0.0..NPSH_MARGIN_M).contains(&f.npsh_margin_m),
            Concern::EngineOverloaded => f.engine_load > 1.0,
            Concern::PastEnd => f.past_end,
            Concern::Hunts => f.unstable,
            Concern::BelowBest => f.share_of_best < ALLOWED_RANGE.0,
            Concern::BeyondBest => f.share_of_best > ALLOWED_RANGE.1,
            Concern::FastSuction => f.suction_m_s > HOSE_SPEED_LIMIT_M_S,
            Concern::FastDelivery => f.delivery_m_s > HOSE_SPEED_LIMIT_M_S,
            Concern::FastHose => o.hose.is_some_and(|(_, speed)| speed > HOSE_SPEED_LIMIT_M_S),
            Concern::UnevenBar => o.bar.is_some_and(|(_, weakest, _)| weakest < EVEN_ENOUGH),
            Concern::ShortJet => o.jet.is_some(),
        }
    }

    /// The text with the numbers of a trial; `None` where the plain text says all.
    pub fn text(self, o: &Outside, fed: &[Fed]) -> Option<Phrase> {
        let f = &o.facts;
        let plain = || Phrase::new(self.plain());
        let name = |j: usize| fed.get(j).map_or("an outlet", |x| x.id.as_str());
        let words = match self {
            Concern::NoWater | Concern::PastEnd | Concern::Hunts => return None,
            Concern::DryBranch => Phrase::new(format!("{}: {}", name(o.dry?), self.plain())),
            Concern::Cavitates | Concern::SuctionTight => plain()
                .text(" (in the middle run ")
                .size(f.npsh_available_m, Dimension::Head)
                .text(" of suction head is at hand; the pump asks for ")
                .size(o.site.npsh_required_m, Dimension::Head)
                .text(" and should keep ")
                .size(NPSH_MARGIN_M, Dimension::Head)
                .text(" in hand)"),
            Concern::EngineOverloaded => {
                Phrase::new("the pump asks for more power than the engine gives at this altitude and heat (")
                    .size(f.engine_w, Dimension::Power)
                    .text(" against ")
                    .size(o.site.engine_power_w?, Dimension::Power)
                    .text(" in the middle run): run it slower, throttle, or take a larger engine")
            }
            Concern::BelowBest | Concern::BeyondBest => plain()
                .text(" (in the middle run ")
                .size(f.flow_m3_s, Dimension::Flow)
                .text(", ")
                .share(f.share_of_best)
                .text(" of its best flow)"),
            Concern::FastSuction | Concern::FastDelivery => plain()
                .text(" (")
                .size(if self == Concern::FastSuction { f.suction_m_s } else { f.delivery_m_s }, Dimension::Velocity)
                .text(" in the middle run; keep it below ")
                .size(HOSE_SPEED_LIMIT_M_S, Dimension::Velocity)
                .text(")"),
            Concern::FastHose => {
                let (j, v) = o.hose?;
                Phrase::new("the water runs ")
                    .size(v, Dimension::Velocity)
                    .text(format!(
                        " in the middle run in the hose to {}: a wider one saves head (keep it below ",
                        name(j)
                    ))
                    .size(HOSE_SPEED_LIMIT_M_S, Dimension::Velocity)
                    .text(")")
            }
            Concern::UnevenBar => {
                let (j, weakest, area) = o.bar?;
                Phrase::new(format!("{}: its weakest hole gets ", name(j)))
                    .share(weakest)
                    .text(" of the strongest; all holes together have ")
                    .share(area)
                    .text(" of the area of the pipe, ")
                    .share(HOLE_TO_BORE_LIMIT)
                    .text(" is the rule: a wider pipe, or fewer or smaller holes")
            }
            Concern::ShortJet => {
                let (j, carries, needed) = o.jet?;
                Phrase::new(format!("the jets of {} carry about ", name(j)))
                    .length(carries)
                    .text(" and should carry ")
                    .length(needed)
                    .text(": move the bar closer, or fewer holes for more pressure")
            }
        };
        Some(words)
    }
}
