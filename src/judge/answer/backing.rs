//! What stands behind an answer: the notes that back it, their evidence, what it depends on, and what they tell
//! beside. Which answers there are is `distinct`'s.

use std::collections::{BTreeMap, BTreeSet};

use super::super::bucket::{Bucket, Claim, Clash, Entry};
use super::super::grade::{Asked, Evidence, evidence, undisputed};
use super::super::pattern::Chance;
use super::super::sides;
use super::distinct::{backs, completes};
use super::{Answer, Tally};
use crate::note::Basis;
use crate::vehicle::{Match, Scope, Vehicle, simplify};

pub(super) fn answer(
    bucket: &Bucket,
    asked: &Asked,
    vehicle: &Vehicle,
    claimed: &[usize],
    known: &[u32],
    claim: Claim,
) -> Answer {
    let entry = |at: &usize| &bucket.entries[*at];
    let matching = |at: &usize| &asked.matches[entry(at).scope as usize];
    let backs: Vec<bool> = bucket.claims.iter().map(|other| backs(bucket, other, &claim)).collect();
    let backed_by = |at: &usize| backs[entry(at).claim as usize];
    let backing: Vec<usize> = claimed.iter().copied().filter(backed_by).collect();
    let (certain, depending): (Vec<usize>, Vec<usize>) =
        backing.into_iter().partition(|at| *matching(at) == Match::Applies);
    let (applies, mut entries, more) = if certain.is_empty() {
        (depends(depending.iter().map(matching)), depending, Vec::new())
    } else {
        (Match::Applies, certain, depending)
    };
    let anywhere: Vec<usize> =
        (0..bucket.entries.len()).filter(|at| entry(at).is_live() && backed_by(at)).collect();
    let mut nearby: Vec<usize> = anywhere
        .iter()
        .copied()
        .filter(|at| {
            *matching(at) == Match::Excluded && entry(at).seen != 0 && entry(at).basis.is_observation()
        })
        .collect();
    sides::strongest_first(bucket, &mut nearby);
    let evidence = evidence(bucket, asked, &entries, &anywhere);
    let conditional = conditional(bucket, asked, &more);
    let against = against(bucket, vehicle, claimed, &entries, known, &claim);
    let sure = |at: &usize| (*matching(at) == Match::Applies) == (applies == Match::Applies);
    let told: Vec<usize> = claimed
        .iter()
        .copied()
        .filter(|at| sure(at) && completes(bucket, bucket.claim(entry(at)), &claim))
        .collect();
    let tallies = tallies(bucket, asked, &claim, &told);
    let scope = widest(entries.iter().map(|at| bucket.scope(entry(at))), vehicle);
    entries.sort_by_key(|at| {
        let entry = entry(at);
        (!asked.covered_by(entry), entry.basis, std::cmp::Reverse(entry.on), entry.id)
    });
    Answer {
        grade: undisputed(&evidence, against),
        claim,
        support: Chance::new(0.0),
        tallies,
        applies,
        evidence,
        conditional,
        scope,
        entries,
        nearby,
    }
}

/// What more stands behind an answer where the vehicle turns out to be as narrower notes ask.
fn conditional(bucket: &Bucket, asked: &Asked, notes: &[usize]) -> Option<(Vec<String>, Evidence)> {
    let matching = |at: &usize| &asked.matches[bucket.entries[*at].scope as usize];
    match depends(notes.iter().map(matching)) {
        Match::DependsOn(dimensions) if !dimensions.is_empty() => {
            Some((dimensions, evidence(bucket, asked, notes, &[])))
        }
        _ => None,
    }
}

