//! Tuning: what the plant's own results say of the constants.

use sim_core::plant::Plant;
use sim_core::problem::Problems;
use sim_core::scenario::{Opened, build};

#[test]
fn list() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios/juniper-creek.toml");
    let opened = sim_core::scenario::open(&path).unwrap();
    let plant = build(&opened, &standard_stages::registry(), &mut Problems::default()).unwrap();
    for (i, x) in plant.inputs.all().iter().enumerate() {
        println!("{i} {} {:?} [{}] {:?}", x.name, x.nature, x.unit, x.spread.describe(""));
    }
    let t = std::time::Instant::now();
    let tally = sim_core::trial::run_trials(&plant, 1, 20000, &Default::default());
    println!("{:?} {}", t.elapsed(), tally.trials);
    println!("{}", sim_core::tune::Constants::of(&plant).len());
}
