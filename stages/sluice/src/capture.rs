//! What becomes of each gold class on its way down the box.
//!
//! ```text
//! fed ──┬─ b ─────────────────────────────────────── bypass
//!       └─ 1-b ─┬─ e^-X ──────────────────────────── never settled      X    contacts with the riffles that could catch
//!               └─ met a riffle ─┬─ pockets full ─── packed             A_p  gravel against what the stream can carry
//!                                │                                      A_v  slurry too thick to sort
//!                                │                                      A_c  rock not covered, box starved
//!                                └─ went in ─┬─────── scoured           A_s  bed shear against what hidden gold resists
//!                                            └─────── caught
//! ```
//!
//! First-order capture: in each metre a constant share of what is still in the stream goes in, at a rate
//! K = eta alpha w A_p A_v A_s/q. Surface loading w L/q (the Hazen number of a settling tank) decides most of it.

use crate::constants::Constants;
use crate::enrichment::{enrichment_of, mixing_peclet};
use crate::flow::{self, Channel};
use crate::guards;
use crate::lanes::{LANES, each, one_minus_exp_neg};
use crate::packing::{packing_factor, thick_slurry_factor, transport_capacity_m2_s};
use crate::scour::{ln_gold_resistance, scour_factor};
use crate::settling::hindrance;
use crate::uneven::{Load, MOST_NODES, load_nodes};
use sim_core::math::{exp, ln};

/// A box that exists.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoxGeometry {
    /// Width of one run (m), > 0.
    pub width_m: f64,
    /// Riffled length of a run (m).
    pub length_m: f64,
    /// Slope, the tangent of the angle [-], > 0.
    pub slope: f64,
    /// Height of the riffles (m), > 0.
    pub riffle_height_m: f64,
    /// Equal runs side by side that share the flow [-], >= 1.
    pub runs: u32,
    /// Length of smooth plate ahead of the riffles (m); it catches nothing.
    pub slick_plate_m: f64,
}

impl BoxGeometry {
    /// Slurry flow of one run [m3/s] out of the flow of the whole sluice.
    pub fn flow_of_one_run_m3_s(&self, total_m3_s: f64) -> f64 {
        total_m3_s / f64::from(self.runs.max(1))
    }
}

/// The slurry that enters one run, at the mean load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlurryState {
    /// Water and solids of one run [m3/s].
    pub flow_m3_s: f64,
    /// C_v, solids volume / slurry volume [-], 0-1.
    pub solids_by_volume: f64,
    /// Median size of the gravel (m).
    pub d50_m: f64,
    /// 98 % passing size of the gravel (m).
    pub d98_m: f64,
    /// The largest rock that the holes pass (m); warnings only.
    pub d_max_m: f64,
    /// Density of the water with its suspended fines [kg/m3].
    pub water_density_kg_m3: f64,
}

/// One gold class. Its settling velocity is reckoned once for the whole plant, with the viscosity of the water in it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct GoldGrain {
    /// Settling velocity in the still water of the sluice, other grains far away [m/s].
    pub settling_m_s: f64,
    /// Nominal diameter, that of the sphere of equal volume (m).
    pub nominal_m: f64,
    /// Sieve size (m); decides the bypass.
    pub sieve_m: f64,
    /// Density [kg/m3].
    pub density_kg_m3: f64,
}

/// Where one gold class ends, as shares of what was fed; they sum to 1.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Fate {
    /// Caught in the riffles.
    pub caught: f64,
    /// Never came down in the length of the box.
    pub never_settled: f64,
    /// Came down, but the riffles were packed (too much gravel, slurry too thick, rock uncovered, box starved).
    pub packed: f64,
    /// Went in and was lifted out again.
    pub scoured: f64,
    /// Carried over by surge and splash.
    pub bypass: f64,
}

impl Fate {
    /// Sum of all five, 1 but for rounding.
    pub fn total(&self) -> f64 {
        self.caught + self.never_settled + self.packed + self.scoured + self.bypass
    }
}

/// Nominal diameter of the grain for which [`HydraulicState::scour`] is shown (m).
pub const SHOWN_GRAIN_NOMINAL_M: f64 = 0.2e-3;
/// Density of that grain [kg/m3].
pub const SHOWN_GRAIN_DENSITY_KG_M3: f64 = 17_000.0;

