//! The measures and warnings of a drum, and their numbers.

use sim_core::drum::Fineness;
use sim_core::drum::lifters::HIGH_SHARE;
use sim_core::quantity::{Dimension as D, Phrase};
use sim_core::stage::{SectionPlan, Severity, StageBuilder};

/// Added water per dry mass below which clay may ball up, m3/kg. Common practice, no source.
pub(crate) const LEAST_WATER_M3_KG: f64 = 0.5e-3;

/// Numbers of the measures and warnings.
pub(crate) struct Numbers {
    pub(crate) sections: Vec<SectionNumbers>,
    pub(crate) feed_depth: usize,
    pub(crate) exit_depth: usize,
    pub(crate) feed_fill: usize,
    pub(crate) froude: usize,
    pub(crate) of_critical: usize,
    pub(crate) torque: usize,
    pub(crate) power: usize,
    pub(crate) energy: usize,
    pub(crate) relief: usize,
    pub(crate) efficiency: usize,
    pub(crate) drain: usize,
    pub(crate) clay_left: usize,
    pub(crate) oversize: usize,
    pub(crate) fines_left: usize,
    pub(crate) capacity: usize,
    pub(crate) spilled: usize,
    pub(crate) wash: usize,
    pub(crate) wash_at_hand: usize,
    pub(crate) wash_by_feed: usize,
    pub(crate) wash_by_fines: usize,
    pub(crate) slurry: usize,
    pub(crate) slurry_by_feed: usize,
    pub(crate) slurry_at_hand: usize,
    /// Speed at which lifted stones land, and the power of those that miss the bed; only with lifters.
    pub(crate) lifters: Option<(usize, usize)>,
    pub(crate) profile: Vec<usize>,
    pub(crate) overload: usize,
    pub(crate) spill: usize,
    pub(crate) fast: usize,
    pub(crate) slow: usize,
    pub(crate) slips: usize,
    pub(crate) dry: usize,
    pub(crate) balls: usize,
    pub(crate) overrun: usize,
    /// Warnings that stand with the build, whatever the trial: raised always.
    pub(crate) standing: Vec<usize>,
}

/// Numbers of one section.
pub(crate) struct SectionNumbers {
    pub(crate) time: usize,
    /// Blinded share, mean and at the end; sections with holes.
    pub(crate) blinded: Option<(usize, usize)>,
    /// Time of the slurry and level of its pool; closed sections ahead of the first holes.
    pub(crate) pool: Option<(usize, usize)>,
    /// Share of the gold still in the drum that a trap holds.
    pub(crate) held: Option<usize>,
}

