//! The outlets `spray-bar` and `nozzles`: holes at a pressure that is typed, or on a pump's manifold.

use sim_core::draw::{Draws, Input, Nature};
use sim_core::hydraulics::fitting::pipe_material;
use sim_core::hydraulics::manifold::{Branch, Outlet as End};
use sim_core::hydraulics::orifice::{OUTLET_KINDS, emitter_coefficient, hole_area_m2, orifice_flow_m3_s};
use sim_core::hydraulics::spray_bar::{BarTube, EqualHoles, HoleDrive};
use sim_core::particle::water::WaterState;
use sim_core::plumbing::{HOSE_WORDS, Hose, HoseKeys, HoseShop, OutletFacts, Tolerance};
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::shop::{OutletSite, ShopPart};
use sim_core::stage::{Outlet, OutletBuilder, OutletKind, OutletState};
use sim_core::stats::SpreadError;
use sim_core::stats::distribution::Spread;

use crate::shop::{self, ShopBar};

const PRESSURE: Setting = Setting::new(
    "pressure",
    Kind::Quantity(Dimension::Pressure),
    "pressure in the pipe ahead of the holes, when it is no pump's business",
)
.range((100.0, 3.0e6))
.nature(Nature::Variability);

const HEIGHT: Setting =
    Setting::usual("height", Dimension::Length, "0 m", (-100.0, 100.0), "inlet above the manifold; below it negative");

const THROW: Setting =
    Setting::optional("throw", Dimension::Length, (0.01, 30.0), "how far its jets must carry to the gravel");

const WORN: Setting =
    Setting::new("worn", Kind::Quantity(Dimension::Length), "how much wider than drilled the holes are by now")
        .preset(Preset::Text("0 mm"))
        .range((0.0, 0.05));

/// How holes and nozzles are made, as typed; each is a row of [`OUTLET_KINDS`].
const MADE: &[(&str, &str)] = &[
    ("drilled", "clean drilled holes"),
    ("torch-cut", "ragged holes cut with a torch"),
    ("short-tube", "short straight pipe stubs"),
    ("projecting", "nipples that stick into the pipe"),
    ("rounded", "well rounded edges"),
    ("flow-tube", "smooth-bore nozzles"),
    ("moulded", "moulded or cast spray nozzles"),
];

const fn made(usual: &'static str) -> Setting {
    Setting::choice("made", MADE, Preset::Text(usual), "how the holes were made")
}

const COEFFICIENT: Setting =
    Setting::new("coefficient", Kind::Quantity(Dimension::Number), "discharge coefficient of the holes")
        .preset(Preset::SpreadBy { key: "made", make: coefficient_of, unless: &[] })
        .range((0.2, 1.0))
        .source("by how they were made: FHWA HEC-22, orifice tables, NFPA 291 as quoted; ranges assumed");

fn coefficient_of(made: &str) -> Result<Spread, SpreadError> {
    match OUTLET_KINDS.iter().find(|k| k.name == made) {
        Some(kind) => Spread::triangular(kind.cd_low, kind.cd, kind.cd_high),
        None => Spread::triangular(0.55, 0.61, 0.68),
    }
}

