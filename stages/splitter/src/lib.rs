//! Divides a stream in set shares, all components alike: a distributor ahead of sluices that run side by side.

use sim_core::quantity::Dimension;
use sim_core::setting::Setting;
use sim_core::stage::{Port, Ports, Stage, StageBuilder, StageKind, Trial};

/// The kind `splitter`.
pub static SPLITTER: StageKind =
    StageKind::new("splitter", "divides a stream between two outlets", |b: &mut StageBuilder<'_>| {
        Some(Box::new(Splitter { share_a: b.settings.number("share_a") }))
    })
    .settings(&[Setting::usual(
        "share_a",
        Dimension::Fraction,
        "50 %",
        (0.0, 1.0),
        "share of the stream that goes to outlet a",
    )])
    .inlets(&[Port::required("feed", "the stream to divide")])
    .outlets(&[Port::required("a", "share_a of the stream"), Port::required("b", "the rest")])
    .model("splitter 1");

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

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::bench::{Bench, stream};

    #[test]
    fn identity_the_outlets_are_the_feed_in_the_shares_that_were_set() {
        let mut feed = stream(&[(40e-3, 1.5), (1e-3, 4.0)], &[(0.2e-3, 2e-6), (3e-3, 5e-6)], 0.02);
        feed.locked_kg_s[5] = 1e-7;
        (feed.lump_kg_s[2], feed.lump_m[2]) = (0.3, 0.02);
        // Gold that an earlier stage sent astray stays so on both sides.
        feed.astray_kg_s[0][5] = 1e-7;
        for share in [0.0, 0.3, 1.0] {
            let splitter = Bench::of(&SPLITTER).settings(&format!("share_a = {share}")).set_up().unwrap();
            let ran = splitter.run(&[("feed", &feed)]).unwrap();
            let (a, b) = (ran.outlet("a").unwrap(), ran.outlet("b").unwrap());
            for (out, part) in [(a, share), (b, 1.0 - share)] {
                assert!((out.solids_kg_s() - part * feed.solids_kg_s()).abs() < 1e-12);
                assert!((out.water_m3_s - part * 0.02).abs() < 1e-12);
                assert!((out.astray_kg_s[0][5] - part * 1e-7).abs() < 1e-19);
            }
            assert!(ran.caught_in_all_kg_s() == 0.0 && ran.warnings.is_empty());
            let left = ran.closure;
            assert!(left.gold < 1e-12 && left.solids < 1e-12 && left.water < 1e-12, "{left:?}");
        }
        assert!(Bench::of(&SPLITTER).settings("share_a = \"120 %\"").set_up().unwrap_err()[0].contains("out of range"));
        assert!(Bench::of(&SPLITTER).set_up().unwrap().run(&[]).unwrap_err().contains("`feed`"));
    }
}
