//! What of a kind may be moved, declared as data beside its settings.
//!
//! A lever is a setting that an owner would change about a plant that stands there: by which steps, what it takes, in which sizes it
//! is sold. All that tries changes reads them from here and knows no kind and no key: the single changes of `losses`, the sliders
//! of the page, searches, what is tried against a symptom.
//!
//! ```
//! use washgraph_engine::lever::{Effort, Lever, Move, Question};
//!
//! static STROKE: Lever = Lever::new("stroke", "Jig stroke")
//!     .takes(Effort::Adjust)
//!     .beside(Question::Losses)
//!     .more(Move::times("longer stroke of the jig", 1.25).eases(&["packed-riffles"]))
//!     .less(Move::times("shorter stroke of the jig", 0.8));
//! assert_eq!(STROKE.moves().count(), 2);
//! ```
//! A setting that the engine must find whatever its name says so by [`Serves`].

use washgraph_units::stock::Item;

/// The question of the owner that a lever stands beside.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Question {
    /// Which hole size?
    Hole,
    /// How much water?
    Water,
    /// Why do fines leave?
    Losses,
    /// Does it pay?
    Pay,
}

/// What a move takes of the owner, least first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Effort {
    /// A bolt, a valve, a throttle, a plan for the day.
    Adjust,
    /// A part that is cut, drilled or fetched within a day.
    SmallPart,
    /// Steel, welding, days.
    Build,
    /// A machine that is bought.
    Buy,
}

impl Effort {
    /// In plain words, after "takes".
    pub const fn words(self) -> &'static str {
        match self {
            Effort::Adjust => "an adjustment",
            Effort::SmallPart => "a small part",
            Effort::Build => "building",
            Effort::Buy => "buying",
        }
    }
}

/// How far a move goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum By {
    /// Times this. A setting that is sold in set sizes takes the size nearest to it, at least one size away.
    Times(f64),
    /// To the next larger size that is sold.
    Larger,
    /// To the next smaller size that is sold.
    Smaller,
    /// To this, as an owner would type it.
    To(&'static str),
}

/// One way of moving a lever.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Move {
    /// What is done, e.g. `box longer`.
    pub words: &'static str,
    /// How far. A step that an owner would think of; the choice of who declares it.
    pub by: By,
    /// Names of symptoms that it may relieve, e.g. `packed-riffles`.
    pub eases: &'static [&'static str],
    /// Whether it is tried among the single changes of a plant; else against its symptoms alone.
    pub tried: bool,
}

impl Move {
    const fn new(words: &'static str, by: By) -> Move {
        Move { words, by, eases: &[], tried: true }
    }
    /// By a factor.
    pub const fn times(words: &'static str, factor: f64) -> Move {
        Move::new(words, By::Times(factor))
    }
    /// To the next larger size that is sold.
    pub const fn larger(words: &'static str) -> Move {
        Move::new(words, By::Larger)
    }
    /// To the next smaller size that is sold.
    pub const fn smaller(words: &'static str) -> Move {
        Move::new(words, By::Smaller)
    }
    /// To a value or a word, as an owner would type it.
    pub const fn to(words: &'static str, value: &'static str) -> Move {
        Move::new(words, By::To(value))
    }
    /// Symptoms that it may relieve.
    pub const fn eases(self, eases: &'static [&'static str]) -> Move {
        Move { eases, ..self }
    }
    /// Tried against its symptoms alone.
    pub const fn against_symptoms_only(self) -> Move {
        Move { tried: false, ..self }
    }
}

/// Where a lever starts that stands at nothing: a share of a length of the stage that holds the section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct First {
    /// Key of that length among the settings of the stage.
    pub of: &'static str,
    /// Share of it.
    pub share: f64,
}

