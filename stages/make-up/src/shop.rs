//! The open pipe as the shop fits it.

use sim_core::plumbing::HoseShop;
use sim_core::quantity::Dimension;
use sim_core::shop::{Figure, OutletSite, ShopPart, Sure};

/// The parts of an open pipe.
pub(crate) fn parts(hose: Option<&HoseShop>, site: &OutletSite<'_>) -> Vec<ShopPart> {
    let mut part = ShopPart::new(format!("Open pipe ({}) on {}", site.id, site.on));
    part.lead("water that it must give", Figure::Run(site.flow_m3_s, Dimension::Flow), Sure::Run)
        .note("time the filling of a drum of known size");
    if let Some(hose) = hose {
        hose.rows(&mut part, "hose from the manifold");
        part.way("buy it", hose.pieces(&format!("open pipe {}", site.id)), Vec::new());
    }
    part.steps.push("Put a valve in it: an open end takes what the sprays lack.".into());
    vec![part]
}
