//! Jobs: which points each needs, which circuits it builds with which parameters, what is measured. Data, not code:
//! `schema/jobs.toml`, and a shop's own `jobs.toml` beside its book.
//!
//! This file owns what a job is; `file` reads the data and refuses what is faulty, `work` makes circuits of it. What is
//! known of a vehicle is not its business.

mod file;
mod work;

use crate::catalogue::Catalogue;
use crate::circuit::Kind;
use crate::circuit::ampacity::Insulation;
use crate::circuit::conductor::Conductor;
use crate::circuit::path::Return;
use crate::circuit::protection::Duty;
use crate::circuit::request::{Allowed, Load};
use crate::circuit::units::Metres;
use crate::vehicle::names;
pub use file::JobError;
pub use work::{Known, Settings, Unset, Worked, shown};

/// The built-in jobs.
const BUILTIN: &str = include_str!("../../schema/jobs.toml");

/// The name of a shop's own jobs beside its book.
pub const OWN_JOBS: &str = "jobs.toml";

/// A value of a parameter, or of a factor of a load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// How many.
    Count(u32),
    /// A current or a power.
    Load(Load),
    /// A length.
    Length(Metres),
}

/// What can be told of a job before its circuits are worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Parameter {
    /// The name on the command line.
    pub name: String,
    /// What it is.
    pub title: String,
    /// The value that it has unless told.
    pub default: Amount,
    /// The values that it can have; empty where any of its kind will do.
    pub choices: Vec<Amount>,
    /// The least and the most that make sense, where the file says so.
    pub limits: Option<[Amount; 2]>,
    /// Where the default is from.
    pub source: String,
}

/// One factor of a load.
#[derive(Debug, Clone, PartialEq)]
pub enum Factor {
    /// The value of a parameter, by its number.
    Parameter(usize),
    /// What stands in the file.
    Fixed(Amount),
}

/// What protects a circuit.
#[derive(Debug, Clone, PartialEq)]
pub enum Guard {
    /// A device of its own.
    Own(Kind),
    /// The device of an earlier circuit of the job, by its number.
    Behind(usize),
    /// A fuse that the vehicle has, of this rating.
    Vehicle(Factor),
}

/// A circuit that a job builds.
#[derive(Debug, Clone, PartialEq)]
pub struct JobCircuit {
    /// The name within the job.
    pub name: String,
    /// What it is.
    pub title: String,
    /// The point where it begins: a number into `Catalogue::points`.
    pub from: usize,
    /// The point where it ends.
    pub to: usize,
    /// The point where its device sits.
    pub at: Option<usize>,
    /// The point where it passes metal, with every other circuit that does so there.
    pub through: Option<usize>,
    /// The point whose recorded length is that of its run.
    pub along: Option<usize>,
    /// Which line of a connector it is joined to: a choice of the field `carries`.
    pub carries: Option<String>,
    /// When the point where it begins has to be live: a choice of the field `hot`.
    pub hot: Option<String>,
    /// What it feeds, in words; circuits that feed the same meet there. Without words it is the point where it ends.
    pub feeds: Option<String>,
    /// How that is drawn.
    pub looks: Looks,
    /// The earlier or later circuit, by its number, that works the relay by which this one is closed.
    pub relay: Option<usize>,
    /// What is multiplied to its load.
    pub load: Vec<Factor>,
    /// Where what is fixed in its load is from.
    pub load_source: String,
    /// The parameter that is its length.
    pub run: usize,
    /// What may be lost.
    pub allowed: Allowed,
    /// How long its load runs.
    pub duty: Duty,
    /// How it comes back.
    pub by: Return,
    /// What protects it.
    pub guard: Guard,
    /// Whether it passes the engine.
    pub engine_space: bool,
    /// What its cable is rated for.
    pub insulation: Insulation,
    /// No thinner than this.
    pub minimum: Option<Conductor>,
    /// Where the ground of its load has to be: at the load, or where its own return goes back to. Without it no recorded
    /// ground is taken for that of the load.
    pub ground: Option<Zone>,
}

/// A part of the vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Zone {
    /// The engine bay and what is before it.
    Front,
    /// Where people sit.
    Cabin,
    /// Behind that.
    Rear,
}

