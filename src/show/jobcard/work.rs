//! What is done in order: cautions, meter checks, the function test, who signs, and what it took before.

use super::{Entry, Part, Room, Section, aside, plain, value};
use crate::card::{Card, Reading};
use crate::job::When;
use crate::show::circuit::words;
use crate::show::page::capitalised;
use crate::show::sentence::claimed;

pub(super) fn cautions(card: &Card<'_>) -> Section {
    let entries = card.cautions().map(|caution| Entry::of(vec![plain(caution)])).collect();
    Section { part: Part::Cautions, title: "Before you start", entries }
}

pub(super) fn before(card: &Card<'_>) -> Section {
    Section { part: Part::Before, title: "Measure before cutting", entries: readings(card, When::Before) }
}

pub(super) fn after(card: &Card<'_>) -> Section {
    Section { part: Part::After, title: "Measure after connecting", entries: readings(card, When::After) }
}

fn readings(card: &Card<'_>, when: When) -> Vec<Entry> {
    card.readings
        .iter()
        .filter(|reading| reading.when() == when)
        .map(|reading| entry(card, reading))
        .collect()
}

fn entry(card: &Card<'_>, reading: &Reading<'_>) -> Entry {
    let (measure, expect) = match reading {
        Reading::Job(check) => (capitalised(&check.measure), check.expect.clone()),
        Reading::Drop { circuit, load, at_most, metric } => {
            let title = &card.circuits[*circuit].worked.circuit.title;
            let measure = format!(
                "{}: meter from its source to its load, and from the load to battery negative, with {} flowing",
                capitalised(title),
                words::amps(*load)
            );
            let expect = format!(
                "together about {}{} as worked out, more with joints; less with less current",
                words::volts(*at_most),
                metric.map_or(String::new(), |(metric, drop)| format!(
                    " ({} with {metric})",
                    words::volts(drop)
                ))
            );
            (measure, expect)
        }
    };
    let head = vec![plain(format!("{measure}. ")), aside("Should read: "), value(expect)];
    Entry::of(head).with(Room::Reading)
}

pub(super) fn test(card: &Card<'_>) -> Section {
    let step = |step: &String| Entry::of(vec![plain(step.clone())]).with(Room::Tick);
    Section { part: Part::Test, title: "Function test", entries: card.job.test.iter().map(step).collect() }
}

/// Who stands behind what.
const SIGNED: [&str; 4] = [
    "Measured before cutting",
    "Fitted as above, changes written on this card",
    "Measured after connecting, function test passed",
    "What was found is noted in the book",
];

pub(super) fn sign_off() -> Section {
    let line = |text: &str| Entry::of(vec![plain(text)]).with(Room::Name);
    Section { part: Part::SignOff, title: "Signed", entries: SIGNED.map(line).into() }
}

pub(super) fn labour(card: &Card<'_>) -> Section {
    let entry = match &card.labour {
        Some(labour) => {
            let used = &labour.used;
            let scope = format!("; {}. ", claimed(card.language, &used.answer.scope));
            let time = capitalised(&labour.spread.sentence());
            Entry::of(vec![value(time), aside(scope), super::ids(card, used)])
        }
        None => Entry::of(vec![plain("No time of this job is recorded for such a vehicle: note yours.")]),
    };
    Section { part: Part::Labour, title: "Labour", entries: vec![entry] }
}
