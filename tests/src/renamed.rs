//! The standard kinds under other names: every kind, setting, port, measure, reason and warning is called something else.
//!
//! The engine, the advice, the commands and the page must know none of them by name. A program made of these kinds therefore gives the
//! same figures and the same advice for the same plant, but for the names themselves; the test `renamed_world` asks it.

use std::any::Any;
use std::sync::OnceLock;

use sim_core::curves::Curves;
use sim_core::draw::Input;
use sim_core::lever::{First, Lever};
use sim_core::plumbing::Supply;
use sim_core::quantity::Phrase;
use sim_core::registry::Registry;
use sim_core::setting::{Kind, Preset, Setting, Settings};
use sim_core::shop::{ShopPart, StageSite};
use sim_core::stage::{
    BuildOutlet, BuildSection, BuildStage, Fault, Grade, Outlet, OutletBuilder, OutletKind, Port, Ports, Reading,
    Reason, Reset, ResetSite, Role, SectionBuilder, SectionKind, SectionPlan, SectionSettings, Source, Stage,
    StageBuilder, StageKind, Start, Trial, Warning,
};
use sim_core::stream::Stream;
use toml_edit::{DocumentMut, Item, Table, Value};

/// Ends of a renamed kind, port or warning, of a renamed setting or measure, and of a renamed reason.
pub const ENDS: [&str; 3] = ["-qq", "_qq", " qq"];
/// Keys of every table, which no kind declares.
const SHARED: [&str; 6] = ["id", "kind", "on", "from", "section", "wires"];

/// A stage that drops half of what it is fed of one thing, for the test that no command answers of such a plant.
pub static THIEF: StageKind = StageKind::new("thief", "keeps half for itself", |b: &mut StageBuilder<'_>| {
    Some(Box::new(Thief { takes_rock: b.id == "rock-thief" }))
})
.inlets(&[Port::required("feed", "all of it")])
.outlets(&[Port::required("out", "what is left of it")])
.model("thief 1");

struct Thief {
    takes_rock: bool,
}

impl Stage for Thief {
    fn run(&self, _trial: &Trial<'_>, ports: &mut Ports<'_>) {
        let (inlet, work) = ports.split();
        let ([out], Some(feed)) = (work.outlets, inlet(0)) else { return };
        out.add(feed, 1.0);
        if self.takes_rock {
            out.rock_kg_s[3] *= 0.5;
        } else {
            out.gold_kg_s.iter_mut().chain(&mut out.locked_kg_s).for_each(|gold| *gold *= 0.5);
        }
    }
}

fn original() -> &'static Registry {
    static ORIGINAL: OnceLock<Registry> = OnceLock::new();
    ORIGINAL.get_or_init(washgraph_standard_stages::registry)
}

fn kept<T>(thing: T) -> &'static T {
    Box::leak(Box::new(thing))
}

fn named(name: &str, end: &str) -> &'static str {
    if name.is_empty() || name.ends_with(end) { kept(name.to_string()) } else { kept(format!("{name}{end}")) }
}

fn kind_name(name: &str) -> &'static str {
    named(name, ENDS[0])
}

fn key(name: &str) -> &'static str {
    named(name, ENDS[1])
}

fn reason(r: Reason) -> Reason {
    let mut renamed = r;
    renamed.name = named(r.name, ENDS[2]);
    // A reason without short words of its own is called by its name.
    if r.short == r.name {
        renamed.short = renamed.name;
    }
    renamed
}

/// The key by which the kind itself asks for a setting.
fn own_key(key: &'static str) -> &'static str {
    key.strip_suffix(ENDS[1]).unwrap_or(key)
}

fn setting(s: &Setting) -> Setting {
    let mut renamed = *s;
    renamed.key = key(s.key);
    if let Preset::SpreadBy { key: by, make, unless } = s.preset {
        let unless: Vec<&'static str> = unless.iter().map(|k| key(k)).collect();
        renamed.preset = Preset::SpreadBy { key: key(by), make, unless: kept(unless) };
    }
    if let Kind::File { words_of } = s.kind {
        renamed.kind = Kind::File { words_of: key(words_of) };
    }
    renamed
}

fn list<T, U>(of: &[T], make: impl Fn(&T) -> U) -> &'static [U] {
    kept(of.iter().map(make).collect::<Vec<U>>())
}

