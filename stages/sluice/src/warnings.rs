//! What to warn of: the domain of the model left, or a published minimum missed.
//!
//! Tests are cheap enough for every trial (a [`Concerns`] is one word of bits); the texts are built once, for the result.

use sim_core::quantity::{Dimension, Phrase};
use sim_core::stage::Severity;

use crate::capture::{BoxGeometry, HydraulicState, SlurryState};
use crate::constants::Constants;
use crate::cover::cover_depth_m;
use crate::guards::minimum_flow_m2_s;
use crate::practice::{MOST_SOLIDS_BY_VOLUME, SLICK_PLATE_M};
use crate::riffles::RiffleKind;

/// Everything that the tests and the texts look at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Facts {
    /// The box.
    pub geometry: BoxGeometry,
    /// The slurry at the mean load.
    pub slurry: SlurryState,
    /// The constants in force.
    pub constants: Constants,
    /// The stream at the mean load.
    pub state: HydraulicState,
    /// Share of the gold fed that is outside 75 um to 2 mm [-].
    pub gold_outside_share: f64,
}

/// A reason to warn. In the order in which to put them right: short of water comes before all else, because more gravel
/// (better screening, more feed) on too little water loses gold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Concern {
    /// No water, no slope or no riffles.
    NoStream,
    /// Less slurry per width than the published minimum.
    ShortOfWater,
    /// More solids by volume than the published limit.
    ThickSlurry,
    /// Gravel feed near what the stream can carry.
    NearCapacity,
    /// The stream does not cover the largest rock.
    RockUncovered,
    /// Slower than its own waves: a hydraulic jump or a pond over the riffles.
    NotSwift,
    /// Solids above the range of the model.
    SolidsOutside,
    /// Top size of the feed outside the range of the model.
    FeedSizeOutside,
    /// Riffle height outside the range of the model.
    RiffleHeightOutside,
    /// Slope outside the range of the model.
    SlopeOutside,
    /// Flow per width outside the range of the model.
    FlowOutside,
    /// Length outside the range of the model.
    LengthOutside,
    /// Much gold outside the sizes of the model.
    GoldOutside,
    /// More gravel than the published rated feed.
    OverRatedFeed,
    /// Velocity outside the published practice.
    VelocityUnusual,
    /// Slick plate shorter than in practice.
    SlickPlateShort,
}

/// How far a value may lie past a limit before it is called past [-]: published limits are round numbers, and a box set
/// to 24 mm depth by the design sweep runs 38.7 L/s per m against a minimum of 40.
pub const TOLERANCE: f64 = 0.05;
/// Share of the gold outside the sizes of the model from which it is worth a word [-]. Assumed.
pub const GOLD_OUTSIDE_LIMIT: f64 = 0.10;

/// Top sizes of the feed that the model knows (m).
pub const FEED_TOP_SIZE_M: (f64, f64) = (0.006, 0.040);
/// Slopes that the model knows [-].
pub const SLOPE_RANGE: (f64, f64) = (0.08, 0.27);
/// Flows per width that the model knows [m2/s].
pub const FLOW_RANGE_M2_S: (f64, f64) = (0.015, 0.12);
/// Solids by volume up to which the model is meant [-].
pub const SOLIDS_RANGE: f64 = 0.15;
/// Riffled lengths that the model knows (m).
pub const LENGTH_RANGE_M: (f64, f64) = (1.2, 12.0);
/// Sieve sizes of gold that the model knows (m); below it extrapolates.
pub const GOLD_RANGE_M: (f64, f64) = (75.0e-6, 2.0e-3);

fn below(value: f64, limit: f64) -> bool {
    value < limit * (1.0 - TOLERANCE)
}

fn above(value: f64, limit: f64) -> bool {
    value > limit * (1.0 + TOLERANCE)
}

fn outside(value: f64, (low, high): (f64, f64)) -> bool {
    below(value, low) || above(value, high)
}

