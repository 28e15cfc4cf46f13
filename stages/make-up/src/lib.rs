//! Water outlet: an open pipe, mounted where water is short (usually at the head of the sluice): a set flow, or an open hose on a
//! pump's manifold that takes what it gets.

mod shop;

use sim_core::draw::{Draws, Input, Nature};
use sim_core::hydraulics::manifold::{Branch, Outlet as End};
use sim_core::particle::water::WaterState;
use sim_core::plumbing::{Hose, HoseKeys, HoseShop, OutletFacts, Tolerance};
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::shop::{OutletSite, ShopPart};
use sim_core::stage::{Outlet, OutletBuilder, OutletKind, OutletState};

/// Loss at an open end: all speed, in velocity heads. Source: definition.
const EXIT_LOSS: f64 = 1.0;

/// The kind `make-up`.
pub static MAKE_UP: OutletKind =
    OutletKind::new("make-up", "an open pipe: a set flow, or an open hose on a pump's manifold", build).settings(&[
        Setting::new("flow", Kind::Quantity(Dimension::Flow), "water that it gives, when it is no pump's business")
            .range((0.0, 5.0))
            .nature(Nature::Variability),
        Setting::usual(
            "height",
            Dimension::Length,
            "0 m",
            (-100.0, 100.0),
            "open end above the manifold; below it negative",
        ),
        HoseKeys::BRANCH.bore_setting(Preset::Absent),
        HoseKeys::BRANCH.length_setting(Preset::Absent),
        HoseKeys::BRANCH.kind_setting("layflat-new"),
        HoseKeys::BRANCH.roughness_setting(),
        HoseKeys::BRANCH.fittings_setting("entrance-flush"),
    ]);

fn build(b: &mut OutletBuilder<'_>) -> Option<Box<dyn Outlet>> {
    let s = b.settings;
    if s.maybe("flow").is_some() {
        return Some(Box::new(SetFlow { flow: s.input("flow") }));
    }
    let Some(hose) = Hose::read(s, HoseKeys::BRANCH, EXIT_LOSS) else {
        b.problems.error(
            s.place("flow"),
            "an open pipe needs `hose_bore` and `hose_length` to be fed by a pump",
            "add e.g. hose_bore = \"2 in\" and hose_length = \"12 ft\", or give the `flow` that it is set to",
        );
        return None;
    };
    let typed = HoseShop::read(s, HoseKeys::BRANCH);
    Some(Box::new(OpenEnd { hose, typed, height_m: s.number("height") }))
}

struct SetFlow {
    flow: Input,
}

impl Outlet for SetFlow {
    fn shop(&self, site: &OutletSite<'_>) -> Vec<ShopPart> {
        shop::parts(None, site)
    }

    fn state(&self, draws: &Draws, _water: &WaterState) -> OutletState {
        OutletState { flow_m3_s: self.flow.get(draws), pressure_pa: 0.0 }
    }
}

struct OpenEnd {
    hose: Hose,
    typed: Option<HoseShop>,
    height_m: f64,
}

impl Outlet for OpenEnd {
    fn shop(&self, site: &OutletSite<'_>) -> Vec<ShopPart> {
        shop::parts(self.typed.as_ref(), site)
    }

    fn state(&self, _draws: &Draws, _water: &WaterState) -> OutletState {
        OutletState::default()
    }

    fn facts(&self) -> Option<OutletFacts> {
        let bore_m = self.hose.nominal.bore_m;
        Some(OutletFacts {
            holes: 1.0,
            hole_m: bore_m,
            bar_bore_m: None,
            hose_bore_m: Some(bore_m),
            throw_m: None,
            open_end: true,
        })
    }

    fn branch(&self, _draws: &Draws, tolerance: &Tolerance) -> Option<Branch> {
        Some(Branch { hose: self.hose.run(tolerance), elevation_m: self.height_m, outlet: End::Open })
    }
}