fn port(p: &Port) -> Port {
    let mut renamed = *p;
    renamed.name = kind_name(p.name);
    renamed
}

fn role(r: &Role) -> Role {
    match r {
        Role::Profile { profile, at } => Role::Profile { profile: key(profile), at: *at },
        Role::WaterAtHand { need } => Role::WaterAtHand { need: key(need) },
        Role::WaterRule { need } => Role::WaterRule { need: key(need) },
        Role::OverDays { course, day } => Role::OverDays { course: key(course), day: *day },
        other => other.clone(),
    }
}

fn keys(of: &'static [&'static str]) -> &'static [&'static str] {
    list(of, |k| key(k))
}

fn lever(l: &Lever) -> Lever {
    let mut renamed = *l;
    renamed.key = key(l.key);
    renamed.follows = keys(l.follows);
    renamed.starts_at = key(l.starts_at);
    renamed.first = l.first.map(|f| First { of: key(f.of), ..f });
    renamed
}

fn grade(g: Grade) -> Grade {
    match g {
        Grade::ShareOf(share, of) => Grade::ShareOf(share, key(of)),
        other => other,
    }
}

fn fault(f: &Fault) -> Fault {
    let mut renamed = *f;
    renamed.knobs = list(f.knobs, |k| {
        let mut knob = *k;
        knob.key = key(k.key);
        knob.grades = k.grades.map(grade);
        knob.when = k.when.map(|(of, word)| (key(of), word));
        knob.start = k.start.map(|s| Start { of: key(s.of), ..s });
        knob
    });
    renamed
}

fn reasons(of: &'static [Reason]) -> &'static [Reason] {
    list(of, |r| reason(*r))
}

fn source(s: Source) -> Source {
    match s {
        Source::Measure(name) => Source::Measure(key(name)),
        Source::Sum(end) => Source::Sum(key(end)),
        Source::Mean(end) => Source::Mean(key(end)),
        Source::Ratio(a, b) => Source::Ratio(kept(source(*a)), kept(source(*b))),
        Source::Lumps(port) => Source::Lumps(kind_name(port)),
        Source::LostAmong(of) => Source::LostAmong(reasons(of)),
        Source::LastThird(of) => Source::LastThird(reasons(of)),
        other => other,
    }
}

fn reading(r: &Reading) -> Reading {
    let mut renamed = *r;
    renamed.source = source(r.source);
    renamed
}

/// A stage that knows its settings by their own keys and is known by others.
struct Renamed(Box<dyn Stage>);

impl Stage for Renamed {
    fn run(&self, trial: &Trial<'_>, ports: &mut Ports<'_>) {
        self.0.run(trial, ports);
    }
    fn feed_m3_s(&self) -> Option<Input> {
        self.0.feed_m3_s()
    }
    fn supply(&self) -> Option<Supply> {
        self.0.supply()
    }
    fn is_pond(&self) -> bool {
        self.0.is_pond()
    }
    fn feels_mud(&self) -> bool {
        self.0.feels_mud()
    }
    fn warning_text(&self, warning: usize, scratch: &(dyn Any + Send)) -> Option<Phrase> {
        self.0.warning_text(warning, scratch)
    }
    fn curves<'a>(
        &self,
        id: &str,
        trial: &Trial<'_>,
        inlet: &dyn Fn(usize) -> Option<&'a Stream>,
        scratch: &mut (dyn Any + Send),
    ) -> Vec<Curves> {
        let mut curves = self.0.curves(id, trial, inlet, scratch);
        curves.iter_mut().for_each(|c| c.name = kind_name(&c.name).into());
        curves
    }
    fn reset(&self, site: &ResetSite<'_>) -> Option<Reset> {
        let reset = self.0.reset(&ResetSite {
            setting: &|k| (site.setting)(key(k)),
            word: &|k| (site.word)(key(k)),
            assumed: site.assumed,
            ..*site
        })?;
        let settings = reset.settings.into_iter().map(|(k, value)| (key(k), value)).collect();
        Some(Reset { settings, ..reset })
    }
    fn scratch(&self) -> Box<dyn Any + Send> {
        self.0.scratch()
    }
    fn shop(&self, site: &StageSite<'_>) -> Vec<ShopPart> {
        self.0.shop(site)
    }
    fn mount_length_m(&self, section: Option<&str>) -> Option<f64> {
        self.0.mount_length_m(section)
    }
}

