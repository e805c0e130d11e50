//! From a job and its parameters to its circuits, each worked out.

use super::{Amount, Factor, Guard, Job, JobCircuit, Parameter};
use crate::circuit::Kind;
use crate::circuit::ampacity::{ENGINE_SPACE, Surroundings};
use crate::circuit::answer::{Answer, answer};
use crate::circuit::choice::Choice;
use crate::circuit::conductor::Series;
use crate::circuit::path::Path;
use crate::circuit::protection::Device;
use crate::circuit::request::{Asked, LONGEST_VEHICLE, Load, USUAL_AMBIENT, USUAL_SUPPLY, Unfit};
use crate::circuit::units::{Amps, Metres, Ohms, Watts};
use crate::circuit::written;
use crate::vehicle::names;

/// Where the value of a parameter is from; what comes later overrules what comes before.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Known {
    /// It is the default of the job, an estimate.
    Estimate,
    /// A note of the vehicle tells it.
    Recorded,
    /// The person who asks told it.
    Told,
}

impl Known {
    /// The word in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Estimate => "estimate",
            Self::Recorded => "recorded",
            Self::Told => "told",
        }
    }
}

/// The values of a job's parameters: those told and recorded, and the defaults of the rest.
#[derive(Debug, Clone)]
pub struct Settings {
    values: Vec<Amount>,
    known: Vec<Known>,
}

/// A parameter that cannot be set so: what is wrong, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct Unset {
    /// What is wrong.
    pub message: String,
    /// What would be right.
    pub right: String,
}

/// A circuit of a job, worked out.
#[derive(Debug)]
pub struct Worked<'j> {
    /// The circuit.
    pub circuit: &'j JobCircuit,
    /// What it takes.
    pub answer: Answer,
    /// Where its length is from.
    pub run: Known,
    /// The circuit, by its number in the job, whose device would protect this one and which cannot be built.
    pub waits: Option<usize>,
}

impl Worked<'_> {
    /// What is built; `None` where it cannot be, or lies behind a circuit that cannot.
    #[must_use]
    pub fn built(&self) -> Option<&Choice> {
        self.answer.main().filter(|_| self.waits.is_none())
    }

    /// The metric conductor that does in place of the one of [`Self::built`], where it is another.
    #[must_use]
    pub fn metric(&self) -> Option<&Choice> {
        let built = self.built()?;
        self.answer.of(Series::Metric).filter(|metric| metric.trial.conductor != built.trial.conductor)
    }
}

impl Job {
    /// All parameters at their defaults.
    #[must_use]
    pub fn defaults(&self) -> Settings {
        let values = self.parameters.iter().map(|parameter| parameter.default).collect();
        Settings { values, known: vec![Known::Estimate; self.parameters.len()] }
    }

    /// Sets a parameter from its text.
    ///
    /// # Errors
    /// The job has no such parameter, or it cannot have such a value.
    pub fn set(&self, settings: &mut Settings, name: &str, text: &str) -> Result<(), Unset> {
        let Some(at) = self.parameters.iter().position(|parameter| parameter.name == name) else {
            let known: Vec<&str> = self.parameters.iter().map(|parameter| parameter.name.as_str()).collect();
            let right = match names::nearest(name, known.iter().copied()).first() {
                Some(near) => format!("the nearest is '{near}'"),
                None => format!("it has {}", known.join(", ")),
            };
            return Err(Unset { message: format!("the job {} has no parameter '{name}'", self.name), right });
        };
        let value = self.parameters[at].read(text)?;
        if let (true, Amount::Load(Load::Current(rating))) = (self.is_rating(at), value) {
            check_rating(name, rating)?;
        }
        settings.values[at] = value;
        settings.known[at] = Known::Told;
        Ok(())
    }

    /// Whether a parameter is the rating of a fuse that the vehicle has.
    fn is_rating(&self, at: usize) -> bool {
        self.circuits.iter().any(|circuit| circuit.guard == Guard::Vehicle(Factor::Parameter(at)))
    }

