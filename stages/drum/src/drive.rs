//! What turns the drum: torque at the shell, friction, motor, oil, chain, rollers.
//!
//! ```text
//!   bed + lifters - pools ──┐
//!   rollers (friction) ─────┴─> torque at the shell ─chain─> pinion ─> motor ─oil─> pump ─> engine
//! ```

mod shop;

use core::f64::consts::PI;

use sim_core::constants::{STANDARD_GRAVITY_M_S2, STEEL_KG_M3};
use sim_core::draw::Input;
use sim_core::drum::chain::{
    TOUCHING_DERATE, pitch_diameter_m, plate_rating_w, roller_factor, roller_rating_w, strand_factor, teeth_in_mesh,
    ultimate_strength_n,
};
use sim_core::drum::drive::{motor_oil_m3_s, motor_pressure_pa, perry_friction_w, roller_load_n};
use sim_core::quantity::{Dimension, Phrase};
use sim_core::setting::Settings;
use sim_core::stage::{Severity, StageBuilder, Trial};

/// Rings, bars, sprocket and welds over the mass of the plain shell. Assumed.
const FITTINGS: f64 = 1.35;
/// Below this speed, m/s, a chain is chosen by pull: a seventh of its strength. From memory.
const SLOW_CHAIN_M_S: f64 = 0.25;
const SHARE_OF_STRENGTH: f64 = 1.0 / 7.0;
/// Wrap below which a loop of chain jumps: 120 degrees. From memory.
const LEAST_WRAP_RAD: f64 = 2.0 * PI / 3.0 - 1e-9;

/// The drive as built.
#[derive(Debug, Clone, Copy)]
pub struct Drive {
    hydraulic: bool,
    shell_kg: f64,
    riding_ring_m: f64,
    roller_angle_rad: f64,
    start_factor: Input,
    efficiency: Input,
    start_efficiency: f64,
    oil_efficiency: f64,
    pump_efficiency: f64,
    motor_m3: Option<f64>,
    relief_pa: f64,
    oil_m3_s: Option<f64>,
    chain: Chain,
    numbers: Numbers,
}

/// The chain and its pinion.
#[derive(Debug, Clone, Copy)]
struct Chain {
    /// Whether any of it was given: an assumed chain is not warned about.
    given: bool,
    teeth: f64,
    pitch_m: f64,
    strands: f64,
    circle_m: f64,
    touching: bool,
    wrap_rad: f64,
    service: f64,
    /// Power that the chain may carry at the drum's speed, before the service factor, W.
    rating_w: f64,
}

impl Chain {
    /// Turns of the pinion per turn of the drum.
    fn ratio(&self) -> f64 {
        self.circle_m / pitch_diameter_m(self.pitch_m, self.teeth)
    }

    fn strength_n(&self) -> f64 {
        ultimate_strength_n(self.pitch_m) * self.strands
    }

    /// Power that it may carry at a speed of the drum, W: by its rating, or when slow by its strength.
    fn rating_w(&self, drum_rev_s: f64) -> f64 {
        let derate = if self.touching { TOUCHING_DERATE } else { 1.0 };
        let chain_m_s = PI * self.circle_m * drum_rev_s;
        if chain_m_s < SLOW_CHAIN_M_S {
            return self.strength_n() * SHARE_OF_STRENGTH * chain_m_s / derate;
        }
        let pinion_rev_s = drum_rev_s * self.ratio();
        let by_rollers = roller_rating_w(self.teeth, pinion_rev_s, self.pitch_m, roller_factor(self.pitch_m));
        plate_rating_w(self.teeth, pinion_rev_s, self.pitch_m).min(by_rollers) * strand_factor(self.strands) / derate
    }
}

/// How far the sprocket of a drum is bored over so that it can be shimmed true: 1/4 in, m. Common practice, no source.
const SPROCKET_OVER_M: f64 = 0.25 * 0.0254;

/// Numbers of measures and warnings.
#[derive(Debug, Clone, Copy)]
struct Numbers {
    torque: usize,
    start_torque: usize,
    friction: usize,
    power: usize,
    engine: usize,
    roller: usize,
    running_pa: usize,
    starting_pa: usize,
    oil: usize,
    to_buy: usize,
    pull: usize,
    margin: usize,
    rating: usize,
    mesh: usize,
    stalls: usize,
    no_start: usize,
    slow_oil: usize,
    weak_chain: usize,
    poor_mesh: usize,
}

/// Load of the drum in a trial.
#[derive(Debug, Clone, Copy)]
pub struct Load {
    /// Torque of the bed and what lifters add, less what pools take off, N m.
    pub bed_n_m: f64,
    /// Wet mass of the bed, kg.
    pub wet_kg: f64,
    /// Turns per second.
    pub speed_rev_s: f64,
}

