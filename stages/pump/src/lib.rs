//! A pump with its engine, suction and delivery: where the plant's pressurised water comes from.
//!
//! ```text
//!                      manifold ──hose──> spray bar, nozzles, open end ... (outlets mounted on stages, from = this pump)
//!                         │ delivery, manifold_height above the pump
//!            suction    (pump)=engine
//!   water ───────────────┘ lift above the water
//! ```
//! The stage has no gravel ports. The engine solves its line before the stages run; this stage then tells what the pump, its
//! suction, its engine and the spray bars have to say.

mod engine;
mod facts;
mod settings;
mod shop;
mod stage;
mod trouble;
mod warnings;

pub use stage::PUMP;
