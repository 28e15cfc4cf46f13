//! Questions that a miner asks when he reads the numbers, answered with the numbers of this plant where it has them.

use maud::{Markup, html as markup};
use sim_core::lever::Serves;
use sim_core::stage::LossClass;
use sim_core::stage::reasons::{BYPASS, LOCKED_IN_CLAY, SPILLED};
use washgraph_model::result::RunResult;

use crate::numbers::{percent, signed};
use crate::report::backing::Backing;

/// Share of all gold fed that is lost for one reason, over all stages.
fn lost_as(outcome: &RunResult, reason: &str) -> f64 {
    outcome.losses.iter().filter(|l| l.reason == reason).map(|l| l.share_of_fed.mean).sum()
}

/// The section.
pub fn questions(outcome: &RunResult, backing: &Backing) -> Markup {
    let has_box = outcome.losses.iter().any(|l| l.class == LossClass::InTheBox);
    let scrubs = backing.understood.iter().flat_map(|u| &u.rows).any(|r| r.serves == Some(Serves::Scrubbing));
    markup! {
        h3 { "What does \"1 run in 10\" mean?" }
        p { "Each run is one plant like yours on one ground that your samples allow, with one set of what is not known for sure. Picture ten such plants: in one of them the number falls below the first figure, in one it is above the last, in eight it lies between. It does not mean one day in ten: what is not known of your ground stays as it is all season." }
        @if has_box { (two_boxes(outcome)) }
        @if scrubs { (longer_scrubber(backing)) }
        h3 { "Why do two plants differ so surely when each is known so badly?" }
        p { "Both meet the same ground in every run. What makes the ground poor makes it poor for both, so the difference between them is known far better than either number. Compare plants; do not compare one report's number with another ground's." }
    }
}

fn two_boxes(outcome: &RunResult) -> Markup {
    let bypass = lost_as(outcome, BYPASS.name);
    markup! {
        h3 { "Would two short boxes in a row beat one long box?" }
        p { "In this program yes, by up to what surges and splash carry past, here " strong { (percent(bypass)) }
            " of the gold: that share is counted once for each box, so that a second box gets another chance at it. It holds only if the drop between the boxes mixes the gravel anew, and the share itself is assumed. Pan below your box before you build a second one for it." }
    }
}

fn longer_scrubber(backing: &Backing) -> Markup {
    let tried = backing.changes.list.iter().find(|c| c.serves == Some(Serves::Scrubbing));
    let of = |reason: &str| {
        let list = tried.iter().flat_map(|c| &c.losses).filter(|l| l.1 == reason);
        list.fold((0.0, 0.0), |sum, l| (sum.0 + l.2, sum.1 + l.3))
    };
    let (clay, spill) = (of(LOCKED_IN_CLAY.name), of(SPILLED.name));
    markup! {
        h3 { "Why is a longer scrubber not always better?" }
        p { "It frees more clay, but it also holds more gravel. An uneven feed then fills the drum to its feed opening more often, and what spills there takes its gold along, even though the drum carries the mean."
            @if let Some(c) = tried {
                " Tried here on " (backing.changes.trials) " runs (" (c.words) "): locked in clay " (percent(clay.0)) " becomes " (percent(clay.1)) ", spilled at the feed end "
                (percent(spill.0)) " becomes " (percent(spill.1)) "; in all " (signed(c.gold_g_h[0])) " g/h of raw gold."
            }
            " Steadier feeding, more slope or a lower ring takes the spill away." }
    }
}
