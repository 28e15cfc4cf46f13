//! What to warn of: the domain of the model left, or a published minimum missed.
//!
//! Tests are cheap enough for every trial (a [`SluiceWarnings`] is one word of bits); the texts are built once, for the result.

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
pub enum SluiceWarning {
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

impl SluiceWarning {
    /// All warnings, in the order in which to put them right.
    pub const ALL: [SluiceWarning; 16] = [
        SluiceWarning::NoStream,
        SluiceWarning::ShortOfWater,
        SluiceWarning::ThickSlurry,
        SluiceWarning::NearCapacity,
        SluiceWarning::RockUncovered,
        SluiceWarning::NotSwift,
        SluiceWarning::SolidsOutside,
        SluiceWarning::FeedSizeOutside,
        SluiceWarning::RiffleHeightOutside,
        SluiceWarning::SlopeOutside,
        SluiceWarning::FlowOutside,
        SluiceWarning::LengthOutside,
        SluiceWarning::GoldOutside,
        SluiceWarning::OverRatedFeed,
        SluiceWarning::VelocityUnusual,
        SluiceWarning::SlickPlateShort,
    ];

    /// Name in files, kebab-case.
    pub const fn id(self) -> &'static str {
        match self {
            SluiceWarning::NoStream => "sluice-no-stream",
            SluiceWarning::ShortOfWater => "sluice-short-of-water",
            SluiceWarning::ThickSlurry => "sluice-thick-slurry",
            SluiceWarning::NearCapacity => "sluice-near-capacity",
            SluiceWarning::RockUncovered => "sluice-rock-uncovered",
            SluiceWarning::NotSwift => "sluice-not-swift",
            SluiceWarning::SolidsOutside => "sluice-solids-outside-model",
            SluiceWarning::FeedSizeOutside => "sluice-feed-size-outside-model",
            SluiceWarning::RiffleHeightOutside => "sluice-riffle-height-outside-model",
            SluiceWarning::SlopeOutside => "sluice-slope-outside-model",
            SluiceWarning::FlowOutside => "sluice-flow-outside-model",
            SluiceWarning::LengthOutside => "sluice-length-outside-model",
            SluiceWarning::GoldOutside => "sluice-gold-size-outside-model",
            SluiceWarning::OverRatedFeed => "sluice-over-rated-feed",
            SluiceWarning::VelocityUnusual => "sluice-velocity-unusual",
            SluiceWarning::SlickPlateShort => "sluice-slick-plate-short",
        }
    }

