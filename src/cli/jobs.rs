//! `jobs`: what can be fitted, what it needs, and its circuits.

use super::console::{Console, Failure, Status};
use crate::job::{Job, Jobs, Settings};
use crate::show::jobs as view;
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
    let worked = job.work(&settings).map_err(|(circuit, unfit)| {
        Failure::hinted(
            format!("the circuit '{}' of {}: {unfit}", circuit.name, job.name),
            unfit.right.clone(),
        )
    })?;
    let one = view::One { catalogue: &language.catalogue, job, settings: &settings, worked: &worked };
    if console.json {
        console.print_json(&view::one_json(&one))?;
    } else {
        let mut page = console.page();
        view::one(&mut page, &one);
        console.print(page)?;
    }
    Ok(Status::Done)
}

/// The job that a person named.
///
/// # Errors
/// There is none of that name.
pub(super) fn named<'j>(jobs: &'j Jobs, words: &str) -> Result<&'j Job, Failure> {
    jobs.by_words(words).ok_or_else(|| {
        let near = names::nearest(words, jobs.list.iter().map(|job| job.name.as_str()));
        let hint = match near.first() {
            Some(near) => format!("the nearest is '{near}'; `baybook jobs` lists them all"),
            None => "`baybook jobs` lists them all".to_owned(),
        };
        Failure::hinted(format!("'{words}' is no job"), hint)
    })
}

fn settings(job: &Job, told: &[String]) -> Result<Settings, Failure> {
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
