//! Litres per hour from the load.

use washgraph_units::check::{Band, Check, Kind, Status};
use washgraph_units::constants::{S_PER_H, STANDARD_GRAVITY_M_S2};
use washgraph_units::formula::Formula;
use washgraph_units::formula::entry::{Evidence, POSITIVE, input, number, output, row, share};
use washgraph_units::quantity::Dimension;

/// One litre per hour in m3/s.
const LITRE_PER_HOUR_M3_S: f64 = 1e-3 / S_PER_H;

/// One litre per kilowatt-hour in m3/J.
const LITRE_PER_KWH_M3_J: f64 = 1e-3 / 3.6e6;

/// Fuel of an engine as a straight line of its load: fuel = c0 + c1 P (Willans line).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WillansLine {
    /// Fuel at no load, m3/s.
    pub idle_m3_s: f64,
    /// Fuel per added shaft or generator energy, m3/J.
    pub slope_m3_j: f64,
}

impl WillansLine {
    /// Least squares (unweighted) through points (power in W, fuel in m3/s).
    ///
    /// `None` with fewer than two different powers. Source: Willans 1888; ordinary least squares.
    pub fn fit(points: &[(f64, f64)]) -> Option<Self> {
        let n = points.len() as f64;
        let mean_p = points.iter().map(|p| p.0).sum::<f64>() / n;
        let mean_f = points.iter().map(|p| p.1).sum::<f64>() / n;
        let sxx: f64 = points.iter().map(|p| (p.0 - mean_p) * (p.0 - mean_p)).sum();
        let sxy: f64 = points.iter().map(|p| (p.0 - mean_p) * (p.1 - mean_f)).sum();
        if !(sxx > 0.0) {
            return None;
        }
        let slope_m3_j = sxy / sxx;
        Some(Self { idle_m3_s: mean_f - slope_m3_j * mean_p, slope_m3_j })
    }

    /// Fuel at a load, m3/s. Loads above the rated one are outside the chart.
    pub fn fuel_m3_s(&self, power_w: f64) -> f64 {
        self.idle_m3_s + self.slope_m3_j * power_w
    }
}

/// Diesel generator chart: rated power and fuel at 1/4, 1/2, 3/4 and full load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GeneratorRow {
    /// Rated power, kW.
    pub rated_kw: f64,
    /// Fuel at a quarter, half, three quarters and full load, L/h.
    pub fuel_l_h: [f64; 4],
}

impl GeneratorRow {
    /// Willans line through the four points.
    pub fn line(&self) -> Option<WillansLine> {
        let mut points = [(0.0, 0.0); 4];
        for (point, (quarter, fuel)) in points.iter_mut().zip((1_u8..).zip(self.fuel_l_h)) {
            *point = (f64::from(quarter) * 0.25 * self.rated_kw * 1e3, fuel * LITRE_PER_HOUR_M3_S);
        }
        WillansLine::fit(&points)
    }
}

/// Fuel chart of diesel generators, as widely reprinted by sellers (seen).
pub const GENERATOR_CHART: [GeneratorRow; 4] = [
    GeneratorRow { rated_kw: 20.0, fuel_l_h: [2.3, 3.4, 4.9, 6.1] },
    GeneratorRow { rated_kw: 60.0, fuel_l_h: [6.8, 11.0, 14.4, 18.2] },
    GeneratorRow { rated_kw: 100.0, fuel_l_h: [9.8, 15.5, 22.0, 28.0] },
    GeneratorRow { rated_kw: 200.0, fuel_l_h: [17.8, 29.1, 41.6, 54.5] },
];

/// Shaft power of a pump, W: P = rho g Q H/eta.
///
/// rho kg/m3, Q m3/s, H m of head, eta overall efficiency 0 to 1. Source: definition of pump power.
pub fn pump_shaft_w(density_kg_m3: f64, flow_m3_s: f64, head_m: f64, efficiency: f64) -> f64 {
    density_kg_m3 * STANDARD_GRAVITY_M_S2 * flow_m3_s * head_m / efficiency
}

/// Fuel of an engine driving a shaft, m3/s: P x (fuel per energy). Direct diesel 0.250 to 0.274 L per shaft kWh (from memory).
pub fn shaft_fuel_m3_s(shaft_w: f64, fuel_m3_j: f64) -> f64 {
    shaft_w * fuel_m3_j
}

/// Fuel at no load over the fuel that full load adds, k = c0/(c1 P). From the chart: 0.18, 0.21, 0.15 and 0.10 for 20, 60, 100
/// and 200 kW; 0.2 is taken, for the small engines of this trade.
pub const IDLE_RATIO: f64 = 0.2;

/// Fuel per shaft energy at part load over that at full load: (1 + k/x)/(1 + k), x = load/rated power, k = [`IDLE_RATIO`].
///
/// From the straight line of fuel against load (Willans). x from a quarter to 1; below, the line is not supported by the
/// chart and the factor goes on rising; x <= 0 gives an infinite factor (idling burns fuel for no work).
pub fn part_load_factor(load: f64) -> f64 {
    if !(load > 0.0) {
        return f64::INFINITY;
    }
    (1.0 + IDLE_RATIO / load) / (1.0 + IDLE_RATIO)
}

