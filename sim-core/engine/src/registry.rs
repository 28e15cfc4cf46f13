//! The explicit list of kinds that a program knows. No link-time magic: what is not in the list is not there, and what clashes
//! with something in the list is told by [`Registry::problems`], never swallowed.

mod declaration;

use crate::provenance::Program;
use crate::stage::{OutletKind, Reason, SectionKind, StageKind};
use washgraph_units::check::Check;
use washgraph_units::formula::Formula;

/// Kinds of stages, drum sections and water outlets, and the program that is made of them.
#[derive(Debug, Clone, Default)]
pub struct Registry {
    program: Program,
    stages: Vec<&'static StageKind>,
    sections: Vec<&'static SectionKind>,
    outlets: Vec<&'static OutletKind>,
}

/// Something with a name, and who declares it.
struct Owned<T> {
    owner: String,
    thing: T,
}

impl Registry {
    /// A registry without kinds.
    pub fn new() -> Self {
        Registry::default()
    }
    /// Adds a kind of stage: a node of the graph.
    #[must_use]
    pub fn stage(mut self, kind: &'static StageKind) -> Self {
        self.stages.push(kind);
        self
    }
    /// Adds a kind of drum section.
    #[must_use]
    pub fn section(mut self, kind: &'static SectionKind) -> Self {
        self.sections.push(kind);
        self
    }
    /// Adds a kind of water outlet.
    #[must_use]
    pub fn outlet(mut self, kind: &'static OutletKind) -> Self {
        self.outlets.push(kind);
        self
    }
    /// Name and version under which results are written; those of washgraph unless this is called.
    #[must_use]
    pub fn program(mut self, program: Program) -> Self {
        self.program = program;
        self
    }

    /// The program that is made of these kinds.
    pub fn made_for(&self) -> Program {
        self.program
    }
    /// Stages.
    pub fn stages(&self) -> &[&'static StageKind] {
        &self.stages
    }
    /// Sections of a drum.
    pub fn sections(&self) -> &[&'static SectionKind] {
        &self.sections
    }
    /// Water outlets.
    pub fn outlets(&self) -> &[&'static OutletKind] {
        &self.outlets
    }

