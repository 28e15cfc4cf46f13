//! The command `stages`: kinds of stages, sections and water outlets with settings, ports, uncertain inputs and sources.

use serde_json::{Value, json};
use sim_core::lever::Lever;
use sim_core::problem::did_you_mean;
use sim_core::quantity::{Dimension, UnitChoice, show};
use sim_core::registry::Registry;
use sim_core::setting::{Kind, Preset, Setting};
use sim_core::stage::Port;

use crate::exit::Exit;
use crate::output::print;

struct Entry {
    what: &'static str,
    name: &'static str,
    purpose: &'static str,
    settings: &'static [Setting],
    levers: &'static [Lever],
    inlets: &'static [Port],
    outlets: &'static [Port],
    reasons: Vec<&'static str>,
    model: &'static str,
}

fn entries(registry: &Registry) -> Vec<Entry> {
    let mut list = Vec::new();
    for k in registry.stages() {
        list.push(Entry {
            what: "stage",
            name: k.name,
            purpose: k.purpose,
            settings: k.settings,
            levers: k.levers,
            inlets: k.inlets,
            outlets: k.outlets,
            reasons: k.reasons.iter().map(|r| r.name).collect(),
            model: k.model,
        });
    }
    for k in registry.sections() {
        list.push(Entry {
            what: "drum section",
            name: k.name,
            purpose: k.purpose,
            settings: k.settings,
            levers: k.levers,
            inlets: &[],
            outlets: &[],
            reasons: Vec::new(),
            model: k.model,
        });
    }
    for k in registry.outlets() {
        list.push(Entry {
            what: "water outlet",
            name: k.name,
            purpose: k.purpose,
            settings: k.settings,
            levers: k.levers,
            inlets: &[],
            outlets: &[],
            reasons: Vec::new(),
            model: "",
        });
    }
    list
}

/// Prints the schema of a scenario with these kinds.
pub(crate) fn schema(registry: &Registry) -> Exit {
    print(&serde_json::to_string_pretty(&crate::scenario_schema(registry)).unwrap_or_default());
    Exit::Done
}

/// Lists the kinds, or describes one.
pub(crate) fn stages(registry: &Registry, kind: Option<&str>, as_json: bool) -> Exit {
    let all = entries(registry);
    let chosen: Vec<&Entry> = match kind {
        None => all.iter().collect(),
        Some(name) => match all.iter().find(|e| e.name == name) {
            Some(entry) => vec![entry],
            None => {
                let near = did_you_mean(name, all.iter().map(|e| e.name))
                    .map_or(String::new(), |n| format!("; did you mean `{n}`?"));
                anstream::eprintln!("error: there is no kind `{name}`{near}");
                return Exit::BadInput;
            }
        },
    };
    if as_json {
        let list: Vec<Value> = chosen.iter().map(|e| entry_json(e)).collect();
        print(&serde_json::to_string_pretty(&list).unwrap_or_default());
    } else if kind.is_none() {
        let mut t = String::new();
        for e in chosen {
            t += &format!("{:<14} {:<12} {}\n", e.what, e.name, e.purpose);
        }
        t += "\n`stages NAME` shows settings, ports, uncertain inputs and sources.\n";
        print(&t);
    } else {
        print(&chosen.iter().map(|e| entry_text(e)).collect::<String>());
    }
    Exit::Done
}

fn wanted(setting: &Setting) -> String {
    match setting.kind {
        Kind::Known(d) | Kind::Quantity(d) => format!("{}, e.g. \"{}\"", d.name(), d.example()),
        Kind::Whole => "whole number".into(),
        Kind::Choice(words) => words.iter().map(|w| format!("{} ({})", w.0, w.1)).collect::<Vec<_>>().join(", "),
        Kind::Switch => "true or false".into(),
        Kind::File { .. } => "name of a file beside the scenario".into(),
        Kind::Text => "text".into(),
        Kind::Rows(columns) => {
            format!("list of rows of {}", columns.iter().map(|d| d.name()).collect::<Vec<_>>().join(" and "))
        }
        Kind::Words(words) => format!("list of: {}", words.iter().map(|w| w.0).collect::<Vec<_>>().join(", ")),
        Kind::Nested => "list or table".into(),
    }
}

