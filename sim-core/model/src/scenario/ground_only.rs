//! The ground of a scenario without its plant: for asking what the samples say before a plant is thought of.

use toml::de::DeTable;

use super::ground::{Surroundings, read_ground};
use super::read::{Opened, SCENARIO_SETTINGS};
use super::sources::Sources;
use sim_core::draw::InputList;
use sim_core::ground::Ground;
use sim_core::problem::Problems;
use sim_core::quantity::UnitChoice;
use sim_core::setting::{Reader, SpreadMeaning};

/// A ground with what is needed to speak of it.
pub struct GroundOnly {
    /// Title of the scenario.
    pub title: String,
    /// Units of the user.
    pub units: UnitChoice,
    /// The ground.
    pub ground: Ground,
    /// Its uncertain inputs.
    pub inputs: InputList,
}

/// Reads `[ground]` and the settings on top of the scenario; everything else is left unread.
pub fn build_ground(opened: &Opened, problems: &mut Problems) -> Option<GroundOnly> {
    let (document, syntax) = DeTable::parse_recoverable(&opened.text);
    for error in &syntax {
        problems.error(error.span(), error.message().to_lowercase(), "each line is key = value, texts in quotes");
    }
    if !syntax.is_empty() {
        return None;
    }
    let whole = 0..opened.text.lines().next().map_or(0, str::len);
    let mut inputs = InputList::default();
    let top = Reader { inputs: &mut inputs, problems, meaning: SpreadMeaning::OneInTen }.read(
        document.get_ref(),
        whole.clone(),
        SCENARIO_SETTINGS,
        "the scenario",
    );
    let meaning = if top.word("spread_means") == "limits" { SpreadMeaning::Limits } else { SpreadMeaning::OneInTen };
    let units = match top.word("units") {
        "metric" => UnitChoice::Metric,
        "imperial" => UnitChoice::Imperial,
        _ => UnitChoice::Us,
    };
    let (mut sources, mut understood) = (Sources::of(&opened.text), Vec::new());
    let ground = read_ground(
        document.get_ref(),
        whole,
        &mut Reader { inputs: &mut inputs, problems, meaning },
        top.number("period"),
        &mut Surroundings { folder: &opened.folder, units, sources: &mut sources, understood: &mut understood },
    );
    if problems.has_errors() {
        return None;
    }
    Some(GroundOnly { title: top.word("title").to_string(), units, ground: ground?, inputs })
}
