//! A test bench for one stage: settings as they stand in a scenario, streams made by hand, one pass, and what came of it.
//!
//! ```
//! use washgraph_engine::bench::{Bench, stream};
//! use washgraph_engine::setting::Setting;
//! use washgraph_engine::stage::{Port, Ports, Stage, StageBuilder, StageKind, Trial};
//! use washgraph_units::quantity::Dimension;
//!
//! struct Gate { share: f64, passed: usize }
//! impl Stage for Gate {
//!     fn run(&self, _trial: &Trial<'_>, ports: &mut Ports<'_>) {
//!         let (inlet, work) = ports.split();
//!         let ([left, right], Some(feed)) = (work.outlets, inlet(0)) else { return };
//!         left.add(feed, self.share);
//!         right.add(feed, 1.0 - self.share);
//!         work.measures[self.passed] = left.solids_kg_s();
//!     }
//! }
//! fn build(b: &mut StageBuilder<'_>) -> Option<Box<dyn Stage>> {
//!     let passed = b.measure("passed", Dimension::MassRate, "solids to the left");
//!     Some(Box::new(Gate { share: b.settings.number("share"), passed }))
//! }
//! static GATE: StageKind = StageKind::new("gate", "sends a share to the left", build)
//!     .settings(&[Setting::required("share", Dimension::Fraction, (0.0, 1.0), "share to the left")])
//!     .inlets(&[Port::required("feed", "all of it")])
//!     .outlets(&[Port::required("left", "the share"), Port::required("right", "the rest")]);
//!
//! // 2 kg/s of pebbles, 3 kg/s of sand, a little gold of half a millimetre, 10 litres of water a second.
//! let feed = stream(&[(20e-3, 2.0), (0.3e-3, 3.0)], &[(0.5e-3, 1e-6)], 0.010);
//! let gate = Bench::of(&GATE).settings("share = \"40 %\"").set_up().unwrap();
//! let ran = gate.run(&[("feed", &feed)]).unwrap();
//! assert!((ran.measure("passed") - 2.0).abs() < 1e-12);
//! assert!((ran.outlet("right").unwrap().water_m3_s - 0.006).abs() < 1e-12);
//! assert!(ran.closure.gold < 1e-12 && ran.closure.solids < 1e-12 && ran.closure.water < 1e-12);
//!
//! let refused = Bench::of(&GATE).settings("share = \"140 %\"").set_up().unwrap_err();
//! assert!(refused[0].contains("out of range"));
//! ```
//! Gold and rock of the ground, for stages that dig it, come from [`ground`] unless [`Bench::ground`] brings another. A pump that feeds
//! outlets and the pond's return water belong to a plant and are not on the bench.

use std::any::Any;

use toml::de::DeTable;

use crate::return_water::{PondBook, ReturnWater, Sweep};
use crate::setting::{Reader, Setting, Settings, SpreadMeaning};
use crate::shop::{Reading, ShopPart, StageSite};
use crate::stage::{
    Measure, Mounted, OutletState, Ports, SectionKind, SectionSettings, Stage, StageBuilder, StageKind, Trial, Warning,
};
use crate::stream::Stream;
use crate::trial::{Residuals, relative, worse};
use washgraph_ground::ground::GroundDraw;
use washgraph_physics::particle::gold::SettlingTable;
use washgraph_physics::particle::shape::Proportions;
use washgraph_physics::size::{
    ByGold, GOLD_CLASSES, LUMP_BINS, SOLID_CLASSES, gold_class, gold_class_of, solid_class, solid_class_of,
};
use washgraph_stats::draw::{Draws, InputList};
use washgraph_units::math::ln;
use washgraph_units::problem::Problems;
use washgraph_units::quantity::{Phrase, UnitChoice};

/// Note of gold that was sent astray before it came to the stage on the bench.
const NOTE_BEFORE: usize = 0;
/// First note of the stage itself.
const NOTE_BASE: usize = 1;

/// A stream of rock, gold and water. `rock` and `gold` are pairs of a size (m) and a flow (kg/s); each goes into the class that holds
/// the size. `water_m3_s` counts as the ground's own moisture until `added_water_m3_s` of the stream says otherwise.
pub fn stream(rock: &[(f64, f64)], gold: &[(f64, f64)], water_m3_s: f64) -> Stream {
    let mut stream = Stream::empty(NOTE_BASE);
    for (size_m, kg_s) in rock {
        let class = solid_class_of(*size_m);
        stream.rock_kg_s[class] += kg_s;
        stream.largest_m = stream.largest_m.max(solid_class(class).finite_to_m());
    }
    for (size_m, kg_s) in gold {
        stream.gold_kg_s[gold_class_of(*size_m)] += kg_s;
    }
    stream.water_m3_s = water_m3_s;
    stream
}

