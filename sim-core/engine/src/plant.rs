//! The plant: a graph of stages joined by named ports, checked so that it cannot be wrong.
//!
//! Streams live in slots. Stages stand in the order of flow, and the outlets of a stage are neighbouring slots after all
//! slots of the stages before it, so that a stage can read its inlets while it writes its outlets.

use std::ops::Range;

use washgraph_ground::ground::Ground;
use washgraph_money::MoneyPlan;
use washgraph_stats::draw::{Input, InputList};

use crate::lever::Serves;
use crate::provenance::{Program, SourceFile, TunedNote};
use crate::stage::{Measure, Mounted, Port, Reason, SectionSettings, Stage, StageKind, Warning, reasons};
use crate::water_line::Line;
pub use crate::water_line::OutletNode;
use washgraph_units::problem::{Problems, did_you_mean};
use washgraph_units::quantity::UnitChoice;

/// A stage in its place.
pub struct Node {
    /// Id in the scenario.
    pub id: String,
    /// Its kind.
    pub kind: &'static StageKind,
    /// The stage.
    pub stage: Box<dyn Stage>,
    /// Slot of each inlet.
    pub inlets: Vec<Option<usize>>,
    /// Slots of its outlets.
    pub outlets: Range<usize>,
    /// Its measures in the plant's list.
    pub measures: Range<usize>,
    /// Its warnings in the plant's list.
    pub warnings: Range<usize>,
    /// Number of its line of water, if it pumps.
    pub line: Option<usize>,
    /// Number of its first note; that one stands for gold wired to the tailings untreated.
    pub note_base: usize,
}

/// Stage and reason of a loss.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    /// Id of the stage.
    pub stage: String,
    /// The reason.
    pub reason: Reason,
}

/// A plant that can be run.
pub struct Plant {
    /// The program that it was built by.
    pub program: Program,
    /// Title of the scenario.
    pub title: String,
    /// The question that it answers.
    pub question: String,
    /// Units of the user.
    pub units: UnitChoice,
    /// Number of trials unless the command says otherwise.
    pub trials: u64,
    /// Seed unless the command says otherwise.
    pub seed: u64,
    /// Time run in a season, s; NaN when not said.
    pub season_s: f64,
    /// Prices and costs, when the scenario has them.
    pub money: Option<MoneyPlan>,
    /// Uncertain inputs.
    pub inputs: InputList,
    /// The ground.
    pub ground: Ground,
    /// Stages in the order of flow.
    pub nodes: Vec<Node>,
    /// Water outlets.
    pub outlets: Vec<OutletNode>,
    /// Pumps, each with the outlets that it feeds.
    pub lines: Vec<Line>,
    /// Stage and reason of every possible loss.
    pub notes: Vec<Note>,
    /// Every measure, stage by stage.
    pub measures: Vec<Measure>,
    /// Every warning, stage by stage.
    pub warnings: Vec<Warning>,
    /// Number of stream slots.
    pub slots: usize,
    /// Slots that end in the tailings, each with the stage that feeds it.
    pub tailings: Vec<(usize, usize)>,
    /// Loose volume fed per second by each source.
    pub feeds: Vec<Input>,
    /// The wires as understood, `from -> to`.
    pub wires: Vec<String>,
    /// What was typed or taken for every setting, table by table.
    pub understood: Vec<Understood>,
    /// The tuned file that its inputs are drawn by; `None` for a plant that was not tuned.
    pub tuned: Option<TunedNote>,
    /// SHA-256 of the scenario and the files that it names.
    pub sha256: String,
    /// The files that the scenario names, as read.
    pub files: Vec<SourceFile>,
}

/// The settings of one table as understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Understood {
    /// Name of the table: the stage, section, outlet or ground.
    pub owner: String,
    /// Kind, if it has one.
    pub kind: String,
    /// Its settings that have a value.
    pub rows: Vec<UnderstoodRow>,
}

/// A setting as understood, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnderstoodRow {
    /// Its key in the scenario: by this it is found, never by the words.
    pub key: &'static str,
    /// What it is to the plant, for the few that must be found whatever their key is.
    pub serves: Option<Serves>,
    /// What it means.
    pub meaning: String,
    /// Its value.
    pub value: String,
    /// Whether it was given in the scenario; else it was assumed.
    pub given: bool,
}

