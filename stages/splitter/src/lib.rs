//! Divides a stream in set shares, all components alike: a distributor ahead of sluices that run side by side.

use sim_core::quantity::Dimension;
use sim_core::setting::Setting;
use sim_core::stage::{Port, Ports, Stage, StageBuilder, StageKind, Trial};

/// The kind `splitter`.
pub static SPLITTER: StageKind = StageKind {
    name: "splitter",
    purpose: "divides a stream between two outlets",
    settings: &[Setting::usual(
        "share_a",
        Dimension::Fraction,
        "50 %",
        (0.0, 1.0),
        "share of the stream that goes to outlet a",
    )],
    inlets: &[Port::required("feed", "the stream to divide")],
    outlets: &[Port::required("a", "share_a of the stream"), Port::required("b", "the rest")],
    reasons: &[],
    has_sections: false,
    build: |b: &mut StageBuilder<'_>| Some(Box::new(Splitter { share_a: b.settings.number("share_a") })),
    formulas: Vec::new,
    checks: Vec::new,
    model: "splitter 1",
};

struct Splitter {
    share_a: f64,
}

impl Stage for Splitter {
    fn run(&self, _trial: &Trial<'_>, ports: &mut Ports<'_>) {
        let (inlet, work) = ports.split();
        let [a, b] = work.outlets else { return };
        if let Some(feed) = inlet(0) {
            a.add(feed, self.share_a);
            b.add(feed, 1.0 - self.share_a);
        }
    }
}