    /// Every handbook entry: those of the crates below this one and those of the kinds, each name once.
    pub fn formulas(&self) -> Vec<&'static Formula> {
        let mut seen = std::collections::BTreeSet::new();
        self.owned_formulas().into_iter().map(|f| f.thing).filter(|f| seen.insert(f.name)).collect()
    }

    /// Every check: those of the crates below this one and those of the kinds, each id once.
    pub fn checks(&self) -> Vec<&'static Check> {
        let mut seen = std::collections::BTreeSet::new();
        self.owned_checks().into_iter().map(|c| c.thing).filter(|c| seen.insert(c.id)).collect()
    }

    /// What is wrong with the list, in words: two kinds, formulas, checks or reasons under one name that are not the same, and kinds
    /// whose declaration is faulty. Empty when all is well. The same formula or check listed twice is no clash.
    pub fn problems(&self) -> Vec<String> {
        let mut list = Vec::new();
        twice("stages", self.stages.iter().map(|k| k.name), &mut list);
        twice("sections", self.sections.iter().map(|k| k.name), &mut list);
        twice("water outlets", self.outlets.iter().map(|k| k.name), &mut list);
        clashes("formulas are called", &self.owned_formulas(), |f| f.name, |a, b| a.is_same(b), &mut list);
        clashes("checks have the id", &self.owned_checks(), |c| c.id, |a, b| a.is_same(b), &mut list);
        clashes("reasons with different words are called", &self.owned_reasons(), |r| r.name, |a, b| a == b, &mut list);
        self.stages.iter().for_each(|k| declaration::of_stage(k, &mut list));
        self.sections.iter().for_each(|k| declaration::of_section(k, &mut list));
        self.outlets.iter().for_each(|k| declaration::of_outlet(k, &mut list));
        list
    }

    fn owned_formulas(&self) -> Vec<Owned<&'static Formula>> {
        let rooms = [
            washgraph_units::handbook::formulas(),
            washgraph_physics::size::formulas(),
            washgraph_physics::particle::formulas(),
            washgraph_physics::drum::formulas(),
            washgraph_physics::hydraulics::formulas(),
            washgraph_stats::formulas(),
            washgraph_ground::field::formulas(),
            washgraph_money::formulas(),
        ];
        let mut all: Vec<Owned<&'static Formula>> =
            rooms.into_iter().flat_map(|room| owned("the engine", room)).collect();
        all.extend(self.stages.iter().flat_map(|k| owned(&stage(k), (k.formulas)())));
        all.extend(self.sections.iter().flat_map(|k| owned(&section(k), (k.formulas)())));
        all.extend(self.outlets.iter().flat_map(|k| owned(&outlet(k), (k.formulas)())));
        all
    }

    fn owned_checks(&self) -> Vec<Owned<&'static Check>> {
        let rooms = [
            washgraph_units::handbook::checks(),
            washgraph_physics::size::checks(),
            washgraph_physics::particle::checks(),
            washgraph_physics::drum::checks(),
            washgraph_physics::hydraulics::checks(),
            washgraph_stats::checks(),
            washgraph_ground::field::checks(),
            washgraph_money::checks(),
        ];
        let mut all: Vec<Owned<&'static Check>> =
            rooms.into_iter().flat_map(|room| owned("the engine", room)).collect();
        all.extend(self.stages.iter().flat_map(|k| owned(&stage(k), (k.checks)())));
        all.extend(self.sections.iter().flat_map(|k| owned(&section(k), (k.checks)())));
        all.extend(self.outlets.iter().flat_map(|k| owned(&outlet(k), (k.checks)())));
        all
    }

    fn owned_reasons(&self) -> Vec<Owned<Reason>> {
        let untreated = owned("the engine", vec![crate::stage::reasons::UNTREATED]);
        untreated.chain(self.stages.iter().flat_map(|k| owned(&stage(k), k.reasons.to_vec()))).collect()
    }
}

fn stage(kind: &StageKind) -> String {
    format!("stage `{}`", kind.name)
}

fn section(kind: &SectionKind) -> String {
    format!("section `{}`", kind.name)
}

fn outlet(kind: &OutletKind) -> String {
    format!("water outlet `{}`", kind.name)
}

fn owned<T>(owner: &str, things: Vec<T>) -> impl Iterator<Item = Owned<T>> + use<T> {
    let owner = owner.to_string();
    things.into_iter().map(move |thing| Owned { owner: owner.clone(), thing })
}

/// Tells each name that stands twice.
fn twice(what: &str, names: impl Iterator<Item = &'static str>, list: &mut Vec<String>) {
    let mut seen = std::collections::BTreeSet::new();
    list.extend(
        names
            .filter(|name| !seen.insert(*name))
            .map(|name| format!("two {what} are called `{name}`: rename one of them")),
    );
}

