//! The fields of a form: one for each setting that the kinds declare, with what stands in the scenario, what was typed,
//! and what is wrong with it. A new kind appears here without any code of the page.

use sim_core::problem::{Problem, Severity};
use sim_core::quantity::UnitChoice;
use sim_core::registry::Registry;
use sim_core::setting::{Kind, Preset, Setting};
use washgraph_model::variant::Settable;

use crate::page::design::{Changes, Design};
use crate::page::edit::Edited;
use crate::page::lever::{PageLever, lever_of, start_of, stops};
use crate::page::places::{About, Places};
use crate::page::sieve;
use washgraph_view::numbers::capital;

/// A field.
#[derive(Debug, Clone)]
pub(super) struct Field {
    pub path: String,
    pub setting: Setting,
    /// What the field shows.
    pub value: String,
    /// What stands in the file; a field that shows this is not changed.
    pub in_file: String,
    /// What holds when nothing is typed.
    pub usual: Option<String>,
    /// The spread in force, when there is one.
    pub spread: Option<[String; 3]>,
    /// Ends of the spread as typed over it.
    pub ends: [String; 2],
    pub lever: Option<PageLever>,
    /// Steps of a lever.
    pub stops: Vec<String>,
    /// What moves along with it, or that it moved along itself.
    pub along: Option<String>,
    /// Whether anything can move along with it, or it with something.
    pub in_step: bool,
    pub remarks: Vec<Remark>,
}

/// Something to say beside a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Remark {
    pub severity: Severity,
    pub message: String,
    pub help: String,
}

/// The fields of one table.
#[derive(Debug, Clone)]
pub(super) struct Group {
    /// Name of the table as in paths; empty for the scenario itself.
    pub owner: String,
    pub title: String,
    pub purpose: String,
    pub fields: Vec<Field>,
    pub remarks: Vec<Remark>,
}

/// All fields, and what has none.
pub(super) struct Sheet {
    pub groups: Vec<Group>,
    /// Remarks about the scenario as a whole.
    pub remarks: Vec<Remark>,
    /// The sieve sheet in force, one sieve a line; empty when it stands in a file.
    pub sieves: String,
    pub sieves_in_file: String,
    pub sieve_remarks: Vec<Remark>,
}

impl Field {
    /// Name of the element in the page.
    pub fn id(&self) -> String {
        id_of(&self.path)
    }

    /// Short name.
    pub fn label(&self) -> String {
        self.lever.map_or_else(|| capital(&self.setting.key.replace('_', " ")), |l| l.name.to_string())
    }

    pub fn changed(&self) -> bool {
        self.value != self.in_file || self.ends.iter().any(|e| !e.is_empty())
    }

    pub fn required(&self) -> bool {
        matches!(self.setting.preset, Preset::Required)
    }

    /// Whether ends of a spread may be typed.
    pub fn may_spread(&self) -> bool {
        matches!(self.setting.kind, Kind::Quantity(_))
    }
}

/// A path as the name of an element.
pub(super) fn id_of(path: &str) -> String {
    let plain = path.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' });
    format!("f-{}", plain.collect::<String>())
}

/// Path under which a form sends a field.
pub(super) fn typed<'c>(changes: &'c Changes, path: &str) -> Option<&'c str> {
    changes.iter().find(|(p, _)| p == path).map(|(_, v)| v.as_str())
}

/// Lays out the fields of an edited scenario, with the problems that the reading found.
pub(super) fn sheet(
    edited: &Edited,
    design: &Design,
    file_sieves: String,
    problems: &[Problem],
    registry: &Registry,
    units: UnitChoice,
) -> Sheet {
    let mut groups: Vec<Group> = Vec::new();
    for now in &edited.list {
        let in_file = edited.file_list.iter().find(|s| s.path == now.path);
        let mut field = field(now, in_file, &edited.list, &design.changes, units);
        for along in &edited.along {
            if now.path == along.path {
                field.along = Some(format!("In step with the {}: {}.", key_words(&along.leader), along.text));
                // It is no change of the user's own: the form must not send it as one.
                field.in_file = field.value.clone();
            } else if now.path == along.leader {
                field.along = Some(format!("The {} moves along to {}.", key_words(&along.path), along.text));
            }
        }
        match groups.last_mut() {
            Some(group) if group.owner == now.owner => group.fields.push(field),
            _ => groups.push(Group { fields: vec![field], ..group_of(now, registry) }),
        }
    }
    let sieves = match typed(&design.changes, sieve::PATH) {
        Some(text) => text.to_string(),
        None => file_sieves.clone(),
    };
    let mut sheet =
        Sheet { groups, remarks: Vec::new(), sieves, sieves_in_file: file_sieves, sieve_remarks: Vec::new() };
    for c in &edited.complaints {
        sheet.put(About::Setting(c.path.clone()), Severity::Error, &c.message, &c.help);
    }
    let places = Places::of(&edited.opened.text);
    let known = |path: &str| path == sieve::PATH || edited.list.iter().any(|s| s.path == path);
    for p in problems {
        sheet.put(places.about(p, &known), p.severity, &p.message, &p.help);
    }
    sheet
}

