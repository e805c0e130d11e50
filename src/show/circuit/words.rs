//! Quantities, rules and changes of a circuit in words.

use super::super::page::{capitalised, listed};
use crate::circuit::mend::Mend;
use crate::circuit::protection::Device;
use crate::circuit::trial::{IN_TIME, Rule, Trial};
use crate::circuit::units::{Amps, Celsius, Millimetres, Seconds, Share, SquareMm, Volts, Watts};
pub(in crate::show) use crate::value::quantity::length_in_words as length;
use crate::value::quantity::{inch_fraction, significant};

/// So many significant digits, and no more than are there.
pub(in crate::show) fn number(number: f64, digits: usize) -> String {
    significant(number, digits)
}

pub(in crate::show) fn amps(amps: Amps) -> String {
    format!("{} A", number(amps.0, 3))
}

/// To a hundredth, which is what a meter shows.
pub(in crate::show) fn volts(volts: Volts) -> String {
    let shown = if volts.0 < 0.1 { number(volts.0, 2) } else { number((volts.0 * 100.0).round() / 100.0, 6) };
    format!("{shown} V")
}

pub(in crate::show) fn watts(watts: Watts) -> String {
    format!("{} W", number(watts.0, 2))
}

pub(in crate::show) fn celsius(at: Celsius) -> String {
    format!("{} °C", number(at.0, 3))
}

pub(in crate::show) fn seconds(time: Seconds) -> String {
    format!("{} s", number(time.0, 2))
}

pub(in crate::show) fn per_cent(share: Share) -> String {
    format!("{} %", number(share.0 * 100.0, 2))
}

pub(in crate::show) fn area(area: SquareMm) -> String {
    format!("{} mm²", number(area.0, 3))
}

/// Millimetres, with the inch fraction where it is one.
pub(in crate::show) fn millimetres(size: Millimetres) -> String {
    let inches = inch_fraction(size).map_or(String::new(), |inches| format!(" ({inches} in)"));
    format!("{} mm{inches}", number(size.0, 3))
}

/// A rule as the thing that decides or would allow.
pub(in crate::show) fn rule(rule: Rule) -> &'static str {
    match rule {
        Rule::Minimum => "the minimum asked for",
        Rule::Drop => "the drop",
        Rule::Ampacity => "the ampacity",
        Rule::Protection => "the protection",
        Rule::Fault => "opening in time",
        Rule::Survival => "surviving a fault",
    }
}

/// Why a circuit cannot be built with a conductor: one sentence for each rule that it breaks, without those that another
/// one implies.
pub(in crate::show) fn reasons(trial: &Trial, broken: &[Rule]) -> Vec<String> {
    let implied = |rule: Rule| match rule {
        Rule::Protection => broken.contains(&Rule::Ampacity) && trial.device.is_some(),
        Rule::Fault | Rule::Survival => trial.device.is_none(),
        _ => false,
    };
    let told = broken.iter().filter(|rule| !implied(**rule));
    let sentence = |rule: &Rule| match why_not(trial, *rule) {
        why if is_of_any_conductor(trial, *rule) => format!("{}.", capitalised(&why)),
        why => format!("With {}, {why}.", trial.conductor),
    };
    told.map(sentence).collect()
}

/// Whether every conductor would break a rule for the same reason.
fn is_of_any_conductor(trial: &Trial, rule: Rule) -> bool {
    match rule {
        Rule::Ampacity => trial.ampacity == Amps(0.0),
        Rule::Protection => trial.device.is_none() || trial.device_is_too_small(),
        _ => false,
    }
}

/// Why a conductor breaks a rule, as the rest of a sentence about it.
pub(in crate::show) fn why_not(trial: &Trial, rule: Rule) -> String {
    let request = trial.request();
    match rule {
        Rule::Minimum => "it is thinner than the minimum asked for".to_owned(),
        Rule::Drop => format!("{} are lost, and {} are allowed", volts(trial.drop()), volts(request.allowed)),
        Rule::Ampacity if trial.ampacity == Amps(0.0) => {
            let place = &request.surroundings;
            let (ambient, column) = (celsius(place.ambient()), celsius(place.insulation.column()));
            format!("it is {ambient} around the conductor, and its insulation is for {column}")
        }
        Rule::Ampacity => format!(
            "it may carry {} where it lies, and {} are to flow",
            amps(trial.ampacity),
            amps(request.current)
        ),
        Rule::Protection => why_not_protected(trial),
        Rule::Fault => why_not_opened(trial),
        Rule::Survival => format!(
            "a short circuit at the far end draws {}, which it survives for {}, and {} may take {}",
            amps(trial.fault),
            seconds(trial.survives()),
            device(trial),
            trial.opens.map_or("for ever".to_owned(), seconds)
        ),
    }
}

/// The device, as the subject of a sentence.
fn device(trial: &Trial) -> String {
    let called = |device: Device| format!("the {} {}", amps(device.rating()), device.title());
    trial.device.map_or_else(|| "nothing".to_owned(), called)
}

fn why_not_protected(trial: &Trial) -> String {
    let (request, device) = (trial.request(), device(trial));
    let current = amps(request.current);
    if trial.device.is_none() {
        format!("no {} is made for a load of {current}", request.kind.word())
    } else if trial.device_is_too_small() {
        format!("{device} is too small for {current}: {} is needed", amps(trial.least_rating()))
    } else {
        let carries = amps(trial.ampacity);
        let whose = if request.rating.is_some() { "that was given" } else { "that the load needs" };
        format!("{device} {whose} is more than the {carries} that the conductor may carry")
    }
}

fn why_not_opened(trial: &Trial) -> String {
    let (fault, device) = (amps(trial.fault), device(trial));
    match trial.opens {
        Some(time) => format!(
            "a short circuit at the far end draws {fault} and opens {device} within {}, and {} are allowed",
            seconds(time),
            seconds(IN_TIME)
        ),
        None => format!("a short circuit at the far end draws {fault}, too little to open {device}"),
    }
}

/// A way to mend, in a sentence.
pub(in crate::show) fn mending(changes: &[Mend]) -> String {
    let told: Vec<String> = changes.iter().map(|change| mend(*change)).collect();
    format!("{}.", capitalised(&listed(&told, "and")))
}

/// A change that mends.
pub(in crate::show) fn mend(mend: Mend) -> String {
    match mend {
        Mend::Conductor(conductor) => format!("take {conductor}"),
        Mend::Device(device) => format!("fit a {} {}", amps(device.rating()), device.title()),
        Mend::Fuse => "protect it by a fuse, which opens sooner than a breaker".to_owned(),
        Mend::Drop(share) => format!("allow a drop of {}", per_cent(share)),
        Mend::Run(out) => format!("make the run at most {}", length(out)),
        Mend::Load(amps) => format!("make the load at most {}", self::amps(amps)),
        Mend::Insulation(insulation) => format!("take insulation for {}", celsius(insulation.rating())),
        Mend::ClearOfEngine => "lead it clear of the engine".to_owned(),
        Mend::Ambient(at) => format!("lead it where it is at most {} warm", celsius(at)),
        Mend::Bundled(count) => format!("bundle at most {count} conductors"),
        Mend::OwnReturn => "let it return by a conductor of its own".to_owned(),
    }
}
