//! The engine of washgraph behind one door: all that a stage, a drum section or a water outlet from anywhere needs. It knows no
//! particular kind.
//!
//! Read it from top to bottom: each row uses only what stands above it, and the compiler sees to that, for each row is a crate.
//!
//! | crate | modules | what is there |
//! |---|---|---|
//! | `washgraph-units` | [`quantity`] | units of the trade: read, printed |
//! | | [`math`], [`constants`] | elementary functions with the same bits on every machine; constants once each |
//! | | [`owner_file`] | files of the owner: pipes, devices and what is far too large are refused in words |
//! | | [`stock`] | sizes in which plate, drills, hose and steel are sold |
//! | | [`formula`], [`check`], [`problem`] | handbook entries, checks against published values, problems of an input |
//! | `washgraph-stats` | [`stats`] | distributions, posteriors, percentiles |
//! | | [`draw`], [`joint`] | addressed random numbers; inputs drawn together |
//! | `washgraph-physics` | [`size`] | sieve series, the size grid, gradation curves |
//! | | [`particle`] | water, settling and threshold laws, grain shape |
//! | | [`hydraulics`] | holes, pipes, pumps, channels, the network, ponds |
//! | | [`drum`] | the march along a rotating drum; what sprays take off washed rock |
//! | `washgraph-money` | [`money`] | what gold, fuel, hours and clean-ups are worth |
//! | `washgraph-ground` | [`field`], [`ground`] | field sheets and what they say; one draw of the ground |
//! | | [`samples`] | what the samples come to, and what the next one is worth |
//! | `washgraph-engine` | [`setting`], [`shell_settings`] | settings that a kind declares: reading, ranges, spreads |
//! | | [`lever`] | which settings may be moved, and how |
//! | | [`stream`], [`stage`], [`registry`] | what flows; the contract of kinds; the list of kinds |
//! | | [`plumbing`], [`water_line`] | hoses, pumps and outlets; the line of a pump solved trial by trial |
//! | | [`return_water`] | water that comes back from the pond |
//! | | [`shop`], [`curves`] | what a part tells the shop that builds it; curves of the middle case |
//! | | [`plant`], [`trial`], [`need_met`] | the graph, the trial loop, water needed against water at hand |
//! | | [`readout`] | what can be read off a plant, trial by trial |
//! | | [`mod@bench`] | one stage alone under test |
//! | | [`provenance`] | the program and the files that a result stands on |
//!
//! A stage crate depends on this one alone. What reads scenarios and words answers (`washgraph-model`, `washgraph-advice`, the
//! program) stands above the stages and meets them through the [`registry`].
//!
//! # What a kind may bring
//!
//! | it brings | by |
//! |---|---|
//! | itself | a `static` made by [`stage::StageKind::new`] and the methods after it: settings, ports, reasons, formulas, checks |
//! | a section of a drum, a water outlet | [`stage::SectionKind`] (see `stages/scrubber`), [`stage::OutletKind`] (see `stages/make-up`) |
//! | gold caught in a section | `takes_gold` and `tracer_rates` say what leaves the bed, `catches` that it is caught (`stages/nugget-trap`) |
//! | a number of each trial | [`stage::StageBuilder::measure`] with words and kind of quantity |
//! | a need of water | `water_need` declares it, `water_at_hand` what reaches the stage for it, `water_rule` what each rule asks for; [`need_met`] compares them trial by trial |
//! | a warning | [`stage::StageBuilder::warning`]; `warning_text` gives it the numbers of the middle case |
//! | curves of the middle case | [`stage::Stage::curves`] |
//! | what may be moved, by which steps, in which sizes it is sold | `levers` of the kind: [`lever::Lever`], a row beside the settings |
//! | how it is set anew for other rock | [`stage::Stage::reset`] |
//! | what goes wrong, what can be read, what is seen | [`stage::Fault`], [`stage::Reading`], [`stage::Symptom`] beside its settings: causes, checks and questions of `diagnose`, observations of `tune` |
//! | its shop sheet | [`stage::Stage::shop`]: rows with how sure they are, pieces, work, drawings in metres |
//! | a file beside the scenario | a setting of [`setting::Kind::File`]; the scenario reads it and keeps its fingerprint |
//!
//! `stages/junction` is the smallest example, `stages/sluice` shows uncertain constants, measures and warnings, [`mod@bench`] runs one stage
//! alone on streams made by hand, and the crate `washgraph-conformance` asks of a kind what every kind must do.

pub use washgraph_engine::{
    bench, curves, lever, need_met, plant, plumbing, provenance, readout, registry, return_water, setting,
    shell_settings, shop, stage, stream, trial, water_line,
};
pub use washgraph_ground::{field, ground, samples};
pub use washgraph_money as money;
pub use washgraph_physics::{drum, hydraulics, particle, size};
pub use washgraph_stats as stats;
pub use washgraph_stats::{draw, joint};
pub use washgraph_units::{check, constants, formula, math, owner_file, problem, quantity, stock};