    /// The conductors of the other circuits that pass metal where this one does.
    fn bundled_with(&self, circuit: &JobCircuit) -> u32 {
        let with = |other: &&JobCircuit| other.name != circuit.name && other.through == circuit.through;
        let beside = self.circuits.iter().filter(|_| circuit.through.is_some()).filter(with);
        beside.map(|other| other.by.conductors()).sum()
    }

    /// Works all circuits out, one after the other.
    ///
    /// # Errors
    /// A quantity that cannot be, with the circuit that it is in.
    pub fn work(&self, settings: &Settings) -> Result<Vec<Worked<'_>>, (&JobCircuit, Unfit)> {
        let mut done: Vec<Worked<'_>> = Vec::new();
        for circuit in &self.circuits {
            let asked = circuit.asked(settings, &done, self.bundled_with(circuit));
            let request = asked.checked().map_err(|unfit| (circuit, unfit))?;
            let run = settings.known(circuit.run);
            let waits = match circuit.guard {
                Guard::Behind(at) if done[at].built().is_none() => Some(at),
                _ => None,
            };
            done.push(Worked { circuit, answer: answer(request, None, Vec::new()), run, waits });
        }
        Ok(done)
    }
}

impl Parameter {
    fn read(&self, text: &str) -> Result<Amount, Unset> {
        let right = match self.choices.as_slice() {
            [] => format!("such as {}={}", self.name, shown(self.default)),
            choices => {
                format!("one of {}", choices.iter().copied().map(shown).collect::<Vec<_>>().join(", "))
            }
        };
        let wrong = |why: String| Unset { message: format!("{}: {why}", self.name), right: right.clone() };
        // Read as what it is, so that what is told of a length is not that it is no current.
        let value = match self.default {
            Amount::Count(_) => text.trim().parse().ok().map(Amount::Count),
            Amount::Load(_) => {
                Some(Amount::Load(written::load(text).map_err(|misread| wrong(misread.message))?))
            }
            Amount::Length(_) => {
                Some(Amount::Length(written::length(text).map_err(|misread| wrong(misread.message))?))
            }
        };
        if let (Some(value), Some(limits)) = (value, self.limits)
            && !value.within(limits)
        {
            let [least, most] = limits.map(shown);
            let message = format!("{} ({}): {} is not believed", self.name, self.title, shown(value));
            return Err(Unset { message, right: format!("it is from {least} to {most}") });
        }
        let allowed = |value: &Amount| self.choices.is_empty() || self.choices.contains(value);
        let sensible = |value: &Amount| !matches!(value, Amount::Count(count) if !(1..=100).contains(count));
        let value = value.filter(|value| allowed(value) && sensible(value));
        value.ok_or_else(|| wrong(format!("'{text}' cannot be its value")))
    }
}

impl Amount {
    /// Whether it lies between two of its own kind; a power and a current are compared at the usual supply.
    pub(super) fn within(self, [least, most]: [Self; 2]) -> bool {
        match (least, self, most) {
            (Self::Count(least), Self::Count(count), Self::Count(most)) => (least..=most).contains(&count),
            (Self::Load(least), Self::Load(load), Self::Load(most)) => {
                let [least, load, most] = [least, load, most].map(drawn);
                least <= load && load <= most
            }
            (Self::Length(least), Self::Length(length), Self::Length(most)) => {
                least <= length && length <= most
            }
            _ => false,
        }
    }
}

/// What a load draws at the usual supply.
fn drawn(load: Load) -> Amps {
    match load {
        Load::Current(amps) => amps,
        Load::Power(watts) => watts / USUAL_SUPPLY,
    }
}

/// The largest fuse from which a signal wire is taken: blade fuses of the ordinary form end there. Common practice, no
/// source.
const MOST_BEFORE_A_SIGNAL: Amps = Amps(40.0);

fn check_rating(name: &str, rating: Amps) -> Result<(), Unset> {
    if rating > MOST_BEFORE_A_SIGNAL {
        let message = format!("{name}: no wire of a lamp or a signal lies behind a fuse of {} A", rating.0);
        let right = format!("read the fuse: at most {} A", MOST_BEFORE_A_SIGNAL.0);
        return Err(Unset { message, right });
    }
    if Device::rated(Kind::Fuse, rating).is_some() {
        return Ok(());
    }
    let next =
        Device::least(Kind::Fuse, rating).map_or(Device::largest(Kind::Fuse), |device| device.rating());
    let message = format!("{name}: there is no fuse of {} A", rating.0);
    Err(Unset { message, right: format!("such as {name}={}A", next.0) })
}

