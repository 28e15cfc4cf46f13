//! Addressed randomness: every random number has an address (seed, trial, input), so that adding a stage, an input or a
//! thread changes no other draw, and two designs are compared on the same ground.
//!
//! The generator is ChaCha8: the key comes from the seed, the stream is the trial, and the block within the stream is a
//! hash of the name of the input. A scalar input uses the first number at its address; a vector input reads on.

use std::sync::Arc;

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

pub use crate::address::Address;
use crate::address::WORDS_PER_ADDRESS;
use crate::distribution::Spread;
use crate::first_numbers::Key;
use crate::joint::{JointDraws, Places};
use washgraph_units::quantity::Dimension;

/// Version of the layout of addresses. Results of the same seed differ between versions.
pub const LAYOUT: &str = "chacha8-stream-trial-block-fnv48/1";

/// Where the number stands that picks the row of inputs drawn together.
static ROW_ADDRESS: std::sync::LazyLock<Address> = std::sync::LazyLock::new(|| Address::of("tuned/row"));

/// Whether an input is unknown to us or changes by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Nature {
    /// One value, not known well: more samples or a trial run would narrow it.
    Ignorance,
    /// Differs from hour to hour or bench to bench; no sample narrows it.
    Variability,
}

impl Nature {
    /// The word printed.
    pub const fn word(self) -> &'static str {
        match self {
            Nature::Ignorance => "not known well",
            Nature::Variability => "changes by itself",
        }
    }
}

/// One uncertain input of the plant.
#[derive(Debug, Clone)]
pub struct UncertainInput {
    /// Full name, `stage/input`; the address is its hash.
    pub name: String,
    /// Meaning in plain words.
    pub meaning: String,
    /// Kind of quantity.
    pub dimension: Dimension,
    /// Its distribution, SI.
    pub spread: Spread,
    /// Unknown, or changing by itself.
    pub nature: Nature,
    /// Where the default comes from, or "given in the scenario".
    pub source: String,
}

/// The value of a setting inside a stage: known, or drawn anew in each trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Input {
    /// The same in every trial, SI.
    Fixed(f64),
    /// Number of the uncertain input.
    Drawn(usize),
}

impl Input {
    /// The value in this trial, SI.
    #[inline]
    pub fn get(self, draws: &Draws) -> f64 {
        match self {
            Input::Fixed(value) => value,
            Input::Drawn(index) => draws.values.get(index).copied().unwrap_or(f64::NAN),
        }
    }
}

/// The list of uncertain inputs of a plant, in the order of building.
#[derive(Debug, Clone, Default)]
pub struct InputList {
    inputs: Vec<UncertainInput>,
    addresses: Vec<Address>,
    /// What the plant's own results say of some of the inputs, all together; `None` for a plant that was not tuned.
    joint: Option<Arc<JointDraws>>,
}

impl InputList {
    /// Adds an uncertain input. Two inputs whose names hash to one address are refused with the other's name (rename one).
    pub fn add(&mut self, input: UncertainInput) -> Result<Input, String> {
        if let Spread::Fixed(value) = input.spread {
            return Ok(Input::Fixed(value));
        }
        let address = Address::of(&input.name);
        if let Some(i) = self.addresses.iter().position(|a| *a == address) {
            return Err(self.inputs.get(i).map(|x| x.name.clone()).unwrap_or_default());
        }
        self.inputs.push(input);
        self.addresses.push(address);
        Ok(Input::Drawn(self.inputs.len() - 1))
    }

    /// Gives an input that was taken by default another spread, with its source. A fixed one stays as it is.
    pub fn respread(&mut self, input: Input, spread: Spread, source: &str) -> Input {
        if let Input::Drawn(i) = input
            && let Some(known) = self.inputs.get_mut(i)
        {
            known.spread = spread;
            known.source = source.to_string();
        }
        input
    }

    /// The inputs, in order.
    pub fn all(&self) -> &[UncertainInput] {
        &self.inputs
    }

    /// From now on these inputs are drawn together, a whole row in each trial.
    pub fn set_joint(&mut self, joint: Option<Arc<JointDraws>>) {
        self.joint = joint;
    }

    /// The joint draws, of a tuned plant.
    pub fn joint(&self) -> Option<&Arc<JointDraws>> {
        self.joint.as_ref()
    }

