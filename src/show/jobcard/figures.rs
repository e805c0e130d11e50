//! Where the figures of a card are from, so that each can be traced: loads, estimated lengths, what is taken for granted
//! around the cables, and the tables and rules behind the rest.
//!
//! Figures that notes tell have the ids of their notes beside them, and are not told again here.

use super::{Entry, Part, Section, aside, plain};
use crate::card::{Card, Circuit};
use crate::circuit::answer::SOURCES;
use crate::circuit::path::Return;
use crate::circuit::protection::Duty;
use crate::job::Known;
use crate::show::circuit::words;
use crate::show::page::{capitalised, listed};
use crate::show::wired;

/// What holds on every card: doubt, meter, distances, supply. The sources of checks and cautions are in the catalogue.
const OF_EVERY_CARD: &str = "Chances in 100: worked out from what was seen where. Meter readings: common practice, no \
     source. 7 in (180 mm) to a fuse: 33 CFR 183.455; 18 in (450 mm) between supports: ABYC E-11; both of boats. Supply: 12 V, a \
     battery without its charger.";

pub(super) fn section(card: &Card<'_>) -> Section {
    let mut entries = vec![loads(card)];
    entries.extend(estimates(card));
    entries.extend(minimums(card));
    entries.extend(around(card));
    entries.push(Entry::of(vec![plain(limits())]));
    entries.push(Entry::of(vec![plain(OF_EVERY_CARD)]));
    let tables = format!("{}.", capitalised(&SOURCES.join("; ")));
    entries.push(Entry::of(vec![aside("Tables and rules: "), plain(tables)]));
    Section { part: Part::Figures, title: "Where the figures are from", entries }
}

/// Circuits of which the same is told, with what is told, in their order.
fn alike<'c>(
    card: &'c Card<'_>,
    told: impl Fn(&Circuit<'_>) -> Option<String>,
) -> Vec<(String, Vec<&'c str>)> {
    let mut alike: Vec<(String, Vec<&str>)> = Vec::new();
    for circuit in &card.circuits {
        let Some(told) = told(circuit) else { continue };
        let title = circuit.worked.circuit.title.as_str();
        match alike.iter_mut().find(|(known, _)| *known == told) {
            Some((_, titles)) => titles.push(title),
            None => alike.push((told, vec![title])),
        }
    }
    alike
}

/// `Feed of the control and brake output to the rear: this. Brake signal: that.`
fn entry(lead: &str, alike: Vec<(String, Vec<&str>)>) -> Option<Entry> {
    let sentence = |(told, titles): (String, Vec<&str>)| {
        let titles: Vec<String> = titles.into_iter().map(str::to_owned).collect();
        format!("{}, {told}.", capitalised(&listed(&titles, "and")))
    };
    let told: Vec<String> = alike.into_iter().map(sentence).collect();
    (!told.is_empty()).then(|| Entry::of(vec![aside(lead), plain(told.join(" "))]))
}

fn loads(card: &Card<'_>) -> Entry {
    let told = |circuit: &Circuit<'_>| {
        let of = circuit.worked.circuit;
        let current = words::amps(circuit.worked.answer.request.current);
        let made = wired::load(card.job, of, &card.settings);
        let made = if made == current { current } else { format!("{current}: {made}") };
        Some(format!("{made} ({})", wired::load_from(card.job, of, &card.settings)))
    };
    entry("Loads: ", alike(card, told)).unwrap_or_default()
}

/// Where estimated lengths are from.
fn estimates(card: &Card<'_>) -> Option<Entry> {
    let told = |circuit: &Circuit<'_>| {
        let length = words::length(circuit.worked.answer.request.path.out);
        let source = &card.job.parameters[circuit.worked.circuit.run].source;
        (circuit.worked.run == Known::Estimate).then(|| format!("{length}: {source}"))
    };
    entry("Estimated lengths: ", alike(card, told))
}

fn minimums(card: &Card<'_>) -> Option<Entry> {
    let told = |circuit: &Circuit<'_>| {
        let least = circuit.worked.circuit.minimum?;
        Some(format!("{least} (common practice, no source)"))
    };
    entry("Least conductors: ", alike(card, told))
}

/// What circuits are held to beside the tables.
fn limits() -> String {
    let [continuous, intermittent] =
        [Duty::Continuous, Duty::Intermittent].map(|duty| words::per_cent(duty.share()));
    format!(
        "Drops allowed: 3 % for what is critical, 10 % for the rest (ABYC E-11), between them this job's choice. A fuse \
         or breaker is loaded to {continuous} at most by a continuous load (common practice, no source), to {intermittent} by \
         an intermittent one (our choice)."
    )
}

/// What is around the cables.
fn around(card: &Card<'_>) -> Option<Entry> {
    let mut entry =
        entry("Taken for granted: ", alike(card, |circuit| Some(wired::around(&circuit.worked))))?;
    let by_chassis = |circuit: &Circuit<'_>| circuit.worked.answer.request.path.by == Return::Chassis;
    if card.circuits.iter().any(by_chassis) {
        entry.head.push(plain(format!(" {}.", capitalised(&wired::chassis()))));
    }
    Some(entry)
}
