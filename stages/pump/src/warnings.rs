//! Warnings of the pump, its suction, its engine and its hoses, with the numbers and a way out.

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
pub(crate) enum PumpWarning {
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

impl PumpWarning {
    pub const ALL: [PumpWarning; 14] = [
        PumpWarning::NoWater,
        PumpWarning::DryBranch,
        PumpWarning::Cavitates,
        PumpWarning::SuctionTight,
        PumpWarning::EngineOverloaded,
        PumpWarning::PastEnd,
        PumpWarning::Hunts,
        PumpWarning::BelowBest,
        PumpWarning::BeyondBest,
        PumpWarning::FastSuction,
        PumpWarning::FastDelivery,
        PumpWarning::FastHose,
        PumpWarning::UnevenBar,
        PumpWarning::ShortJet,
    ];

    pub const fn id(self) -> &'static str {
        match self {
            PumpWarning::NoWater => "pump-no-water",
            PumpWarning::DryBranch => "pump-dry-branch",
            PumpWarning::Cavitates => "pump-cavitates",
            PumpWarning::SuctionTight => "pump-suction-tight",
            PumpWarning::EngineOverloaded => "pump-engine-overloaded",
            PumpWarning::PastEnd => "pump-past-its-curve",
            PumpWarning::Hunts => "pump-hunts",
            PumpWarning::BelowBest => "pump-far-below-best",
            PumpWarning::BeyondBest => "pump-far-beyond-best",
            PumpWarning::FastSuction => "suction-too-fast",
            PumpWarning::FastDelivery => "delivery-too-fast",
            PumpWarning::FastHose => "hose-too-fast",
            PumpWarning::UnevenBar => "spray-bar-uneven",
            PumpWarning::ShortJet => "jet-too-short",
        }
    }

    pub const fn severity(self) -> Severity {
        match self {
            PumpWarning::NoWater | PumpWarning::DryBranch | PumpWarning::Cavitates | PumpWarning::EngineOverloaded => {
                Severity::Limit
            }
            _ => Severity::Caution,
        }
    }