/// Whether a note of weight certainly contradicts an answer on a vehicle that the asked one may be and for which
/// the answer is claimed, too.
fn against(
    bucket: &Bucket,
    vehicle: &Vehicle,
    claimed: &[usize],
    backing: &[usize],
    known: &[u32],
    claim: &[u16],
) -> bool {
    let entry = |at: &usize| &bucket.entries[*at];
    let scopes: BTreeSet<u32> = backing.iter().map(|at| entry(at).scope).collect();
    let meets = |other: u32| {
        scopes.iter().any(|own| {
            let both = bucket.scopes[*own as usize].intersection(&bucket.scopes[other as usize]);
            both.is_some_and(|both| both.matches(vehicle) != Match::Excluded)
        })
    };
    let weighty = claimed.iter().map(entry).filter(|entry| has_weight(entry));
    let others: BTreeSet<(u32, u32)> = weighty.map(|entry| (entry.claim, entry.scope)).collect();
    others.iter().any(|(other, scope)| {
        bucket.clash(&bucket.claims[*other as usize], claim, known) == Clash::Certain && meets(*scope)
    })
}

/// Whether an entry can dispute: an observation or a diagram. An empty `seen` is no observation.
pub(in crate::judge) fn has_weight(entry: &Entry) -> bool {
    entry.basis == Basis::Diagram || (entry.basis.is_observation() && entry.seen != 0)
}

/// What an answer depends on whose notes all depend: the shortest list, since one note suffices.
fn depends<'m>(matches: impl Iterator<Item = &'m Match>) -> Match {
    let shortest = matches
        .filter_map(|found| match found {
            Match::DependsOn(names) => Some(names.clone()),
            Match::Applies | Match::Excluded => None,
        })
        .min_by(|a, b| a.len().cmp(&b.len()).then_with(|| a.cmp(b)));
    Match::DependsOn(shortest.unwrap_or_default())
}

/// The union of scopes as boxes, of which the one that takes in the vehicle.
fn widest<'s>(scopes: impl Iterator<Item = &'s Scope>, vehicle: &Vehicle) -> Scope {
    let mut distinct: Vec<Scope> = scopes.cloned().collect();
    distinct.sort();
    distinct.dedup();
    let boxes = simplify(distinct);
    let rank = |scope: &Scope| match scope.matches(vehicle) {
        Match::Applies => 0,
        Match::DependsOn(_) => 1,
        Match::Excluded => 2,
    };
    boxes.into_iter().min_by_key(rank).unwrap_or_default()
}

/// Who tells a text: whether a note of the answer's own connector does, how many do, whether one that covers the
/// vehicle does, and the latest day.
type Telling = (bool, usize, bool, i32);

/// What notes say of the fields that are not compared. A place stands beside the connector that the same note
/// names: where the answer has a connector and some note tells the place of that one, other places wait behind.
fn tallies(bucket: &Bucket, asked: &Asked, claim: &[u16], entries: &[usize]) -> Vec<Tally> {
    let mut fields: BTreeMap<u16, BTreeMap<&str, Telling>> = BTreeMap::new();
    let plug = |claim: &[u16]| bucket.connector().map_or(0, |at| claim[at]);
    for entry in entries.iter().map(|at| &bucket.entries[*at]) {
        let there = plug(bucket.claim(entry)) == plug(claim);
        for (field, text) in &bucket.extras[entry.extra as usize] {
            let told = fields.entry(*field).or_default().entry(text).or_insert((false, 0, false, i32::MIN));
            *told = (told.0 || there, told.1 + 1, told.2 || asked.covered_by(entry), told.3.max(entry.on));
        }
    }
    fields
        .into_iter()
        .map(|(field, texts)| {
            let mut texts: Vec<_> = texts.into_iter().collect();
            let rank = |told: &Telling| (told.0, told.2, told.1, told.3);
            texts.sort_by(|a, b| rank(&b.1).cmp(&rank(&a.1)).then_with(|| a.0.cmp(b.0)));
            Tally {
                field: bucket.extra_fields[usize::from(field)].clone(),
                texts: texts.into_iter().map(|(text, (_, count, ..))| (text.to_owned(), count)).collect(),
            }
        })
        .collect()
}
