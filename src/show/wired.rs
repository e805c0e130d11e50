//! A circuit of a job in a few words: size, terminals, what protects it, where it runs, why it cannot be.
//!
//! Shared by the list of jobs and the job card, so that both say the same; the full sheet of one circuit is `circuit`.

use super::circuit::words;
use crate::catalogue::Catalogue;
use crate::circuit::choice::Choice;
use crate::circuit::conductor::{Conductor, Series};
use crate::circuit::path::Return;
use crate::circuit::protection::Device;
use crate::circuit::terminal::{Crimp, crimp};
use crate::job::{Guard, Job, Worked};

/// `12 AWG or 4 mm²`.
pub(super) fn size(worked: &Worked<'_>, choice: &Choice) -> String {
    let metric =
        worked.answer.of(Series::Metric).filter(|metric| metric.trial.conductor != choice.trial.conductor);
    let metric = metric.map_or(String::new(), |metric| format!(" or {}", metric.trial.conductor));
    format!("{}{metric}", choice.trial.conductor)
}

/// `yellow terminals`.
pub(super) fn terminals(conductor: Conductor) -> String {
    match crimp(conductor) {
        Crimp::Insulated(colour) => format!("{colour} terminals"),
        Crimp::Bare => "bare lugs".to_owned(),
        Crimp::Nothing => "no common terminals".to_owned(),
    }
}

/// `20 A circuit breaker`.
pub(super) fn device(device: Device) -> String {
    format!("{} {}", words::amps(device.rating()), device.title())
}

/// What protects it, and where that sits.
pub(super) fn guard(catalogue: &Catalogue, job: &Job, worked: &Worked<'_>, choice: &Choice) -> String {
    let Some(found) = choice.trial.device else { return "no protection".to_owned() };
    let called = device(found);
    match &worked.circuit.guard {
        Guard::Own(_) => {
            let at = worked.circuit.at.map(|at| format!(" at the {}", catalogue.points[at].title));
            format!("{called}{}", at.unwrap_or_default())
        }
        Guard::Behind(at) => format!("behind the {called} of the {}", job.circuits[*at].title),
        Guard::Vehicle(_) => format!("behind the vehicle's own {called}"),
    }
}

/// `It loses 0.34 V of 0.48 V allowed; the drop decides.`
pub(super) fn loses(worked: &Worked<'_>, choice: &Choice) -> String {
    format!(
        "It loses {} of {} allowed; {} decides.",
        words::volts(choice.trial.drop()),
        words::volts(worked.answer.request.allowed),
        words::rule(choice.decides),
    )
}

/// `a conductor of its own`.
pub(super) fn back(by: Return) -> &'static str {
    match by {
        Return::Own => "a conductor of its own",
        Return::Chassis => "the chassis",
    }
}

/// Why it cannot be built, then what would mend it, one sentence each; nothing where it can.
pub(super) fn refusal(worked: &Worked<'_>) -> (Vec<String>, Vec<String>) {
    let Some(refused) = worked.answer.refused() else { return Default::default() };
    let reasons = words::reasons(&refused.refusal.trial, &refused.refusal.broken);
    (reasons, refused.mends.iter().map(|way| words::mending(way)).collect())
}