/// What the drive must do in a trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Duty {
    /// Torque at the shell, running, N m.
    pub torque_n_m: f64,
    /// Power at the shell, W.
    pub power_w: f64,
    /// Power at the engine's shaft, W.
    pub engine_w: f64,
}

impl Drive {
    /// Reads the drive's settings and declares its measures and warnings.
    pub fn new(b: &mut StageBuilder<'_>, diameter_m: f64, length_m: f64, speed_rev_s: f64) -> Self {
        let s = b.settings;
        let wall_m = s.number("wall");
        let plate_kg = PI * (diameter_m + wall_m) * length_m * wall_m * STEEL_KG_M3;
        let pitch_m = s.number("chain_pitch");
        let given = |keys: &[&str], s: &Settings| keys.iter().any(|k| s.was_given(k));
        let mut chain = Chain {
            given: given(
                &["pinion_teeth", "chain_pitch", "chain_strands", "chain_circle", "chain_layout", "chain_wrap"],
                s,
            ),
            teeth: s.number("pinion_teeth"),
            pitch_m,
            strands: s.number("chain_strands"),
            circle_m: s.maybe("chain_circle").unwrap_or(diameter_m + 2.0 * wall_m + pitch_m),
            touching: s.word("chain_layout") == "touching",
            wrap_rad: s.number("chain_wrap"),
            service: s.number("service_factor"),
            rating_w: f64::NAN,
        };
        chain.rating_w = chain.rating_w(speed_rev_s);
        if chain.circle_m < diameter_m {
            b.problems.error(
                s.place("chain_circle"),
                "the chain's circle is smaller than the drum that it goes round",
                "give the pitch diameter of the chain or sprocket on the drum",
            );
        }
        Drive {
            hydraulic: s.word("drive") != "gearbox",
            shell_kg: s.maybe("shell_mass").unwrap_or(FITTINGS * plate_kg),
            riding_ring_m: s.maybe("riding_ring").unwrap_or(diameter_m),
            roller_angle_rad: s.number("roller_angle"),
            start_factor: s.input("start_factor"),
            efficiency: s.input("drive_efficiency"),
            start_efficiency: s.number("start_efficiency"),
            oil_efficiency: s.number("oil_efficiency"),
            pump_efficiency: s.number("pump_efficiency"),
            motor_m3: s.maybe("motor"),
            relief_pa: s.number("relief_pressure"),
            oil_m3_s: s.maybe("oil_flow"),
            chain,
            numbers: numbers(b),
        }
    }

    /// What the drive must do.
    pub fn duty(&self, trial: &Trial<'_>, load: &Load) -> Duty {
        let omega = 2.0 * PI * load.speed_rev_s;
        let friction_w = self.friction_w(load);
        let power_w = load.bed_n_m * omega + friction_w;
        let running = trial.get(self.efficiency);
        let chain_of = if self.hydraulic { running * self.oil_efficiency * self.pump_efficiency } else { running };
        Duty { torque_n_m: power_w / omega, power_w, engine_w: power_w / chain_of }
    }

    fn friction_w(&self, load: &Load) -> f64 {
        perry_friction_w(load.speed_rev_s, self.riding_ring_m, self.shell_kg + load.wet_kg)
    }

    /// Writes the measures and warnings of a trial.
    pub fn report(&self, trial: &Trial<'_>, load: &Load, measures: &mut [f64], warnings: &mut [bool]) {
        let n = &self.numbers;
        let duty = self.duty(trial, load);
        let start_n_m = trial.get(self.start_factor) * duty.torque_n_m;
        let omega = 2.0 * PI * load.speed_rev_s;
        measures[n.torque] = duty.torque_n_m;
        measures[n.start_torque] = start_n_m;
        measures[n.friction] = self.friction_w(load) / omega;
        measures[n.power] = duty.power_w;
        measures[n.engine] = duty.engine_w;
        let weight_n = (self.shell_kg + load.wet_kg) * STANDARD_GRAVITY_M_S2;
        measures[n.roller] = roller_load_n(weight_n, self.roller_angle_rad);
        let ratio = self.chain.report(&duty, start_n_m, n, measures, warnings);
        if self.hydraulic {
            self.oil(trial, &duty, start_n_m, ratio, load, measures, warnings);
        }
    }