/// What a setting is to the plant, for the few that must be found whatever they are called.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Serves {
    /// The rate at which ground is fed: a quantity of loose or bank ground a time.
    Feed,
    /// The size of the holes of a screen: a length.
    Hole,
    /// The shape of those holes: a word.
    HoleShape,
    /// Water that a stage has of its own beside what comes to it, where it is no pump's business: the flow of an outlet.
    OwnWater,
    /// The bore of the hose that brings it from a manifold: a length.
    OwnHose,
    /// The fittings of that hose: words.
    OwnFittings,
    /// The length over which clay is scrubbed.
    Scrubbing,
}

/// A setting that may be moved.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Lever {
    /// Key of the setting.
    pub key: &'static str,
    /// Short name, e.g. `Sluice width`.
    pub name: &'static str,
    /// What moving it takes; `None` for what is not the owner's to move, such as a price.
    pub effort: Option<Effort>,
    /// The question that it stands beside on the page; `None` where it is one setting among all others there.
    pub question: Option<Question>,
    /// To a larger value, or to another word.
    pub more: Option<Move>,
    /// To a smaller one.
    pub less: Option<Move>,
    /// How far a search may look: from and to this share of the value in force, within the range of the setting.
    pub reach: (f64, f64),
    /// What it is bought as; `None` for what is cut or set to any size.
    pub sold_as: Option<Item>,
    /// Keys of settings that keep their ratio to it.
    pub follows: &'static [&'static str],
    /// Where it starts when there is none.
    pub first: Option<First>,
    /// Key of the setting at whose value it stands when the scenario says nothing of it; empty for none.
    pub starts_at: &'static str,
    /// What it is to the plant.
    pub serves: Option<Serves>,
}

/// From a quarter to twice of what is there: what a builder would still call the same plant. Our choice.
const USUAL_REACH: (f64, f64) = (0.25, 2.0);

impl Lever {
    /// A lever on a setting, with its short name.
    pub const fn new(key: &'static str, name: &'static str) -> Lever {
        Lever {
            key,
            name,
            effort: None,
            question: None,
            more: None,
            less: None,
            reach: USUAL_REACH,
            sold_as: None,
            follows: &[],
            first: None,
            starts_at: "",
            serves: None,
        }
    }
    /// What moving it takes.
    pub const fn takes(self, effort: Effort) -> Lever {
        Lever { effort: Some(effort), ..self }
    }
    /// Beside this question on the page.
    pub const fn beside(self, question: Question) -> Lever {
        Lever { question: Some(question), ..self }
    }
    /// The move to a larger value, or to another word.
    pub const fn more(self, more: Move) -> Lever {
        Lever { more: Some(more), ..self }
    }
    /// The move to a smaller value.
    pub const fn less(self, less: Move) -> Lever {
        Lever { less: Some(less), ..self }
    }
    /// How far a search may look, as shares of the value in force; a quarter to twice unless this is called.
    pub const fn reach(self, from: f64, to: f64) -> Lever {
        Lever { reach: (from, to), ..self }
    }
    /// It is bought in the sizes of this list.
    pub const fn sold_as(self, item: Item) -> Lever {
        Lever { sold_as: Some(item), ..self }
    }
    /// Settings that keep their ratio to it.
    pub const fn with_it(self, follows: &'static [&'static str]) -> Lever {
        Lever { follows, ..self }
    }
    /// Of a section: where it starts when there is none, as a share of a length of the stage that holds the section.
    pub const fn first_share_of(self, of: &'static str, share: f64) -> Lever {
        Lever { first: Some(First { of, share }), ..self }
    }
    /// It stands at the value of this setting when the scenario says nothing of it.
    pub const fn starts_at(self, key: &'static str) -> Lever {
        Lever { starts_at: key, ..self }
    }
    /// What it is to the plant.
    pub const fn serves(self, serves: Serves) -> Lever {
        Lever { serves: Some(serves), ..self }
    }

    /// Its moves, the one to more first.
    pub fn moves(&self) -> impl Iterator<Item = Move> {
        [self.more, self.less].into_iter().flatten()
    }
}
