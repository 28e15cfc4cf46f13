//! The next observation of a plant without money.

use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::AtomicU64;

use crate::load::load_base;
use washgraph_advice::next::weigh::{Pains, weigh};
use washgraph_view::next::{text, why};

#[test]
fn property_a_clean_up_with_pans_tells_more_than_either_and_no_band_widens() {
    let registry = washgraph_standard_stages::registry();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/broken/sound.toml");
    let base = load_base(&registry, &path).unwrap();
    let plant = Arc::new(base.variant(&[]).unwrap());
    let next = weigh(&base, &plant, None, (1, Pains::FULL), &AtomicU64::new(0));
    let sd = |name: &str| next.list.iter().find(|w| w.plan.name == name).unwrap().foreseen.sd;
    let (both, clean_up, pans) = (sd("tailings-pan and clean-up"), sd("clean-up"), sd("tailings-pan"));
    assert!(both.1 < clean_up.1 && both.1 < pans.1, "{both:?} {clean_up:?} {pans:?}");
    assert!(both.1 < 0.85 * both.0, "{both:?}");
    for w in &next.list {
        // Knowing more narrows on average; what is left is the noise of a hundred imagined plants.
        assert!(w.foreseen.sd.1 < 1.06 * w.foreseen.sd.0, "{}: {:?}", w.plan.name, w.foreseen);
        assert_eq!(w.foreseen.worth, 0.0, "without money nothing has a worth");
        assert!(!why(w, "").contains("worth about"), "{}", why(w, ""));
    }
    let said = text(&plant.title, &next, "");
    assert!(said.contains("What to observe next") && said.contains("never") | said.contains("Never"), "{said}");
}