/// The ground of the bench, invented: all classes of rock and of gold alike, 4 % of clay in lumps of an inch, 100 mg/m3 of gold in
/// each class, none of it in the clay, water of 10 degrees.
pub fn ground() -> GroundDraw {
    let table = SettlingTable::new();
    let mut ground = GroundDraw::bare(&table);
    ground.rock = [0.96 / SOLID_CLASSES as f64; SOLID_CLASSES];
    ground.lumps = [0.04 / LUMP_BINS as f64; LUMP_BINS];
    ground.lump_m = [0.025; LUMP_BINS];
    ground.loose_density_kg_m3 = 1_600.0;
    ground.swell = 0.18;
    ground.moisture = 0.05;
    ground.rock_density_kg_m3 = 2_650.0;
    ground.clay_wear_m_s = 1.0e-5;
    ground.gold_density_kg_m3 = 17_000.0;
    ground.grade = [100.0e-6; GOLD_CLASSES];
    ground.gold = ground.grade.map(|g| g / ground.loose_density_kg_m3);
    ground.grade_loose_kg_m3 = ground.grade.iter().sum();
    let law = table.gold_law(ground.gold_density_kg_m3, &ground.water, Proportions::default());
    for g in 0..GOLD_CLASSES {
        let size_m = gold_class(g).middle_m;
        ground.forms[g] = law.form(size_m, ln(size_m), ground.corey[g]);
        ground.settling[g] = law.fall(&ground.forms[g]);
    }
    ground
}

/// A stage to be put on the bench.
pub struct Bench {
    kind: &'static StageKind,
    text: String,
    sections: Vec<(&'static SectionKind, String)>,
    mounted: Vec<Mounted>,
    water: Vec<OutletState>,
    ground: GroundDraw,
}

impl Bench {
    /// A stage of this kind at its usual settings.
    pub fn of(kind: &'static StageKind) -> Bench {
        let (sections, mounted, water) = (Vec::new(), Vec::new(), Vec::new());
        Bench { kind, text: String::new(), sections, mounted, water, ground: ground() }
    }
    /// Its settings, as its table in a scenario has them (without `id` and `kind`).
    #[must_use]
    pub fn settings(mut self, toml: &str) -> Bench {
        self.text = toml.to_string();
        self
    }
    /// A further section with its settings; its id is the name of its kind.
    #[must_use]
    pub fn section(mut self, kind: &'static SectionKind, toml: &str) -> Bench {
        self.sections.push((kind, toml.to_string()));
        self
    }
    /// An outlet that gives so much water (m3/s) on the stage, or on the section of that name.
    #[must_use]
    pub fn water(mut self, id: &str, section: Option<&str>, flow_m3_s: f64) -> Bench {
        let index = self.mounted.len();
        self.mounted.push(Mounted { id: id.into(), kind: "make-up", section: section.map(str::to_string), index });
        self.water.push(OutletState { flow_m3_s, pressure_pa: 0.0 });
        self
    }
    /// Another ground than that of the bench.
    #[must_use]
    pub fn ground(mut self, ground: GroundDraw) -> Bench {
        self.ground = ground;
        self
    }

    /// Builds the stage.
    ///
    /// # Errors
    /// What is wrong with the settings, line by line, in the words that a user would read.
    pub fn set_up(self) -> Result<OnBench, Vec<String>> {
        let (mut inputs, mut problems) = (InputList::default(), Problems::default());
        let id = self.kind.name;
        let settings = read(&self.text, self.kind.settings, id, &mut inputs, &mut problems);
        let sections: Vec<SectionSettings> = self
            .sections
            .iter()
            .map(|(kind, text)| {
                let owner = format!("{id}.{}", kind.name);
                let settings = read(text, kind.settings, &owner, &mut inputs, &mut problems);
                SectionSettings { id: kind.name.to_string(), kind, settings }
            })
            .collect();
        let (mut measures, mut warnings, mut stage) = (Vec::new(), Vec::new(), None);
        if !problems.has_errors() {
            stage = (self.kind.build)(&mut StageBuilder {
                id,
                settings: &settings,
                sections: &sections,
                mounted: &self.mounted,
                fed: &[],
                units: UnitChoice::Metric,
                inputs: &inputs,
                problems: &mut problems,
                measures: &mut measures,
                warnings: &mut warnings,
            });
        }
        match stage {
            Some(stage) if !problems.has_errors() => Ok(OnBench {
                kind: self.kind,
                stage,
                inputs,
                measures,
                warnings,
                water: self.water,
                ground: self.ground,
                settling: SettlingTable::new(),
            }),
            _ => Err(problems.in_order().into_iter().map(|p| format!("{} ({})", p.message, p.help)).collect()),
        }
    }
}

/// Reads the settings of one table.
fn read(text: &str, declared: &[Setting], owner: &str, inputs: &mut InputList, problems: &mut Problems) -> Settings {
    let (table, syntax) = DeTable::parse_recoverable(text);
    for error in syntax {
        problems.error(error.span(), error.message(), "each line is key = value, texts and quantities in quotes");
    }
    let mut reader = Reader { inputs, problems, meaning: SpreadMeaning::default() };
    reader.read(table.get_ref(), 0..text.len(), declared, owner)
}

/// A stage on the bench, ready to run as often as wanted.
pub struct OnBench {
    kind: &'static StageKind,
    stage: Box<dyn Stage>,
    inputs: InputList,
    measures: Vec<Measure>,
    warnings: Vec<Warning>,
    water: Vec<OutletState>,
    ground: GroundDraw,
    settling: SettlingTable,
}

impl std::fmt::Debug for OnBench {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("OnBench").field("kind", &self.kind.name).finish_non_exhaustive()
    }
}

