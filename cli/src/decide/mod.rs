//! Several plants on the same ground: which one to build, which setting to change, what the answer hangs on.
//!
//! | file | what it does |
//! |---|---|
//! | `answer` | text, document, tables and figures of a command, printed and written |
//! | `compare`, `vary`, `holes`, `losses`, `best`, `drivers` | one command each |

pub(crate) mod answer;
pub(crate) mod best;
pub(crate) mod compare;
pub(crate) mod drivers;
pub(crate) mod holes;
pub(crate) mod losses;
pub(crate) mod vary;