/// The stream in one run at the mean load. All zero when no water runs.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HydraulicState {
    /// Slurry per width, q [m2/s].
    pub flow_per_width_m2_s: f64,
    /// Solids per width, C_v q [m2/s].
    pub solids_per_width_m2_s: f64,
    /// Depth, h (m).
    pub depth_m: f64,
    /// Depth at the published minimum flow (m).
    pub minimum_depth_m: f64,
    /// Mean velocity, U [m/s].
    pub velocity_m_s: f64,
    /// Shear velocity, u* [m/s].
    pub shear_velocity_m_s: f64,
    /// Froude number [-].
    pub froude: f64,
    /// Bed shear stress, tau_b (Pa).
    pub bed_shear_pa: f64,
    /// Transport capacity / solids flow, E [-]; infinite without solids.
    pub transport_ratio: f64,
    /// Packing factor A_p [-].
    pub packing: f64,
    /// Thick slurry factor A_v [-].
    pub thick: f64,
    /// Scour factor A_s [-] of gold of 0.2 mm nominal diameter.
    pub scour: f64,
    /// Cover factor A_c [-].
    pub cover: f64,
}

/// What all gold classes share at one load.
#[derive(Debug, Clone, Copy, Default)]
struct Node {
    /// Share of the gold that comes at this load.
    share: f64,
    /// Pe per settling velocity in clear water.
    peclet_per_settling: f64,
    /// X per settling velocity in clear water and enrichment.
    contacts_per_settling: f64,
    /// A_p A_v.
    unpacked: f64,
    /// (f_p tau_b)^n_s.
    scour_drive: f64,
    /// A_c.
    cover: f64,
}

/// The box at all its loads.
#[derive(Debug, Clone, Copy)]
struct Stream {
    nodes: [Node; MOST_NODES],
    count: usize,
    state: HydraulicState,
}

impl Stream {
    /// Solves the flow at the mean load and at each load of an uneven feed; `None` when no water runs.
    fn solve(geometry: &BoxGeometry, slurry: &SlurryState, constants: &Constants) -> Option<Stream> {
        let c = constants;
        let q = slurry.flow_m3_s / geometry.width_m;
        let channel = Channel {
            slope: geometry.slope,
            roughness_m: flow::roughness_m(c.roughness_ratio, geometry.riffle_height_m),
            gravity_m_s2: c.gravity_m_s2,
            von_karman: c.von_karman,
        };
        let depth = flow::normal_depth_m(q, &channel);
        if !(depth > 0.0 && depth.is_finite()) {
            return None;
        }
        let minimum = flow::normal_depth_m(guards::minimum_flow_m2_s(geometry.riffle_height_m), &channel);
        let critical = guards::critical_cover_m(c.cover_share, slurry.d98_m, c.starved_share, minimum);
        let box_of = BoxConstants { length: geometry.length_m, d50: slurry.d50_m, critical, c };
        let c_v = slurry.solids_by_volume;
        let u_star = flow::shear_velocity_m_s(depth, &channel);
        let velocity = q / depth;
        let capacity = transport_capacity_m2_s(u_star, slurry.d50_m, c.gravity_m_s2);
        let bed_shear = flow::bed_shear_pa(slurry.water_density_kg_m3, u_star);
        let shown = ln_gold_resistance(
            SHOWN_GRAIN_NOMINAL_M,
            SHOWN_GRAIN_DENSITY_KG_M3 - slurry.water_density_kg_m3,
            &c.pocket,
            c.gravity_m_s2,
        );
        let state = HydraulicState {
            flow_per_width_m2_s: q,
            solids_per_width_m2_s: c_v * q,
            depth_m: depth,
            minimum_depth_m: minimum,
            velocity_m_s: velocity,
            shear_velocity_m_s: u_star,
            froude: flow::froude(velocity, depth, c.gravity_m_s2),
            bed_shear_pa: bed_shear,
            transport_ratio: capacity / (c_v * q),
            packing: packing_factor(capacity, c_v * q, c.packing_scale, c.packing_exponent),
            thick: thick_slurry_factor(c_v, c.thick_limit),
            scour: scour_factor(bed_shear, exp(shown), c.pocket_share, c.scour_exponent),
            cover: guards::cover_factor(critical, depth),
        };
        let loads = load_nodes(c.load_cv);
        let mut nodes = [Node::default(); MOST_NODES];
        let mut h = depth;
        for (node, load) in nodes.iter_mut().zip(loads.as_slice()) {
            // The water runs steadily; the solids come and go.
            let solids = c_v * q * load.load;
            let flow = (1.0 - c_v) * q + solids;
            h = flow::normal_depth_near(h, flow, &channel);
            *node = box_of.node(*load, flow, solids, h, slurry.water_density_kg_m3, &channel);
        }
        Some(Stream { nodes, count: loads.as_slice().len(), state })
    }

    fn nodes(&self) -> &[Node] {
        self.nodes.get(..self.count).unwrap_or(&self.nodes)
    }
}