    /// For each input its number in another list in which it stands with the same name and spread.
    pub fn places_in(&self, other: &InputList) -> Vec<Option<usize>> {
        let place = |(address, input): (&Address, &UncertainInput)| {
            let i = other.addresses.iter().position(|a| a == address)?;
            (other.inputs.get(i)?.spread == input.spread).then_some(i)
        };
        self.addresses.iter().zip(&self.inputs).map(place).collect()
    }

    /// The mean of an input, whether fixed or drawn.
    pub fn mean(&self, input: Input) -> f64 {
        match input {
            Input::Fixed(value) => value,
            Input::Drawn(i) => self.inputs.get(i).map_or(f64::NAN, |x| x.spread.mean_approx()),
        }
    }

    /// The middle (median) of an input, whether fixed or drawn.
    pub fn middle(&self, input: Input) -> f64 {
        match input {
            Input::Fixed(value) => value,
            Input::Drawn(i) => self.inputs.get(i).map_or(f64::NAN, |x| x.spread.middle()),
        }
    }
}

/// Inputs that are to take their numbers from another trial, so that only they change: what a sensitivity needs.
#[derive(Debug, Clone)]
pub struct Swap {
    /// Scalar inputs, in the order of the list.
    scalars: Vec<bool>,
    /// Vector inputs named.
    vectors: Vec<Address>,
    /// Whether the vector inputs named stay and all others are swapped.
    all_but: bool,
}

impl Swap {
    /// The scalar inputs that are chosen, and these vector inputs.
    pub fn of(inputs: &InputList, chosen: impl Fn(&UncertainInput) -> bool, vectors: &[&str]) -> Swap {
        let scalars = inputs.inputs.iter().map(chosen).collect();
        Swap { scalars, vectors: vectors.iter().map(|n| Address::of(n)).collect(), all_but: false }
    }

    /// The scalar inputs that are chosen, and every vector input but these.
    pub fn all_vectors_but(inputs: &InputList, chosen: impl Fn(&UncertainInput) -> bool, vectors: &[&str]) -> Swap {
        Swap { all_but: true, ..Swap::of(inputs, chosen, vectors) }
    }

    fn takes(&self, address: Address) -> bool {
        self.vectors.contains(&address) != self.all_but
    }
}

/// The generator of one trial and the values of all scalar inputs.
#[derive(Debug, Clone)]
pub struct Draws {
    values: Vec<f64>,
    rng: ChaCha8Rng,
    /// The generator's key, for the first numbers of many addresses at once.
    key: Key,
    /// First number of each scalar input asked for.
    numbers: Vec<f64>,
    /// The trial, and the other one with the inputs that are taken from it.
    trial: u64,
    swapped: Option<(u64, Swap)>,
    /// Elements of vector inputs that have a number given, not the one at their address.
    held: Vec<(Address, usize, f64)>,
    /// True when every input stands at its middle and nothing is random.
    middle: bool,
}

impl Draws {
    /// A worker's draws for a plant, not yet set to a trial.
    pub fn new(seed: u64, inputs: &InputList) -> Self {
        let rng = ChaCha8Rng::seed_from_u64(seed);
        Draws {
            values: vec![0.0; inputs.inputs.len()],
            key: Key::of(rng.get_seed()),
            numbers: Vec::with_capacity(inputs.inputs.len()),
            rng,
            trial: 0,
            swapped: None,
            held: Vec::new(),
            middle: false,
        }
    }

    /// Draws all scalar inputs of one trial.
    pub fn set_trial(&mut self, trial: u64, inputs: &InputList) {
        self.middle = false;
        self.trial = trial;
        self.swapped = None;
        self.rng.set_stream(trial);
        self.first_numbers(trial, inputs.addresses.iter());
        for ((value, input), u) in self.values.iter_mut().zip(&inputs.inputs).zip(&self.numbers) {
            *value = input.spread.quantile(*u);
        }
        self.held.clear();
        if let Some(joint) = &inputs.joint {
            self.take_row(trial, joint, inputs, |_| true, |_| true);
        }
    }

