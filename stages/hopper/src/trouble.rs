//! What goes wrong at the feed, and what can be read there. Weights and errors are assumed.

use sim_core::quantity::Dimension;
use sim_core::stage::Grade::{Times, To};
use sim_core::stage::{Fault, InLog, Knob, Reading, Source};

/// Faults.
pub(crate) const FAULTS: &[Fault] = &[
    Fault::new("more-feed", "more feed than planned")
        .knobs(&[Knob::new("rate", [Times(1.2), Times(1.45), Times(1.8)])])
        .weight(4.0)
        .look("count buckets for an hour, weigh or measure one")
        .undo("feed as planned"),
    Fault::new("uneven-feed", "feed in surges")
        .knobs(&[Knob::new("uneven_feed", [To("0.5"), To("0.7"), To("0.9")])])
        .weight(2.5)
        .look("watch the feed end for a quarter of an hour: does it run empty between buckets?")
        .undo("small buckets, often; a grizzly or a chute that meters"),
];

/// Readings.
pub(crate) const READINGS: &[Reading] = &[Reading::new("feed", "dry feed", Dimension::MassRate, Source::DryFeed)
    .how("buckets per hour times what one holds")
    .off(0.05, 0.0)
    // What is fed changes from day to day: it is set, and nothing is learned from it.
    .log(InLog::By("buckets"))];