fn field(now: &Settable, in_file: Option<&Settable>, list: &[Settable], changes: &Changes, units: UnitChoice) -> Field {
    let file_value = in_file.and_then(|s| s.given.clone()).unwrap_or_default();
    let value = typed(changes, &now.path).map_or_else(|| now.given.clone().unwrap_or_default(), str::to_string);
    let end = |e: &str| typed(changes, &format!("{}{e}", now.path)).unwrap_or_default().to_string();
    let lever = lever_of(now, list);
    Field {
        path: now.path.clone(),
        setting: now.setting,
        value,
        in_file: file_value,
        usual: now.usual.clone().or_else(|| start_of(now, list).map(str::to_string)),
        spread: now.spread.clone(),
        ends: [end(".low"), end(".high")],
        lever,
        stops: if lever.is_some() { stops(now, list, units) } else { Vec::new() },
        along: None,
        in_step: leads(now) || list.iter().any(|s| s.owner == now.owner && follows(s).contains(&now.setting.key)),
        remarks: Vec::new(),
    }
}

/// Keys that keep their ratio to a setting.
fn follows(setting: &Settable) -> &'static [&'static str] {
    setting.lever.map_or(&[], |l| l.follows)
}

fn leads(setting: &Settable) -> bool {
    !follows(setting).is_empty()
}

/// The last part of a path in words.
fn key_words(path: &str) -> String {
    path.rsplit('.').next().unwrap_or(path).replace('_', " ")
}

fn group_of(setting: &Settable, registry: &Registry) -> Group {
    let kind = setting.kind.as_str();
    let purpose = registry
        .stages()
        .iter()
        .map(|k| (k.name, k.purpose))
        .chain(registry.sections().iter().map(|k| (k.name, k.purpose)))
        .chain(registry.outlets().iter().map(|k| (k.name, k.purpose)))
        .find(|(name, _)| *name == kind && !kind.is_empty())
        .map_or("", |(_, purpose)| purpose);
    let owner = setting.owner.clone();
    let title = match (owner.as_str(), kind) {
        ("", _) => "The scenario".to_string(),
        (name, "") => capital(&name.replace('.', ": ")),
        (name, kind) if name == kind || name.ends_with(&format!(".{kind}")) => capital(&name.replace('.', ": ")),
        (name, kind) => format!("{} ({kind})", capital(&name.replace('.', ": "))),
    };
    Group { owner, title, purpose: purpose.to_string(), fields: Vec::new(), remarks: Vec::new() }
}

impl Sheet {
    fn put(&mut self, about: About, severity: Severity, message: &str, help: &str) {
        let remark = Remark { severity, message: message.to_string(), help: help.to_string() };
        let list = match about {
            About::Setting(path) if path == sieve::PATH => &mut self.sieve_remarks,
            About::Setting(path) => match self.field_mut(&path) {
                Some(field) => &mut field.remarks,
                None => &mut self.remarks,
            },
            About::Table(owner) => match self.groups.iter_mut().find(|g| g.owner == owner) {
                Some(group) => &mut group.remarks,
                None => &mut self.remarks,
            },
            About::Whole => &mut self.remarks,
        };
        if !list.contains(&remark) {
            list.push(remark);
        }
    }

    fn field_mut(&mut self, path: &str) -> Option<&mut Field> {
        self.groups.iter_mut().flat_map(|g| &mut g.fields).find(|f| f.path == path)
    }

    /// All fields.
    pub fn fields(&self) -> impl Iterator<Item = &Field> {
        self.groups.iter().flat_map(|g| &g.fields)
    }