    /// Draws a trial whose scalar inputs another plant has drawn already: `places` says which of `values` each input has;
    /// one without a place is drawn.
    pub fn set_shared(&mut self, trial: u64, inputs: &InputList, values: &[f64], places: &[Option<usize>]) {
        if inputs.joint.is_some() && places.contains(&None) {
            return self.set_trial(trial, inputs);
        }
        self.middle = false;
        self.trial = trial;
        self.swapped = None;
        self.held.clear();
        self.rng.set_stream(trial);
        let own = inputs.addresses.iter().zip(places).filter(|(_, place)| place.is_none()).map(|(a, _)| a);
        self.first_numbers(trial, own);
        let mut drawn = self.numbers.iter();
        for ((value, input), place) in self.values.iter_mut().zip(&inputs.inputs).zip(places) {
            let known = place.and_then(|p| values.get(p)).copied();
            let own = || drawn.next().map(|u| input.spread.quantile(*u));
            *value = known.or_else(own).unwrap_or(f64::NAN);
        }
        if let Some(joint) = &inputs.joint {
            self.take_row(trial, joint, inputs, |_| false, |_| true);
        }
    }

    /// Values of all scalar inputs.
    pub fn values(&self) -> &[f64] {
        &self.values
    }

    /// Fills `numbers` with the first number at each of these addresses.
    fn first_numbers<'a>(&mut self, trial: u64, addresses: impl Iterator<Item = &'a Address>) {
        self.numbers.clear();
        let numbers = &mut self.numbers;
        self.key.first_numbers(trial, addresses.map(|a| a.block()), |bits| numbers.push(open_unit(bits)));
    }

    /// Draws a trial in which the inputs of `places` take the numbers of `row` instead of their own.
    pub fn set_given(&mut self, trial: u64, inputs: &InputList, places: &Places, row: &[f64]) {
        self.middle = false;
        self.trial = trial;
        self.swapped = None;
        self.held.clear();
        self.rng.set_stream(trial);
        let own = |i: &usize| places.number_of(*i, row).is_none();
        self.first_numbers(trial, inputs.addresses.iter().enumerate().filter(|(i, _)| own(i)).map(|(_, a)| a));
        let mut drawn = self.numbers.iter();
        for (i, (value, input)) in self.values.iter_mut().zip(&inputs.inputs).enumerate() {
            if let Some(u) = places.number_of(i, row).or_else(|| drawn.next().copied()) {
                *value = input.spread.quantile(u);
            }
        }
        self.hold(places, row, |_| true);
    }

    /// The numbers that a trial has at the places of a row: of each scalar input its first, of a vector its elements.
    pub fn numbers_at(&mut self, trial: u64, inputs: &InputList, places: &Places, out: &mut [f64]) {
        self.rng.set_stream(trial);
        let known = || places.scalars().filter_map(|(column, i)| inputs.addresses.get(i).map(|a| (column, a)));
        self.first_numbers(trial, known().map(|(_, address)| address));
        for ((column, _), u) in known().zip(&self.numbers) {
            if let Some(out) = out.get_mut(column) {
                *out = *u;
            }
        }
        for (column, address, element) in places.elements() {
            self.rng.set_word_pos(u128::from(address.0) * WORDS_PER_ADDRESS);
            let mut u = 0.5;
            for _ in 0..=element {
                u = open_unit(self.rng.next_u64());
            }
            if let Some(out) = out.get_mut(column) {
                *out = u;
            }
        }
    }

    /// Gives the inputs that are drawn together the numbers of one row, chosen by seed and trial; of the scalars those
    /// that `scalar` picks, of the vectors those that `vector` picks.
    fn take_row(
        &mut self,
        trial: u64,
        joint: &JointDraws,
        inputs: &InputList,
        scalar: impl Fn(usize) -> bool,
        vector: impl Fn(Address) -> bool,
    ) {
        self.rng.set_stream(trial);
        self.rng.set_word_pos(u128::from(ROW_ADDRESS.0) * WORDS_PER_ADDRESS);
        let row = joint.row_of(open_unit(self.rng.next_u64()));
        for (column, index) in joint.places.scalars().filter(|(_, i)| scalar(*i)) {
            let given = row.get(column).zip(inputs.inputs.get(index));
            if let (Some(value), Some((u, input))) = (self.values.get_mut(index), given) {
                *value = input.spread.quantile(*u);
            }
        }
        self.hold(&joint.places, row, vector);
    }

    /// Keeps the numbers of a row for the elements of vector inputs.
    fn hold(&mut self, places: &Places, row: &[f64], vector: impl Fn(Address) -> bool) {
        for (column, address, element) in places.elements().filter(|(_, address, _)| vector(*address)) {
            let Some(u) = row.get(column) else { continue };
            match self.held.iter_mut().find(|(a, e, _)| (*a, *e) == (address, element)) {
                Some(held) => held.2 = *u,
                None => self.held.push((address, element, *u)),
            }
        }
    }

    /// Draws only the inputs of these numbers, each with the value that [`Self::set_trial`] gives it; the others are left
    /// as they were. For sums over the trials that need few of the inputs.
    pub fn set_some(&mut self, trial: u64, inputs: &InputList, which: &[usize]) {
        self.middle = false;
        self.trial = trial;
        self.swapped = None;
        self.rng.set_stream(trial);
        let known = || which.iter().copied().filter(|i| *i < inputs.inputs.len());
        self.first_numbers(trial, known().filter_map(|i| inputs.addresses.get(i)));
        for (i, u) in known().zip(&self.numbers) {
            if let (Some(value), Some(input)) = (self.values.get_mut(i), inputs.inputs.get(i)) {
                *value = input.spread.quantile(*u);
            }
        }
        self.held.clear();
        if let Some(joint) = &inputs.joint {
            self.take_row(trial, joint, inputs, |i| which.contains(&i), |_| true);
        }
    }

    /// Draws a trial whose inputs named by `swap` have the numbers that they have in trial `other`.
    pub fn set_trial_swapped(&mut self, trial: u64, other: u64, swap: &Swap, inputs: &InputList) {
        self.set_trial(trial, inputs);
        self.rng.set_stream(other);
        let swapped = |list: &(_, &bool)| *list.1;
        self.first_numbers(other, inputs.addresses.iter().zip(&swap.scalars).filter(swapped).map(|(a, _)| a));
        let list = self.values.iter_mut().zip(&inputs.inputs).zip(&swap.scalars);
        for (((value, input), _), u) in list.filter(|(_, swapped)| **swapped).zip(&self.numbers) {
            *value = input.spread.quantile(*u);
        }
        if let Some(joint) = &inputs.joint {
            let scalar = |i: usize| swap.scalars.get(i).copied().unwrap_or(false);
            self.take_row(other, joint, inputs, scalar, |address| swap.takes(address));
        }
        self.rng.set_stream(trial);
        self.swapped = Some((other, swap.clone()));
    }

    /// Sets the generator to an address, in the stream of the other trial when the input is taken from there.
    fn seek(&mut self, address: Address) {
        if let Some((other, swap)) = &self.swapped {
            self.rng.set_stream(if swap.takes(address) { *other } else { self.trial });
        }
        self.rng.set_word_pos(u128::from(address.0) * WORDS_PER_ADDRESS);
    }

    /// Sets every input to its middle.
    pub fn set_middle(&mut self, inputs: &InputList) {
        self.middle = true;
        self.held.clear();
        for (value, input) in self.values.iter_mut().zip(&inputs.inputs) {
            *value = input.spread.middle();
        }
        if let Some(joint) = &inputs.joint {
            for (column, index) in joint.places.scalars() {
                if let (Some(value), Some(input)) = (self.values.get_mut(index), inputs.inputs.get(index)) {
                    *value = input.spread.quantile(joint.middle(column));
                }
            }
            self.hold(&joint.places, joint.middles(), |_| true);
        }
    }

    /// Sets every input to its middle but one, which takes the value that it falls below with chance `u`.
    pub fn set_middle_but(&mut self, inputs: &InputList, index: usize, u: f64) {
        self.set_middle(inputs);
        if let (Some(value), Some(input)) = (self.values.get_mut(index), inputs.inputs.get(index)) {
            *value = input.spread.quantile(u);
        }
    }

    /// Whether every input stands at its middle (one pass without chance).
    pub fn is_middle(&self) -> bool {
        self.middle
    }

    /// The number that an element of a vector input stands at in the middle case of a tuned plant.
    pub fn middle_of(&self, address: Address, element: usize) -> Option<f64> {
        let held = self.held.iter().find(|(a, e, _)| (*a, *e) == (address, element));
        if self.middle { held.map(|(.., u)| *u) } else { None }
    }

    /// The number that an element of a vector input has from a row; in the middle case of a tuned plant that of the middle.
    pub fn given(&self, address: Address, element: usize) -> Option<f64> {
        self.held.iter().find(|(a, e, _)| (*a, *e) == (address, element)).map(|(.., u)| *u)
    }

    /// Fills `out` with the uniform numbers of a vector input; 0.5 throughout when all inputs stand at their middle.
    pub fn uniforms(&mut self, address: Address, out: &mut [f64]) {
        if self.middle {
            out.fill(0.5);
            return;
        }
        self.seek(address);
        for u in out.iter_mut() {
            *u = open_unit(self.rng.next_u64());
        }
        for (_, element, given) in self.held.iter().filter(|(a, ..)| *a == address) {
            if let Some(u) = out.get_mut(*element) {
                *u = *given;
            }
        }
    }

    /// The generator set to an address, for draws that need more than one number each (counts).
    pub fn generator_at(&mut self, address: Address) -> &mut ChaCha8Rng {
        self.seek(address);
        &mut self.rng
    }
}

