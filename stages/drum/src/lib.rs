//! The rotating drum as a node of the plant graph.