impl Numbers {
    /// Declares them all.
    pub(crate) fn declare(b: &mut StageBuilder<'_>, names: &[String], plans: &[Box<dyn SectionPlan>]) -> Self {
        let mut holes_passed = false;
        let mut sections = Vec::new();
        for (name, plan) in names.iter().zip(plans) {
            holes_passed |= plan.holes().is_some();
            sections.push(SectionNumbers::declare(b, name, plan.as_ref(), holes_passed));
        }
        let diameter_m = b.settings.number("diameter");
        let mut standing: Vec<usize> = Vec::new();
        for plan in plans {
            if let Some((id, text)) = plan.standing_caution() {
                standing.push(b.warning(id, Severity::Caution, text));
            }
        }
        let heights = || plans.iter().filter_map(|p| p.new_laws().lifters()).map(|l| l.height_m);
        if heights().any(|h| h > HIGH_SHARE * diameter_m) {
            standing.push(b.warning(
                "drum-high-lifters",
                Severity::Caution,
                "high lifters let the rock beat the barrel (common practice, no source): expect worn plate, loose bolts and \
                 noise; wear ear protection",
            ));
        }
        let lifters = heights().next().is_some().then(|| {
            (
                b.measure(
                    "lifted_landing_speed",
                    D::Velocity,
                    "speed at which stones dropped by lifters land, at most",
                ),
                b.measure("shell_beating", D::Power, "power of dropped stones that miss the bed and beat the shell"),
            )
        });
        let profile = profile(b, plans);
        Numbers {
            sections,
            feed_depth: b.measure("bed_depth_feed_end", D::Length, "depth of the bed at the feed end"),
            exit_depth: b.measure("bed_depth_discharge", D::Length, "depth of the bed at the discharge"),
            feed_fill: b.measure("mean_fill", D::Fraction, "share of the drum that the bed fills, on average"),
            of_critical: b.measure("share_of_critical_speed", D::Fraction, "speed over the speed at which the bed would ride round"),
            froude: b.measure("froude", D::Number, "Froude number of the drum: 0.003 to 0.1 cascades, 0.1 to 1 throws, 1 rides round"),
            torque: b.measure("bed_torque", D::Torque, "torque of the bed and of lifting, without bearings"),
            power: b.measure("bed_power", D::Power, "power that the bed takes up"),
            energy: b.measure("energy_per_mass", D::EnergyPerMass, "energy into the dry feed"),
            relief: b.measure("pool_relief", D::Torque, "torque that slurry standing in the bed takes off"),
            efficiency: b.measure("screen_efficiency", D::Fraction, "undersize that passes, by the nominal hole"),
            drain: b.measure("drain_length", D::Length, "clear screen that drains the water"),
            clay_left: b.measure("clay_left_in_lumps", D::Fraction, "share of the clay lumps not broken up at the end of the drum"),
            oversize: b.measure("oversize_share", D::Fraction, "share of the dry feed that goes over the end"),
            fines_left: b.measure("fines_on_oversize", D::MassRate, "fines that stay on the washed rock"),
            capacity: b.measure("capacity_over_feed", D::Number, "largest feed that the drum carries over the mean feed"),
            spilled: b.measure("spilled_share", D::Fraction, "share of the feed that spills at the feed end"),
            wash: b.water_need("wash", "water for wet screening and for washing the fines"),
            wash_at_hand: b.water_at_hand("wash", "water added ahead of the end of the screen"),
            wash_by_feed: b.water_rule("wash", "need_by_feed", "wash water for the feed"),
            wash_by_fines: b.water_rule("wash", "need_by_fines", "wash water for the fines below 75 um"),
            slurry: b.water_need("slurry", "water at the feed end of the drum for the charge to run as a slurry"),
            slurry_by_feed: b.water_rule("slurry", "need_for_slurry", "the charge runs as a slurry and clay does not ball"),
            slurry_at_hand: b.water_at_hand("slurry", "water that comes with the feed of the drum and onto its first section"),
            lifters,
            profile,
            overload: b.warning("drum-overloaded", Severity::Limit, "the drum cannot carry this feed at its slope and speed: feed less, turn faster, tilt more, lower the rings or build it wider"),
            spill: b.warning("drum-spills", Severity::Limit, "more than 1 % of the feed spills back at the feed end: feed less, turn faster, tilt more or lower the rings"),
            fast: b.warning("drum-fast", Severity::Caution, "the drum turns above 60 % of critical speed: the bed begins to ride with the shell and screens worse"),
            slow: b.warning("drum-slow", Severity::Caution, "the drum turns so slowly that the bed slumps in heaps instead of tumbling: the model of its motion no longer holds"),
            slips: b.warning("drum-slips", Severity::Caution, "on smooth steel the bed may slip instead of tumbling: weld bars on the shell or line it with ribbed rubber"),
            dry: b.warning("drum-dry", Severity::Caution, Phrase::new("less added water reaches the drum than ").size(LEAST_WATER_M3_KG, D::WaterPerMass).text(" of dry feed: clay may ball up instead of breaking")),
            balls: b.warning("clay-balls", Severity::Caution, "sticky clay in a slow drum may roll into balls that pick up gold on their way: turn faster, fit bars or lifters, add water at the feed, or thaw and stack the ground over a winter first"),
            overrun: b.warning("screen-overrun", Severity::Caution, "the screen is too short or too plugged to drain the water: some runs over the end with the rock, and takes fine gold along, which is not booked here"),
            standing,
        }
    }
}

impl SectionNumbers {
    fn declare(b: &mut StageBuilder<'_>, name: &str, plan: &dyn SectionPlan, holes_passed: bool) -> Self {
        let key = name.replace('-', "_");
        let time = b.measure(format!("{key}_residence"), D::Time, format!("time that the rock spends in the {name}"));
        let blinded = plan.holes().map(|_| {
            (
                b.measure(
                    format!("{key}_blinded"),
                    D::Fraction,
                    format!("share of the holes of the {name} plugged by stones, on average"),
                ),
                b.measure(
                    format!("{key}_blinded_at_cleaning"),
                    D::Fraction,
                    format!("share of the holes of the {name} plugged just before they are cleaned"),
                ),
            )
        });
        let pool = (!holes_passed).then(|| {
            (
                b.measure(format!("{key}_slurry_time"), D::Time, format!("time that the water spends in the {name}")),
                b.measure(
                    format!("{key}_pool_level"),
                    D::Length,
                    format!("water level over the shell at the end of the {name}"),
                ),
            )
        });
        let held = plan.catches().then(|| {
            b.measure(
                format!("{key}_held"),
                D::Fraction,
                format!("share of the gold coming into the {name} that it holds (assumed capture)"),
            )
        });
        SectionNumbers { time, blinded, pool, held }
    }
}

/// Points of the profile of depth, at the nodes of the march.
fn profile(b: &mut StageBuilder<'_>, plans: &[Box<dyn SectionPlan>]) -> Vec<usize> {
    let cells = Fineness::FAST.cells_per_section;
    let mut points = Vec::new();
    let mut start = 0.0;
    for plan in plans {
        let length = plan.new_laws().length_m();
        for k in 0..=cells {
            points.push(b.profile_point("bed_depth", start + length * k as f64 / cells as f64, D::Length));
        }
        start += length;
    }
    points
}
