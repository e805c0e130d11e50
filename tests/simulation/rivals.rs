//! Other ways to choose an answer, for comparison: the latest note, majorities; and with the truth in hand: the note
//! that covers the vehicle, and the best that any choice among the claims could do.

use std::collections::{BTreeMap, BTreeSet};

use baybook::judge::bucket::{Bucket, Entry};
use baybook::note::Basis;
use baybook::value::colour::Colour;
use baybook::value::{Relation, Value};
use baybook::vehicle::{Match, Vehicle};

use crate::shop::{Question, is_observation};
use crate::world::Truth;

/// A chosen colour, with the share of votes for it.
pub struct Choice {
    pub colour: u16,
    pub share: f64,
}

/// The live notes that claim a vehicle, as far as is known of it, and tell a colour.
pub fn claiming<'b>(bucket: &'b Bucket, vehicle: &Vehicle) -> Vec<&'b Entry> {
    let column = column(bucket);
    bucket
        .live()
        .filter(|entry| bucket.scope(entry).matches(vehicle) != Match::Excluded)
        .filter(|entry| bucket.claim(entry)[column] != 0)
        .collect()
}

pub fn column(bucket: &Bucket) -> usize {
    bucket.columns.iter().position(|column| column.field == "colour").expect("a colour")
}

pub fn colour(bucket: &Bucket, cell: u16) -> Colour {
    let text = bucket.columns[column(bucket)].text(cell).expect("a colour that was given");
    Colour::parse(text).expect("a canonical colour")
}

/// Whether an answer is right: it says nothing that is not true.
pub fn is_right(said: &Colour, truth: &Colour) -> bool {
    Value::Colour(said.clone()).relation(&Value::Colour(truth.clone())) != Relation::Different
}

pub fn latest(bucket: &Bucket, claiming: &[&Entry]) -> Option<u16> {
    let latest = claiming.iter().max_by_key(|entry| (entry.on, entry.id))?;
    Some(bucket.claim(latest)[column(bucket)])
}

pub fn majority_of_notes(bucket: &Bucket, claiming: &[&Entry]) -> Option<Choice> {
    let votes = claiming.iter().map(|entry| bucket.claim(entry)[column(bucket)]);
    most(bucket, votes.collect())
}

/// One vote for each person and seen vehicle; notes that nobody saw count where there is nothing else.
pub fn majority_of_observations(bucket: &Bucket, claiming: &[&Entry]) -> Option<Choice> {
    let at = column(bucket);
    let seen: BTreeSet<(u32, u32, u16)> = claiming
        .iter()
        .filter(|entry| is_observation(entry))
        .map(|entry| (entry.person, entry.seen, bucket.claim(entry)[at]))
        .collect();
    if seen.is_empty() {
        return majority_of_notes(bucket, claiming);
    }
    most(bucket, seen.into_iter().map(|(.., cell)| cell).collect())
}

/// Each claim weighed by its basis and by how near the vehicle that it was seen on is to the asked one.
pub fn weighing(bucket: &Bucket, claiming: &[&Entry], vehicle: &Vehicle) -> Option<Choice> {
    let at = column(bucket);
    let mut told: BTreeMap<(u32, u32, u16), u32> = BTreeMap::new();
    for entry in claiming {
        let weight = told.entry((entry.person, entry.seen, bucket.claim(entry)[at])).or_default();
        *weight = (*weight).max((1000.0 * nearness(bucket, entry, vehicle)) as u32);
    }
    let votes = told.into_iter().flat_map(|((.., cell), weight)| (0..weight.max(1)).map(move |_| cell));
    most(bucket, votes.collect())
}

fn nearness(bucket: &Bucket, entry: &Entry, vehicle: &Vehicle) -> f64 {
    let basis = match entry.basis {
        Basis::Metered | Basis::Fitted => 1.0,
        Basis::Inspected => 0.8,
        Basis::Diagram => return 0.5,
        Basis::Told => return 0.03,
    };
    let Some(seen) = bucket.seen(entry) else { return 0.1 };
    let years = seen.year().zip(vehicle.year()).map_or(5, |(a, b)| a.get().abs_diff(b.get()));
    let unlike =
        |(name, value): &(&String, &String)| vehicle.attribute(name).is_some_and(|own| own != *value);
    let unlike = seen.attributes().iter().filter(unlike).count();
    basis * 0.6_f64.powi(i32::from(years)) * 0.6_f64.powi(i32::try_from(unlike).expect("few"))
}

