//! A circuit of a job in a few words: size, terminals, what protects it, where it runs, why it cannot be.
//!
//! Shared by the list of jobs and the job card, so that both say the same; the full sheet of one circuit is `circuit`.

use super::circuit::words;
use crate::catalogue::Catalogue;
use crate::circuit::ampacity::Insulation;
use crate::circuit::choice::Choice;
use crate::circuit::conductor::Conductor;
use crate::circuit::path::{CHASSIS, JOINT, Return};
use crate::circuit::protection::Device;
use crate::circuit::terminal::{Crimp, crimp};
use crate::circuit::units::Volts;
use crate::job::{Amount, Factor, Guard, Job, JobCircuit, Known, Settings, Worked, shown};

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

/// `Taken for granted: 50 °C around it, 3 conductors together, the chassis at 0.48 mΩ a metre with two joints of 2.5 mΩ.`
pub(super) fn granted(worked: &Worked<'_>) -> String {
    let chassis = match worked.answer.request.path.by {
        Return::Own => String::new(),
        Return::Chassis => format!(", {}", chassis()),
    };
    format!("Taken for granted: {}{chassis}.", around(worked))
}

/// `50 °C around it, 3 conductors together`.
pub(super) fn around(worked: &Worked<'_>) -> String {
    let place = &worked.answer.request.surroundings;
    let together = match place.bundled {
        0 | 1 => "alone in its loom".to_owned(),
        count => format!("{count} conductors together"),
    };
    format!("{} around it, {together}", words::celsius(place.ambient()))
}

/// `the chassis at 0.48 mΩ a metre with two joints of 2.5 mΩ`.
pub fn chassis() -> String {
    let [metre, joint] = [CHASSIS.0, JOINT.0].map(|ohms| words::number(ohms * 1000.0, 2));
    format!("the chassis at {metre} mΩ a metre with two joints of {joint} mΩ")
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
    let metric = worked.metric().map(|metric| (metric.trial.conductor, metric.trial.drop()));
    format!(
        "It loses {}{} of {} allowed; {} decides.",
        words::volts(choice.trial.drop()),
        with_metric(choice.trial.drop(), metric),
        words::volts(worked.answer.request.allowed),
        words::rule(choice.decides),
    )
}

/// ` (0.4 V with 4 mm²)`; nothing where that reads the same.
pub(super) fn with_metric(drop: Volts, metric: Option<(Conductor, Volts)>) -> String {
    let other = metric.filter(|(_, of_metric)| words::volts(*of_metric) != words::volts(drop));
    other.map_or(String::new(), |(metric, drop)| format!(" ({} with {metric})", words::volts(drop)))
}

/// `a conductor of its own`.
pub(super) fn back(by: Return) -> &'static str {
    match by {
        Return::Own => "a conductor of its own",
        Return::Chassis => "the chassis",
    }
}

/// What multiplies to its load: `4 trailer brakes × 4.1 A`.
pub(super) fn load(job: &Job, circuit: &JobCircuit, settings: &Settings) -> String {
    let factor = |factor: &Factor| match factor {
        Factor::Fixed(amount) => shown(*amount),
        Factor::Parameter(at) => {
            let (title, value) = (&job.parameters[*at].title, shown(settings.value(*at)));
            match settings.value(*at) {
                Amount::Count(_) => format!("{value} {title}"),
                _ => format!("{title}, {value}"),
            }
        }
    };
    circuit.load.iter().map(factor).collect::<Vec<_>>().join(" × ")
}

/// Where the load of a circuit is from: what was told or recorded, else the sources of its factors.
pub(super) fn load_from(job: &Job, circuit: &JobCircuit, settings: &Settings) -> String {
    let source = |factor: &Factor| match factor {
        Factor::Fixed(_) => Some(circuit.load_source.clone()),
        Factor::Parameter(at) => match settings.known(*at) {
            Known::Told => Some("as told".to_owned()),
            Known::Recorded => Some("as recorded".to_owned()),
            // A count that nobody told is named as taken for granted where the card begins.
            Known::Estimate if matches!(settings.value(*at), Amount::Count(_)) => None,
            Known::Estimate => Some(job.parameters[*at].source.clone()),
        },
    };
    circuit.load.iter().filter_map(source).collect::<Vec<_>>().join("; ")
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
