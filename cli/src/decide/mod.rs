//! Several plants on the same ground: which one to build, which setting to change, what the answer hangs on.
//!
//! | file | what it does |
//! |---|---|
//! | `base` | the scenario that all variants start from; building a variant |
//! | `range` | `path=lo..hi` and `path=a; b; c` |
//! | `contest` | variants run on the same trials and ranked |
//! | `words` | gaps, chances and calls in plain words |
//! | `answer` | text, document, tables and figures of a command, printed and written |
//! | `retune` | a box re-set for other rock |
//! | `hole_rule`, `hole_words` | the trade's rule on the largest hole; the answer on holes in words |
//! | `single_changes` | the changes that `losses` tries |
//! | `sold` | settings that are bought in set sizes |
//! | `search`, `limit` | finding the best settings within limits |
//! | `compare`, `vary`, `holes`, `losses`, `best`, `drivers` | one command each |

pub(crate) mod answer;
pub(crate) mod base;
pub(crate) mod best;
pub(crate) mod compare;
pub(crate) mod contest;
pub(crate) mod drivers;
mod hole_rule;
mod hole_words;
pub(crate) mod holes;
mod limit;
pub(crate) mod losses;
pub(crate) mod range;
mod retune;
mod search;
pub(crate) mod single_changes;
pub(crate) mod sold;
pub(crate) mod vary;
pub(crate) mod words;