/// What is the same at all loads.
struct BoxConstants<'a> {
    length: f64,
    d50: f64,
    critical: f64,
    c: &'a Constants,
}

impl BoxConstants<'_> {
    #[inline]
    fn node(&self, load: Load, flow: f64, solids: f64, depth: f64, density: f64, channel: &Channel) -> Node {
        let c = self.c;
        let u_star = flow::shear_velocity_m_s(depth, channel);
        let c_v = solids / flow;
        let hindered = hindrance(c_v, c.hindering_share, c.hindrance_exponent);
        let capacity = transport_capacity_m2_s(u_star, self.d50, c.gravity_m_s2);
        let drive = c.pocket_share * flow::bed_shear_pa(density, u_star);
        Node {
            share: load.share,
            peclet_per_settling: mixing_peclet(hindered, u_star, c.von_karman),
            contacts_per_settling: c.contact * hindered * self.length / flow,
            unpacked: packing_factor(capacity, solids, c.packing_scale, c.packing_exponent)
                * thick_slurry_factor(c_v, c.thick_limit),
            scour_drive: exp(c.scour_exponent * ln(drive)),
            cover: guards::cover_factor(self.critical, depth),
        }
    }
}

/// Contacts of each class at one load: X, X A_p A_v and X A_p A_v A_s.
struct Contacts {
    all: [f64; LANES],
    unpacked: [f64; LANES],
    kept: [f64; LANES],
}

/// Several gold classes side by side, with what does not change from load to load. Lanes without a class hold grains
/// that do not settle.
struct Classes {
    settling: [f64; LANES],
    /// tau_cg^-n_s.
    grip: [f64; LANES],
}

impl Classes {
    fn of(grains: &[GoldGrain], water_density: f64, c: &Constants) -> Classes {
        let mut classes = Classes { settling: [0.0; LANES], grip: [0.0; LANES] };
        let lanes = classes.settling.iter_mut().zip(&mut classes.grip);
        for ((settling, grip), grain) in lanes.zip(grains) {
            let excess = grain.density_kg_m3 - water_density;
            let resistance = ln_gold_resistance(grain.nominal_m, excess, &c.pocket, c.gravity_m_s2);
            *settling = grain.settling_m_s;
            *grip = exp(-c.scour_exponent * resistance);
        }
        classes
    }

    #[inline(always)]
    fn contacts(&self, node: &Node, enrichment_exponent: f64) -> Contacts {
        let alpha = enrichment_of(each(self.settling, |w| w * node.peclet_per_settling), enrichment_exponent);
        let mut x = Contacts { all: alpha, unpacked: [0.0; LANES], kept: [0.0; LANES] };
        for i in 0..LANES {
            x.all[i] *= node.contacts_per_settling * self.settling[i];
            x.unpacked[i] = x.all[i] * node.unpacked;
            x.kept[i] = x.unpacked[i] / (1.0 + node.scour_drive * self.grip[i]);
        }
        x
    }

    /// Adds one load to the fates (bypass apart).
    #[inline]
    fn add(&self, node: &Node, enrichment_exponent: f64, sums: &mut Sums) {
        let x = self.contacts(node, enrichment_exponent);
        let met = each(x.all, one_minus_exp_neg);
        let entered = each(x.unpacked, one_minus_exp_neg);
        let held = each(x.kept, one_minus_exp_neg);
        for i in 0..LANES {
            sums.met[i] += node.share * met[i];
            sums.entered[i] += node.share * entered[i];
            sums.held[i] += node.share * held[i];
            sums.caught[i] += node.share * (node.cover * held[i]);
        }
    }
}

/// Shares of the gold that is not carried over: met a riffle, entered a pocket, stayed there, and was caught in a covered
/// box. The fates are the differences.
#[derive(Default)]
struct Sums {
    met: [f64; LANES],
    entered: [f64; LANES],
    held: [f64; LANES],
    caught: [f64; LANES],
}

impl Sums {
    fn fate(&self, lane: usize, bypass: f64) -> Fate {
        let stays = 1.0 - bypass;
        let (met, entered, held, caught) = (self.met[lane], self.entered[lane], self.held[lane], self.caught[lane]);
        Fate {
            caught: stays * caught,
            never_settled: stays * (1.0 - met),
            packed: stays * ((met - entered) + (held - caught)),
            scoured: stays * (entered - held),
            bypass,
        }
    }
}