impl Concern {
    /// All concerns, in the order in which to put them right.
    pub const ALL: [Concern; 16] = [
        Concern::NoStream,
        Concern::ShortOfWater,
        Concern::ThickSlurry,
        Concern::NearCapacity,
        Concern::RockUncovered,
        Concern::NotSwift,
        Concern::SolidsOutside,
        Concern::FeedSizeOutside,
        Concern::RiffleHeightOutside,
        Concern::SlopeOutside,
        Concern::FlowOutside,
        Concern::LengthOutside,
        Concern::GoldOutside,
        Concern::OverRatedFeed,
        Concern::VelocityUnusual,
        Concern::SlickPlateShort,
    ];

    /// Name in files, kebab-case.
    pub const fn id(self) -> &'static str {
        match self {
            Concern::NoStream => "sluice-no-stream",
            Concern::ShortOfWater => "sluice-short-of-water",
            Concern::ThickSlurry => "sluice-thick-slurry",
            Concern::NearCapacity => "sluice-near-capacity",
            Concern::RockUncovered => "sluice-rock-uncovered",
            Concern::NotSwift => "sluice-not-swift",
            Concern::SolidsOutside => "sluice-solids-outside-model",
            Concern::FeedSizeOutside => "sluice-feed-size-outside-model",
            Concern::RiffleHeightOutside => "sluice-riffle-height-outside-model",
            Concern::SlopeOutside => "sluice-slope-outside-model",
            Concern::FlowOutside => "sluice-flow-outside-model",
            Concern::LengthOutside => "sluice-length-outside-model",
            Concern::GoldOutside => "sluice-gold-size-outside-model",
            Concern::OverRatedFeed => "sluice-over-rated-feed",
            Concern::VelocityUnusual => "sluice-velocity-unusual",
            Concern::SlickPlateShort => "sluice-slick-plate-short",
        }
    }

    /// How much it matters.
    pub const fn severity(self) -> Severity {
        match self {
            Concern::NoStream => Severity::Limit,
            Concern::OverRatedFeed
            | Concern::VelocityUnusual
            | Concern::SlickPlateShort
            | Concern::LengthOutside
            | Concern::GoldOutside => Severity::Note,
            _ => Severity::Caution,
        }
    }

    /// Whether it holds over a kind of riffle. Where nothing is published for the kind, nothing is unusual.
    pub fn holds(self, f: &Facts, riffle: &RiffleKind) -> bool {
        let (g, s, c, state) = (&f.geometry, &f.slurry, &f.constants, &f.state);
        let range = &riffle.ranges;
        let past = |value: f64, range: Option<(f64, f64)>| range.is_some_and(|r| outside(value, r));
        let runs = state.depth_m > 0.0;
        match self {
            Concern::NoStream => !runs,
            Concern::ShortOfWater => runs && below(state.flow_per_width_m2_s, minimum_flow_m2_s(g.riffle_height_m)),
            Concern::ThickSlurry => above(s.solids_by_volume, MOST_SOLIDS_BY_VOLUME),
            Concern::NearCapacity => runs && below(c.packing_scale * state.transport_ratio, 1.0),
            Concern::RockUncovered => runs && below(state.depth_m, cover_depth_m(c.cover_ratio, s.d_max_m)),
            Concern::NotSwift => runs && state.froude <= 1.0,
            Concern::SolidsOutside => above(s.solids_by_volume, SOLIDS_RANGE),
            Concern::FeedSizeOutside => s.solids_by_volume > 0.0 && outside(s.d_max_m, FEED_TOP_SIZE_M),
            Concern::RiffleHeightOutside => past(g.riffle_height_m, range.height_m),
            Concern::SlopeOutside => outside(g.slope, SLOPE_RANGE),
            Concern::FlowOutside => runs && outside(state.flow_per_width_m2_s, FLOW_RANGE_M2_S),
            Concern::LengthOutside => outside(g.length_m, LENGTH_RANGE_M),
            Concern::GoldOutside => f.gold_outside_share > GOLD_OUTSIDE_LIMIT,
            Concern::OverRatedFeed => {
                range.rated_solids_m2_s.is_some_and(|rated| above(state.solids_per_width_m2_s, rated))
            }
            Concern::VelocityUnusual => runs && past(state.velocity_m_s, range.velocity_m_s),
            Concern::SlickPlateShort => below(g.slick_plate_m, SLICK_PLATE_M),
        }
    }

    /// Plain words with the numbers.
    pub fn text(self, f: &Facts, kind: &RiffleKind) -> Phrase {
        let (g, s, c, state) = (&f.geometry, &f.slurry, &f.constants, &f.state);
        // What is not published is never past its range, and so never asked for.
        let unknown = (f64::NAN, f64::NAN);
        let (range, riffle) = (&kind.ranges, kind.said.as_ref());
        let slurry = |words: Phrase| words.size(state.flow_per_width_m2_s, Dimension::FlowPerWidth);
        match self {
            Concern::NoStream => {
                "no water runs through the sluice (no flow, no slope or no riffles): it catches nothing".into()
            }
            Concern::ShortOfWater => slurry(Phrase::new("short of water: "))
                .text(" of slurry over the width of the box, the published minimum at riffles of ")
                .length(g.riffle_height_m)
                .text(" is ")
                .size(minimum_flow_m2_s(g.riffle_height_m), Dimension::FlowPerWidth)
                .text("; give it more water or make the box narrower before anything else"),
            Concern::ThickSlurry => Phrase::new("thick slurry: ")
                .share(s.solids_by_volume)
                .text(" solids by volume, the published limit is ")
                .share(MOST_SOLIDS_BY_VOLUME)
                .text("; more water or less gravel"),
            Concern::NearCapacity => Phrase::new("the gravel is more than the stream carries (")
                .number(state.transport_ratio, 2)
                .text(" of the feed): the riffles pack; more slope, more water or less gravel"),
            Concern::RockUncovered => Phrase::new("the stream is ")
                .length(state.depth_m)
                .text(" deep and the largest rock ")
                .length(s.d_max_m)
                .text(": it should be about ")
                .length(cover_depth_m(c.cover_ratio, s.d_max_m))
                .text(" deep, or the holes smaller"),
            Concern::NotSwift => Phrase::new("the stream is slower than its own waves (Froude number ")
                .number(state.froude, 2)
                .text("): it may back up and stop scouring the riffles clean"),
            Concern::SolidsOutside => Phrase::none()
                .share(s.solids_by_volume)
                .text(" solids by volume is past the ")
                .share(SOLIDS_RANGE)
                .text(" up to which the sluice model is meant"),
            Concern::FeedSizeOutside => known(
                Phrase::new("rock of ").length(s.d_max_m).text(" in the sluice: the model knows feeds screened at "),
                FEED_TOP_SIZE_M,
                Dimension::Length,
            )
            .text("; above, take it for ranking only"),
            Concern::RiffleHeightOutside => known(
                Phrase::new(format!("{riffle} of ")).length(g.riffle_height_m).text(": the model knows "),
                range.height_m.unwrap_or(unknown),
                Dimension::Length,
            ),
            Concern::SlopeOutside => known(
                Phrase::new("slope ").size(g.slope, Dimension::Slope).text(": the model knows "),
                SLOPE_RANGE,
                Dimension::Slope,
            ),
            Concern::FlowOutside => known(
                slurry(Phrase::none()).text(" of slurry over the width of the box: the model knows "),
                FLOW_RANGE_M2_S,
                Dimension::FlowPerWidth,
            ),
            Concern::LengthOutside => known(
                Phrase::of(g.length_m, Dimension::Length).text(" of riffles: the model knows "),
                LENGTH_RANGE_M,
                Dimension::Length,
            ),
            Concern::GoldOutside => Phrase::none()
                .share(f.gold_outside_share)
                .text(" of the gold is finer than ")
                .size(GOLD_RANGE_M.0, Dimension::SieveSize)
                .text(" or coarser than ")
                .size(GOLD_RANGE_M.1, Dimension::SieveSize)
                .text(", where the sluice model is not tested"),
            Concern::OverRatedFeed => Phrase::none()
                .size(state.solids_per_width_m2_s, Dimension::FlowPerWidth)
                .text(format!(" of solids by volume over the width of the box; the rated feed over {riffle} is "))
                .size(range.rated_solids_m2_s.unwrap_or(f64::NAN), Dimension::FlowPerWidth),
            Concern::VelocityUnusual => known(
                Phrase::new("the slurry runs at ").size(state.velocity_m_s, Dimension::Velocity).text("; "),
                range.velocity_m_s.unwrap_or(unknown),
                Dimension::Velocity,
            )
            .text(format!(" is usual over {riffle}")),
            Concern::SlickPlateShort => Phrase::of(g.slick_plate_m, Dimension::Length)
                .text(" of slick plate ahead of the riffles; about ")
                .length(SLICK_PLATE_M)
                .text(" is usual, for the gold to come down"),
        }
    }
}