    /// The text without numbers.
    pub const fn plain(self) -> &'static str {
        match self {
            PumpWarning::NoWater => {
                "the pump does not lift the water to the outlets: lower the manifold, run faster, or take a pump with more head"
            }
            PumpWarning::DryBranch => {
                "the head does not reach one of the outlets: lower it or throttle the ones below it"
            }
            PumpWarning::Cavitates => {
                "the suction starves the pump, which will cavitate: set it lower, or give it a wider and shorter suction hose and a clean strainer"
            }
            PumpWarning::SuctionTight => "the suction has little to spare: keep the strainer clean, and the pump low",
            PumpWarning::EngineOverloaded => "the pump asks for more power than the engine gives at the site",
            PumpWarning::PastEnd => "the pump works past the last point of its curve, where its head is a guess",
            PumpWarning::Hunts => {
                "the pump works left of the peak of its curve, where it may hunt: let more water through"
            }
            PumpWarning::BelowBest => {
                "the pump works far below its best flow: it wastes fuel and wears; a smaller pump would do"
            }
            PumpWarning::BeyondBest => {
                "the pump works far beyond its best flow: it shakes and wears; a larger pump would do better"
            }
            PumpWarning::FastSuction => {
                "the water runs too fast in the suction hose: a wider one saves head and suction"
            }
            PumpWarning::FastDelivery => "the water runs too fast in the delivery hose: a wider one saves head",
            PumpWarning::FastHose => "the water runs too fast in a hose: a wider one saves head",
            PumpWarning::UnevenBar => {
                "the holes of a spray bar get uneven water: a wider pipe, or fewer or smaller holes"
            }
            PumpWarning::ShortJet => {
                "jets do not carry to the gravel: move the bar closer, or fewer holes for more pressure"
            }
        }
    }

    pub fn raised(self, o: &Outside) -> bool {
        let f = &o.facts;
        match self {
            PumpWarning::NoWater => false,
            PumpWarning::DryBranch => o.dry.is_some(),
            PumpWarning::Cavitates => f.npsh_margin_m < 0.0,
            PumpWarning::SuctionTight => (0.0..NPSH_MARGIN_M).contains(&f.npsh_margin_m),
            PumpWarning::EngineOverloaded => f.engine_load > 1.0,
            PumpWarning::PastEnd => f.past_end,
            PumpWarning::Hunts => f.unstable,
            PumpWarning::BelowBest => f.share_of_best < ALLOWED_RANGE.0,
            PumpWarning::BeyondBest => f.share_of_best > ALLOWED_RANGE.1,
            PumpWarning::FastSuction => f.suction_m_s > HOSE_SPEED_LIMIT_M_S,
            PumpWarning::FastDelivery => f.delivery_m_s > HOSE_SPEED_LIMIT_M_S,
            PumpWarning::FastHose => o.hose.is_some_and(|(_, speed)| speed > HOSE_SPEED_LIMIT_M_S),
            PumpWarning::UnevenBar => o.bar.is_some_and(|(_, weakest, _)| weakest < EVEN_ENOUGH),
            PumpWarning::ShortJet => o.jet.is_some(),
        }
    }

    /// The text with the numbers of a trial; `None` where the plain text says all.
    pub fn text(self, o: &Outside, fed: &[Fed]) -> Option<Phrase> {
        let f = &o.facts;
        let plain = || Phrase::new(self.plain());
        let name = |j: usize| fed.get(j).map_or("an outlet", |x| x.id.as_str());
        let words = match self {
            PumpWarning::NoWater | PumpWarning::PastEnd | PumpWarning::Hunts => return None,
            PumpWarning::DryBranch => Phrase::new(format!("{}: {}", name(o.dry?), self.plain())),
            PumpWarning::Cavitates | PumpWarning::SuctionTight => plain()
                .text(" (in the middle run ")
                .size(f.npsh_available_m, Dimension::Head)
                .text(" of suction head is at hand; the pump asks for ")
                .size(o.site.npsh_required_m, Dimension::Head)
                .text(" and should keep ")
                .size(NPSH_MARGIN_M, Dimension::Head)
                .text(" in hand)"),
            PumpWarning::EngineOverloaded => {
                Phrase::new("the pump asks for more power than the engine gives at this altitude and heat (")
                    .size(f.engine_w, Dimension::Power)
                    .text(" against ")
                    .size(o.site.engine_power_w?, Dimension::Power)
                    .text(" in the middle run): run it slower, throttle, or take a larger engine")
            }
            PumpWarning::BelowBest | PumpWarning::BeyondBest => plain()
                .text(" (in the middle run ")
                .size(f.flow_m3_s, Dimension::Flow)
                .text(", ")
                .share(f.share_of_best)
                .text(" of its best flow)"),
            PumpWarning::FastSuction | PumpWarning::FastDelivery => plain()
                .text(" (")
                .size(
                    if self == PumpWarning::FastSuction { f.suction_m_s } else { f.delivery_m_s },
                    Dimension::Velocity,
                )
                .text(" in the middle run; keep it below ")
                .size(HOSE_SPEED_LIMIT_M_S, Dimension::Velocity)
                .text(")"),
            PumpWarning::FastHose => {
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
            PumpWarning::UnevenBar => {
                let (j, weakest, area) = o.bar?;
                Phrase::new(format!("{}: its weakest hole gets ", name(j)))
                    .share(weakest)
                    .text(" of the strongest; all holes together have ")
                    .share(area)
                    .text(" of the area of the pipe, ")
                    .share(HOLE_TO_BORE_LIMIT)
                    .text(" is the rule: a wider pipe, or fewer or smaller holes")
            }
            PumpWarning::ShortJet => {
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