impl OnBench {
    /// The stage itself.
    pub fn stage(&self) -> &dyn Stage {
        self.stage.as_ref()
    }
    /// Its uncertain inputs.
    pub fn inputs(&self) -> &InputList {
        &self.inputs
    }

    /// One pass with every uncertain input at its middle. `inlets` are pairs of the name of an inlet and what flows into it.
    ///
    /// # Errors
    /// An inlet that the kind has not, or one that must be wired and was not given.
    pub fn run(&self, inlets: &[(&str, &Stream)]) -> Result<Ran, String> {
        let mut draws = Draws::new(1, &self.inputs);
        draws.set_middle(&self.inputs);
        self.pass(&draws, inlets)
    }

    /// One pass with the uncertain inputs of a trial.
    ///
    /// # Errors
    /// As [`Self::run`].
    pub fn run_trial(&self, seed: u64, trial: u64, inlets: &[(&str, &Stream)]) -> Result<Ran, String> {
        let mut draws = Draws::new(seed, &self.inputs);
        draws.set_trial(trial, &self.inputs);
        self.pass(&draws, inlets)
    }

    /// What it tells the shop after a pass.
    pub fn shop(&self, ran: &Ran) -> Vec<ShopPart> {
        let measures: Vec<Reading> =
            ran.measures.iter().map(|(_, x)| Reading { middle: *x, low: *x, high: *x }).collect();
        self.stage.shop(&StageSite { id: self.kind.name, measures: &measures })
    }

    fn pass(&self, draws: &Draws, inlets: &[(&str, &Stream)]) -> Result<Ran, String> {
        let kind = self.kind;
        let notes = NOTE_BASE + 1 + kind.reasons.len();
        let mut upstream = Vec::new();
        let mut slots = vec![None; kind.inlets.len()];
        for (name, stream) in inlets {
            let slot = kind.inlets.iter().zip(&mut slots).find(|(port, _)| port.name == *name).map(|(_, slot)| slot);
            *slot.ok_or_else(|| format!("`{}` has no inlet `{name}`", kind.name))? = Some(upstream.len());
            upstream.push(fitted(stream, notes));
        }
        if let Some((port, _)) = kind.inlets.iter().zip(&slots).find(|(port, slot)| !port.optional && slot.is_none()) {
            return Err(format!("nothing flows into inlet `{}` of `{}`", port.name, kind.name));
        }
        let feed_m3_s = self.stage.feed_m3_s().map_or(0.0, |input| input.get(draws));
        let trial = Trial {
            draws,
            ground: &self.ground,
            outlets: &self.water,
            settling: &self.settling,
            feed_m3_s,
            line: None,
            sweep: Sweep::Only,
            return_water: ReturnWater::default(),
            at_length: true,
        };
        let mut outlets = vec![Stream::empty(notes); kind.outlets.len()];
        let mut caught = [0.0; GOLD_CLASSES];
        let mut measures = vec![f64::NAN; self.measures.len()];
        let mut raised = vec![false; self.warnings.len()];
        let mut scratch: Box<dyn Any + Send> = self.stage.scratch();
        let mut pond: Option<PondBook> = None;
        self.stage.run(
            &trial,
            &mut Ports {
                upstream: &upstream,
                inlets: &slots,
                outlets: &mut outlets,
                caught: &mut caught,
                measures: &mut measures,
                warnings: &mut raised,
                scratch: &mut scratch,
                note_base: NOTE_BASE,
                pond: &mut pond,
            },
        );
        let own_text = |(i, w): (usize, &Warning)| {
            (w.id, self.stage.warning_text(i, scratch.as_ref()).unwrap_or_else(|| w.text.clone()))
        };
        let warnings = self.warnings.iter().enumerate().filter(|(i, _)| raised[*i]).map(own_text).collect();
        let mut closure = self.closure(feed_m3_s, &upstream, &outlets, &caught);
        if pond.is_some() {
            closure.water = f64::NAN;
        }
        Ok(Ran {
            kind,
            outlets,
            caught_kg_s: caught,
            measures: self.measures.iter().map(|m| m.name.clone()).zip(measures).collect(),
            warnings,
            closure,
        })
    }