/// Words, then a range.
fn known(words: Phrase, (low, high): (f64, f64), dimension: Dimension) -> Phrase {
    words.size(low, dimension).text(" to ").size(high, dimension)
}

/// A set of concerns in one word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Concerns(u32);

impl Concerns {
    /// All concerns that hold over a kind of riffle.
    pub fn of(facts: &Facts, riffle: &RiffleKind) -> Concerns {
        let mut bits = 0;
        for (i, concern) in Concern::ALL.into_iter().enumerate() {
            bits |= u32::from(concern.holds(facts, riffle)) << i;
        }
        Concerns(bits)
    }

    /// Whether a concern is in the set.
    pub fn contains(self, concern: Concern) -> bool {
        self.iter().any(|c| c == concern)
    }

    /// Whether nothing is to be said.
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// The concerns in the set, first the one to put right first.
    pub fn iter(self) -> impl Iterator<Item = Concern> {
        Concern::ALL.into_iter().enumerate().filter(move |(i, _)| self.0 >> i & 1 == 1).map(|(_, c)| c)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::quantity::UnitChoice;

    use crate::capture::{Fate, capture};
    use crate::reference::{Case, EXPANDED_METAL};
    use crate::riffles::RIFFLES;

    fn facts(case: Case) -> Facts {
        let constants = Constants::plant_wide();
        let state = capture(&case.geometry, &case.slurry, &constants, &[], &mut [] as &mut [Fate]);
        Facts { geometry: case.geometry, slurry: case.slurry, constants, state, gold_outside_share: 0.0 }
    }

    #[test]
    fn identity_reference_case_is_within_the_published_limits() {
        let set = Concerns::of(&facts(EXPANDED_METAL), &RIFFLES[0]);
        assert!(set.is_empty(), "{:?}", set.iter().map(Concern::id).collect::<Vec<_>>());
    }

    #[test]
    fn identity_design_sweep_minimum_is_not_called_short_of_water() {
        let mut case = EXPANDED_METAL;
        case.slurry.flow_m3_s = 0.0387;
        assert!(!Concerns::of(&facts(case), &RIFFLES[0]).contains(Concern::ShortOfWater));
        case.slurry.flow_m3_s = 0.030;
        let set = Concerns::of(&facts(case), &RIFFLES[0]);
        assert!(set.contains(Concern::ShortOfWater));
        assert_eq!(set.iter().next(), Some(Concern::ShortOfWater));
    }

    #[test]
    fn property_every_concern_has_its_own_id_and_words() {
        let mut dry = EXPANDED_METAL;
        dry.slurry.flow_m3_s = 0.0;
        for case in [EXPANDED_METAL, dry] {
            let f = facts(case);
            for (i, concern) in Concern::ALL.into_iter().enumerate() {
                assert!(concern.text(&f, &RIFFLES[0]).say(UnitChoice::Us).len() > 20);
                assert!(Concern::ALL.into_iter().skip(i + 1).all(|c| c.id() != concern.id()));
            }
        }
        assert!(Concerns::of(&facts(dry), &RIFFLES[0]).contains(Concern::NoStream));
    }
}