/// The kind `spray-bar`.
pub static SPRAY_BAR: OutletKind =
    OutletKind::new("spray-bar", "a pipe with a row of holes over the screen or scrubber", build_bar).settings(&[
        Setting::new("holes", Kind::Whole, "number of holes").preset(Preset::Required).range((1.0, 5000.0)),
        Setting::required("hole", Dimension::Length, (0.0005, 0.1), "diameter of a hole"),
        made("drilled"),
        PRESSURE,
        Setting::optional("bore", Dimension::Length, (0.003, 1.0), "inside diameter of the bar; a pump needs it"),
        Setting::optional("length", Dimension::Length, (0.05, 50.0), "length of the bar from inlet to last hole"),
        Setting::choice("pipe", HOSE_WORDS, Preset::Text("steel-galvanised-or-old"), "what the bar is made of"),
        Setting::usual(
            "rise",
            Dimension::Length,
            "0 m",
            (-20.0, 20.0),
            "dead end of the bar above its inlet; negative when it falls with the drum",
        ),
        HEIGHT,
        HoseKeys::BRANCH.bore_setting(Preset::Absent),
        HoseKeys::BRANCH.length_setting(Preset::Absent),
        HoseKeys::BRANCH.kind_setting("rubber-lined"),
        HoseKeys::BRANCH.roughness_setting(),
        HoseKeys::BRANCH.fittings_setting("entrance-flush, elbow-90-threaded"),
        THROW,
        COEFFICIENT,
        WORN,
        Setting::uncertain(
            "regain",
            Dimension::Fraction,
            || Spread::triangular(0.8, 0.9, 1.0),
            (0.0, 1.0),
            Nature::Ignorance,
            "share of the fall in speed at each hole that comes back as pressure",
            "0.8-1.0, from memory",
        ),
        Setting::uncertain(
            "plugged",
            Dimension::Fraction,
            || Spread::triangular(0.0, 0.03, 0.15),
            (0.0, 1.0),
            Nature::Variability,
            "share of the holes that are plugged",
            "assumed 0-15 %",
        ),
    ]);

/// The kind `nozzles`.
pub static NOZZLES: OutletKind = OutletKind::new("nozzles", "moulded or turned nozzles in the hopper", build_nozzles)
    .settings(&[
        Setting::new("count", Kind::Whole, "number of nozzles").preset(Preset::Required).range((1.0, 500.0)),
        Setting::required("bore", Dimension::Length, (0.0005, 0.2), "bore of a nozzle"),
        made("flow-tube"),
        PRESSURE,
        HEIGHT,
        HoseKeys::BRANCH.bore_setting(Preset::Absent),
        HoseKeys::BRANCH.length_setting(Preset::Absent),
        HoseKeys::BRANCH.kind_setting("rubber-lined"),
        HoseKeys::BRANCH.roughness_setting(),
        HoseKeys::BRANCH.fittings_setting("entrance-flush, elbow-90-threaded"),
        THROW,
        COEFFICIENT,
        WORN,
    ]);

fn build_bar(b: &mut OutletBuilder<'_>) -> Option<Box<dyn Outlet>> {
    let s = b.settings;
    let bar = match (s.maybe("bore"), s.maybe("length")) {
        (Some(bore_m), Some(length_m)) => Some(BarTube {
            length_m,
            bore_m,
            roughness_m: pipe_material(s.word("pipe")).map_or(0.0, |m| m.roughness_m),
            rise_m: s.number("rise"),
            drive: HoleDrive::TotalHead,
            cross_flow_slope: 0.0,
        }),
        _ => None,
    };
    if bar.is_none() && s.maybe("pressure").is_none() {
        b.problems.error(
            s.place("holes"),
            "a spray bar needs `bore` and `length` of its pipe to be fed by a pump",
            "add e.g. bore = \"2 in\" and length = \"6 ft\", or give the `pressure` ahead of the holes",
        );
        return None;
    }
    Some(Box::new(Holes {
        count: s.number("holes"),
        hole_m: s.number("hole"),
        bar,
        regain: s.input("regain"),
        plugged: s.input("plugged"),
        ..common(b)
    }))
}

fn build_nozzles(b: &mut OutletBuilder<'_>) -> Option<Box<dyn Outlet>> {
    let s = b.settings;
    let shared = common(b);
    Some(Box::new(Holes {
        count: s.number("count"),
        hole_m: s.number("bore"),
        typed: Typed { nozzles: true, pipe_m: None, ..shared.typed },
        ..shared
    }))
}