/// How a load is drawn.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Looks {
    /// A box with terminals.
    #[default]
    Device,
    /// A lamp.
    Lamp,
    /// The coil of a relay.
    Coil,
    /// A connector, with what is plugged into it.
    Connector,
}

/// When something is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum When {
    /// Before anything is cut.
    Before,
    /// After connecting.
    After,
}

impl When {
    /// The word in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Before => "before",
            Self::After => "after",
        }
    }
}

/// A meter check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Check {
    /// When.
    pub when: When,
    /// What the meter is put on.
    pub measure: String,
    /// What it should read.
    pub expect: String,
}

/// Something that is fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// `brake-control`.
    pub name: String,
    /// The words shown to a person.
    pub title: String,
    /// What it is.
    pub about: String,
    /// The points that have to be known: numbers into `Catalogue::points`.
    pub must: Vec<usize>,
    /// The points that help.
    pub may: Vec<usize>,
    /// What can be told of it; the lengths of its circuits are among them.
    pub parameters: Vec<Parameter>,
    /// What it builds.
    pub circuits: Vec<JobCircuit>,
    /// What is measured.
    pub checks: Vec<Check>,
    /// What has to work when all is done.
    pub test: Vec<String>,
    /// What the lists to fetch by leave out, in words.
    pub not_listed: Vec<String>,
    /// What can go wrong, beside the general cautions.
    pub cautions: Vec<String>,
}

/// Every job of a book.
#[derive(Debug, Clone)]
pub struct Jobs {
    /// In the order of the files.
    pub list: Vec<Job>,
}

impl Jobs {
    /// The built-in jobs with a shop's own laid over them: one of the same name takes the place of the built-in one.
    ///
    /// # Errors
    /// A file that is not of this shape, or names a point, parameter or circuit that does not exist: with the place.
    pub fn load(catalogue: &Catalogue, own: Option<(&str, &str)>) -> Result<Self, JobError> {
        let mut list = file::read("schema/jobs.toml", BUILTIN, catalogue)?;
        if let Some((name, text)) = own {
            for job in file::read(name, text, catalogue)? {
                match list.iter_mut().find(|known| known.name == job.name) {
                    Some(known) => *known = job,
                    None => list.push(job),
                }
            }
        }
        Ok(Self { list })
    }

    /// The job that a person means: its name or title, whatever the case, hyphens and spaces.
    #[must_use]
    pub fn by_words(&self, words: &str) -> Option<&Job> {
        let wanted = names::fold(words);
        self.list
            .iter()
            .find(|job| [&job.name, &job.title].into_iter().any(|known| names::fold(known) == wanted))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::value::FieldKind;

    fn builtin() -> (Catalogue, Jobs) {
        let catalogue = Catalogue::load(None).expect("the built-in catalogue");
        let jobs = Jobs::load(&catalogue, None).unwrap_or_else(|error| panic!("{error}"));
        (catalogue, jobs)
    }

    /// Recorded labour names its job by a word of the catalogue.
    #[test]
    fn every_job_can_have_its_labour_recorded() {
        let (catalogue, jobs) = builtin();
        let field = &catalogue.fields[catalogue.field("job").expect("the field")];
        let FieldKind::Choice(choices) = &field.kind else { panic!("{field:?}") };
        let known = choices.words();
        for job in &jobs.list {
            assert!(known.iter().any(|word| **word == *job.name), "{}", job.name);
        }
    }

    #[test]
    fn every_job_has_its_checks_and_circuits() {
        let (_, jobs) = builtin();
        assert!(jobs.list.len() >= 8);
        for job in &jobs.list {
            for when in [When::Before, When::After] {
                assert!(job.checks.iter().any(|check| check.when == when), "{}: {when:?}", job.name);
            }
            assert!(!job.circuits.is_empty() && !job.must.is_empty(), "{}", job.name);
            assert!(!job.test.is_empty(), "{}", job.name);
        }
    }

    #[test]
    fn a_job_is_found_by_its_words() {
        let (_, jobs) = builtin();
        for words in ["brake-control", "Brake Control", "trailer brake control"] {
            assert_eq!(jobs.by_words(words).map(|job| job.name.as_str()), Some("brake-control"), "{words}");
        }
        assert_eq!(jobs.by_words("brake"), None);
    }
}
