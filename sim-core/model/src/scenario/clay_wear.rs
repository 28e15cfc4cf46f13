//! How fast clay lumps wear: from the owner's own test, a class by hand, or what is assumed without either.

use std::ops::Range;

use sim_core::draw::{Input, Nature, UncertainInput};
use sim_core::drum::clay::{WEAR_REFERENCE_W_KG, wear_at_reference_m_s, wear_from_test_m_s};
use sim_core::quantity::Dimension;
use sim_core::setting::{Kind, Preset, Reader, Setting, Settings};
use sim_core::stats::distribution::Spread;

/// A test by hand: its word, the power that it puts into wet mass (W/kg), the factor either way within which its wear is taken
/// to hold in a drum 8 times in 10, and the source of both.
struct Test {
    word: &'static str,
    power_w_kg: f64,
    factor: f64,
    source: &'static str,
}

const TESTS: [Test; 3] = [
    Test {
        word: "mixer",
        power_w_kg: 3.0,
        factor: 1.6,
        source: "lumps timed in a cement mixer of 0.6 m at 25 rpm, about 3 W/kg (computed); factor 1.6 either way assumed",
    },
    Test {
        word: "slake",
        power_w_kg: 0.6,
        factor: 3.0,
        source: "slake durability drum, about 0.6 W/kg (computed); scaled by power, factor 3 either way assumed",
    },
    Test {
        word: "jar",
        power_w_kg: 1.0,
        factor: 3.0,
        source: "jar half full, shaken by hand twice a second over 10 cm, about 1 W/kg; factor 3 either way assumed",
    },
];

/// Wear of the classes by hand, m/s: 1 in 10 below, middle, 1 in 10 above. Assumed, within the two decades of the prior.
const CLASSES: [(&str, [f64; 3]); 3] = [
    ("easy", [0.02e-3, 0.05e-3, 0.10e-3]),
    ("medium", [0.005e-3, 0.015e-3, 0.04e-3]),
    ("hard", [0.001e-3, 0.003e-3, 0.01e-3]),
];

/// Plasticity index above which clay is sticky. From memory.
const STICKY_INDEX: f64 = 17.0;

const fn optional(key: &'static str, dimension: Dimension, range: (f64, f64), meaning: &'static str) -> Setting {
    Setting::optional(key, dimension, range, meaning)
}

/// Settings of the clay's wear.
pub(super) const CLAY_TEST: Setting = Setting::choice(
    "clay_test",
    &[
        ("mixer", "lumps in a cement mixer with water, weighed after a time"),
        ("slake", "slake durability drum, or lumps in a mesh basket turned under water"),
        ("jar", "a lump in a jar half full of water, shaken by hand"),
    ],
    Preset::Absent,
    "test of the own clay; give clay_test_lump, clay_test_time and clay_test_left",
);
pub(super) const CLAY_TEST_LUMP: Setting =
    optional("clay_test_lump", Dimension::Length, (0.003, 0.5), "size of the lumps at the start of the test");
pub(super) const CLAY_TEST_TIME: Setting =
    optional("clay_test_time", Dimension::Time, (5.0, 36_000.0), "duration of the test");
pub(super) const CLAY_TEST_LEFT: Setting =
    optional("clay_test_left", Dimension::Fraction, (0.0001, 0.9999), "share of the lumps' weight left after the test");
pub(super) const CLAY_TEST_POWER: Setting = optional(
    "clay_test_power",
    Dimension::PowerPerMass,
    (0.05, 30.0),
    "power that the test puts into its wet load; usual is 3 W/kg in a mixer, 0.6 in a slake drum, 1 in a jar",
);
pub(super) const CLAY_CLASS: Setting = Setting::choice(
    "clay_class",
    &[
        ("easy", "falls apart in a bucket of water by itself; does not roll into a thread"),
        ("medium", "softens in water, breaks up when kneaded under water; rolls into a thread that cracks"),
        ("hard", "stays a lump in water, shines when cut; rolls into a long thread, sticks to the shovel"),
    ],
    Preset::Absent,
    "class of the clay by hand, when no test was made",
);
pub(super) const CLAY_PLASTICITY: Setting =
    optional("clay_plasticity", Dimension::Number, (0.0, 200.0), "plasticity index; sticky above 17");
pub(super) const FROST: Setting = Setting::choice(
    "frost",
    &[
        ("none", "washed as dug"),
        ("winter", "thawed, stacked wet in a thin pile and left to freeze and thaw over a winter"),
    ],
    Preset::Text("none"),
    "what frost does to the clay before washing",
);
pub(super) const FROST_GAIN: Setting = Setting::new(
    "frost_gain",
    Kind::Quantity(Dimension::Number),
    "how many times faster clay wears after a winter of frost; 1.5 to 6 is assumed without it",
)
.range((0.1, 100.0));

