//! The physics of a wash plant, free of any plant: sieves and gradations, grains in water, pipes and pumps and ponds, the bed in
//! a rotating drum. Each formula is one function beside its source and its checks.

pub mod drum;
pub mod hydraulics;
pub mod particle;
pub mod size;
