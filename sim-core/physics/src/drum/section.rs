//! What the march knows of a drum and of its sections: the seam between the integration and the crates that supply laws.

use core::f64::consts::PI;

use super::error::DrumError;
use super::lifters::Lifters;
use super::points::MAX_POINTS;
use super::transport::critical_speed_rev_s;

/// Most gold tracers that a drum carries.
pub const MAX_TRACERS: usize = 96;
/// Most clay lump sizes that a drum carries.
pub const MAX_LUMPS: usize = 48;
/// Most sections in one drum.
pub const MAX_SECTIONS: usize = 16;

/// Depth at the free end of the drum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ExitRule {
    /// Surface at the lip no steeper than repose (the default).
    Lip,
    /// A fixed depth, m, such as one grain diameter.
    Depth(f64),
}

/// The shell and the bed in it, for one trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drum {
    /// Inside diameter, m.
    pub diameter_m: f64,
    /// Tangent of the slope of the axis.
    pub slope: f64,
    /// Turns per second.
    pub speed_rev_s: f64,
    /// Dynamic angle of repose, rad.
    pub repose_rad: f64,
    /// Dry mass per loose volume of the bed, kg/m3.
    pub bulk_density_kg_m3: f64,
    /// Wet mass per loose volume of the bed, kg/m3: dry mass plus the water in its voids (for torque and power).
    pub wet_density_kg_m3: f64,
    /// Depth at which the bed reaches the edge of the feed opening, m; infinite if it never can.
    pub feed_opening_depth_m: f64,
    /// Factor on the flow in the depth equation, for all sections: the residence of a thin bed is in proportion to it.
    /// 1 is the law as it stands; the place for a calibration by timed stones.
    pub transport_factor: f64,
    /// Depth at the free end.
    pub exit: ExitRule,
}

impl Drum {
    /// Refuses a drum that no bed could move through.
    pub fn checked(self) -> Result<Self, DrumError> {
        let bad = |what, value, must| Err(DrumError::BadValue { what, value, must });
        if !(self.diameter_m > 0.0 && self.diameter_m.is_finite()) {
            return bad("drum diameter in m", self.diameter_m, "above 0");
        }
        if !(self.slope >= 0.0 && self.slope < 1.0) {
            return bad("drum slope as a tangent", self.slope, "from 0 to 1, falling towards the discharge");
        }
        if !(self.speed_rev_s > 0.0 && self.speed_rev_s.is_finite()) {
            return bad("drum speed in turns per second", self.speed_rev_s, "above 0");
        }
        if !(self.repose_rad > 0.0 && self.repose_rad < 0.5 * PI) {
            return bad("angle of repose in rad", self.repose_rad, "between 0 and 90 degrees");
        }
        if !(self.bulk_density_kg_m3 > 0.0 && self.wet_density_kg_m3 > 0.0) {
            return bad("bulk density in kg/m3", self.bulk_density_kg_m3, "above 0");
        }
        if !(self.transport_factor > 0.0 && self.transport_factor.is_finite()) {
            return bad("transport factor", self.transport_factor, "above 0");
        }
        if !(self.feed_opening_depth_m > 0.0) {
            return bad("bed depth at the feed opening in m", self.feed_opening_depth_m, "above 0");
        }
        Ok(self)
    }

    /// Inside radius, m.
    pub fn radius_m(&self) -> f64 {
        0.5 * self.diameter_m
    }

    /// Angular speed, rad/s.
    pub fn omega_rad_s(&self) -> f64 {
        2.0 * PI * self.speed_rev_s
    }

    /// Speed over critical speed.
    pub fn speed_over_critical(&self) -> f64 {
        self.speed_rev_s / critical_speed_rev_s(self.diameter_m, 0.0)
    }
}

/// What enters the drum, per second. Slices of one group are of one length and sorted from small to large.
#[derive(Debug, Clone, Copy)]
pub struct Carried<'a> {
    pub(crate) bed_low_m: &'a [f64],
    pub(crate) bed_high_m: &'a [f64],
    pub(crate) bed_flow_kg_s: &'a [f64],
    pub(crate) tracers: usize,
    pub(crate) lump_size_m: &'a [f64],
    pub(crate) lump_flow_kg_s: &'a [f64],
    pub(crate) wear_ref_m_s: f64,
}

