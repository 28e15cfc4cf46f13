//! What the kinds know of themselves, gathered: faults, readings, symptoms; and whether they say it soundly.

use super::Registry;
use super::declaration::refused;
use crate::setting::{Kind, Preset, Setting};
use crate::stage::{Declared, Fault, Grade, Knob, OF_THE_PLANT, Owner, Reading, Source, Symptom};

impl Registry {
    /// Every kind: stages, sections, water outlets.
    pub fn owners(&self) -> Vec<Owner> {
        let stages = self.stages.iter().map(|k| Owner::Stage(k));
        let sections = self.sections.iter().map(|k| Owner::Section(k));
        stages.chain(sections).chain(self.outlets.iter().map(|k| Owner::Outlet(k))).collect()
    }

    /// What may go wrong with the kinds.
    pub fn faults(&self) -> Vec<Declared<Fault>> {
        self.gather(|owner| owner.faults())
    }

    /// What can be read off the kinds, and last what can be read off a plant as a whole.
    pub fn readings(&self) -> Vec<Declared<Reading>> {
        let mut all = self.gather(|owner| owner.readings());
        all.extend(OF_THE_PLANT.iter().map(|thing| Declared { owner: Owner::Plant, thing }));
        all
    }

    /// What an owner may see at the kinds that makes him ask.
    pub fn symptoms(&self) -> Vec<Declared<Symptom>> {
        self.gather(|owner| owner.symptoms())
    }

    fn gather<T>(&self, of: impl Fn(&Owner) -> &'static [T]) -> Vec<Declared<T>> {
        let things = |owner: Owner| of(&owner).iter().map(move |thing| Declared { owner, thing });
        self.owners().into_iter().flat_map(things).collect()
    }

    /// Adds what is wrong with faults, readings and symptoms.
    pub(super) fn told_wrongly(&self, list: &mut Vec<String>) {
        let (faults, readings, symptoms) = (self.faults(), self.readings(), self.symptoms());
        one_name("faults", &faults, |f| f.name, list);
        one_name("readings", &readings, |r| r.name, list);
        one_name("symptoms", &symptoms, |s| s.name, list);
        for fault in &faults {
            let mut found = faults_of_fault(fault.thing, fault.owner.settings());
            let itself = fault.thing.itself;
            if !itself.is_empty() && !symptoms.iter().any(|s| s.thing.name == itself) {
                found.push(format!("is itself a symptom that nobody declares: `{itself}`"));
            }
            list.extend(
                found.into_iter().map(|f| format!("{}: fault `{}` {f}", fault.owner.words(), fault.thing.name)),
            );
        }
        for reading in &readings {
            let found = faults_of_reading(reading.thing, reading.owner);
            let told = |f| format!("{}: reading `{}` {f}", reading.owner.words(), reading.thing.name);
            list.extend(found.into_iter().map(told));
        }
        for symptom in &symptoms {
            let found = faults_of_symptom(symptom.thing, &readings);
            let told = |f| format!("{}: symptom `{}` {f}", symptom.owner.words(), symptom.thing.name);
            list.extend(found.into_iter().map(told));
        }
    }
}

impl Owner {
    /// Settings of the kind.
    pub fn settings(&self) -> &'static [Setting] {
        match self {
            Owner::Plant => &[],
            Owner::Stage(kind) => kind.settings,
            Owner::Section(kind) => kind.settings,
            Owner::Outlet(kind) => kind.settings,
        }
    }
    fn faults(&self) -> &'static [Fault] {
        match self {
            Owner::Plant => &[],
            Owner::Stage(kind) => kind.faults,
            Owner::Section(kind) => kind.faults,
            Owner::Outlet(kind) => kind.faults,
        }
    }
    fn readings(&self) -> &'static [Reading] {
        match self {
            Owner::Plant => &[],
            Owner::Stage(kind) => kind.readings,
            Owner::Section(kind) => kind.readings,
            Owner::Outlet(kind) => kind.readings,
        }
    }
    fn symptoms(&self) -> &'static [Symptom] {
        match self {
            Owner::Plant => &[],
            Owner::Stage(kind) => kind.symptoms,
            Owner::Section(kind) => kind.symptoms,
            Owner::Outlet(kind) => kind.symptoms,
        }
    }
}