fn with_own_keys(settings: &Settings) -> Settings {
    settings.with_keys(own_key)
}

fn build_stage<const N: usize>(b: &mut StageBuilder<'_>) -> Option<Box<dyn Stage>> {
    let kind = original().stages().get(N)?;
    let settings = with_own_keys(b.settings);
    let sections: Vec<SectionSettings> =
        b.sections.iter().map(|s| SectionSettings { settings: with_own_keys(&s.settings), ..s.clone() }).collect();
    let (measures, warnings) = (b.measures.len(), b.warnings.len());
    let stage = (kind.build)(&mut StageBuilder {
        id: b.id,
        settings: &settings,
        sections: &sections,
        mounted: b.mounted,
        fed: b.fed,
        units: b.units,
        inputs: b.inputs,
        problems: b.problems,
        measures: b.measures,
        warnings: b.warnings,
    })?;
    for m in b.measures.iter_mut().skip(measures) {
        m.name = key(&m.name).into();
        m.role = role(&m.role);
    }
    for w in b.warnings.iter_mut().skip(warnings) {
        *w = Warning { id: kind_name(w.id), ..w.clone() };
    }
    Some(Box::new(Renamed(stage)))
}

fn build_section<const N: usize>(b: &mut SectionBuilder<'_>) -> Option<Box<dyn SectionPlan>> {
    let kind = original().sections().get(N)?;
    (kind.build)(&mut SectionBuilder { settings: &with_own_keys(b.settings), drum: b.drum, problems: b.problems })
}

fn build_outlet<const N: usize>(b: &mut OutletBuilder<'_>) -> Option<Box<dyn Outlet>> {
    let kind = original().outlets().get(N)?;
    (kind.build)(&mut OutletBuilder { settings: &with_own_keys(b.settings), problems: b.problems })
}

const STAGES: [BuildStage; 12] = [
    build_stage::<0>,
    build_stage::<1>,
    build_stage::<2>,
    build_stage::<3>,
    build_stage::<4>,
    build_stage::<5>,
    build_stage::<6>,
    build_stage::<7>,
    build_stage::<8>,
    build_stage::<9>,
    build_stage::<10>,
    build_stage::<11>,
];
const SECTIONS: [BuildSection; 6] = [
    build_section::<0>,
    build_section::<1>,
    build_section::<2>,
    build_section::<3>,
    build_section::<4>,
    build_section::<5>,
];
const OUTLETS: [BuildOutlet; 6] =
    [build_outlet::<0>, build_outlet::<1>, build_outlet::<2>, build_outlet::<3>, build_outlet::<4>, build_outlet::<5>];

fn stage_kind(k: &StageKind, build: BuildStage) -> StageKind {
    let mut renamed = StageKind::new(kind_name(k.name), k.purpose, build)
        .settings(list(k.settings, setting))
        .levers(list(k.levers, lever))
        .faults(list(k.faults, fault))
        .readings(list(k.readings, reading))
        .symptoms(k.symptoms)
        .inlets(list(k.inlets, port))
        .outlets(list(k.outlets, port))
        .reasons(reasons(k.reasons))
        .assumptions(k.assumptions)
        .formulas(k.formulas)
        .checks(k.checks)
        .model(k.model);
    renamed.has_sections = k.has_sections;
    renamed.takes_water = k.takes_water;
    renamed.feeds_outlets = k.feeds_outlets;
    renamed
}

