//! The best settings within limits.
//!
//! | file | what it does |
//! |---|---|
//! | [`search`] | the search |
//! | [`limit`] | limits that a plant must keep |

pub mod limit;
pub mod search;
