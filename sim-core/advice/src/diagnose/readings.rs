//! What can be read off a plant: all that its kinds declare, and what is read off the plant as a whole.

use sim_core::plant::Plant;
use sim_core::readout::Readout;
use sim_core::registry::Registry;
use sim_core::stage::{Declared, Reading, Source};
use sim_core::trial::Worker;

/// The readings of a program, each by its number.
pub struct Readings {
    list: Vec<Declared<Reading>>,
}

impl Readings {
    /// All readings that these kinds have.
    pub fn of(registry: &Registry) -> Readings {
        Readings { list: registry.readings() }
    }

    /// A reading by its number.
    pub fn get(&self, number: usize) -> Option<&'static Reading> {
        self.list.get(number).map(|r| r.thing)
    }

    /// Name of the kind that declares a reading; empty for the plant as a whole.
    pub fn kind_of(&self, number: usize) -> &'static str {
        self.list.get(number).map_or("", |r| r.owner.name())
    }

    /// Number of a reading by its name; one that no reading has for a name that nobody declares.
    pub fn at(&self, name: &str) -> usize {
        self.list.iter().position(|r| r.thing.name == name).unwrap_or(usize::MAX)
    }

    /// Number of a reading of the plant as a whole, by where the model has it.
    pub fn of_the_plant(&self, source: Source) -> usize {
        self.list.iter().position(|r| r.thing.source == source).unwrap_or(usize::MAX)
    }

    /// All of them, in the order of their numbers.
    pub fn all(&self) -> impl Iterator<Item = &'static Reading> {
        self.list.iter().map(|r| r.thing)
    }
}

/// Reads all of them off a worker of one plant.
pub struct Reader {
    list: Vec<Readout>,
}

impl Reader {
    /// The readings of a plant.
    pub fn of(plant: &Plant, readings: &Readings) -> Reader {
        Reader { list: readings.list.iter().map(|r| Readout::of(plant, *r)).collect() }
    }

    /// All readings of the last trial; NaN for what the plant does not have.
    pub fn read(&self, worker: &Worker<'_>) -> Vec<f64> {
        self.list.iter().map(|r| r.value(worker)).collect()
    }
}