/// What becomes of each gold class in the box.
///
/// At each load, per class: X = eta alpha w L/q; never settled (1-b) e^-X; packed (1-b) [e^(-X A_p A_v) - e^-X + (1-A_c)
/// (1 - e^-KL)]; scoured (1-b) [e^-KL - e^(-X A_p A_v)]; caught (1-b) A_c (1 - e^-KL); bypass b; K L = X A_p A_v A_s. The
/// loads are then averaged by the gold that comes with each.
///
/// | symbol | meaning |
/// |---|---|
/// | w | settling velocity, hindered ([`hindrance`]) |
/// | alpha | near-bed enrichment ([`crate::enrichment::enrichment`]) |
/// | A_p, A_v, A_s, A_c | [`packing_factor`], [`thick_slurry_factor`], [`scour_factor`], [`guards::cover_factor`] |
/// | b | bypass of the class ([`guards::bypass_of_size`]) |
///
/// Source: first-order capture on surface loading (Hazen 1904, settling tanks) with factors assumed here; constants fitted
/// to three published rows, so those rows prove nothing.
///
/// Outside the range: without running water (no flow, no slope) nothing moves over the riffles, and all but the bypass is
/// booked as packed, which is also the limit of a starved box; without solids nothing packs; a grain that does not settle
/// is never caught. Writes as many fates as the shorter of `grains` and `out` has. Gives the stream at the mean load.
pub fn capture(
    geometry: &BoxGeometry,
    slurry: &SlurryState,
    constants: &Constants,
    grains: &[GoldGrain],
    out: &mut [Fate],
) -> HydraulicState {
    let Some(stream) = Stream::solve(geometry, slurry, constants) else {
        for (fate, grain) in out.iter_mut().zip(grains) {
            let bypass = guards::bypass_of_size(constants.bypass, grain.sieve_m, constants.bypass_size_m);
            *fate = Fate { packed: 1.0 - bypass, bypass, ..Fate::default() };
        }
        return HydraulicState::default();
    };
    for (fates, grains) in out.chunks_mut(LANES).zip(grains.chunks(LANES)) {
        let classes = Classes::of(grains, slurry.water_density_kg_m3, constants);
        let mut sums = Sums::default();
        for node in stream.nodes() {
            classes.add(node, constants.enrichment_exponent, &mut sums);
        }
        for (lane, (fate, grain)) in fates.iter_mut().zip(grains).enumerate() {
            let bypass = guards::bypass_of_size(constants.bypass, grain.sieve_m, constants.bypass_size_m);
            *fate = sums.fate(lane, bypass);
        }
    }
    stream.state
}

/// Share of the gold fed that is caught in the first `distance_m` of the riffles, per class.
///
/// (1-b) A_c (1 - e^(-K x)), averaged over the loads as in [`capture`]; divide by the caught share for the share of the
/// catch. Zero without running water; beyond the end of the box it is that of the whole box.
pub fn caught_within(
    geometry: &BoxGeometry,
    slurry: &SlurryState,
    constants: &Constants,
    grains: &[GoldGrain],
    distance_m: f64,
    out: &mut [f64],
) {
    let stream = Stream::solve(geometry, slurry, constants);
    let part = if geometry.length_m > 0.0 { (distance_m / geometry.length_m).clamp(0.0, 1.0) } else { 1.0 };
    for (shares, grains) in out.chunks_mut(LANES).zip(grains.chunks(LANES)) {
        let classes = Classes::of(grains, slurry.water_density_kg_m3, constants);
        let mut caught = [0.0; LANES];
        for node in stream.iter().flat_map(Stream::nodes) {
            let kept = classes.contacts(node, constants.enrichment_exponent).kept;
            for (sum, k) in caught.iter_mut().zip(kept) {
                *sum += node.share * node.cover * one_minus_exp_neg(k * part);
            }
        }
        for ((share, grain), caught) in shares.iter_mut().zip(grains).zip(caught) {
            let bypass = guards::bypass_of_size(constants.bypass, grain.sieve_m, constants.bypass_size_m);
            *share = (1.0 - bypass) * caught;
        }
    }
}

/// Length of box in which half of a class that can be caught is caught, ln 2/K (m), at the mean load.
///
/// Source: first-order capture. NaN without running water, infinite for a grain that does not settle.
pub fn half_capture_length_m(
    geometry: &BoxGeometry,
    slurry: &SlurryState,
    constants: &Constants,
    grain: &GoldGrain,
) -> f64 {
    let even = Constants { load_cv: 0.0, ..*constants };
    let Some(stream) = Stream::solve(geometry, slurry, &even) else {
        return f64::NAN;
    };
    let classes = Classes::of(core::slice::from_ref(grain), slurry.water_density_kg_m3, &even);
    let kept: f64 = stream.nodes().iter().map(|n| classes.contacts(n, even.enrichment_exponent).kept[0]).sum();
    core::f64::consts::LN_2 * geometry.length_m / kept
}