/// The finest colour with the most votes; a coarser one votes for all that refine it.
fn most(bucket: &Bucket, votes: Vec<u16>) -> Option<Choice> {
    let column = &bucket.columns[column(bucket)];
    let supports = |vote: u16, colour: u16| {
        matches!(column.relation(vote, colour), Relation::Same | Relation::SecondFiner)
    };
    let distinct: BTreeSet<u16> = votes.iter().copied().collect();
    let finest = distinct
        .iter()
        .filter(|a| !distinct.iter().any(|b| column.relation(*b, **a) == Relation::FirstFiner));
    let counted: BTreeMap<u16, usize> = finest
        .map(|colour| (*colour, votes.iter().filter(|vote| supports(**vote, *colour)).count()))
        .collect();
    let (colour, count) = counted
        .into_iter()
        .max_by_key(|(colour, count)| (*count, column.text(*colour).map(str::to_owned)))?;
    Some(Choice { colour, share: count as f64 / votes.len() as f64 })
}

/// The colours that notes claim, the one that most tell first.
pub fn by_votes(bucket: &Bucket, claiming: &[&Entry]) -> Vec<u16> {
    let mut counts: BTreeMap<u16, usize> = BTreeMap::new();
    claiming.iter().for_each(|entry| *counts.entry(bucket.claim(entry)[column(bucket)]).or_default() += 1);
    let mut colours: Vec<(u16, usize)> = counts.into_iter().collect();
    colours.sort_by_key(|(colour, count)| (std::cmp::Reverse(*count), *colour));
    colours.into_iter().map(|(colour, _)| colour).collect()
}

/// How far a note was surely seen on a vehicle of the asked one's kind, for somebody who knows why the vehicles differ:
/// 3 of the same kind, 2 that cannot be told, 1 no vehicle, 0 of another kind.
fn likeness(bucket: &Bucket, entry: &Entry, question: &Question, truth: &Truth) -> u8 {
    let Some(seen) = bucket.seen(entry) else { return 1 };
    let is = |name: &str, value: &str| seen.attribute(name).map(|own| own == value);
    let month = seen.built().from().map(|month| u32::from(month.year()) * 12 + u32::from(month.month()) - 1);
    match seen.year().and_then(|year| truth.kind(year.get(), month, is)) {
        Some(kind) if kind == question.kind => 3,
        Some(_) => 0,
        None => 2,
    }
}

/// The one claim on which somebody would rely who knows why the vehicles differ, and not how: seen on a vehicle of the
/// asked one's kind; then measured, near in years, late.
pub fn covering(bucket: &Bucket, claiming: &[&Entry], question: &Question, truth: &Truth) -> Option<u16> {
    let rank = |entry: &&&Entry| {
        let near = (1000.0 * nearness(bucket, entry, &question.vehicle)) as u32;
        (likeness(bucket, entry, question, truth), near, entry.on, entry.id)
    };
    let best = claiming.iter().max_by_key(rank)?;
    Some(bucket.claim(best)[column(bucket)])
}

/// What most saw on vehicles of the asked one's kind, whatever they claimed: the most that knowing why the vehicles
/// differ can do. Where nobody did, the covering note.
pub fn of_its_kind(bucket: &Bucket, claiming: &[&Entry], question: &Question, truth: &Truth) -> Option<u16> {
    let at = column(bucket);
    let of_kind: Vec<&Entry> = bucket
        .live()
        .filter(|entry| is_observation(entry) && bucket.claim(entry)[at] != 0)
        .filter(|entry| likeness(bucket, entry, question, truth) == 3)
        .collect();
    match majority_of_observations(bucket, &of_kind) {
        Some(choice) => Some(choice.colour),
        None => covering(bucket, claiming, question, truth),
    }
}

/// Whether some claim for the vehicle is right: the most that a choice among the claims can reach.
pub fn best_claim(bucket: &Bucket, claiming: &[&Entry], truth: &Colour) -> bool {
    claiming.iter().any(|entry| is_right(&colour(bucket, bucket.claim(entry)[column(bucket)]), truth))
}
