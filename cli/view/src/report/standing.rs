//! Words that stand in every report.

use maud::{Markup, html as markup};
use washgraph_model::result::RunResult;

use crate::report::backing::Backing;
use crate::report::sections::folded;

/// The cautions that hold for every plant.
pub fn cautions() -> Markup {
    markup! {
        ul {
            li { "A turning drum, its chains and belts catch sleeves and hands: guard them, and lock the drive out before anyone reaches in." }
            li { "Hydraulic oil under pressure goes through skin. Never feel for a leak by hand; an injection is an emergency even if it looks like a pinprick." }
            li { "Lifting the drum and welding on it are jobs with their own rules. Rate the gear for the full, wet weight." }
            li { "A pond or dam that lets go endangers everyone below it. Have it looked at by someone who builds them." }
            li { "Water rights and what may be discharged are set where you are. Ask before pumping." }
            li { "Never use mercury or acid to get at fine gold." }
            li { "These are planning estimates. Local codes and licensed practice decide." }
        }
    }
}

pub fn trust(outcome: &RunResult, backing: &Backing) -> Markup {
    markup! {
        p { "The spread in this report comes from what is not known for sure: the ground above all, then the grains' shape, the water, and the constants of the models. It does not hold what the models leave out: breakdowns, a crew that feeds unevenly in its own way, frozen ground, a worn screen." }
        p { "Differences between two plants worked out on the same ground are surer than either number alone. Gold finer than about 0.1 mm is the least sure: shape decides there, and few have measured it." }
        p { "Assumed values can move the answer. Replace them with your own weighed samples, sieved gold and measured flows, and run again." }
        @if !outcome.warnings.is_empty() { p { strong { "Some models were used outside the range that they were made for: see Warnings." } } }
        h3 { "Models and what they were checked against" }
        (backing.models_grid().html())
        @let set = backing.sources.iter().filter(|s| s.set_on_it).count();
        @if !backing.sources.is_empty() { p { "Laws of the program were compared with " (backing.sources.len()) " published tables and numbers; " (set) " of them set a constant and so prove nothing." } }
        (folded("Every law that was compared, and its source", &backing.sources_grid()))
        p.quiet { code { "washgraph validate" } " prints every check with the published number beside the computed one; " code { "washgraph handbook" } " has every formula as a calculator with its source." }
        (folded("Every uncertain input, what it was taken as, and why", &backing.inputs_grid()))
    }
}