    /// What went in against what came out, class by class.
    fn closure(&self, feed_m3_s: f64, inlets: &[Stream], outlets: &[Stream], caught: &ByGold) -> Residuals {
        let ground = &self.ground;
        let dug_kg_s = feed_m3_s * ground.loose_density_kg_m3;
        let sum = |streams: &[Stream], what: &dyn Fn(&Stream) -> f64| streams.iter().map(what).sum::<f64>();
        let (mut gold, mut solids) = (0.0, 0.0);
        for (g, caught) in caught.iter().enumerate() {
            let of = |s: &Stream| s.gold_of_class(g);
            let dug = dug_kg_s * (ground.gold[g] + ground.locked[g]);
            gold = worse(gold, relative(dug + sum(inlets, &of), sum(outlets, &of) + caught));
        }
        for c in 0..SOLID_CLASSES {
            let of = |s: &Stream| s.rock_kg_s[c];
            solids = worse(solids, relative(dug_kg_s * ground.rock[c] + sum(inlets, &of), sum(outlets, &of)));
        }
        let clay = |s: &Stream| s.lumps_kg_s() + s.clay_kg_s;
        let dug_clay = dug_kg_s * ground.lumps.iter().sum::<f64>();
        solids = worse(solids, relative(dug_clay + sum(inlets, &clay), sum(outlets, &clay)));
        let moisture = dug_kg_s * ground.moisture / (1.0 - ground.moisture) / ground.water.density_kg_m3;
        let given: f64 = self.water.iter().map(|o| o.flow_m3_s).sum();
        let water = |s: &Stream| s.water_m3_s;
        Residuals { gold, solids, water: relative(moisture + given + sum(inlets, &water), sum(outlets, &water)) }
    }
}

/// The stream with as many notes as the bench keeps; whatever was astray already is so before the stage.
fn fitted(stream: &Stream, notes: usize) -> Stream {
    let mut astray_kg_s = vec![[0.0; GOLD_CLASSES]; notes];
    for note in &stream.astray_kg_s {
        for (sum, gold) in astray_kg_s[NOTE_BEFORE].iter_mut().zip(note) {
            *sum += gold;
        }
    }
    Stream { astray_kg_s, ..stream.clone() }
}

/// What came of one pass.
#[derive(Debug, Clone)]
pub struct Ran {
    kind: &'static StageKind,
    outlets: Vec<Stream>,
    /// Gold caught by class, kg/s.
    pub caught_kg_s: ByGold,
    /// Its measures by name, SI, in the order of the builder; NaN where it wrote none.
    pub measures: Vec<(String, f64)>,
    /// The warnings raised: id, and the text with the numbers of this pass.
    pub warnings: Vec<(&'static str, Phrase)>,
    /// Worst relative difference between what went in and what came out. Water is NaN for a pond, which gives it back to the outlets.
    pub closure: Residuals,
}

impl Ran {
    /// What came out of an outlet; `None` for a name that the kind has not.
    pub fn outlet(&self, name: &str) -> Option<&Stream> {
        self.kind.outlets.iter().zip(&self.outlets).find(|(port, _)| port.name == name).map(|(_, stream)| stream)
    }
    /// A measure by its name, SI; NaN for a name that it has not.
    pub fn measure(&self, name: &str) -> f64 {
        self.measures.iter().find(|m| m.0 == name).map_or(f64::NAN, |m| m.1)
    }
    /// Whether a warning was raised.
    pub fn warned(&self, id: &str) -> bool {
        self.warnings.iter().any(|w| w.0 == id)
    }
    /// Gold caught, kg/s.
    pub fn caught_in_all_kg_s(&self) -> f64 {
        self.caught_kg_s.iter().sum()
    }
    /// Gold that leaves by an outlet with a reason of the stage, by class, kg/s; `None` for names that the kind has not.
    pub fn astray(&self, outlet: &str, reason: &str) -> Option<&ByGold> {
        let number = self.kind.reasons.iter().position(|r| r.name == reason)?;
        self.outlet(outlet)?.astray_kg_s.get(NOTE_BASE + 1 + number)
    }
}