impl<'a> Carried<'a> {
    /// Gravel alone: edges and dry mass flow of each size point.
    pub fn gravel(bed_low_m: &'a [f64], bed_high_m: &'a [f64], bed_flow_kg_s: &'a [f64]) -> Result<Self, DrumError> {
        let count = bed_flow_kg_s.len();
        if count > MAX_POINTS {
            return Err(DrumError::TooMany { what: "size points of the gravel", found: count, most: MAX_POINTS });
        }
        for list in [bed_low_m, bed_high_m] {
            if list.len() != count {
                return Err(DrumError::Unequal { what: "size points of the gravel", first: list.len(), second: count });
            }
        }
        Ok(Carried {
            bed_low_m,
            bed_high_m,
            bed_flow_kg_s,
            tracers: 0,
            lump_size_m: &[],
            lump_flow_kg_s: &[],
            wear_ref_m_s: 0.0,
        })
    }

    /// Adds gold: so many sizes, as tracers without weight. The sections know the sizes.
    pub fn with_tracers(mut self, tracers: usize) -> Result<Self, DrumError> {
        if tracers > MAX_TRACERS {
            return Err(DrumError::TooMany { what: "gold sizes", found: tracers, most: MAX_TRACERS });
        }
        self.tracers = tracers;
        Ok(self)
    }

    /// Adds clay lumps by size, and the speed at which their surface wears at the reference power, m/s.
    pub fn with_lumps(mut self, size_m: &'a [f64], flow_kg_s: &'a [f64], wear_ref_m_s: f64) -> Result<Self, DrumError> {
        if size_m.len() > MAX_LUMPS {
            return Err(DrumError::TooMany { what: "clay lump sizes", found: size_m.len(), most: MAX_LUMPS });
        }
        if size_m.len() != flow_kg_s.len() {
            return Err(DrumError::Unequal { what: "clay lumps", first: size_m.len(), second: flow_kg_s.len() });
        }
        self.lump_size_m = size_m;
        self.lump_flow_kg_s = flow_kg_s;
        self.wear_ref_m_s = wear_ref_m_s;
        Ok(self)
    }
}

/// State of the bed at one place, handed to the section that asks what leaves there.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct LocalBed {
    /// Turnovers of the bed per metre of travel, n (A/Phi)(pi/phi) and those of lifters: each grain comes to the shell about
    /// once in each.
    pub turnovers_per_m: f64,
    /// Mean depth of the bed, area over wetted arc, m.
    pub mean_depth_m: f64,
    /// Size that half of the mass of the gravel here is smaller than, m.
    pub median_m: f64,
    /// The section's own wetness factor, as it gave it for this pass.
    pub wetness: f64,
}

/// Local laws of one section of the drum. Object-safe; called once per cell over slices, never per grain.
///
/// A blank shell needs nothing but its length. All rates are per metre of travel.
pub trait Section {
    /// Length along the axis, m.
    fn length_m(&self) -> f64;

    /// Height of the retention ring at the exit, m; zero for none.
    fn exit_ring_m(&self) -> f64 {
        0.0
    }

    /// Factor on the flow in the depth equation, beside that of lifters. 1 for a plain shell.
    fn transport_factor(&self) -> f64 {
        1.0
    }

    /// Lifters on the shell.
    fn lifters(&self) -> Option<Lifters> {
        None
    }

    /// Added water in the section (hopper, sprays; not the moisture of the ground), m3/s.
    fn added_water_m3_s(&self) -> f64 {
        0.0
    }

    /// Number of gravel points, from the smallest, that can leave through the shell here. Zero for a blank shell.
    fn open_points(&self) -> usize {
        0
    }

    /// Whether gold leaves the bed here: through holes, or into a trap that lets no gravel out.
    fn takes_gold(&self) -> bool {
        self.open_points() > 0
    }

    /// Wetness factor of the section from its added water, m3 per dry tonne carried.
    fn wetness(&self, _water_m3_per_t: f64) -> f64 {
        1.0
    }

    /// Share per metre of each gravel point that leaves here; the slice is `open_points` long.
    fn gravel_rates(&self, _bed: &LocalBed, _rate_per_m: &mut [f64]) {}

    /// Share per metre of each gold size that leaves here.
    fn tracer_rates(&self, _bed: &LocalBed, rate_per_m: &mut [f64]) {
        rate_per_m.fill(0.0);
    }

    /// Share per metre of clay lumps of these present sizes that leaves here.
    fn lump_rates(&self, _bed: &LocalBed, _size_m: &[f64], rate_per_m: &mut [f64]) {
        rate_per_m.fill(0.0);
    }
}

/// A closed shell without any law of its own: a blank end, or the drum of the hold-up experiments.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlankShell {
    /// Length, m.
    pub length_m: f64,
    /// Ring at the exit, m.
    pub exit_ring_m: f64,
}

impl Section for BlankShell {
    fn length_m(&self) -> f64 {
        self.length_m
    }

    fn exit_ring_m(&self) -> f64 {
        self.exit_ring_m
    }
}