/// A number strictly between 0 and 1 from 53 random bits.
#[inline]
fn open_unit(bits: u64) -> f64 {
    ((bits >> 11) as f64 + 0.5) * (1.0 / 9_007_199_254_740_992.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn input(name: &str) -> UncertainInput {
        UncertainInput {
            name: name.into(),
            meaning: String::new(),
            dimension: Dimension::Number,
            spread: Spread::uniform(0.0, 1.0).unwrap(),
            nature: Nature::Ignorance,
            source: String::new(),
        }
    }

    #[test]
    fn property_a_further_input_changes_no_other_draw() {
        let mut few = InputList::default();
        let a = few.add(input("sluice/a")).unwrap();
        let mut many = InputList::default();
        let extra = many.add(input("trap/z")).unwrap();
        let b = many.add(input("sluice/a")).unwrap();
        let (mut x, mut y) = (Draws::new(7, &few), Draws::new(7, &many));
        for trial in [0, 1, 99_999] {
            x.set_trial(trial, &few);
            y.set_trial(trial, &many);
            assert_eq!(a.get(&x).to_bits(), b.get(&y).to_bits());
            assert_ne!(extra.get(&y), b.get(&y));
        }
    }

    #[test]
    fn identity_a_swapped_input_alone_has_the_number_of_the_other_trial() {
        let mut list = InputList::default();
        let (a, b) = (list.add(input("ground/a")).unwrap(), list.add(input("drum/b")).unwrap());
        let vectors = [Address::of("ground/gold"), Address::of("ground/gradation")];
        let mut draws = Draws::new(3, &list);
        let mut of = |trial: u64, other: Option<(u64, &Swap)>| {
            match other {
                Some((other, swap)) => draws.set_trial_swapped(trial, other, swap, &list),
                None => draws.set_trial(trial, &list),
            }
            let mut first = [0.0; 2];
            for (x, v) in first.iter_mut().zip(vectors) {
                let mut one = [0.0];
                draws.uniforms(v, &mut one);
                *x = one[0];
            }
            [a.get(&draws), b.get(&draws), first[0], first[1]]
        };
        let (here, there) = (of(4, None), of(9, None));
        let some = Swap::of(&list, |i| i.name == "drum/b", &["ground/gold"]);
        assert_eq!(of(4, Some((9, &some))), [here[0], there[1], there[2], here[3]]);
        let rest = Swap::all_vectors_but(&list, |i| i.name != "drum/b", &["ground/gold"]);
        assert_eq!(of(4, Some((9, &rest))), [there[0], here[1], here[2], there[3]]);
        assert_eq!(of(4, None), here);
    }

    #[test]
    fn property_uniform_draws_have_the_moments_of_uniform_numbers() {
        let mut list = InputList::default();
        let a = list.add(input("ground/a")).unwrap();
        let mut draws = Draws::new(1, &list);
        let n = 20_000;
        let (mut sum, mut square) = (0.0, 0.0);
        for trial in 0..n {
            draws.set_trial(trial, &list);
            let u = a.get(&draws);
            assert!(u > 0.0 && u < 1.0);
            sum += u;
            square += u * u;
        }
        let mean = sum / n as f64;
        // Three standard errors of the mean: 3 sqrt(1/12/n).
        assert!((mean - 0.5).abs() < 0.0062, "{mean}");
        assert!((square / n as f64 - 1.0 / 3.0).abs() < 0.0064);
    }

    #[test]
    fn identity_the_same_name_twice_is_refused() {
        let mut list = InputList::default();
        list.add(input("a/b")).unwrap();
        assert_eq!(list.add(input("a/b")), Err("a/b".to_string()));
    }
}