/// A stage before the graph is put together.
pub struct Part {
    /// Id in the scenario.
    pub id: String,
    /// Its place in the text, for messages.
    pub place: Range<usize>,
    /// Its kind.
    pub kind: &'static StageKind,
    /// The stage; `None` when its builder refused the settings.
    pub stage: Option<Box<dyn Stage>>,
    /// Measures that it will write.
    pub measures: Vec<Measure>,
    /// Warnings that it may raise.
    pub warnings: Vec<Warning>,
    /// Kept so that the sections live as long as the stage is being checked.
    pub sections: Vec<SectionSettings>,
    /// Water outlets mounted on it.
    pub mounted: Vec<Mounted>,
}

/// A wire as typed.
pub struct Wire {
    /// The text, `stage.outlet -> stage.inlet`.
    pub text: String,
    /// Its place in the scenario.
    pub place: Range<usize>,
}

/// Name of the place where everything ends that is not wired on.
pub const TAILINGS: &str = "tailings";

/// The graph of parts, before slots are given out.
pub struct Wiring {
    /// Order of flow, as indices of parts.
    pub order: Vec<usize>,
    /// For each part and inlet: the part and outlet that feed it.
    pub feeds: Vec<Vec<Option<(usize, usize)>>>,
    /// For each part and outlet: whether it ends in the tailings.
    pub ends: Vec<Vec<bool>>,
    /// The wires in words.
    pub wires: Vec<String>,
}

/// Reads the wires and puts the stages in the order of flow; every fault is recorded.
pub fn wire_up(parts: &[Part], wires: &[Wire], list_place: Range<usize>, problems: &mut Problems) -> Option<Wiring> {
    let errors_before = problems.error_count();
    let mut feeds: Vec<Vec<Option<(usize, usize)>>> = parts.iter().map(|p| vec![None; p.kind.inlets.len()]).collect();
    let mut used: Vec<Vec<bool>> = parts.iter().map(|p| vec![false; p.kind.outlets.len()]).collect();
    let mut ends: Vec<Vec<bool>> = used.clone();
    let mut drawn = Vec::new();
    for wire in wires {
        let Some((from, to)) = wire.text.split_once("->") else {
            problems.error(
                wire.place.clone(),
                format!("`{}` is not a wire", wire.text),
                "write \"stage.outlet -> stage.inlet\"",
            );
            continue;
        };
        let (from, to) = (from.trim(), to.trim());
        let source = end_of(parts, from, &wire.place, false, problems);
        let Some((p, o)) = source else { continue };
        if used[p][o] {
            problems.error(
                wire.place.clone(),
                format!("outlet `{from}` is wired twice"),
                "to divide a stream put a splitter in between",
            );
            continue;
        }
        if to == TAILINGS {
            used[p][o] = true;
            ends[p][o] = true;
            drawn.push(format!("{from} -> {to}"));
            continue;
        }
        let Some((q, i)) = end_of(parts, to, &wire.place, true, problems) else { continue };
        if feeds[q][i].is_some() {
            problems.error(
                wire.place.clone(),
                format!("inlet `{to}` is fed twice"),
                "to bring streams together put a junction in between",
            );
            continue;
        }
        used[p][o] = true;
        feeds[q][i] = Some((p, o));
        drawn.push(format!("{from} -> {to}"));
    }
    if problems.error_count() > errors_before {
        // What a wire with a fault in it leaves open would only be told once more.
        return None;
    }
    for (p, part) in parts.iter().enumerate() {
        for (o, port) in part.kind.outlets.iter().enumerate() {
            if !used[p][o] {
                if port.optional {
                    ends[p][o] = true;
                } else {
                    problems.error(
                        part.place.clone(),
                        format!("outlet `{}.{}` ({}) is not wired", part.id, port.name, port.meaning),
                        format!("add a wire \"{}.{} -> {TAILINGS}\" or to another stage", part.id, port.name),
                    );
                }
            }
        }
        for (i, port) in part.kind.inlets.iter().enumerate() {
            if feeds[p][i].is_none() && !port.optional {
                problems.error(
                    part.place.clone(),
                    format!("nothing feeds `{}.{}`: the stage cannot be reached", part.id, port.name),
                    format!("add a wire \"... -> {}.{}\" or take the stage out", part.id, port.name),
                );
            }
        }
    }
    let order = order_of_flow(parts, &feeds, list_place, problems);
    if problems.error_count() > errors_before {
        return None;
    }
    Some(Wiring { order, feeds, ends, wires: drawn })
}

