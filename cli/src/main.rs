//! The washgraph program.

fn main() {}
