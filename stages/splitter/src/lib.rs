//! Divides a stream in set shares.
