//! Whether the levers of a kind are what they say: on settings that it has, with words, moves that can be made.

use super::declaration::refused;
use super::section;
use crate::lever::{By, Lever, Move, Serves};
use crate::setting::{Kind, Preset, Setting};
use crate::stage::{SectionKind, StageKind};
use washgraph_units::quantity::Dimension;

/// Adds where a section's lever would start at a share of something that no stage with sections has.
pub(super) fn firsts(sections: &[&'static SectionKind], stages: &[&'static StageKind], list: &mut Vec<String>) {
    let holders = || stages.iter().filter(|k| k.has_sections);
    for (kind, lever, first) in
        sections.iter().flat_map(|k| k.levers.iter().filter_map(move |l| Some((k, l, l.first?))))
    {
        let is_length = |s: &Setting| s.key == first.of && s.dimension() == Some(Dimension::Length);
        let nowhere = !holders().flat_map(|k| k.settings).any(is_length);
        if !(first.share > 0.0) || (nowhere && holders().next().is_some()) {
            let share = format!("{} times `{}`", first.share, first.of);
            list.push(format!(
                "{} has a lever on `{}` that starts at {share}, which no stage with sections has",
                section(kind),
                lever.key
            ));
        }
    }
}

/// Adds what is wrong with the levers of a kind.
pub(super) fn levers(settings: &[Setting], levers: &[Lever], tell: &mut impl FnMut(String)) {
    for (i, lever) in levers.iter().enumerate() {
        let key = lever.key;
        if levers.iter().take(i).any(|other| other.key == key) {
            tell(format!("has two levers on `{key}`"));
        }
        let Some(setting) = settings.iter().find(|s| s.key == key) else {
            tell(format!("has a lever on a setting that it does not have: `{key}`"));
            continue;
        };
        if lever.name.is_empty() {
            tell(format!("has a lever without a name, on `{key}`"));
        }
        if lever.moves().next().is_some() && lever.effort.is_none() {
            tell(format!("does not say what moving `{key}` takes"));
        }
        if is_idle(lever) {
            tell(format!(
                "has a lever that does nothing: `{key}` has no move, no question, no sizes, and serves nothing"
            ));
        }
        if lever.question.is_some() && !is_number(setting) {
            tell(format!("has a lever with steps on a setting that is no number: `{key}`"));
        }
        if !(lever.reach.0 > 0.0 && lever.reach.0 < 1.0 && lever.reach.1 > 1.0) {
            tell(format!("has a lever whose reach does not hold the value in force: `{key}`"));
        }
        if lever.sold_as.is_some() && setting.dimension() != Some(Dimension::Length) {
            tell(format!("has a lever sold by size on a setting that is no length: `{key}`"));
        }
        for (name, other) in companions(lever) {
            let fits = settings.iter().find(|s| s.key == other).map(is_number);
            match fits {
                None => tell(format!("has a lever `{key}` with {name} a setting that it does not have: `{other}`")),
                Some(false) => tell(format!("has a lever `{key}` with {name} a setting that is no number: `{other}`")),
                Some(true) => {}
            }
        }
        if lever.serves.is_some_and(|serves| !can_serve(setting, serves)) {
            tell(format!("has a lever that cannot be what it serves as: `{key}`"));
        }
        for (way, is_more) in [(lever.more, true), (lever.less, false)] {
            let Some(way) = way else { continue };
            if way.words.is_empty() || way.eases.iter().any(|e| e.is_empty()) {
                tell(format!("has a move of `{key}` without words"));
            }
            if let Some(fault) = fault_of(way, is_more, setting, lever) {
                tell(format!("has a move of `{key}` that cannot be made: {fault}"));
            }
        }
    }
}

fn is_idle(lever: &Lever) -> bool {
    let moves = lever.moves().next().is_some();
    !moves && lever.question.is_none() && lever.sold_as.is_none() && lever.serves.is_none()
}

fn is_number(setting: &Setting) -> bool {
    matches!(setting.kind, Kind::Known(_) | Kind::Quantity(_) | Kind::Whole)
}

/// Other settings of the kind that a lever names.
fn companions(lever: &Lever) -> impl Iterator<Item = (&'static str, &'static str)> {
    let follows = lever.follows.iter().map(|key| ("what follows it", *key));
    follows.chain((!lever.starts_at.is_empty()).then_some(("where it starts", lever.starts_at)))
}

fn can_serve(setting: &Setting, serves: Serves) -> bool {
    match serves {
        Serves::Feed => setting.dimension() == Some(Dimension::GravelRate),
        Serves::Hole | Serves::OwnHose | Serves::Scrubbing => setting.dimension() == Some(Dimension::Length),
        Serves::OwnWater => setting.dimension() == Some(Dimension::Flow),
        Serves::HoleShape => matches!(setting.kind, Kind::Choice(_)),
        Serves::OwnFittings => matches!(setting.kind, Kind::Words(_)),
    }
}