/// Power of a test of clay into its wet mass (W/kg), and the factor either way within which its wear is taken to hold in a drum.
pub(crate) fn clay_test(word: &str) -> Option<(f64, f64)> {
    TESTS.iter().find(|t| t.word == word).map(|t| (t.power_w_kg, t.factor))
}

/// What is known of the clay.
pub(super) struct ClayKnown {
    /// Wear at the reference power, m/s.
    pub(super) wear_m_s: Input,
    /// Factor of frost on it.
    pub(super) frost_gain: Input,
    /// Whether it is sticky.
    pub(super) sticky: bool,
}

/// Makes the wear of the clay from what is given.
pub(super) fn known(settings: &Settings, place: Range<usize>, reader: &mut Reader<'_>) -> ClayKnown {
    let (spread, source) = if settings.was_given("clay_wear") {
        if settings.was_given("clay_test") || settings.was_given("clay_class") {
            reader.problems.error(
                settings.place(if settings.was_given("clay_test") { "clay_test" } else { "clay_class" }),
                "the wear of the clay is given twice",
                "keep clay_wear, or the test, or the class",
            );
        }
        (None, String::new())
    } else if settings.was_given("clay_test") {
        by_test(settings, reader)
    } else if let Some((word, [low, mid, high])) = CLASSES.iter().find(|c| c.0 == settings.word("clay_class")) {
        (Some(Spread::split_log_normal(*low, *mid, *high)), format!("class {word} by hand; range assumed"))
    } else {
        let all = Spread::log_uniform(1.0e-6, 1.0e-4);
        (Some(all), "assumed; two decades wide: time lumps in a cement mixer".to_string())
    };
    let wear_m_s = match spread {
        None => settings.input("clay_wear"),
        Some(spread) => register(
            reader,
            place.clone(),
            "clay_wear",
            "speed at which the surface of a lump wears at 3.9 W/kg",
            Dimension::Velocity,
            spread,
            source,
        ),
    };
    let frost_gain = if settings.word("frost") != "winter" {
        Input::Fixed(1.0)
    } else if settings.was_given("frost_gain") {
        settings.input("frost_gain")
    } else {
        register(
            reader,
            place,
            "frost_gain",
            FROST_GAIN.meaning,
            Dimension::Number,
            Spread::split_log_normal(1.5, 3.0, 6.0),
            "assumed: ice breaks clay along many planes; no measurement of placer clay is known".to_string(),
        )
    };
    let sticky =
        settings.word("clay_class") == "hard" || settings.maybe("clay_plasticity").is_some_and(|i| i > STICKY_INDEX);
    ClayKnown { wear_m_s, frost_gain, sticky }
}

type Known = (Option<Result<Spread, sim_core::stats::SpreadError>>, String);

fn by_test(settings: &Settings, reader: &mut Reader<'_>) -> Known {
    let asked = ["clay_test_lump", "clay_test_time", "clay_test_left"];
    let missing: Vec<&str> = asked.into_iter().filter(|key| settings.maybe(key).is_none()).collect();
    let test = TESTS.iter().find(|t| t.word == settings.word("clay_test"));
    let (Some(test), true) = (test, missing.is_empty()) else {
        reader.problems.error(
            settings.place("clay_test"),
            format!("the clay test lacks {}", missing.join(", ")),
            "e.g. clay_test_lump = \"2 in\", clay_test_time = \"5 min\", clay_test_left = \"60 %\"",
        );
        return (None, String::new());
    };
    let number = |key: &str| settings.number(key);
    let in_test = wear_from_test_m_s(number("clay_test_lump"), number("clay_test_left"), number("clay_test_time"));
    let power_w_kg = settings.maybe("clay_test_power").unwrap_or(test.power_w_kg);
    let wear = wear_at_reference_m_s(in_test, power_w_kg);
    let spread = Spread::split_log_normal(wear / test.factor, wear, wear * test.factor);
    (Some(spread), format!("{}; brought to {WEAR_REFERENCE_W_KG} W/kg", test.source))
}

fn register(
    reader: &mut Reader<'_>,
    place: Range<usize>,
    key: &str,
    meaning: &str,
    dimension: Dimension,
    spread: Result<Spread, sim_core::stats::SpreadError>,
    source: String,
) -> Input {
    let spread = match spread {
        Ok(spread) => spread,
        Err(error) => {
            reader.problems.error(place, format!("the spread of `{key}`: {error}"), "");
            return Input::Fixed(f64::NAN);
        }
    };
    let input = UncertainInput {
        name: format!("ground/{key}"),
        meaning: meaning.to_string(),
        dimension,
        spread,
        nature: Nature::Ignorance,
        source,
    };
    match reader.inputs.add(input) {
        Ok(input) => input,
        Err(other) => {
            reader.problems.error(place, format!("the uncertain input ground/{key} clashes with {other}"), "");
            Input::Fixed(f64::NAN)
        }
    }
}
