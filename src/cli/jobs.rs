//! `jobs`: what can be fitted, what it needs, and its circuits.

use super::console::{Console, Failure, Status};
use crate::circuit::request::{Input, Unfit};
use crate::job::{Job, JobCircuit, Jobs, Settings};
use crate::show::jobs as view;
use crate::show::page::listed;
use crate::vehicle::names;

/// The jobs: what each needs to know, the circuits that it builds, what is measured before and after
///
/// A shop adds its own in a file jobs.toml beside its book, written like schema/jobs.toml.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// One job, with its circuits worked out
    #[arg(value_name = "JOB")]
    words: Vec<String>,
    /// A parameter of the job: `brakes=6`, `feed-run=3.5m`; can be repeated
    #[arg(long, value_name = "NAME=VALUE", requires = "words")]
    set: Vec<String>,
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let jobs = console.jobs(&language)?;
    if args.words.is_empty() {
        if console.json {
            console.print_json(&view::list_json(&jobs, &language.catalogue))?;
        } else {
            let mut page = console.page();
            view::list(&mut page, &jobs);
            console.print(page)?;
        }
        return Ok(Status::Done);
    }
    let job = named(&jobs, &args.words.join(" "))?;
    let settings = settings(job, &args.set)?;
    let worked = job.work(&settings).map_err(|(circuit, unfit)| cannot_be(job, circuit, &unfit))?;
    let one = view::One { catalogue: &language.catalogue, job, settings: &settings, worked: &worked };
    if console.json {
        console.print_json(&view::one_json(&one))?;
    } else {
        let mut page = console.page();
        view::one(&mut page, &one);
        console.print(page)?;
    }
    Ok(of_built(worked.iter().all(|worked| worked.built().is_some())))
}

/// As `circuit` ends: a circuit that cannot be built is nothing found.
pub(super) fn of_built(all: bool) -> Status {
    if all { Status::Done } else { Status::Nothing }
}

/// A circuit that cannot be as it was told.
pub(super) fn cannot_be(job: &Job, circuit: &JobCircuit, unfit: &Unfit) -> Failure {
    let message = format!("the circuit '{}' of {}: {unfit}", circuit.name, job.name);
    // How it returns is the job's to say: what a person can tell here is the run.
    let right = match unfit.input {
        Input::ReturnRun => format!("measure again, and say --set {}-run=", circuit.name),
        _ => unfit.right.clone(),
    };
    Failure::hinted(message, right)
}

/// The job that a person named.
///
/// # Errors
/// There is none of that name.
pub(super) fn named<'j>(jobs: &'j Jobs, words: &str) -> Result<&'j Job, Failure> {
    jobs.by_words(words).ok_or_else(|| {
        let folded = names::fold(words);
        let holds = |job: &&Job| !folded.is_empty() && names::fold(&job.name).contains(&folded);
        let like: Vec<String> = jobs.list.iter().filter(holds).map(|job| job.name.clone()).collect();
        if !like.is_empty() {
            let hint = format!("there is {}; `baybook jobs` lists them all", listed(&like, "and"));
            return Failure::hinted(format!("'{words}' is no job"), hint);
        }
        let near = names::nearest(words, jobs.list.iter().map(|job| job.name.as_str()));
        let hint = match near.first() {
            Some(near) => format!("the nearest is '{near}'; `baybook jobs` lists them all"),
            None => "`baybook jobs` lists them all".to_owned(),
        };
        Failure::hinted(format!("'{words}' is no job"), hint)
    })
}

/// The parameters of a job as they were told.
///
/// # Errors
/// The job has no such parameter, or it cannot have such a value.
pub(super) fn settings(job: &Job, told: &[String]) -> Result<Settings, Failure> {
    let mut settings = job.defaults();
    for text in told {
        let Some((name, value)) = text.split_once('=') else {
            return Err(Failure::hinted(
                format!("--set: '{text}' has no value"),
                "write NAME=VALUE, such as brakes=6",
            ));
        };
        job.set(&mut settings, name.trim(), value.trim())
            .map_err(|unset| Failure::hinted(format!("--set: {unset}"), unset.right.clone()))?;
    }
    Ok(settings)
}