/// Tells each thing that has the name of an earlier one and is not the same.
fn clashes<T>(
    what: &str,
    all: &[Owned<T>],
    name: impl Fn(&T) -> &'static str,
    same: impl Fn(&T, &T) -> bool,
    list: &mut Vec<String>,
) {
    let mut first: std::collections::BTreeMap<&str, &Owned<T>> = std::collections::BTreeMap::new();
    for one in all {
        let known = *first.entry(name(&one.thing)).or_insert(one);
        if !same(&known.thing, &one.thing) {
            list.push(format!(
                "two {what} `{}`, one of {} and one of {}: rename one of them",
                name(&one.thing),
                known.owner,
                one.owner
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::setting::{Preset, Setting};
    use crate::stage::Port;
    use washgraph_stats::Spread;
    use washgraph_stats::draw::Nature;
    use washgraph_units::check::{Band, Kind, Status};
    use washgraph_units::quantity::Dimension;

    const fn check(id: &'static str, published: f64) -> Check {
        Check::new(id, "invented", || 1.0)
            .against(Kind::Identity, "invented", Status::Computed)
            .value(published, "-")
            .within(Band::Absolute(0.1))
    }

    const fn formula(name: &'static str, meaning: &'static str) -> Formula {
        Formula::new(name, meaning, "y = 1", |_| vec![1.0]).source("invented", Status::Assumed)
    }

    static SHARED: Formula = formula("shared", "one and the same");
    static MINE: Formula = formula("level", "height of water");
    static OTHER: Formula = formula("level", "height of sand");
    static KNOWN: Formula = formula("miners-inch-flow", "something else under a name of the engine");
    static CHECKS: [Check; 2] = [check("half", 0.5), check("half", 0.25)];

    static GOOD: StageKind = StageKind::new("tray", "lets sand settle", |_| None)
        .settings(&[Setting::usual("depth", Dimension::Length, "4 in", (0.01, 1.0), "depth of the tray")])
        .outlets(&[Port::required("out", "what runs on")])
        .reasons(&[crate::stage::reasons::BYPASS])
        .formulas(|| vec![&SHARED, &SHARED, &MINE])
        .checks(|| vec![&CHECKS[0]])
        .model("tray 1");
    static CLASHING: StageKind = StageKind::new("box", "another that shares its formula", |_| None)
        .reasons(&[Reason::new("bypass", "went round the side", crate::stage::LossClass::Other)])
        .formulas(|| vec![&SHARED, &OTHER, &KNOWN])
        .checks(|| vec![&CHECKS[1]]);
    static FAULTY: StageKind = StageKind::new("faulty", "", |_| None)
        .settings(&[
            Setting::usual("deep", Dimension::Length, "4 m", (0.01, 1.0), "a default out of range"),
            Setting::usual("odd", Dimension::Length, "4 buckets", (0.01, 1.0), "a default that is no length"),
            Setting::usual("mute", Dimension::Length, "1 m", (0.01, 1.0), ""),
            Setting::usual("mute", Dimension::Length, "1 m", (0.01, 1.0), "the same key again"),
            Setting::required("back", Dimension::Length, (1.0, 0.5), "range the wrong way round"),
            Setting::required("id", Dimension::Length, (0.5, 1.0), "a key that every table has"),
            Setting::choice("word", &[("a", "the first"), ("b", "")], Preset::Text("c"), "a word that is not known"),
            Setting::uncertain(
                "wide",
                Dimension::Fraction,
                || Spread::split_normal(0.5, 0.9, 1.3),
                (0.0, 1.0),
                Nature::Ignorance,
                "a spread that leaves the range",
                "",
            ),
        ])
        .inlets(&[Port::required("feed", ""), Port::required("feed", "the same name")]);

    #[test]
    fn property_each_clash_and_each_faulty_declaration_is_told_in_words() {
        assert_eq!(Registry::new().stage(&GOOD).problems(), Vec::<String>::new());
        let told = |registry: Registry, parts: &[&str]| {
            let list = registry.problems();
            for part in parts {
                assert!(list.iter().any(|line| line.contains(part)), "{part}: {list:#?}");
            }
            assert_eq!(list.len(), parts.len(), "{list:#?}");
        };
        told(
            Registry::new().stage(&GOOD).stage(&CLASHING).stage(&GOOD),
            &[
                "two stages are called `tray`",
                "two formulas are called `level`, one of stage `tray` and one of stage `box`",
                "two formulas are called `miners-inch-flow`, one of the engine and one of stage `box`",
                "two checks have the id `half`",
                "two reasons with different words are called `bypass`",
            ],
        );
        told(
            Registry::new().stage(&FAULTY),
            &[
                "stage `faulty` has no purpose",
                "`deep` of 4 m is out of range",
                "`odd` that cannot be: unknown unit `buckets`",
                "`mute` has no meaning",
                "two settings `mute`",
                "`back` has no range",
                "`id` is a key of every table",
                "word `b` of `word` has no meaning",
                "`c` is not a known word",
                "usual spread of `wide` leaves its range",
                "usual spread of `wide` has no source",
                "inlet `feed` has no meaning",
                "two inlets `feed`",
            ],
        );
    }
}
