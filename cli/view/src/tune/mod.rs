//! What a tuning comes to.
//!
//! | file | what it does |
//! |---|---|
//! | [`words`] | the screen |
//! | [`document`](mod@document) | `tune.json` and the tables |

pub mod document;
pub mod words;

use washgraph_advice::next::outlook::Outlook;
use washgraph_advice::next::weigh::Next;
use washgraph_advice::plants::base::Base;
use washgraph_model::tune::Tuning;
use washgraph_model::tune::log::FieldLog;

/// What was tuned, on what, and what it changes.
pub struct Tuned<'a> {
    /// The scenario.
    pub base: &'a Base<'a>,
    /// The log.
    pub log: &'a FieldLog,
    /// Its name.
    pub log_name: String,
    /// The tuning.
    pub tuning: Tuning,
    /// The plant before.
    pub before: Outlook,
    /// The plant after.
    pub after: Outlook,
    /// What to observe next.
    pub next: Next,
    /// How the scenario names the tuned file; `None` when none is written.
    pub named: Option<String>,
}