/// Finds `stage.port`.
fn end_of(
    parts: &[Part],
    text: &str,
    place: &Range<usize>,
    inlet: bool,
    problems: &mut Problems,
) -> Option<(usize, usize)> {
    let (stage, port) = match text.split_once('.') {
        Some((stage, port)) => (stage.trim(), Some(port.trim())),
        None => (text, None),
    };
    let Some(p) = parts.iter().position(|x| x.id == stage) else {
        let mut known: Vec<&str> = parts.iter().map(|x| x.id.as_str()).collect();
        if inlet {
            known.push(TAILINGS);
        }
        let help = match did_you_mean(stage, known.iter().copied()) {
            Some(word) => format!("did you mean `{word}`?"),
            None => format!("known: {}", known.join(", ")),
        };
        problems.error(place.clone(), format!("there is no stage `{stage}`"), help);
        return None;
    };
    let ports: &[Port] = if inlet { parts[p].kind.inlets } else { parts[p].kind.outlets };
    let word = if inlet { "inlet" } else { "outlet" };
    let Some(port) = port.or(if ports.len() == 1 { ports.first().map(|x| x.name) } else { None }) else {
        let names = ports.iter().map(|x| format!("{stage}.{}", x.name)).collect::<Vec<_>>().join(", ");
        problems.error(place.clone(), format!("`{stage}` needs the name of its {word}"), format!("one of: {names}"));
        return None;
    };
    let found = ports.iter().position(|x| x.name == port);
    if found.is_none() {
        let names = ports.iter().map(|x| x.name).collect::<Vec<_>>().join(", ");
        let help = match did_you_mean(port, ports.iter().map(|x| x.name)) {
            Some(word) => format!("did you mean `{word}`?"),
            None if names.is_empty() => format!("a {} has no {word}s", parts[p].kind.name),
            None => format!("its {word}s: {names}"),
        };
        problems.error(place.clone(), format!("`{stage}` has no {word} `{port}`"), help);
    }
    found.map(|i| (p, i))
}

/// Kahn's order: stages whose inlets are all fed by stages before them. What is left over stands in a loop.
fn order_of_flow(
    parts: &[Part],
    feeds: &[Vec<Option<(usize, usize)>>],
    place: Range<usize>,
    problems: &mut Problems,
) -> Vec<usize> {
    let mut done = vec![false; parts.len()];
    let mut order = Vec::with_capacity(parts.len());
    while let Some(next) =
        (0..parts.len()).find(|&p| !done[p] && feeds[p].iter().flatten().all(|&(from, _)| done[from]))
    {
        done[next] = true;
        order.push(next);
    }
    let looped: Vec<&str> = parts.iter().zip(&done).filter(|(_, d)| !**d).map(|(p, _)| p.id.as_str()).collect();
    if !looped.is_empty() {
        problems.error(
            place,
            format!("the wires run in a loop through {}", looped.join(", ")),
            "gravel must flow one way; water that comes back belongs to the pond, not to a wire",
        );
    }
    order
}

impl Plant {
    /// Notes of all parts: for each stage one for gold sent to the tailings untreated, then its own reasons.
    pub fn notes_of(nodes: &[(String, &'static StageKind)]) -> (Vec<Note>, Vec<usize>) {
        let mut notes = Vec::new();
        let mut bases = Vec::new();
        for (id, kind) in nodes {
            bases.push(notes.len());
            notes.push(Note { stage: id.clone(), reason: reasons::UNTREATED });
            notes.extend(kind.reasons.iter().map(|r| Note { stage: id.clone(), reason: *r }));
        }
        (notes, bases)
    }
}