fn section_kind(k: &SectionKind, build: BuildSection) -> SectionKind {
    SectionKind::new(kind_name(k.name), k.purpose, build)
        .settings(list(k.settings, setting))
        .levers(list(k.levers, lever))
        .faults(list(k.faults, fault))
        .readings(list(k.readings, reading))
        .symptoms(k.symptoms)
        .formulas(k.formulas)
        .checks(k.checks)
        .model(k.model)
}

fn outlet_kind(k: &OutletKind, build: BuildOutlet) -> OutletKind {
    OutletKind::new(kind_name(k.name), k.purpose, build)
        .settings(list(k.settings, setting))
        .levers(list(k.levers, lever))
        .faults(list(k.faults, fault))
        .readings(list(k.readings, reading))
        .symptoms(k.symptoms)
        .formulas(k.formulas)
        .checks(k.checks)
}

/// The standard kinds, all renamed, and the thief.
///
/// # Panics
/// When there are more kinds than this room has places for.
pub fn registry() -> Registry {
    let of = original();
    let fits = of.stages().len() <= STAGES.len()
        && of.sections().len() <= SECTIONS.len()
        && of.outlets().len() <= OUTLETS.len();
    assert!(fits, "more standard kinds than places: add builders here");
    let mut registry = Registry::new();
    for (k, build) in of.stages().iter().zip(STAGES) {
        registry = registry.stage(kept(stage_kind(k, build)));
    }
    for (k, build) in of.sections().iter().zip(SECTIONS) {
        registry = registry.section(kept(section_kind(k, build)));
    }
    for (k, build) in of.outlets().iter().zip(OUTLETS) {
        registry = registry.outlet(kept(outlet_kind(k, build)));
    }
    registry.stage(&THIEF)
}

/// A scenario for the renamed kinds: the same plant with the same ids.
///
/// # Panics
/// When the text is no TOML.
pub fn scenario(text: &str) -> String {
    let mut document: DocumentMut = text.parse().expect("a scenario");
    for name in ["stage", "water"] {
        for table in tables(document.as_table_mut(), name) {
            rename(table);
        }
    }
    if let Some(Item::Value(Value::Array(wires))) = document.get_mut("wires") {
        for wire in wires.iter_mut() {
            let words: Vec<String> = wire.as_str().unwrap_or_default().split(' ').map(wired).collect();
            *wire = Value::from(words.join(" "));
        }
    }
    document.to_string()
}

/// One word of a wire: a stage with its port, an arrow, or the tailings.
fn wired(word: &str) -> String {
    if word.contains('.') { format!("{word}{}", ENDS[0]) } else { word.to_string() }
}

fn tables<'t>(table: &'t mut Table, name: &str) -> Vec<&'t mut Table> {
    match table.get_mut(name) {
        Some(Item::ArrayOfTables(list)) => list.iter_mut().collect(),
        _ => Vec::new(),
    }
}

fn rename(table: &mut Table) {
    tables(table, "section").into_iter().for_each(rename);
    let kind = table.get("kind").and_then(Item::as_str).unwrap_or_default().to_string();
    if !table.contains_key("id") {
        table.insert("id", toml_edit::value(kind.as_str()));
    }
    rename_keys(table, &kind);
}

fn rename_keys(table: &mut Table, kind: &str) {
    let keys: Vec<String> =
        table.iter().map(|(k, _)| k.to_string()).filter(|k| !SHARED.contains(&k.as_str())).collect();
    for old in keys {
        if let Some((_, item)) = table.remove_entry(&old) {
            table.insert(key(&old), item);
        }
    }
    table.insert("kind", toml_edit::value(kind_name(kind)));
}

/// What is said in the renamed world, with the usual names put back.
pub fn put_back(text: &str) -> String {
    ENDS.iter().fold(text.to_string(), |text, end| text.replace(end, ""))
}