/// Tells each name that stands twice, and names that nobody could type.
fn one_name<T>(what: &str, all: &[Declared<T>], name: fn(&T) -> &'static str, list: &mut Vec<String>) {
    for (i, one) in all.iter().enumerate() {
        let own = name(one.thing);
        if let Some(first) = all.iter().take(i).find(|f| name(f.thing) == own) {
            list.push(format!(
                "two {what} are called `{own}`, one of {} and one of {}: rename one of them",
                first.owner.words(),
                one.owner.words()
            ));
        }
        if own.is_empty() || own.contains([' ', '=', '|', '_']) || own != own.to_lowercase() {
            list.push(format!(
                "{} has one of its {what} called `{own}`: use small letters, digits and dashes",
                one.owner.words()
            ));
        }
    }
}

/// What is wrong with a fault of a table with these settings.
pub fn faults_of_fault(fault: &Fault, settings: &[Setting]) -> Vec<String> {
    let mut list = Vec::new();
    for (what, missing) in [
        ("does not say what is wrong: it has no words", fault.words.is_empty()),
        ("does not say how one looks at it", fault.look.is_empty()),
        ("moves nothing: it has no knobs", fault.knobs.is_empty()),
        ("has a weight that is no number from 0 up", !(fault.weight.is_finite() && fault.weight >= 0.0)),
    ] {
        if missing {
            list.push(what.to_string());
        }
    }
    fault.knobs.iter().for_each(|knob| faults_of_knob(knob, settings, &mut list));
    list
}

fn faults_of_knob(knob: &Knob, settings: &[Setting], list: &mut Vec<String>) {
    let of = |key: &str| settings.iter().find(|s| s.key == key);
    let Some(setting) = of(knob.key) else {
        list.push(format!("moves `{}`, which is none of its settings", knob.key));
        return;
    };
    if let Some((key, word)) = knob.when {
        match of(key).map(|s| s.kind) {
            Some(Kind::Choice(words)) if words.iter().any(|w| w.0 == word) => {}
            _ => list.push(format!("asks whether `{key}` is `{word}`, which is none of its words")),
        }
    }
    if let Some(start) = knob.start {
        for key in [start.of, knob.key] {
            match of(key) {
                Some(s) => {
                    let wrong = refused(&Setting { preset: Preset::Text(start.or), ..*s });
                    list.extend(wrong.into_iter().map(|why| format!("starts `{key}` where it cannot be: {why}")));
                }
                None => list.push(format!("starts at `{key}`, which is none of its settings")),
            }
        }
    }
    let number = matches!(setting.kind, Kind::Known(_) | Kind::Quantity(_) | Kind::Whole);
    let quantity = setting.dimension().is_some();
    for grade in knob.grades {
        match grade {
            Grade::Times(f) if number && f.is_finite() && f >= 0.0 => {}
            Grade::Plus(more) if quantity && more.is_finite() => {}
            Grade::ShareOf(share, key) if quantity && share.is_finite() => {
                if of(key).and_then(Setting::dimension) != setting.dimension() {
                    list.push(format!("takes a share of `{key}`, which is no quantity of the kind of `{}`", knob.key));
                }
            }
            Grade::To(text) => {
                let wrong = refused(&Setting { preset: Preset::Text(text), ..*setting });
                list.extend(wrong.into_iter().map(|why| format!("sets `{}` to what cannot be: {why}", knob.key)));
            }
            Grade::More(words) if matches!(setting.kind, Kind::Words(_)) => {
                let wrong = refused(&Setting { preset: Preset::Text(words), ..*setting });
                list.extend(wrong.into_iter().map(|why| format!("adds to `{}` what cannot be: {why}", knob.key)));
            }
            _ => list.push(format!("moves `{}` in a way that does not fit it: {grade:?}", knob.key)),
        }
    }
}

fn faults_of_reading(reading: &Reading, owner: Owner) -> Vec<String> {
    let mut list = Vec::new();
    if reading.words.is_empty() {
        list.push("does not say what it is: it has no words".to_string());
    }
    let (share, amount) = reading.error;
    if !(share.is_finite() && amount.is_finite() && share >= 0.0 && amount >= 0.0) {
        list.push("has an error that is no number from 0 up".to_string());
    }
    if reading.is_taken() && !(share > 0.0 || amount > 0.0) {
        list.push("does not say what an owner who takes it is off by".to_string());
    }
    if reading.is_taken() && reading.error_source.is_empty() {
        list.push("does not say where its error comes from".to_string());
    }
    faults_of_source(&reading.source, owner, &mut list);
    list
}