fn fault_of(way: Move, is_more: bool, setting: &Setting, lever: &Lever) -> Option<String> {
    match way.by {
        By::Times(_) if !is_number(setting) => Some("a factor on a setting that is no number".into()),
        By::Times(factor) if !(factor > 0.0 && factor.is_finite() && factor != 1.0 && (factor > 1.0) == is_more) => {
            Some(format!("{factor} times does not lead to {}", if is_more { "more" } else { "less" }))
        }
        By::Larger | By::Smaller if (way.by == By::Larger) != is_more => Some("it leads the other way".into()),
        By::Larger | By::Smaller if lever.sold_as.is_none() => Some("it does not say in which sizes it is sold".into()),
        // The program reads a usual value as it reads what an owner types.
        By::To(text) => refused(&Setting { preset: Preset::Text(text), ..*setting }).into_iter().next(),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lever::{Effort, Question};
    use crate::registry::Registry;
    use crate::stage::SectionKind;
    use washgraph_units::stock::Item;

    const SETTINGS: &[Setting] = &[
        Setting::required("stroke", Dimension::Length, (0.001, 0.2), "stroke of the jig"),
        Setting::required("water", Dimension::Flow, (0.0, 1.0), "water under the sieve"),
        Setting::choice("bed", &[("shot", "steel shot"), ("stone", "heavy stones")], Preset::Text("shot"), "the bed"),
    ];
    static GOOD: StageKind =
        StageKind::new("jig", "pulses water through a bed", |_| None).settings(SETTINGS).levers(&[
            Lever::new("stroke", "Jig stroke")
                .takes(Effort::Adjust)
                .beside(Question::Losses)
                .more(Move::times("longer stroke", 1.25).eases(&["packed-riffles"]))
                .less(Move::times("shorter stroke", 0.8)),
            Lever::new("bed", "Bed of the jig").takes(Effort::SmallPart).more(Move::to("bed of stones", "stone")),
        ]);
    static FAULTY: StageKind =
        StageKind::new("bad", "levers of every faulty sort", |_| None).settings(SETTINGS).levers(&[
            Lever::new("depth", "Depth").takes(Effort::Adjust).more(Move::times("deeper", 1.2)),
            Lever::new("stroke", "")
                .more(Move::times("longer", 0.8))
                .less(Move::smaller(""))
                .with_it(&["width", "bed"]),
            Lever::new("stroke", "Stroke again").reach(1.5, 2.0),
            Lever::new("water", "Water")
                .takes(Effort::Adjust)
                .sold_as(Item::HoseBore)
                .serves(Serves::Hole)
                .more(Move::to("more", "5 %")),
            Lever::new("bed", "Bed").takes(Effort::Adjust).beside(Question::Hole).more(Move::times("heavier", 1.5)),
        ]);
    static RINGED: SectionKind = SectionKind::new("trap", "holds nuggets", |_| None)
        .settings(SETTINGS)
        .levers(&[Lever::new("stroke", "Ring").sold_as(Item::Ring).first_share_of("girth", 0.1)]);
    static HOLDER: StageKind = StageKind::new("shell", "turns", |_| None).settings(SETTINGS).with_sections();

    #[test]
    fn property_each_faulty_lever_is_told_in_words() {
        let told = |registry: Registry, parts: &[&str]| {
            let list = registry.problems();
            for part in parts {
                assert!(list.iter().any(|line| line.contains(part)), "{part}: {list:#?}");
            }
            assert_eq!(list.len(), parts.len(), "{list:#?}");
        };
        told(Registry::new().stage(&GOOD), &[]);
        told(
            Registry::new().stage(&FAULTY),
            &[
                "a lever on a setting that it does not have: `depth`",
                "a lever without a name, on `stroke`",
                "what moving `stroke` takes",
                "with what follows it a setting that it does not have: `width`",
                "with what follows it a setting that is no number: `bed`",
                "`stroke` that cannot be made: 0.8 times does not lead to more",
                "a move of `stroke` without words",
                "`stroke` that cannot be made: it does not say in which sizes it is sold",
                "two levers on `stroke`",
                "a lever that does nothing: `stroke`",
                "reach does not hold the value in force: `stroke`",
                "sold by size on a setting that is no length: `water`",
                "cannot be what it serves as: `water`",
                "a move of `water` that cannot be made",
                "steps on a setting that is no number: `bed`",
                "`bed` that cannot be made: a factor on a setting that is no number",
            ],
        );
        told(Registry::new().stage(&HOLDER).section(&RINGED), &["starts at 0.1 times `girth`"]);
    }
}