/// What bars and nozzles share.
fn common(b: &OutletBuilder<'_>) -> Holes {
    let s = b.settings;
    Holes {
        count: f64::NAN,
        hole_m: f64::NAN,
        bar: None,
        regain: Input::Fixed(0.0),
        plugged: Input::Fixed(0.0),
        coefficient: s.input("coefficient"),
        worn: s.input("worn"),
        pressure: s.maybe("pressure").map(|_| s.input("pressure")),
        height_m: s.number("height"),
        hose: Hose::read(s, HoseKeys::BRANCH, 0.0),
        typed: Typed {
            made: MADE.iter().find(|m| m.0 == s.word("made")).map_or("", |m| m.1),
            hose: HoseShop::read(s, HoseKeys::BRANCH),
            pipe_m: s.maybe("length").zip(s.maybe("bore")),
            nozzles: false,
        },
        throw_m: s.maybe("throw"),
    }
}

struct Holes {
    count: f64,
    hole_m: f64,
    /// The pipe of a spray bar.
    bar: Option<BarTube>,
    regain: Input,
    plugged: Input,
    coefficient: Input,
    worn: Input,
    /// Typed pressure; `None` on a manifold.
    pressure: Option<Input>,
    height_m: f64,
    hose: Option<Hose>,
    throw_m: Option<f64>,
    typed: Typed,
}

/// What was typed and the shop wants to know.
struct Typed {
    made: &'static str,
    hose: Option<HoseShop>,
    /// Length and bore of the pipe of a bar.
    pipe_m: Option<(f64, f64)>,
    nozzles: bool,
}

impl Holes {
    fn hole_now_m(&self, draws: &Draws) -> f64 {
        self.hole_m + self.worn.get(draws)
    }
}

impl Outlet for Holes {
    fn shop(&self, site: &OutletSite<'_>) -> Vec<ShopPart> {
        let hose = self.typed.hose.as_ref();
        if self.typed.nozzles {
            return shop::nozzles(self.count, self.hole_m, hose, site);
        }
        let bar = ShopBar {
            count: self.count,
            hole_m: self.hole_m,
            made: self.typed.made,
            pipe_m: self.typed.pipe_m,
            throw_m: self.throw_m,
            hose,
        };
        bar.parts(site)
    }

    fn state(&self, draws: &Draws, water: &WaterState) -> OutletState {
        let Some(pressure) = self.pressure else { return OutletState::default() };
        let pressure_pa = pressure.get(draws);
        let open = self.count * (1.0 - self.plugged.get(draws));
        let area = hole_area_m2(self.hole_now_m(draws));
        let per_hole = orifice_flow_m3_s(self.coefficient.get(draws), area, pressure_pa, water.density_kg_m3);
        OutletState { flow_m3_s: open * per_hole, pressure_pa }
    }

    fn facts(&self) -> Option<OutletFacts> {
        self.pressure.is_none().then_some(OutletFacts {
            holes: self.count,
            hole_m: self.hole_m,
            bar_bore_m: self.bar.map(|b| b.bore_m),
            hose_bore_m: self.hose.map(|h| h.nominal.bore_m),
            throw_m: self.throw_m,
            open_end: false,
        })
    }

    fn open_share(&self, draws: &Draws) -> f64 {
        1.0 - self.plugged.get(draws)
    }

    fn branch(&self, draws: &Draws, tolerance: &Tolerance) -> Option<Branch> {
        let each = emitter_coefficient(self.coefficient.get(draws), self.hole_now_m(draws));
        let coefficient = (1.0 - self.plugged.get(draws)) * each;
        let outlet = match self.bar {
            Some(bar) => End::Bar {
                tube: BarTube {
                    bore_m: bar.bore_m * tolerance.bore,
                    roughness_m: bar.roughness_m * tolerance.roughness,
                    drive: HoleDrive::Regain { efficiency: self.regain.get(draws) },
                    ..bar
                },
                holes: EqualHoles { count: self.count as usize, coefficient },
            },
            None => End::Nozzles { coefficient: self.count * coefficient },
        };
        let hose = self.hose.unwrap_or(Hose::NONE).run(tolerance);
        Some(Branch { hose, elevation_m: self.height_m, outlet })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_every_way_to_make_a_hole_is_a_row_of_the_table() {
        let names = MADE.iter().map(|m| m.0).collect::<std::collections::BTreeSet<_>>();
        assert_eq!(names, OUTLET_KINDS.iter().map(|k| k.name).collect());
    }
}