fn faults_of_source(source: &Source, owner: Owner, list: &mut Vec<String>) {
    if source.is_of_the_plant() {
        if !matches!(owner, Owner::Plant) {
            list.push("is a number of the whole plant, which is no kind's to declare".to_string());
        }
        return;
    }
    match (source, owner) {
        (Source::DryFeed, _) => {}
        (Source::Ratio(a, b), _) => {
            faults_of_source(a, owner, list);
            faults_of_source(b, owner, list);
        }
        (Source::Flow | Source::Pressure, Owner::Outlet(_)) => {}
        (Source::Measure(name) | Source::Sum(name) | Source::Mean(name), Owner::Stage(_) | Owner::Section(_)) => {
            if name.is_empty() {
                list.push("does not name its measure".to_string());
            }
        }
        (Source::Lumps(port), Owner::Stage(kind)) => {
            if !kind.outlets.iter().any(|p| p.name == *port) {
                list.push(format!("looks at `{port}`, which is none of its outlets"));
            }
        }
        (Source::LostAmong(reasons) | Source::LastThird(reasons), Owner::Stage(kind)) => {
            if reasons.is_empty() {
                list.push("names no reason of loss".to_string());
            }
            for reason in reasons.iter().filter(|r| !kind.reasons.contains(r)) {
                list.push(format!("counts gold lost as `{}`, which is none of its reasons", reason.name));
            }
        }
        _ => list.push(format!("is taken where {} has nothing: {source:?}", owner.words())),
    }
}

