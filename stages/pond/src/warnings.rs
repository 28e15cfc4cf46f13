//! What to warn of, in words.

use sim_core::constants::{S_PER_DAY, S_PER_H};
use sim_core::quantity::{Dimension, Phrase};
use sim_core::stage::Severity;

use crate::cut::Lasting;

/// Time of flow that a pond should hold, s: 110 % of 6.5 h. Source: Montana DEQ 2016 (seen).
const HOLDING_S: f64 = 1.1 * 6.5 * S_PER_H;

/// Everything that the warnings look at.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Facts {
    pub closes: bool,
    pub lasting: Lasting,
    pub cut_s: f64,
    pub holding_s: f64,
    /// Settleable solids by volume.
    pub settleable: f64,
    pub lets_out: bool,
    pub over_limit: bool,
    pub thick: bool,
    pub thickness: f64,
    pub returned_kg_m3: f64,
}

/// A reason to warn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum PondWarning {
    /// The fines come to no balance.
    NeverClears,
    /// The water does not last the cut.
    RunsDry,
    /// The mud fills the pond before the cut ends.
    FullOfMud,
    /// The water that comes back is thick.
    Thick,
    /// The pond holds its inflow for too short a time.
    TooShort,
    /// What is let out is dirtier than the example limit.
    DirtyDischarge,
    /// Dams, licences.
    DamAndLicence,
}

impl PondWarning {
    /// All, in the order of the flags.
    pub const ALL: [PondWarning; 7] = [
        PondWarning::NeverClears,
        PondWarning::RunsDry,
        PondWarning::FullOfMud,
        PondWarning::Thick,
        PondWarning::TooShort,
        PondWarning::DirtyDischarge,
        PondWarning::DamAndLicence,
    ];

    /// Name in files.
    pub const fn id(self) -> &'static str {
        match self {
            PondWarning::NeverClears => "pond-water-never-clears",
            PondWarning::RunsDry => "pond-runs-dry",
            PondWarning::FullOfMud => "pond-full-of-mud",
            PondWarning::Thick => "pond-water-thick",
            PondWarning::TooShort => "pond-holds-too-short",
            PondWarning::DirtyDischarge => "pond-discharge-dirty",
            PondWarning::DamAndLicence => "pond-dam-and-licence",
        }
    }

    /// How bad it is.
    pub const fn severity(self) -> Severity {
        match self {
            PondWarning::NeverClears | PondWarning::RunsDry | PondWarning::FullOfMud => Severity::Limit,
            PondWarning::DamAndLicence => Severity::Note,
            _ => Severity::Caution,
        }
    }

    /// Whether it holds in a trial.
    pub fn is_raised(self, f: &Facts) -> bool {
        match self {
            PondWarning::NeverClears => !f.closes,
            PondWarning::RunsDry => f.lasting.water_s < f.cut_s,
            PondWarning::FullOfMud => f.lasting.mud_s < f.cut_s,
            PondWarning::Thick => f.thick,
            PondWarning::TooShort => f.holding_s < HOLDING_S,
            PondWarning::DirtyDischarge => f.lets_out && f.over_limit,
            PondWarning::DamAndLicence => true,
        }
    }

    /// Plain words with the numbers of a trial.
    pub fn text(self, f: &Facts) -> Phrase {
        let cut = || whole_days(f.cut_s);
        let after = |words: Phrase, s: f64| {
            if s < f.cut_s { words.text("after ").time(whole_days(s)) } else { words.text("only after its end") }
        };
        match self {
            PondWarning::NeverClears => {
                "the pond's water never clears: clay comes in faster than it settles or leaves, and the water thickens until it \
                 no longer washes. Let some out for good (bleed), take more fresh water, make the clay clump, or wash less of it; time a \
                 jar of your water first"
                    .into()
            }
            PondWarning::RunsDry => {
                let start = Phrase::new("the pond runs out of water before the cut of ").time(cut());
                after(start.text(" is over, in the middle case "), f.lasting.water_s).text(
                    ". Take more fresh water if your licence allows it, hold a fuller pond, seal its bed or drain the tailings better",
                )
            }
            PondWarning::FullOfMud => {
                let start = Phrase::new("mud fills the pond to its working depth before the cut of ").time(cut());
                after(start.text(" is over, in the middle case "), f.lasting.mud_s)
                    .text(". Dig it out in time, or dig a second pond")
            }
            PondWarning::Thick => Phrase::new("the water that comes back is thick with fines (in the middle case ")
                .size(f.returned_kg_m3, Dimension::Density)
                .text(", ")
                .number(f.thickness, 2)
                .text(
                    " times as thick as clean water): fine gold settles slower in it. A larger pond, a bleed or more fresh water helps",
                ),
            PondWarning::TooShort => Phrase::new("the pond holds the plant's water for ")
                .time(f.holding_s)
                .text(" in the middle case; Montana's guide for small placer ponds (DEQ 2016) asks for ")
                .time(HOLDING_S)
                .text(", so that fine silt has time to settle"),
            // Read off a cone in mL/L in all countries.
            PondWarning::DirtyDischarge => Phrase::new("water that leaves the pond for good carries ")
                .number(1e3 * f.settleable, 1)
                .text(
                    " mL/L of settleable solids in the middle case; as an example, 40 CFR 440.142 allows US placer mines 0.2 mL/L at any \
                     moment. Your own authority sets what you may let out, and whether at all",
                ),
            PondWarning::DamAndLicence => {
                "a pond bank or dam that gives way can kill people downstream: have dams and spillways laid out and checked by a licensed \
                 engineer, keep people and camps out of the way of the water, and leave freeboard for the worst rain. Taking, holding \
                 and letting out water need licences, set locally"
                    .into()
            }
        }
    }
}

/// A duration of some days to the day, s: nobody reckons a pond by the hour.
fn whole_days(s: f64) -> f64 {
    if s < 2.0 * S_PER_DAY { s } else { (s / S_PER_DAY).round() * S_PER_DAY }
}
