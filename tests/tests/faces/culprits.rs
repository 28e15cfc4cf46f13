//! A plant with bad choices: its report names what is wrong, the worst first, and putting that right puts the plant right.

use crate::reader::{Run, scenario, text};

/// Place of the first of some words in a text.
fn place(said: &str, words: &str) -> usize {
    said.find(words).unwrap_or_else(|| panic!("`{words}` is not in: {said}"))
}

#[test]
fn property_the_bad_scenario_names_its_culprits_in_order() {
    let run = Run::of(&scenario("badger-gulch"), "1000");
    let all = text(&run.html[run.html.find("<main>").unwrap()..]);
    let front = &all[..place(&all, "In the mean of all runs")];
    // Water first: all else follows from its lack.
    assert!(front.contains("SHORT OF WATER in all runs"), "{front}");
    assert!(front.contains("First remedy"), "{front}");
    let water = place(front, "SHORT OF WATER");
    let packed = place(front, "at the sluice: more gravel than the water could carry: riffle pockets full");
    let spilled = place(front, "at the drum: more feed than the drum can carry: spilled at the feed end");
    let season = place(front, "At your prices the middle season loses USD");
    assert!(water < packed && packed < spilled && spilled < season, "{water} {packed} {spilled} {season}");
    // The same order as the books.
    let of = |reason: &str| {
        let losses = run.json["losses"].as_array().unwrap();
        losses
            .iter()
            .position(|l| l["reason"] == reason)
            .map(|i| (i, losses[i]["share_of_fed"]["mean"].as_f64().unwrap()))
    };
    let (packed, spilled) = (of("packed riffles").unwrap(), of("spilled at the feed end").unwrap());
    assert_eq!((packed.0, spilled.0), (0, 1));
    // They are the culprits: with a third of the gravel both are all but gone, and the box catches twice the share.
    let sheet = std::fs::read_to_string(scenario("badger-gulch")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    std::fs::copy(scenario("badger-gulch").with_extension("xlsx"), folder.path().join("badger-gulch.xlsx")).unwrap();
    let less = sheet.replace(
        "{ low = \"52 yd3/h loose\", mid = \"60 yd3/h loose\", high = \"70 yd3/h loose\" }",
        "\"20 yd3/h loose\"",
    );
    assert_ne!(less, sheet);
    std::fs::write(folder.path().join("less.toml"), less).unwrap();
    let right = Run::of(&folder.path().join("less.toml"), "1000");
    let lost = |run: &Run, reason: &str| {
        let losses = run.json["losses"].as_array().unwrap();
        losses
            .iter()
            .filter(|l| l["reason"] == reason)
            .map(|l| l["share_of_fed"]["mean"].as_f64().unwrap())
            .sum::<f64>()
    };
    assert!(lost(&right, "packed riffles") < 0.5 * packed.1, "{}", lost(&right, "packed riffles"));
    assert!(lost(&right, "spilled at the feed end") < 0.1 * spilled.1);
    let caught = |run: &Run| run.json["gold"]["recovery"]["mean"].as_f64().unwrap();
    assert!(caught(&right) > 1.4 * caught(&run), "{} {}", caught(&right), caught(&run));
}