fn faults_of_symptom(symptom: &Symptom, readings: &[Declared<Reading>]) -> Vec<String> {
    let mut list = Vec::new();
    if symptom.seen.is_empty() {
        list.push("does not say what is seen".to_string());
    }
    if symptom.signs.is_empty() {
        list.push("has no sign by which the model could know it".to_string());
    }
    for sign in symptom.signs {
        for name in sign.readings().filter(|name| !readings.iter().any(|r| r.thing.name == *name)) {
            list.push(format!("is told by `{name}`, a reading that nobody declares"));
        }
        if !(sign.counts.is_finite() && sign.slack.is_finite() && sign.slack > 0.0) {
            list.push(format!("does not say by how much `{}` must move, and how sharp that is", sign.reading));
        }
    }
    list
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stage::{Goes, OutletKind, Port, Sign, StageKind, reasons};
    use washgraph_units::quantity::Dimension;

    const SETTINGS: &[Setting] = &[
        Setting::usual("depth", Dimension::Length, "4 in", (0.01, 1.0), "depth of the tray"),
        Setting::usual("wear", Dimension::Length, "0 mm", (0.0, 1.0), "wear of its edge"),
        Setting::optional("turns", Dimension::RotationSpeed, (0.0, 100.0), "how fast it turns"),
        Setting::choice("edge", &[("sharp", "as cut"), ("round", "rounded")], Preset::Text("sharp"), "its edge"),
    ];
    const DEPTH: Reading = Reading::new("tray-depth", "depth", Dimension::Length, Source::Measure("depth"));
    const UP: [Grade; 3] = [Grade::Times(1.1), Grade::Plus(0.02), Grade::ShareOf(0.1, "wear")];

    static SOUND: StageKind = StageKind::new("tray", "lets sand settle", |_| None)
        .settings(SETTINGS)
        .outlets(&[Port::required("out", "what runs on")])
        .reasons(&[reasons::BYPASS])
        .faults(&[
            Fault::new("tray-deep", "tray bent down")
                .knobs(&[Knob::new("depth", UP).when("edge", "round")])
                .look("see"),
            Fault::new("tray-full", "tray full")
                .knobs(&[Knob::new("depth", [Grade::Times(0.5), Grade::Times(0.2), Grade::To("20 mm")])])
                .look("see")
                .is_itself("tray-shallow"),
        ])
        .readings(&[DEPTH.how("ruler").off(0.1, 0.0)])
        .symptoms(&[Symptom::new("tray-shallow", "little room").signs(&[Sign::new(
            "tray-depth",
            Goes::Down,
            0.1,
            0.05,
        )])]);
    static FAULTY: StageKind = StageKind::new("faulty", "says much that is not so", |_| None)
        .settings(SETTINGS)
        .outlets(&[Port::required("out", "what runs on")])
        .reasons(&[reasons::BYPASS])
        .faults(&[
            Fault::new("Tray deep", "").weight(f64::NAN),
            Fault::new("tray-deep", "the name of another").knobs(&[Knob::new("depth", UP)]).look("see"),
            Fault::new("odd", "odd")
                .knobs(&[
                    Knob::new("dept", UP),
                    Knob::new("depth", [Grade::To("4 m"), Grade::To("4 buckets"), Grade::More("word")]),
                    Knob::new("wear", [Grade::ShareOf(0.1, "turns"), Grade::Times(1.0), Grade::Times(1.0)]),
                    Knob::new("wear", [Grade::Times(2.0); 3]).when("edge", "blunt"),
                    Knob::new("turns", [Grade::Times(2.0); 3]).starts_at("rated", "2000 rpm"),
                ])
                .look("see")
                .is_itself("nobody-sees"),
        ])
        .readings(&[
            DEPTH.how("ruler"),
            Reading::new("mute", "", Dimension::Length, Source::Flow),
            Reading::new("all-gold", "gold", Dimension::Fraction, Source::Recovery),
            Reading::new("lumps", "lumps", Dimension::Fraction, Source::Lumps("over")),
            Reading::new("lost", "lost", Dimension::Fraction, Source::LostAmong(&[reasons::PACKED])),
        ])
        .symptoms(&[
            Symptom::new("blind", ""),
            Symptom::new("deaf", "nothing").signs(&[Sign::new("unheard", Goes::Up, 0.1, 0.0)]),
        ]);
    static DRY: OutletKind = OutletKind::new("dry", "gives nothing", |_| None).readings(&[Reading::new(
        "dry-measure",
        "a measure, which an outlet has not",
        Dimension::Flow,
        Source::Measure("flow"),
    )]);

    #[test]
    fn property_what_a_kind_says_of_itself_wrongly_is_told_in_words() {
        let told = |registry: Registry, parts: &[&str]| {
            let list = registry.problems();
            for part in parts {
                assert!(list.iter().any(|line| line.contains(part)), "{part}: {list:#?}");
            }
            assert_eq!(list.len(), parts.len(), "{list:#?}");
        };
        told(Registry::new().stage(&SOUND), &[]);
        told(
            Registry::new().stage(&SOUND).stage(&FAULTY).outlet(&DRY),
            &[
                "one of its faults called `Tray deep`",
                "two faults are called `tray-deep`, one of stage `tray` and one of stage `faulty`",
                "two readings are called `tray-depth`",
                "fault `Tray deep` does not say what is wrong",
                "fault `Tray deep` does not say how one looks at it",
                "fault `Tray deep` moves nothing",
                "fault `Tray deep` has a weight that is no number",
                "fault `odd` moves `dept`, which is none of its settings",
                "fault `odd` sets `depth` to what cannot be: `depth` of 4 m is out of range",
                "fault `odd` sets `depth` to what cannot be: unknown unit `buckets`",
                "fault `odd` moves `depth` in a way that does not fit it",
                "fault `odd` takes a share of `turns`, which is no quantity of the kind of `wear`",
                "fault `odd` asks whether `edge` is `blunt`",
                "fault `odd` starts at `rated`, which is none of its settings",
                "fault `odd` is itself a symptom that nobody declares: `nobody-sees`",
                "reading `tray-depth` does not say what an owner who takes it is off by",
                "reading `mute` does not say what it is",
                "reading `mute` is taken where stage `faulty` has nothing: Flow",
                "reading `all-gold` is a number of the whole plant",
                "reading `lumps` looks at `over`, which is none of its outlets",
                "reading `lost` counts gold lost as `packed riffles`",
                "symptom `blind` does not say what is seen",
                "symptom `blind` has no sign",
                "symptom `deaf` is told by `unheard`",
                "symptom `deaf` does not say by how much `unheard` must move",
                "reading `dry-measure` is taken where water outlet `dry` has nothing",
            ],
        );
    }
}
