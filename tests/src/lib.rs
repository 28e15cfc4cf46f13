//! End-to-end and published-value tests over the whole workspace.