    /// How much it matters.
    pub const fn severity(self) -> Severity {
        match self {
            SluiceWarning::NoStream => Severity::Limit,
            SluiceWarning::OverRatedFeed
            | SluiceWarning::VelocityUnusual
            | SluiceWarning::SlickPlateShort
            | SluiceWarning::LengthOutside
            | SluiceWarning::GoldOutside => Severity::Note,
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
            SluiceWarning::NoStream => !runs,
            SluiceWarning::ShortOfWater => {
                runs && below(state.flow_per_width_m2_s, minimum_flow_m2_s(g.riffle_height_m))
            }
            SluiceWarning::ThickSlurry => above(s.solids_by_volume, MOST_SOLIDS_BY_VOLUME),
            SluiceWarning::NearCapacity => runs && below(c.packing_scale * state.transport_ratio, 1.0),
            SluiceWarning::RockUncovered => runs && below(state.depth_m, cover_depth_m(c.cover_ratio, s.d_max_m)),
            SluiceWarning::NotSwift => runs && state.froude <= 1.0,
            SluiceWarning::SolidsOutside => above(s.solids_by_volume, SOLIDS_RANGE),
            SluiceWarning::FeedSizeOutside => s.solids_by_volume > 0.0 && outside(s.d_max_m, FEED_TOP_SIZE_M),
            SluiceWarning::RiffleHeightOutside => past(g.riffle_height_m, range.height_m),
            SluiceWarning::SlopeOutside => outside(g.slope, SLOPE_RANGE),
            SluiceWarning::FlowOutside => runs && outside(state.flow_per_width_m2_s, FLOW_RANGE_M2_S),
            SluiceWarning::LengthOutside => outside(g.length_m, LENGTH_RANGE_M),
            SluiceWarning::GoldOutside => f.gold_outside_share > GOLD_OUTSIDE_LIMIT,
            SluiceWarning::OverRatedFeed => {
                range.rated_solids_m2_s.is_some_and(|rated| above(state.solids_per_width_m2_s, rated))
            }
            SluiceWarning::VelocityUnusual => runs && past(state.velocity_m_s, range.velocity_m_s),
            SluiceWarning::SlickPlateShort => below(g.slick_plate_m, SLICK_PLATE_M),
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
            SluiceWarning::NoStream => {
                "no water runs through the sluice (no flow, no slope or no riffles): it catches nothing".into()
            }
            SluiceWarning::ShortOfWater => slurry(Phrase::new("short of water: "))
                .text(" of slurry over the width of the box, the published minimum at riffles of ")
                .length(g.riffle_height_m)
                .text(" is ")
                .size(minimum_flow_m2_s(g.riffle_height_m), Dimension::FlowPerWidth)
                .text("; give it more water or make the box narrower before anything else"),
            SluiceWarning::ThickSlurry => Phrase::new("thick slurry: ")
                .share(s.solids_by_volume)
                .text(" solids by volume, the published limit is ")
                .share(MOST_SOLIDS_BY_VOLUME)
                .text("; more water or less gravel"),
            SluiceWarning::NearCapacity => Phrase::new("the gravel is more than the stream carries (")
                .number(state.transport_ratio, 2)
                .text(" of the feed): the riffles pack; more slope, more water or less gravel"),
            SluiceWarning::RockUncovered => Phrase::new("the stream is ")
                .length(state.depth_m)
                .text(" deep and the largest rock ")
                .length(s.d_max_m)
                .text(": it should be about ")
                .length(cover_depth_m(c.cover_ratio, s.d_max_m))
                .text(" deep, or the holes smaller"),
            SluiceWarning::NotSwift => Phrase::new("the stream is slower than its own waves (Froude number ")
                .number(state.froude, 2)
                .text("): it may back up and stop scouring the riffles clean"),
            SluiceWarning::SolidsOutside => Phrase::none()
                .share(s.solids_by_volume)
                .text(" solids by volume is past the ")
                .share(SOLIDS_RANGE)
                .text(" up to which the sluice model is meant"),
            SluiceWarning::FeedSizeOutside => known(
                Phrase::new("rock of ").length(s.d_max_m).text(" in the sluice: the model knows feeds screened at "),
                FEED_TOP_SIZE_M,
                Dimension::Length,
            )
            .text("; above, take it for ranking only"),
            SluiceWarning::RiffleHeightOutside => known(
                Phrase::new(format!("{riffle} of ")).length(g.riffle_height_m).text(": the model knows "),
                range.height_m.unwrap_or(unknown),
                Dimension::Length,
            ),
            SluiceWarning::SlopeOutside => known(
                Phrase::new("slope ").size(g.slope, Dimension::Slope).text(": the model knows "),
                SLOPE_RANGE,
                Dimension::Slope,
            ),
            SluiceWarning::FlowOutside => known(
                slurry(Phrase::none()).text(" of slurry over the width of the box: the model knows "),
                FLOW_RANGE_M2_S,
                Dimension::FlowPerWidth,
            ),
            SluiceWarning::LengthOutside => known(
                Phrase::of(g.length_m, Dimension::Length).text(" of riffles: the model knows "),
                LENGTH_RANGE_M,
                Dimension::Length,
            ),
            SluiceWarning::GoldOutside => Phrase::none()
                .share(f.gold_outside_share)
                .text(" of the gold is finer than ")
                .size(GOLD_RANGE_M.0, Dimension::SieveSize)
                .text(" or coarser than ")
                .size(GOLD_RANGE_M.1, Dimension::SieveSize)
                .text(", where the sluice model is not tested"),
            SluiceWarning::OverRatedFeed => Phrase::none()
                .size(state.solids_per_width_m2_s, Dimension::FlowPerWidth)
                .text(format!(" of solids by volume over the width of the box; the rated feed over {riffle} is "))
                .size(range.rated_solids_m2_s.unwrap_or(f64::NAN), Dimension::FlowPerWidth),
            SluiceWarning::VelocityUnusual => known(
                Phrase::new("the slurry runs at ").size(state.velocity_m_s, Dimension::Velocity).text("; "),
                range.velocity_m_s.unwrap_or(unknown),
                Dimension::Velocity,
            )
            .text(format!(" is usual over {riffle}")),
            SluiceWarning::SlickPlateShort => Phrase::of(g.slick_plate_m, Dimension::Length)
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

/// A set of warnings in one word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct SluiceWarnings(u32);

impl SluiceWarnings {
    /// All warnings that hold over a kind of riffle.
    pub fn of(facts: &Facts, riffle: &RiffleKind) -> SluiceWarnings {
        let mut bits = 0;
        for (i, warning) in SluiceWarning::ALL.into_iter().enumerate() {
            bits |= u32::from(warning.holds(facts, riffle)) << i;
        }
        SluiceWarnings(bits)
    }

    /// Whether a warning is in the set.
    pub fn contains(self, warning: SluiceWarning) -> bool {
        self.iter().any(|c| c == warning)
    }

    /// Whether nothing is to be said.
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// The warnings in the set, first the one to put right first.
    pub fn iter(self) -> impl Iterator<Item = SluiceWarning> {
        SluiceWarning::ALL.into_iter().enumerate().filter(move |(i, _)| self.0 >> i & 1 == 1).map(|(_, c)| c)
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
        let set = SluiceWarnings::of(&facts(EXPANDED_METAL), &RIFFLES[0]);
        assert!(set.is_empty(), "{:?}", set.iter().map(SluiceWarning::id).collect::<Vec<_>>());
    }

    #[test]
    fn identity_design_sweep_minimum_is_not_called_short_of_water() {
        let mut case = EXPANDED_METAL;
        case.slurry.flow_m3_s = 0.0387;
        assert!(!SluiceWarnings::of(&facts(case), &RIFFLES[0]).contains(SluiceWarning::ShortOfWater));
        case.slurry.flow_m3_s = 0.030;
        let set = SluiceWarnings::of(&facts(case), &RIFFLES[0]);
        assert!(set.contains(SluiceWarning::ShortOfWater));
        assert_eq!(set.iter().next(), Some(SluiceWarning::ShortOfWater));
    }

    #[test]
    fn property_every_warning_has_its_own_id_and_words() {
        let mut dry = EXPANDED_METAL;
        dry.slurry.flow_m3_s = 0.0;
        for case in [EXPANDED_METAL, dry] {
            let f = facts(case);
            for (i, warning) in SluiceWarning::ALL.into_iter().enumerate() {
                assert!(warning.text(&f, &RIFFLES[0]).say(UnitChoice::Us).len() > 20);
                assert!(SluiceWarning::ALL.into_iter().skip(i + 1).all(|c| c.id() != warning.id()));
            }
        }
        assert!(SluiceWarnings::of(&facts(dry), &RIFFLES[0]).contains(SluiceWarning::NoStream));
    }
}