/// Handbook entries of this file.
pub const FORMULAS: &[Formula] = &[
    Formula::new(
        "pump-fuel",
        "Diesel burnt by a pump engine",
        "P = rho g Q H/eta; fuel = P x (L/kWh) x (1 + 0.2/x)/1.2, x = load",
        |x| {
            let shaft = pump_shaft_w(x[5], x[0], x[1], x[2]);
            vec![shaft, shaft_fuel_m3_s(shaft, x[4] * part_load_factor(x[3]))]
        },
    )
    .inputs(&[
        input("flow", "water pumped", Dimension::Flow, "US gpm", POSITIVE, None),
        input("head", "total head", Dimension::Head, "ft", POSITIVE, None),
        share("efficiency", "pump efficiency", Some(0.65)),
        share("load", "load of the engine over its rated power", Some(1.0)),
        input(
            "fuel_per_energy",
            "fuel per shaft energy at full load",
            Dimension::FuelPerEnergy,
            "L/kWh",
            POSITIVE,
            Some(0.262 * LITRE_PER_KWH_M3_J),
        ),
        input("density", "density of the water", Dimension::Density, "kg/m3", POSITIVE, Some(1000.0)),
    ])
    .outputs(&[
        output("shaft_power", "shaft power", Dimension::Power, "kW"),
        output("fuel", "fuel", Dimension::Flow, "L/h"),
    ])
    .source("definition of pump power; 210 to 230 g/kWh at 0.84 kg/L", Status::Memory)
    .limits("loads from a quarter to full"),
    Formula::new(
        "generator-fuel",
        "Diesel burnt by a generator at part load, by a straight line of the load",
        "fuel = c0 + c1 P through the chart's fuel at a quarter and at full load",
        |x| match WillansLine::fit(&[(0.25 * x[1], x[2]), (x[1], x[3])]) {
            Some(line) => vec![line.fuel_m3_s(x[0]), line.fuel_m3_s(x[0]) * x[4] * S_PER_H],
            None => vec![f64::NAN; 2],
        },
    )
    .inputs(&[
        input("load", "electric load", Dimension::Power, "kW", POSITIVE, None),
        input("rated", "rated power", Dimension::Power, "kW", POSITIVE, None),
        input("fuel_quarter", "fuel at a quarter load", Dimension::Flow, "L/h", POSITIVE, None),
        input("fuel_full", "fuel at full load", Dimension::Flow, "L/h", POSITIVE, None),
        number("hours", "hours of running", POSITIVE, Some(1.0)),
    ])
    .outputs(&[
        output("fuel", "fuel", Dimension::Flow, "L/h"),
        output("fuel_total", "fuel over the hours", Dimension::Volume, "L"),
    ])
    .source("Willans line through a maker's chart", Status::CommonPractice)
    .limits("loads from a quarter to full"),
];

fn line_60() -> WillansLine {
    GENERATOR_CHART[1].line().unwrap_or(WillansLine { idle_m3_s: f64::NAN, slope_m3_j: f64::NAN })
}

const CHART: Evidence = (
    Kind::PublishedUsedInFit,
    "diesel generator chart, 60 kW at three quarters: 14.4 L/h; the line is fitted to this chart",
    Status::Seen,
);

const HALF_LOAD: Evidence = (
    Kind::PublishedUsedInFit,
    "diesel generator chart, 60 kW: 11.0 L/h at 30 kW over 18.2 L/h at 60 kW, per kWh; the idle share is taken from this chart",
    Status::Seen,
);
const QUARTER_LOAD: Evidence = (
    Kind::PublishedUsedInFit,
    "diesel generator chart, 20 kW: 2.3 L/h at 5 kW over 6.1 L/h at 20 kW, per kWh; the idle share is taken from this chart",
    Status::Seen,
);
const FULL_LOAD: Evidence = (Kind::Identity, "full load is full load", Status::Computed);

/// Checks of this file.
pub const CHECKS: &[Check] = &[
    row("willans-60kw-three-quarters", "Willans line", CHART, (14.4, "L/h"), Band::Relative(0.03), || {
        line_60().fuel_m3_s(45e3) / LITRE_PER_HOUR_M3_S
    }),
    row("part-load-half-of-60kw", "fuel at part load", HALF_LOAD, (1.209, "-"), Band::Relative(0.05), || {
        part_load_factor(0.5)
    }),
    row("part-load-quarter-of-20kw", "fuel at part load", QUARTER_LOAD, (1.508, "-"), Band::Relative(0.02), || {
        part_load_factor(0.25)
    }),
    row("part-load-full", "fuel at part load", FULL_LOAD, (1.0, "-"), Band::Absolute(1e-15), || part_load_factor(1.0)),
];

#[cfg(test)]
pub(crate) mod golden_rows {
    use super::*;

    /// Rows of the golden file of the room.
    pub(crate) const ROWS: &[washgraph_golden::Row] = &[
        ("willans-60kw-idle", || line_60().idle_m3_s / LITRE_PER_HOUR_M3_S),
        ("willans-60kw-slope", || line_60().slope_m3_j / LITRE_PER_KWH_M3_J),
        ("willans-200kw-slope", || GENERATOR_CHART[3].line().map_or(f64::NAN, |l| l.slope_m3_j / LITRE_PER_KWH_M3_J)),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_one_point_makes_no_line() {
        assert_eq!(WillansLine::fit(&[(1.0, 2.0), (1.0, 3.0)]), None);
        assert_eq!(WillansLine::fit(&[]), None);
        assert!((pump_shaft_w(1000.0, 0.05, 20.0, 0.5) - 19_613.3).abs() < 1e-6);
    }
}
