//! What to warn of, in words.

use crate::cut::Lasting;
use crate::stage::HOLDING_S;
use sim_core::constants::{S_PER_DAY, S_PER_H};

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
pub(crate) enum Worry {
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

impl Worry {
    /// All, in the order of the flags.
    pub const ALL: [Worry; 7] = [
        Worry::NeverClears,
        Worry::RunsDry,
        Worry::FullOfMud,
        Worry::Thick,
        Worry::TooShort,
        Worry::DirtyDischarge,
        Worry::DamAndLicence,
    ];

    /// Name in files.
    pub const fn id(self) -> &'static str {
        match self {
            Worry::NeverClears => "pond-water-never-clears",
            Worry::RunsDry => "pond-runs-dry",
            Worry::FullOfMud => "pond-full-of-mud",
            Worry::Thick => "pond-water-thick",
            Worry::TooShort => "pond-holds-too-short",
            Worry::DirtyDischarge => "pond-discharge-dirty",
            Worry::DamAndLicence => "pond-dam-and-licence",
        }
    }

    /// How bad it is.
    pub const fn severity(self) -> &'static str {
        match self {
            Worry::NeverClears | Worry::RunsDry | Worry::FullOfMud => "limit",
            Worry::DamAndLicence => "note",
            _ => "caution",
        }
    }

    /// Whether it holds in a trial.
    pub fn is_raised(self, f: &Facts) -> bool {
        match self {
            Worry::NeverClears => !f.closes,
            Worry::RunsDry => f.lasting.water_s < f.cut_s,
            Worry::FullOfMud => f.lasting.mud_s < f.cut_s,
            Worry::Thick => f.thick,
            Worry::TooShort => f.holding_s < HOLDING_S,
            Worry::DirtyDischarge => f.lets_out && f.over_limit,
            Worry::DamAndLicence => true,
        }
    }

    /// Plain words with the numbers of a trial.
    pub fn text(self, f: &Facts) -> String {
        let days = |s: f64| format!("{:.0} days", s / S_PER_DAY);
        let after = |s: f64| if s < f.cut_s { format!("after {}", days(s)) } else { "only after its end".into() };
        match self {
            Worry::NeverClears => "the pond's water never clears: clay comes in faster than it settles or leaves, and the water thickens until it \
                                   no longer washes. Let some out for good (bleed), take more fresh water, make the clay clump, or wash less of it; time a \
                                   jar of your water first"
                .into(),
            Worry::RunsDry => format!(
                "the pond runs out of water before the cut of {} is over, in the middle case {}. Take more fresh water if your licence allows it, hold a fuller \
                 pond, seal its bed or drain the tailings better",
                days(f.cut_s),
                after(f.lasting.water_s)
            ),
            Worry::FullOfMud => format!(
                "mud fills the pond to its working depth before the cut of {} is over, in the middle case {}. Dig it out in time, or dig a second pond",
                days(f.cut_s),
                after(f.lasting.mud_s)
            ),
            Worry::Thick => format!(
                "the water that comes back is thick with fines (in the middle case {:.0} g/L, {:.2} times as thick as clean water): fine gold settles \
                 slower in it. A larger pond, a bleed or more fresh water helps",
                f.returned_kg_m3, f.thickness
            ),
            Worry::TooShort => format!(
                "the pond holds the plant's water for {:.1} h in the middle case; Montana's guide for small placer ponds (DEQ 2016) asks for 7.2 h, so that \
                 fine silt has time to settle",
                f.holding_s / S_PER_H
            ),
            Worry::DirtyDischarge => format!(
                "water that leaves the pond for good carries {:.1} mL/L of settleable solids in the middle case; as an example, 40 CFR 440.142 allows US \
                 placer mines 0.2 mL/L at any moment. Your own authority sets what you may let out, and whether at all",
                1e3 * f.settleable
            ),
            Worry::DamAndLicence => "a pond bank or dam that gives way can kill people downstream: have dams and spillways laid out and checked by a licensed \
                                     engineer, keep people and camps out of the way of the water, and leave freeboard for the worst rain. Taking, holding \
                                     and letting out water need licences, set locally"
                .into(),
        }
    }
}