fn preset(setting: &Setting) -> String {
    match setting.preset {
        Preset::Required => "must be given".into(),
        Preset::Absent => "may be absent".into(),
        Preset::Text(text) => format!("usual {text}"),
        Preset::SpreadBy { key, .. } => format!("goes by `{key}`"),
        Preset::Spread(make) => make().map_or_else(
            |e| e.to_string(),
            |s| {
                let dimension = setting.dimension().unwrap_or(Dimension::Number);
                s.describe(|x| show(x, dimension, UnitChoice::Metric))
            },
        ),
    }
}

/// The moves of a lever and what they take; `None` for one that only the page or a search moves.
fn moves_of(lever: &Lever) -> Option<String> {
    let words: Vec<&str> = lever.moves().map(|m| m.words).collect();
    let takes = lever.effort.map_or(String::new(), |e| format!("; takes {}", e.words()));
    (!words.is_empty()).then(|| format!("  {:<14} {}{takes}\n", lever.key, words.join(", ")))
}

fn entry_text(e: &Entry) -> String {
    let mut t = format!("{} ({}): {}\n", e.name, e.what, e.purpose);
    if !e.model.is_empty() {
        t += &format!("model: {}\n", e.model);
    }
    for (title, ports) in [("inlets", e.inlets), ("outlets", e.outlets)] {
        if !ports.is_empty() {
            t += &format!("{title}:\n");
            for p in ports {
                t += &format!(
                    "  {:<14} {}{}\n",
                    p.name,
                    p.meaning,
                    if p.optional { " (need not be wired)" } else { "" }
                );
            }
        }
    }
    t += "settings:\n";
    for s in e.settings {
        let uncertain = if matches!(s.kind, Kind::Quantity(_)) {
            format!("; may be a spread, {}", s.nature.word())
        } else {
            String::new()
        };
        let source = if s.source.is_empty() { String::new() } else { format!("\n      source: {}", s.source) };
        t += &format!("  {}\n      {}: {}; {}{uncertain}{source}\n", s.key, s.meaning, wanted(s), preset(s));
    }
    let moved: Vec<String> = e.levers.iter().filter_map(moves_of).collect();
    if !moved.is_empty() {
        t += &format!("may be moved:\n{}", moved.concat());
    }
    if !e.reasons.is_empty() {
        t += &format!("gold leaves as: {}\n", e.reasons.join(", "));
    }
    t
}

fn entry_json(e: &Entry) -> Value {
    let port = |p: &Port| json!({ "name": p.name, "meaning": p.meaning, "optional": p.optional });
    json!({
        "what": e.what, "name": e.name, "purpose": e.purpose, "model": e.model,
        "inlets": e.inlets.iter().map(port).collect::<Vec<_>>(),
        "outlets": e.outlets.iter().map(port).collect::<Vec<_>>(),
        "reasons": e.reasons,
        "levers": e.levers.iter().map(|l| json!({
            "key": l.key, "name": l.name, "takes": l.effort.map(|e| e.words()),
            "moves": l.moves().map(|m| json!({ "words": m.words, "eases": m.eases, "tried_by_losses": m.tried })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "settings": e.settings.iter().map(|s| json!({
            "key": s.key, "meaning": s.meaning, "value": wanted(s), "preset": preset(s),
            "range_si": [s.range.0.is_finite().then_some(s.range.0), s.range.1.is_finite().then_some(s.range.1)],
            "uncertain": matches!(s.kind, Kind::Quantity(_)), "nature": s.nature.word(), "source": s.source
        })).collect::<Vec<_>>()
    })
}
