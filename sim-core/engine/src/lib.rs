//! The engine: the contract of kinds, the graph of a plant, and the trial loop. It knows no particular stage: stages, drum sections
//! and water outlets plug in from their own crates.
//!
//! A trial draws its inputs and its ground (an address is seed, trial and name, so that one more input moves no other), solves the
//! water of each pump from the middle case on, and runs the stages in the order of flow; tailings are booked by note (stage and
//! reason). Gold is a tracer: streams carry the gold expected, and [`trial::Worker`] multiplies its books by the grains that came in
//! the period and, for money, in a season. Gold that a stage sends astray keeps a note of stage and reason in its stream until another
//! stage handles it or it reaches the tailings.
//!
//! With a pond the stages run in two sweeps ([`return_water`]): solids, freed clay and water first, from which the pond finds the fines
//! that hang in the water of all outlets (in closed form, by class); then, from the first stage that feels mud, gold in that water.
//! The plant is never run in circles.
//!
//! A third of a trial is drawing it. What a trial drew can be handed to other plants on the same ground as far as it is certain to come
//! out the same, so that plants run together give the bytes of plants run alone ([`trial`]). Nothing is allocated on that path.

pub mod bench;
pub mod curves;
pub mod lever;
pub mod need_met;
pub mod plant;
pub mod plumbing;
pub mod provenance;
pub mod readout;
pub mod registry;
pub mod return_water;
pub mod setting;
pub mod shell_settings;
pub mod shop;
pub mod stage;
pub mod stream;
pub mod trial;
pub mod water_line;