/// A value as it is written.
#[must_use]
pub fn shown(amount: Amount) -> String {
    match amount {
        Amount::Count(count) => count.to_string(),
        Amount::Load(Load::Current(amps)) => format!("{} A", amps.0),
        Amount::Load(Load::Power(watts)) => format!("{} W", watts.0),
        Amount::Length(length) => format!("{} m", length.0),
    }
}

impl JobCircuit {
    /// `beside` are the conductors of other circuits in its bundle.
    fn asked(&self, settings: &Settings, done: &[Worked<'_>], beside: u32) -> Asked {
        let length = match settings.values[self.run] {
            Amount::Length(length) => length,
            // A length is never read as anything else.
            _ => Metres(0.0),
        };
        let path = Path { out: length, back: length, by: self.by };
        let (kind, rating) = self.device(settings, done);
        let before = self.circuit_before(done);
        Asked {
            load: self.load(settings),
            supply: USUAL_SUPPLY,
            allowed: self.allowed,
            duty: self.duty,
            path,
            // A short circuit at its end draws its current through that circuit too.
            upstream: before.map_or(Ohms(0.0), |choice| choice.trial.resistance_out()),
            vehicle: LONGEST_VEHICLE,
            surroundings: Surroundings {
                insulation: self.insulation,
                ambient: if self.engine_space { ENGINE_SPACE } else { USUAL_AMBIENT },
                engine_space: self.engine_space,
                bundled: path.conductors() + beside,
            },
            kind,
            rating,
            minimum: self.minimum,
        }
    }

    /// The product of its factors.
    fn load(&self, settings: &Settings) -> Load {
        let amounts: Vec<Amount> = self.load.iter().map(|factor| settings.of(factor)).collect();
        let counts = amounts.iter().filter_map(|amount| match amount {
            Amount::Count(count) => Some(f64::from(*count)),
            _ => None,
        });
        let times: f64 = counts.product();
        let load = amounts.iter().find_map(|amount| match amount {
            Amount::Load(Load::Current(amps)) => Some(Load::Current(*amps * times)),
            Amount::Load(Load::Power(Watts(watts))) => Some(Load::Power(Watts(watts * times))),
            _ => None,
        });
        load.unwrap_or(Load::Current(Amps(0.0)))
    }

    /// What was chosen for the circuit whose device protects this one too.
    fn circuit_before<'d>(&self, done: &'d [Worked<'_>]) -> Option<&'d Choice> {
        match self.guard {
            Guard::Behind(at) => done[at].built(),
            _ => None,
        }
    }

    fn device(&self, settings: &Settings, done: &[Worked<'_>]) -> (Kind, Option<Amps>) {
        match &self.guard {
            Guard::Own(kind) => (*kind, None),
            Guard::Behind(at) => {
                let device = self.circuit_before(done).and_then(|choice| choice.trial.device);
                (done[*at].answer.request.kind, device.map(|device| device.rating()))
            }
            Guard::Vehicle(factor) => match settings.of(factor) {
                Amount::Load(Load::Current(amps)) => (Kind::Fuse, Some(amps)),
                _ => (Kind::Fuse, None),
            },
        }
    }
}

impl Settings {
    fn of(&self, factor: &Factor) -> Amount {
        match factor {
            Factor::Parameter(at) => self.values[*at],
            Factor::Fixed(amount) => *amount,
        }
    }

    /// The value of the parameter of this number.
    #[must_use]
    pub fn value(&self, at: usize) -> Amount {
        self.values[at]
    }

    /// Where the value of the parameter of this number is from.
    #[must_use]
    pub fn known(&self, at: usize) -> Known {
        self.known[at]
    }

    /// Takes for a parameter what a note tells of it, unless the person who asks told another.
    pub fn record(&mut self, at: usize, value: Amount) {
        if self.known[at] < Known::Told {
            self.values[at] = value;
            self.known[at] = Known::Recorded;
        }
    }
}
