//! Joins streams.
