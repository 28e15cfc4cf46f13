//! Why gold leaves: the reasons that the standard stages book, as the report words them.

/// Why gold leaves: the name in files and the plain words of the report.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reason {
    /// Name in files, e.g. `never settled`.
    pub name: &'static str,
    /// Plain words.
    pub words: &'static str,
}

/// Left inside clay lumps.
pub const LOCKED_IN_CLAY: Reason =
    Reason { name: "locked in clay", words: "left inside clay lumps that did not break up" };
/// Larger than the effective hole.
pub const TOO_BIG: Reason =
    Reason { name: "too big for the holes", words: "larger than the holes let through: over the end with the rocks" };
/// Never met a hole.
pub const MISSED_HOLES: Reason =
    Reason { name: "missed the holes", words: "small enough, but never met a hole before the end of the screen" };
/// Carried off wet on washed rock.
pub const FILM: Reason =
    Reason { name: "film on the rocks", words: "carried off in the wet film and coating on washed rock" };
/// Did not come down in the length of the box.
pub const NEVER_SETTLED: Reason = Reason {
    name: "never settled",
    words: "water too fast or too deep for such a grain to come down in the length of the box",
};
/// Pockets full.
pub const PACKED: Reason =
    Reason { name: "packed riffles", words: "more gravel than the water could carry: riffle pockets full" };
/// Settled, then lifted out again.
pub const SCOURED: Reason = Reason { name: "scoured out", words: "settled, then lifted out again by fast water" };
/// Surges, splash.
pub const BYPASS: Reason = Reason { name: "bypass", words: "carried past by surges, splash and uneven feed" };
/// More feed than the drum can carry.
pub const SPILLED: Reason =
    Reason { name: "spilled at the feed end", words: "more feed than the drum can carry: spilled at the feed end" };
/// Rejected by the grizzly.
pub const GRIZZLY: Reason = Reason { name: "off the grizzly", words: "went off the grizzly with the boulders" };
/// Wired to the tailings without being treated.
pub const UNTREATED: Reason =
    Reason { name: "sent to tailings", words: "wired to the tailings without further treatment" };
