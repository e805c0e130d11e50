//! A circuit of a job in a few words: size, terminals, what protects it, where it runs, why it cannot be.
//!
//! Shared by the list of jobs and the job card, so that both say the same; the full sheet of one circuit is `circuit`.

use super::circuit::words;
use crate::catalogue::Catalogue;
use crate::circuit::ampacity::Insulation;
use crate::circuit::choice::Choice;
use crate::circuit::conductor::Conductor;
use crate::circuit::path::{CHASSIS, Return};
use crate::circuit::protection::Device;
use crate::circuit::terminal::{Crimp, crimp};
use crate::job::{Guard, Job, JobCircuit, Worked};

/// `12 AWG or 4 mm²`.
pub(super) fn size(worked: &Worked<'_>, choice: &Choice) -> String {
    let metric = worked.metric().map_or(String::new(), |metric| format!(" or {}", metric.trial.conductor));
    format!("{}{metric}", choice.trial.conductor)
}

/// `blue terminals, red for 1.5 mm²`.
pub(super) fn terminals(worked: &Worked<'_>, choice: &Choice) -> String {
    let conductor = choice.trial.conductor;
    let other = worked.metric().map(|metric| metric.trial.conductor);
    format!("{}{}", barrels(conductor), other_barrel(conductor, other))
}

/// `, red for 1.5 mm²`: how the barrel of the metric conductor differs; nothing where it is the same.
pub(super) fn other_barrel(conductor: Conductor, metric: Option<Conductor>) -> String {
    match metric.filter(|metric| crimp(*metric) != crimp(conductor)) {
        None => String::new(),
        Some(metric) => match crimp(metric) {
            Crimp::Insulated(colour) => format!(", {colour} for {metric}"),
            Crimp::Bare => format!(", bare for {metric}"),
            Crimp::Nothing => format!(", none for {metric}"),
        },
    }
}

/// `insulation for 105 °C`.
pub(super) fn insulation(worked: &Worked<'_>) -> String {
    insulated(worked.answer.request.surroundings.insulation)
}

/// `insulation for 105 °C`.
pub(super) fn insulated(insulation: Insulation) -> String {
    format!("insulation for {}", words::celsius(insulation.rating()))
}

/// `Taken for granted: 50 °C around it, 3 conductors together, the chassis at 0.48 mΩ a metre.`
pub(super) fn granted(worked: &Worked<'_>) -> String {
    let request = &worked.answer.request;
    let place = &request.surroundings;
    let together = if place.bundled > 1 {
        format!("{} conductors together", place.bundled)
    } else {
        "alone in its loom".to_owned()
    };
    let chassis = match request.path.by {
        Return::Own => String::new(),
        Return::Chassis => format!(", the chassis at {} mΩ a metre", words::number(CHASSIS.0 * 1000.0, 2)),
    };
    format!("Taken for granted: {} around it, {together}{chassis}.", words::celsius(place.ambient()))
}

/// `yellow terminals`.
fn barrels(conductor: Conductor) -> String {
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

/// `It loses 0.34 V (0.4 V with 4 mm²) of 0.48 V allowed; the drop decides.`
pub(super) fn loses(worked: &Worked<'_>, choice: &Choice) -> String {
    let metric = worked.metric().map(|metric| &metric.trial);
    let metric = metric.map(|trial| format!(" ({} with {})", words::volts(trial.drop()), trial.conductor));
    format!(
        "It loses {}{} of {} allowed; {} decides.",
        words::volts(choice.trial.drop()),
        metric.unwrap_or_default(),
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

/// Where the ground of a circuit has to be: `near the load`.
pub(super) fn near(circuit: &JobCircuit) -> &'static str {
    match circuit.by {
        Return::Own => "near its source",
        Return::Chassis => "near the load",
    }
}

/// Why it cannot be built, then what would mend it, one sentence each; nothing where it can.
pub(super) fn refusal(job: &Job, worked: &Worked<'_>) -> (Vec<String>, Vec<String>) {
    if let Some(at) = worked.waits {
        let title = &job.circuits[at].title;
        return (vec![format!("It lies behind the {title}, which cannot be built.")], Vec::new());
    }
    let Some(refused) = worked.answer.refused() else { return Default::default() };
    let reasons = words::reasons(&refused.refusal.trial, &refused.refusal.broken);
    (reasons, refused.mends.iter().map(|way| words::mending(way)).collect())
}
