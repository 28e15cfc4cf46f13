//! The sluice as a whole: its checks, its calculators, sweeps over its inputs, and what must hold for any input.

mod cases;
mod handbook;
mod properties;
mod sweeps;