    /// Pressure and oil of the motor given; without one, the motor to buy.
    fn oil(
        &self,
        trial: &Trial<'_>,
        duty: &Duty,
        start_n_m: f64,
        ratio: f64,
        load: &Load,
        measures: &mut [f64],
        warnings: &mut [bool],
    ) {
        let n = &self.numbers;
        // A motor of this size starts the drum just below the relief pressure.
        let to_buy_m3 = 2.0 * PI * start_n_m / ratio / (self.relief_pa * self.start_efficiency);
        measures[n.to_buy] = to_buy_m3;
        let motor_m3 = self.motor_m3.unwrap_or(to_buy_m3);
        let running_pa = motor_pressure_pa(duty.torque_n_m / ratio, motor_m3, trial.get(self.efficiency));
        let starting_pa = motor_pressure_pa(start_n_m / ratio, motor_m3, self.start_efficiency);
        let oil_m3_s = motor_oil_m3_s(load.speed_rev_s * ratio, motor_m3, self.oil_efficiency);
        measures[n.running_pa] = running_pa;
        measures[n.starting_pa] = starting_pa;
        measures[n.oil] = oil_m3_s;
        if self.motor_m3.is_some() {
            warnings[n.stalls] = running_pa > self.relief_pa;
            warnings[n.no_start] = starting_pa > self.relief_pa && running_pa <= self.relief_pa;
        }
        warnings[n.slow_oil] = self.oil_m3_s.is_some_and(|given| given < 0.98 * oil_m3_s);
    }
}

impl Chain {
    /// Writes what concerns the chain; returns the turns of the pinion per turn of the drum.
    fn report(&self, duty: &Duty, start_n_m: f64, n: &Numbers, measures: &mut [f64], warnings: &mut [bool]) -> f64 {
        let pull_n = 2.0 * duty.torque_n_m / self.circle_m;
        let used = duty.power_w * self.service / self.rating_w;
        measures[n.pull] = 2.0 * start_n_m / self.circle_m;
        measures[n.margin] = self.strength_n() / pull_n;
        measures[n.rating] = used;
        let mesh = teeth_in_mesh(self.teeth, self.wrap_rad, self.touching);
        measures[n.mesh] = mesh;
        warnings[n.weak_chain] = self.given && used > 1.0;
        warnings[n.poor_mesh] = self.given && (self.touching || self.wrap_rad < LEAST_WRAP_RAD);
        self.ratio()
    }
}

fn numbers(b: &mut StageBuilder<'_>) -> Numbers {
    use Dimension as D;
    Numbers {
        torque: b.measure("drive_torque", D::Torque, "torque at the shell: bed, lifters and rollers"),
        start_torque: b.measure("start_torque", D::Torque, "torque at the shell to start, or to free a bed that has set"),
        friction: b.measure("roller_friction", D::Torque, "torque that rollers and bearings take"),
        power: b.measure("drive_power", D::Power, "power at the shell"),
        engine: b.engine_power("engine_power", "power at the engine's shaft to turn the drum"),
        roller: b.measure("roller_load", D::Force, "load on each of four rollers, evenly shared; one end of a deep bed carries more"),
        running_pa: b.measure("motor_pressure", D::Pressure, "oil pressure of the running motor"),
        starting_pa: b.measure("motor_start_pressure", D::Pressure, "oil pressure to start"),
        oil: b.measure("motor_oil", D::Flow, "oil that the motor needs at this speed"),
        to_buy: b.measure("motor_to_buy", D::Displacement, "displacement of a motor that starts the drum at the relief pressure"),
        pull: b.measure("chain_start_pull", D::Force, "pull in the chain at the start"),
        margin: b.measure("chain_margin", D::Number, "strength of the chain over its running pull; 7 to 8 is wanted when slow"),
        rating: b.measure("chain_rating_used", D::Fraction, "power times service factor over the rating of the chain"),
        mesh: b.measure("chain_teeth_in_mesh", D::Number, "teeth of the pinion that carry the chain"),
        stalls: b.warning("drum-motor-stalls", Severity::Limit, "the hydraulic motor stalls: it needs more than the relief pressure to keep the drum turning. Larger motor, larger reduction, or less bed in the drum; never screw the relief valve past the rating of hoses and motor"),
        no_start: b.warning("drum-motor-no-start", Severity::Caution, "the hydraulic motor keeps the drum turning but can't start it full, nor free a bed that has set: dig it out with the drive locked out, or fit a larger motor"),
        slow_oil: b.warning("drum-oil-short", Severity::Limit, "the pump gives the motor less oil than this speed needs: the drum turns slower than set"),
        weak_chain: b.warning("drum-chain-overrated", Severity::Limit, "the drive chain is past its rating: more strands, a larger pitch or more teeth on the pinion. Guard it: a chain takes fingers, and flies when it breaks"),
        poor_mesh: b.warning("drum-chain-mesh", Severity::Caution, Phrase::new("too few teeth of the pinion are in the chain (2 to 3 where it only touches, below 120 degrees of wrap otherwise): one tooth takes half of the pull; add an idler. Drums are out of round: bore the drum's sprocket about ").length(SPROCKET_OVER_M).text(" over and shim it true (common practice, no source)")),
    }
}
