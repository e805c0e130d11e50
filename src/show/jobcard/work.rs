//! What is done in order: cautions, meter checks, the function test, who signs, and what it took before.

use super::{Entry, Part, Room, Section, aside, plain, value, weak};
use crate::card::{Card, Labour, Reading};
use crate::job::When;
use crate::show::circuit::words;
use crate::show::page::{capitalised, listed};
use crate::show::wired;

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

/// The checks of the job, then the drops under one sentence that says how all of them are read.
fn readings(card: &Card<'_>, when: When) -> Vec<Entry> {
    let at = card.readings.iter().filter(|reading| reading.when() == when);
    let (drops, checks): (Vec<&Reading<'_>>, Vec<&Reading<'_>>) =
        at.partition(|reading| matches!(reading, Reading::Drop { .. }));
    let mut entries: Vec<Entry> = checks.into_iter().map(|reading| entry(card, reading)).collect();
    if !drops.is_empty() {
        entries.push(Entry::of(vec![plain(HOW_A_DROP_IS_READ)]));
    }
    entries.extend(drops.into_iter().map(|reading| entry(card, reading)));
    entries
}

/// How the drop of a circuit is read: the way out and the way back.
const HOW_A_DROP_IS_READ: &str = "What each circuit loses, with its load on: the reading from its source to its load, plus the reading from \
     its load to battery negative. Joints add to what was worked out; a smaller current takes from it.";

fn entry(card: &Card<'_>, reading: &Reading<'_>) -> Entry {
    let (measure, expect) = match reading {
        Reading::Job(check) => (capitalised(&check.measure), check.expect.clone()),
        Reading::Drop { circuit, load, at_most, metric } => {
            let title = capitalised(&card.circuits[*circuit].worked.circuit.title);
            let expect = format!("about {}{}", words::volts(*at_most), wired::with_metric(*at_most, *metric));
            (format!("{title}, at {}", words::amps(*load)), expect)
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
        Some(labour) => times(card, labour),
        None => Entry::of(vec![plain("No time of this job is recorded for such a vehicle: note yours.")]),
    };
    Section { part: Part::Labour, title: "Labour", entries: vec![entry] }
}

fn times(card: &Card<'_>, labour: &Labour<'_>) -> Entry {
    let scopes: Vec<String> =
        labour.scopes.iter().map(|scope| scope.describe(card.language.vocabulary())).collect();
    let (scope, time) = (listed(&scopes, "and"), labour.spread.sentence());
    let ids = super::codes(card, labour.notes.iter().copied());
    if labour.for_this {
        return Entry::of(vec![value(capitalised(&time)), aside(format!("; claimed for {scope}. ")), ids]);
    }
    let head =
        vec![weak("Not for yours, but for "), plain(format!("{scope}: ")), value(time), plain(". "), ids];
    Entry { more: vec![vec![plain("Note what yours takes.")]], ..Entry::of(head) }
}
