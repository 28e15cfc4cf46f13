//! What the samples of the ground say, in words and files.

pub mod files;
pub mod text;
