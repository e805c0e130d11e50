//! The file of jobs: its shape, and a clear word with file and line where something in it cannot be.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::Spanned;

use super::{Amount, Check, Factor, Guard, Job, JobCircuit, Looks, Parameter, When, Zone};
use crate::catalogue::Catalogue;
use crate::circuit::Kind;
use crate::circuit::ampacity::Insulation;
use crate::circuit::path::Return;
use crate::circuit::protection::{Device, Duty};
use crate::circuit::request::{Load, USUAL_DROP, USUAL_INSULATION};
use crate::circuit::written;
use crate::value::place::DriveSide;
use crate::value::{Misread, Value};
use crate::vehicle::names;

/// A file of jobs that cannot be used: where, and what would be right.
#[derive(Debug, thiserror::Error)]
#[error("{place}: {message}")]
pub struct JobError {
    place: String,
    message: String,
}

type Text = Spanned<String>;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    version: Spanned<u32>,
    #[serde(default)]
    job: BTreeMap<String, JobEntry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct JobEntry {
    title: Text,
    #[serde(default)]
    about: String,
    must: Vec<Text>,
    #[serde(default)]
    may: Vec<Text>,
    #[serde(default)]
    cautions: Vec<String>,
    #[serde(default)]
    parameter: BTreeMap<String, ParameterEntry>,
    #[serde(default)]
    circuit: Vec<CircuitEntry>,
    #[serde(default)]
    check: Vec<CheckEntry>,
    #[serde(default)]
    test: Vec<String>,
    #[serde(default)]
    not_listed: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ParameterEntry {
    title: Text,
    default: Spanned<toml::Value>,
    #[serde(default)]
    choices: Vec<Spanned<toml::Value>>,
    limits: Option<Spanned<[Spanned<toml::Value>; 2]>>,
    #[serde(default = "unsourced")]
    source: String,
}

/// What is said of a figure beside which no source stands.
fn unsourced() -> String {
    "common practice, no source".to_owned()
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CircuitEntry {
    name: Text,
    title: String,
    from: Text,
    to: Text,
    at: Option<Text>,
    through: Option<Text>,
    along: Option<Text>,
    carries: Option<Text>,
    hot: Option<Text>,
    feeds: Option<String>,
    #[serde(default)]
    looks: Looks,
    relay: Option<Text>,
    load: Spanned<Vec<Text>>,
    #[serde(default = "unsourced")]
    load_source: String,
    run: Text,
    #[serde(default = "unsourced")]
    run_source: String,
    drop: Option<Text>,
    #[serde(default)]
    duty: DutyEntry,
    #[serde(default)]
    r#return: ReturnEntry,
    protection: Option<Kind>,
    behind: Option<Text>,
    rating: Option<Text>,
    #[serde(default)]
    engine_space: bool,
    insulation: Option<Text>,
    minimum: Option<Text>,
    ground: Option<Zone>,
}

#[derive(Deserialize, Default)]
#[serde(rename_all = "kebab-case")]
enum DutyEntry {
    #[default]
    Continuous,
    Intermittent,
}

impl From<DutyEntry> for Duty {
    fn from(entry: DutyEntry) -> Self {
        match entry {
            DutyEntry::Continuous => Self::Continuous,
            DutyEntry::Intermittent => Self::Intermittent,
        }
    }
}

impl From<ReturnEntry> for Return {
    fn from(entry: ReturnEntry) -> Self {
        match entry {
            ReturnEntry::Own => Self::Own,
            ReturnEntry::Chassis => Self::Chassis,
        }
    }
}

#[derive(Deserialize, Default)]
#[serde(rename_all = "kebab-case")]
enum ReturnEntry {
    #[default]
    Own,
    Chassis,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CheckEntry {
    when: When,
    measure: String,
    expect: String,
}

/// The jobs of a file, in its order.
pub(super) fn read(file: &str, text: &str, catalogue: &Catalogue) -> Result<Vec<Job>, JobError> {
    let parsed: File = toml::from_str(text)
        .map_err(|error| JobError { place: file.to_owned(), message: error.to_string() })?;
    let reader = Reader { file, text, catalogue };
    if *parsed.version.get_ref() != 1 {
        let message =
            format!("version {} is not known; this program reads version 1", parsed.version.get_ref());
        return Err(reader.fail(&parsed.version, message));
    }
    let mut entries: Vec<(String, JobEntry)> = parsed.job.into_iter().collect();
    entries.sort_by_key(|(_, entry)| entry.title.span().start);
    entries.into_iter().map(|(name, entry)| reader.job(name, entry)).collect()
}

struct Reader<'f> {
    file: &'f str,
    text: &'f str,
    catalogue: &'f Catalogue,
}

impl Reader<'_> {
    fn fail<T>(&self, at: &Spanned<T>, message: String) -> JobError {
        let before = &self.text[..at.span().start.min(self.text.len())];
        JobError { place: format!("{}, line {}", self.file, before.matches('\n').count() + 1), message }
    }

    fn misread<T>(&self, at: &Spanned<T>, what: &str, misread: &Misread) -> JobError {
        self.fail(at, format!("{what}: {}", misread.message))
    }

    fn job(&self, name: String, entry: JobEntry) -> Result<Job, JobError> {
        let mut parameters = self.parameters(entry.parameter)?;
        let points =
            |texts: &[Text]| texts.iter().map(|text| self.point(text)).collect::<Result<Vec<_>, _>>();
        let (must, may) = (points(&entry.must)?, points(&entry.may)?);
        let relays = self.relays(&entry.circuit)?;
        let mut circuits: Vec<JobCircuit> = Vec::new();
        for (circuit, relay) in entry.circuit.into_iter().zip(relays) {
            let built = self.circuit(circuit, &mut parameters, &circuits)?;
            circuits.push(JobCircuit { relay, ..built });
        }
        let checks = entry.check.into_iter();
        Ok(Job {
            name,
            title: entry.title.into_inner(),
            about: entry.about,
            must,
            may,
            parameters,
            circuits,
            checks: checks
                .map(|it| Check { when: it.when, measure: it.measure, expect: it.expect })
                .collect(),
            test: entry.test,
            not_listed: entry.not_listed,
            cautions: entry.cautions,
        })
    }

    fn point(&self, text: &Text) -> Result<usize, JobError> {
        let word = text.get_ref();
        self.catalogue.point(word).ok_or_else(|| {
            let near = names::nearest(word, self.catalogue.points.iter().map(|point| &*point.name));
            let hint = near.first().map_or(String::new(), |near| format!("; the nearest is '{near}'"));
            self.fail(text, format!("'{word}' is no point of the catalogue{hint}"))
        })
    }

    /// A point that has this field, without which it would say nothing here.
    fn point_with(&self, text: Option<&Text>, field: &str) -> Result<Option<usize>, JobError> {
        let Some(text) = text else { return Ok(None) };
        let point = self.point(text)?;
        let fields = &self.catalogue.points[point].fields;
        if fields.iter().any(|has| self.catalogue.fields[*has].name == field) {
            return Ok(Some(point));
        }
        Err(self.fail(text, format!("'{}' has no field '{field}'", text.get_ref())))
    }

    /// Of each circuit the one that works its relay.
    fn relays(&self, entries: &[CircuitEntry]) -> Result<Vec<Option<usize>>, JobError> {
        let relay = |entry: &CircuitEntry| {
            let Some(relay) = &entry.relay else { return Ok(None) };
            let named = |other: &CircuitEntry| {
                other.name.get_ref() == relay.get_ref() && other.name.get_ref() != entry.name.get_ref()
            };
            let message = || format!("'{}' is no other circuit of this job", relay.get_ref());
            entries.iter().position(named).map(Some).ok_or_else(|| self.fail(relay, message()))
        };
        entries.iter().map(relay).collect()
    }

    /// A value of a field of the catalogue, as its canonical text.
    fn word_of(&self, field: &str, text: Option<&Text>) -> Result<Option<String>, JobError> {
        let Some(text) = text else { return Ok(None) };
        let Some(at) = self.catalogue.field(field) else {
            return Err(self.fail(text, format!("no field is called '{field}'")));
        };
        Value::read(&self.catalogue.fields[at].kind, text.get_ref(), DriveSide::Either)
            .map(|value| Some(value.to_string()))
            .map_err(|misread| self.misread(text, field, &misread))
    }

    fn parameters(&self, entries: BTreeMap<String, ParameterEntry>) -> Result<Vec<Parameter>, JobError> {
        let mut entries: Vec<(String, ParameterEntry)> = entries.into_iter().collect();
        entries.sort_by_key(|(_, entry)| entry.title.span().start);
        let read = |(name, entry): (String, ParameterEntry)| {
            let choices =
                entry.choices.iter().map(|choice| self.amount(choice)).collect::<Result<Vec<_>, _>>()?;
            let default = self.amount(&entry.default)?;
            if !choices.is_empty() && !choices.contains(&default) {
                return Err(
                    self.fail(&entry.default, format!("the default of '{name}' is none of its choices"))
                );
            }
            let limits = entry.limits.map(|limits| self.limits(&limits, default)).transpose()?;
            let title = entry.title.into_inner();
            Ok(Parameter { name, title, default, choices, limits, source: entry.source })
        };
        entries.into_iter().map(read).collect()
    }

    /// The least and the most of a parameter, of the kind of its default and on both sides of it.
    fn limits(
        &self,
        limits: &Spanned<[Spanned<toml::Value>; 2]>,
        default: Amount,
    ) -> Result<[Amount; 2], JobError> {
        let [least, most] = limits.get_ref();
        let read = [self.amount(least)?, self.amount(most)?];
        if default.within(read) {
            return Ok(read);
        }
        let message =
            "limits are the least and the most, of the kind of the default, which lies between them";
        Err(self.fail(limits, message.to_owned()))
    }

    fn amount(&self, value: &Spanned<toml::Value>) -> Result<Amount, JobError> {
        let refuse =
            || "a count is a whole number from 1 to 100, and a quantity stands in quotes with its unit";
        match value.get_ref() {
            toml::Value::Integer(count) => u32::try_from(*count)
                .ok()
                .filter(|count| (1..=100).contains(count))
                .map(Amount::Count)
                .ok_or_else(|| self.fail(value, format!("{count} is no count: {}", refuse()))),
            toml::Value::String(text) => {
                amount(text).map_err(|misread| self.misread(value, "a parameter", &misread))
            }
            other => Err(self.fail(value, format!("{other} is neither: {}", refuse()))),
        }
    }

    fn circuit(
        &self,
        entry: CircuitEntry,
        parameters: &mut Vec<Parameter>,
        earlier: &[JobCircuit],
    ) -> Result<JobCircuit, JobError> {
        let load = self.load(&entry.load, parameters)?;
        let guard = self.guard(&entry, parameters, earlier)?;
        let (from, to) = (self.point(&entry.from)?, self.point(&entry.to)?);
        let at = entry.at.as_ref().map(|at| self.point(at)).transpose()?;
        let through = self.point_with(entry.through.as_ref(), "hole")?;
        let along = self.point_with(entry.along.as_ref(), "length")?;
        let carries = self.word_of("carries", entry.carries.as_ref())?;
        let hot = self.word_of("hot", entry.hot.as_ref())?;
        let allowed = self.read(entry.drop.as_ref(), "drop", written::allowed)?.unwrap_or(USUAL_DROP);
        let minimum = self.read(entry.minimum.as_ref(), "minimum", written::conductor)?;
        let insulation = self.insulation(&entry)?;
        let run = self.run(&entry, parameters)?;
        Ok(JobCircuit {
            name: entry.name.into_inner(),
            title: entry.title,
            from,
            to,
            at,
            through,
            along,
            carries,
            hot,
            feeds: entry.feeds,
            looks: entry.looks,
            relay: None,
            load,
            load_source: entry.load_source,
            run,
            allowed,
            duty: entry.duty.into(),
            by: entry.r#return.into(),
            guard,
            engine_space: entry.engine_space,
            insulation,
            minimum,
            ground: entry.ground,
        })
    }

    fn insulation(&self, entry: &CircuitEntry) -> Result<Insulation, JobError> {
        let text = entry.insulation.as_ref();
        let rated = self.read(text, "insulation", written::temperature)?.unwrap_or(USUAL_INSULATION);
        Insulation::rated(rated)
            .ok_or_else(|| self.fail(text.unwrap_or(&entry.name), "no insulation is rated so low".to_owned()))
    }

    fn read<T>(
        &self,
        text: Option<&Text>,
        what: &str,
        reader: fn(&str) -> Result<T, Misread>,
    ) -> Result<Option<T>, JobError> {
        let Some(text) = text else { return Ok(None) };
        reader(text.get_ref()).map(Some).map_err(|misread| self.misread(text, what, &misread))
    }

    /// The length of a circuit is a parameter too, so that a measured one can be told.
    fn run(&self, entry: &CircuitEntry, parameters: &mut Vec<Parameter>) -> Result<usize, JobError> {
        let run = written::length(entry.run.get_ref())
            .map_err(|misread| self.misread(&entry.run, "run", &misread))?;
        let name = format!("{}-run", entry.name.get_ref());
        if parameters.iter().any(|known| known.name == name) {
            return Err(
                self.fail(&entry.name, format!("'{name}' stands twice; give the circuit another name"))
            );
        }
        let title = format!("length: {}", entry.title);
        parameters.push(Parameter {
            name,
            title,
            default: Amount::Length(run),
            choices: Vec::new(),
            limits: None,
            source: entry.run_source.clone(),
        });
        Ok(parameters.len() - 1)
    }

    fn factor(&self, text: &Text, parameters: &[Parameter]) -> Result<Factor, JobError> {
        let word = text.get_ref();
        if let Some(at) = parameters.iter().position(|parameter| parameter.name == *word) {
            return Ok(Factor::Parameter(at));
        }
        amount(word).map(Factor::Fixed).map_err(|_| {
            self.fail(
                text,
                format!("'{word}' is neither a parameter of this job nor a quantity such as 0.1 A"),
            )
        })
    }

    fn load(&self, texts: &Spanned<Vec<Text>>, parameters: &[Parameter]) -> Result<Vec<Factor>, JobError> {
        let factors = texts.get_ref().iter().map(|text| self.factor(text, parameters));
        let factors = factors.collect::<Result<Vec<_>, _>>()?;
        let kinds = || factors.iter().map(|factor| default(factor, parameters));
        let loads = kinds().filter(|amount| matches!(amount, Amount::Load(_))).count();
        let lengths = kinds().filter(|amount| matches!(amount, Amount::Length(_))).count();
        if loads == 1 && lengths == 0 {
            return Ok(factors);
        }
        let message = "a load is one current or power, times counts";
        Err(self.fail(texts, message.to_owned()))
    }

    fn guard(
        &self,
        entry: &CircuitEntry,
        parameters: &[Parameter],
        earlier: &[JobCircuit],
    ) -> Result<Guard, JobError> {
        match (entry.protection, &entry.behind, &entry.rating) {
            (Some(kind), None, None) => Ok(Guard::Own(kind)),
            (None, Some(behind), None) => {
                let found = earlier.iter().position(|circuit| circuit.name == *behind.get_ref());
                let message =
                    || format!("'{}' is no circuit of this job that stands before it", behind.get_ref());
                found.map(Guard::Behind).ok_or_else(|| self.fail(behind, message()))
            }
            (None, None, Some(rating)) => {
                let factor = self.factor(rating, parameters)?;
                match default(&factor, parameters) {
                    Amount::Load(Load::Current(amps)) if Device::rated(Kind::Fuse, amps).is_some() => {
                        Ok(Guard::Vehicle(factor))
                    }
                    _ => Err(self.fail(rating, format!("'{}' is no rating of a fuse", rating.get_ref()))),
                }
            }
            _ => {
                let message = "a circuit has one of protection, behind and rating";
                Err(self.fail(&entry.name, message.to_owned()))
            }
        }
    }
}

fn default(factor: &Factor, parameters: &[Parameter]) -> Amount {
    match factor {
        Factor::Parameter(at) => parameters[*at].default,
        Factor::Fixed(amount) => *amount,
    }
}

/// A count, a length, a current or a power.
fn amount(text: &str) -> Result<Amount, Misread> {
    if let Ok(count) = text.trim().parse() {
        return Ok(Amount::Count(count));
    }
    written::load(text)
        .map(Amount::Load)
        .or_else(|misread| written::length(text).map(Amount::Length).map_err(|_| misread))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::circuit::request::Allowed;
    use crate::circuit::units::Share;

    const JOB: &str = r#"version = 1
[job.heater]
title = "seat heater"
must = ["fused-feed"]
[job.heater.parameter.seats]
title = "seats"
default = 2
choices = [1, 2]
[[job.heater.circuit]]
name = "feed"
title = "feed"
from = "fused-feed"
to = "ground"
load = ["seats", "45 W"]
run = "2 m"
protection = "fuse"
"#;

    fn read_with(change: (&str, &str)) -> Result<Vec<Job>, String> {
        let catalogue = Catalogue::load(None).expect("the built-in catalogue");
        assert!(change.0.is_empty() || JOB.contains(change.0), "{change:?}");
        let text = if change.0.is_empty() { JOB.to_owned() } else { JOB.replacen(change.0, change.1, 1) };
        read("jobs.toml", &text, &catalogue).map_err(|error| error.to_string())
    }

    #[test]
    fn a_job_of_a_shop() {
        let jobs = read_with(("", "")).expect("a job");
        let [job] = jobs.as_slice() else { panic!("{jobs:?}") };
        let names: Vec<&str> = job.parameters.iter().map(|parameter| parameter.name.as_str()).collect();
        assert_eq!(names, ["seats", "feed-run"]);
        assert_eq!(job.circuits[0].allowed, Allowed::Part(Share(0.03)));
    }

    #[test]
    fn what_is_faulty_is_told_with_its_line() {
        let cases = [
            (("version = 1", "version = 7"), "jobs.toml, line 1: version 7 is not known"),
            (
                ("\"fused-feed\"]", "\"fused-fed\"]"),
                "jobs.toml, line 4: 'fused-fed' is no point of the catalogue; the nearest is 'fused-feed'",
            ),
            (
                ("default = 2", "default = 3"),
                "jobs.toml, line 7: the default of 'seats' is none of its choices",
            ),
            (("default = 2", "default = -2"), "jobs.toml, line 7: -2 is no count"),
            (("choices = [1, 2]", "limits = [3, 8]"), "jobs.toml, line 8: limits are the least and the most"),
            (
                ("choices = [1, 2]", "limits = [\"1 A\", \"8 A\"]"),
                "jobs.toml, line 8: limits are the least and the most, of the kind of the default",
            ),
            (("default = 2", "default = \"two\""), "jobs.toml, line 7: a parameter: "),
            (
                ("\"seats\", \"45 W\"", "\"chairs\", \"45 W\""),
                "jobs.toml, line 14: 'chairs' is neither a parameter of this job nor a quantity",
            ),
            (
                ("\"seats\", \"45 W\"", "\"seats\""),
                "jobs.toml, line 14: a load is one current or power, times counts",
            ),
            (("run = \"2 m\"", "run = \"2\""), "jobs.toml, line 15: run: “2” has no unit"),
            (
                ("protection = \"fuse\"", "behind = \"feed\""),
                "jobs.toml, line 16: 'feed' is no circuit of this job that stands before it",
            ),
            (
                ("protection = \"fuse\"", "rating = \"17 A\""),
                "jobs.toml, line 16: '17 A' is no rating of a fuse",
            ),
            (
                ("protection = \"fuse\"", "minimum = \"12 AWG\""),
                "jobs.toml, line 10: a circuit has one of protection, behind and rating",
            ),
            (("protection = \"fuse\"", "protection = \"hope\""), "line 16, column 14"),
            (
                ("run = \"2 m\"", "run = \"2 m\"\nthrough = \"ground\""),
                "jobs.toml, line 16: 'ground' has no field 'hole'",
            ),
            (("run = \"2 m\"", "run = \"2 m\"\nhot = \"sometimes\""), "jobs.toml, line 16: hot: "),
            (
                ("run = \"2 m\"", "run = \"2 m\"\nrelay = \"feed\""),
                "jobs.toml, line 16: 'feed' is no other circuit of this job",
            ),
            (("title = \"feed\"", "titel = \"feed\""), "unknown field `titel`"),
            (("must =", "must"), "line 4, column"),
        ];
        for (change, told) in cases {
            let message = read_with(change).expect_err("a faulty file");
            assert!(message.contains(told), "{change:?}: {message}");
        }
    }
}
