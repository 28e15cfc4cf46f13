//! Money of a scenario: what the owner may type, the seasons of a run, and what the result says of them.
//!
//! | file | what is there |
//! |---|---|
//! | [`settings`] | what the owner may type |
//! | [`seasons`] | the seasons of a run |
//! | [`summary`] | what the result says of it |

pub mod seasons;
pub mod settings;
pub mod summary;

pub use seasons::Seasons;