    /// Every remark with the element that it stands beside, errors first.
    pub fn all_remarks(&self) -> Vec<(String, &Remark)> {
        let mut all: Vec<(String, &Remark)> = self.remarks.iter().map(|r| (String::new(), r)).collect();
        for group in &self.groups {
            all.extend(group.remarks.iter().map(|r| (group_id(&group.owner), r)));
            all.extend(group.fields.iter().flat_map(|f| f.remarks.iter().map(|r| (f.id(), r))));
        }
        all.extend(self.sieve_remarks.iter().map(|r| (id_of(sieve::PATH), r)));
        all.sort_by_key(|(_, r)| std::cmp::Reverse(r.severity));
        all
    }
}

/// Name of the element of a group.
pub(super) fn group_id(owner: &str) -> String {
    format!("g{}", id_of(if owner.is_empty() { "scenario" } else { owner }).trim_start_matches('f'))
}

#[cfg(test)]
mod tests {
    use sim_core::lever::{Lever, Question};
    use sim_core::problem::Problems;
    use sim_core::quantity::Dimension;
    use sim_core::stage::OutletKind;
    use washgraph_model::scenario::{Opened, build};

    use super::*;
    use crate::page::edit::edited;

    /// A kind that the page has never heard of.
    static WINDMILL: OutletKind = OutletKind::new("windmill", "water that the wind lifts", |_| None)
        .settings(&[
            Setting::required("sails", Dimension::Area, (0.1, 100.0), "area of the sails"),
            Setting::choice("wood", &[("larch", "larch"), ("oak", "oak")], Preset::Text("oak"), "what it is made of"),
            Setting::usual("mast", Dimension::Length, "20 ft", (1.0, 60.0), "height of the mast"),
        ])
        .levers(&[Lever::new("mast", "Mast of the mill").beside(Question::Water)]);

    fn laid_out(extra: &str, change: &str) -> Sheet {
        let registry = washgraph_standard_stages::registry().outlet(&WINDMILL);
        let text = format!("{}{extra}", include_str!("../../../tests/broken/sound.toml"));
        let asked = crate::page::design::Asked::read(format!("file=a.toml&{change}").as_bytes()).unwrap();
        let opened = Opened { text, folder: std::path::PathBuf::new() };
        let Ok(edited) = edited(opened, &asked.design, &registry) else { panic!("it cannot be read") };
        let mut problems = Problems::default();
        build(&edited.opened, &registry, &mut problems);
        sheet(&edited, &asked.design, String::new(), &problems.in_order(), &registry, UnitChoice::Us)
    }

    #[test]
    fn property_a_new_kind_appears_without_code_of_the_page() {
        let sheet = laid_out(
            "\n[[water]]\nid = \"mill\"\nkind = \"windmill\"\non = \"sluice\"\nsails = \"12 ft2\"\n",
            "s.mill.wood=larch",
        );
        let group = sheet.groups.iter().find(|g| g.owner == "mill").unwrap();
        assert_eq!((group.title.as_str(), group.purpose.as_str()), ("Mill (windmill)", "water that the wind lifts"));
        let shown = crate::page::forms::everything(&sheet).into_string();
        for part in ["Area of the sails", "value=\"12 ft2\"", "name=\"s.mill.wood\"", "larch: larch", "1 changed"] {
            assert!(shown.contains(part), "{part}");
        }
        let levers = crate::page::forms::levers(&sheet, Question::Water).into_string();
        for part in ["Mast of the mill", "19 ft|20 ft|21 ft", "Gravel fed"] {
            assert!(levers.contains(part), "{part}: {levers}");
        }
        assert!(!shown.contains("f-mill-mast"), "a lever stands once");
    }

    #[test]
    fn property_a_problem_finds_its_field() {
        let sheet = laid_out(
            "\n[[water]]\nkind = \"windmill\"\non = \"sluice\"\n",
            "s.drum.scrubber.length=five&s.hopper.rate=3+ton",
        );
        let beside = |path: &str| sheet.fields().find(|f| f.path == path).unwrap().remarks.len();
        assert_eq!(beside("windmill.sails"), 1, "{:?}", sheet.all_remarks());
        assert_eq!((beside("drum.scrubber.length"), beside("drum.screen.length")), (1, 0));
        assert!(beside("hopper.rate") > 0);
    }
}
