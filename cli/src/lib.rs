//! The washgraph program as a library, so that a binary with further stage crates is five lines.

pub mod figures;
pub mod report;
