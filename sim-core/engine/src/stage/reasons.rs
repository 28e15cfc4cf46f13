//! Why gold leaves: the reasons that the standard stages book, each with all that is said of it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What kind of loss a reason is: by it the gold is added up over stages and kinds.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LossClass {
    /// Over the end with the rocks: larger than the holes, or never met one.
    OverTheHoles,
    /// Over the end on wet rock, in its film and coating.
    OnTheRock,
    /// Lost in a box that it had reached free.
    InTheBox,
    /// Left inside clay.
    InClay,
    /// Spilled before it was treated.
    Spilled,
    /// Anything else.
    #[default]
    Other,
}

impl LossClass {
    /// Whether the gold left over the end with the rocks.
    pub const fn is_over_the_end(self) -> bool {
        matches!(self, LossClass::OverTheHoles | LossClass::OnTheRock)
    }
}

/// Why gold leaves: the name in files, the words of the report, and what to do about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Reason {
    /// Name in files, e.g. `never settled`.
    pub name: &'static str,
    /// Plain words.
    pub words: &'static str,
    /// The same beside others of its class, e.g. `never met one`; the name where none are given.
    pub short: &'static str,
    /// What kind of loss it is.
    pub class: LossClass,
    /// What to do next where it is the greatest loss, as the end of a sentence; empty where nothing is known to help.
    pub next_step: &'static str,
}

impl Reason {
    /// A reason of a class.
    pub const fn new(name: &'static str, words: &'static str, class: LossClass) -> Reason {
        Reason { name, words, short: name, class, next_step: "" }
    }
    /// Its words beside others of its class.
    pub const fn short(self, short: &'static str) -> Reason {
        Reason { short, ..self }
    }
    /// What to do next where it is the greatest loss.
    pub const fn next_step(self, next_step: &'static str) -> Reason {
        Reason { next_step, ..self }
    }
}

const LARGER_HOLES: &str = "a longer screen or larger holes, or a nugget trap on the oversize.";

/// Left inside clay lumps.
pub const LOCKED_IN_CLAY: Reason =
    Reason::new("locked in clay", "left inside clay lumps that did not break up", LossClass::InClay).next_step(
        "time a few clay lumps in a cement mixer; how fast they wear decides whether more scrubbing would pay.",
    );
/// Larger than the effective hole.
pub const TOO_BIG: Reason = Reason::new(
    "too big for the holes",
    "larger than the holes let through: over the end with the rocks",
    LossClass::OverTheHoles,
)
.short("larger than the holes")
.next_step(LARGER_HOLES);
/// Never met a hole.
pub const MISSED_HOLES: Reason = Reason::new(
    "missed the holes",
    "small enough, but never met a hole before the end of the screen",
    LossClass::OverTheHoles,
)
.short("never met one")
.next_step(LARGER_HOLES);
/// Carried off wet on washed rock.
pub const FILM: Reason =
    Reason::new("film on the rocks", "carried off in the wet film and coating on washed rock", LossClass::OnTheRock)
        .short("stuck to wet rock");
/// Did not come down in the length of the box.
pub const NEVER_SETTLED: Reason = Reason::new(
    "never settled",
    "water too fast or too deep for such a grain to come down in the length of the box",
    LossClass::InTheBox,
)
.next_step("a longer or wider box, or shallower water, for the fine gold; pan the tailings to check.");
/// Pockets full.
pub const PACKED: Reason =
    Reason::new("packed riffles", "more gravel than the water could carry: riffle pockets full", LossClass::InTheBox)
        .next_step("less gravel or more water in the box; watch for riffles that stay full.");
/// Settled, then lifted out again.
pub const SCOURED: Reason =
    Reason::new("scoured out", "settled, then lifted out again by fast water", LossClass::InTheBox).next_step(
        "less slope, or riffles that shelter better; check the first and last third of the box at clean-up.",
    );
/// Surges, splash.
pub const BYPASS: Reason = Reason::new("bypass", "carried past by surges, splash and uneven feed", LossClass::InTheBox);
/// More feed than the drum can carry.
pub const SPILLED: Reason = Reason::new(
    "spilled at the feed end",
    "more feed than the drum can carry: spilled at the feed end",
    LossClass::Spilled,
)
.next_step("feed less, or turn or tilt the drum more.");
/// Rejected by the grizzly.
pub const GRIZZLY: Reason = Reason::new("off the grizzly", "went off the grizzly with the boulders", LossClass::Other);
/// Wired to the tailings without being treated.
pub const UNTREATED: Reason =
    Reason::new("sent to tailings", "wired to the tailings without further treatment", LossClass::Other);
