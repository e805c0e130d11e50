//! Which answers an open conflict touches on the asked vehicle, surely or depending on what is not known of it.
//!
//! Compares notes, not answers: an answer may say less or more than the notes which contradict. What the answers
//! are is `answer`'s to say, how a conflict is joined `conflict`'s.

use std::cell::OnceCell;
use std::collections::BTreeSet;

use super::answer::{Answer, backs, has_weight};
use super::bucket::{Bucket, Clash, Entry};
use super::conflict::{self, Conflict, State};
use super::grade::{Asked, Grade};
use crate::note::NoteId;
use crate::vehicle::{Match, Vehicle};

/// Marks the answers that an open conflict touches, with what the dispute depends on; gives its notes.
pub(super) fn dispute(bucket: &Bucket, asked: &Asked, vehicle: &Vehicle, answers: &mut [Answer]) -> Touched {
    let weighty = notes(bucket, asked, has_weight);
    let backed: Vec<BTreeSet<u32>> = answers.iter().map(|answer| backing(bucket, &weighty, answer)).collect();
    let mut touched = Touched::default();
    for (claims, meeting) in meetings(bucket, asked, vehicle, &weighty, Clash::Certain) {
        mark(answers, &backed, claims, &meeting);
        touched.add(meeting);
    }
    touched
}

/// The note that names an open conflict on the vehicle, whoever stands behind its sides: of notes that contradict each
/// other certainly, or possibly.
pub(super) fn mentioned(
    bucket: &Bucket,
    asked: &Asked,
    vehicle: &Vehicle,
    clash: Clash,
    known: &Conflicts,
) -> Option<NoteId> {
    let mut touched = Touched::default();
    for (_, meeting) in meetings(bucket, asked, vehicle, &notes(bucket, asked, |_| true), clash) {
        touched.add(meeting);
    }
    touched.naming(bucket, known)
}

/// The notes of one claim: one of each scope, as numbers into `Bucket::scopes` and `Bucket::entries`.
struct Notes {
    claim: u32,
    of: Vec<(u32, usize)>,
}

/// The pairs of claims that contradict in this way, with where they meet on the asked vehicle.
fn meetings(
    bucket: &Bucket,
    asked: &Asked,
    vehicle: &Vehicle,
    notes: &[Notes],
    clash: Clash,
) -> Vec<((u32, u32), Meeting)> {
    let known = bucket.live_claims();
    let claim = |at: &u32| &bucket.claims[*at as usize];
    let mut found = Vec::new();
    for (at, Notes { claim: a, of: ours }) in notes.iter().enumerate() {
        for Notes { claim: b, of: theirs } in &notes[at + 1..] {
            if bucket.clash(claim(a), claim(b), &known) == clash
                && let Some(meeting) = meeting(bucket, asked, vehicle, ours, theirs)
            {
                found.push(((*a, *b), meeting));
            }
        }
    }
    found
}

/// The notes that may hold for the asked vehicle, as far as they are wanted, by claim and scope: the first of each.
fn notes(bucket: &Bucket, asked: &Asked, wanted: impl Fn(&Entry) -> bool) -> Vec<Notes> {
    let is_wanted = |entry: &Entry| {
        entry.is_live() && wanted(entry) && asked.matches[entry.scope as usize] != Match::Excluded
    };
    let entries = bucket.entries.iter().enumerate().filter(|(_, entry)| is_wanted(entry));
    let mut found: Vec<_> = entries.map(|(at, entry)| ((entry.claim, entry.scope), at)).collect();
    found.sort_unstable();
    found.dedup_by_key(|(own, _)| *own);
    let of_claim = |own: &[((u32, u32), usize)]| Notes {
        claim: own[0].0.0,
        of: own.iter().map(|((_, scope), at)| (*scope, *at)).collect(),
    };
    found.chunk_by(|a, b| a.0.0 == b.0.0).map(of_claim).collect()
}

/// The claims among those of weight that back an answer.
fn backing(bucket: &Bucket, weighty: &[Notes], answer: &Answer) -> BTreeSet<u32> {
    weighty
        .iter()
        .map(|notes| notes.claim)
        .filter(|claim| backs(bucket, &bucket.claims[*claim as usize], &answer.claim))
        .collect()
}

/// Where two contradicting claims meet on the asked vehicle.
struct Meeting {
    /// What decides whether they do; empty where they surely do.
    depends_on: BTreeSet<String>,
    /// Notes that meet: numbers into `Bucket::entries`.
    notes: Vec<usize>,
}

fn meeting(
    bucket: &Bucket,
    asked: &Asked,
    vehicle: &Vehicle,
    ours: &[(u32, usize)],
    theirs: &[(u32, usize)],
) -> Option<Meeting> {
    let applying =
        |(scope, at): &(u32, usize)| (asked.matches[*scope as usize] == Match::Applies).then_some(*at);
    if let (Some(a), Some(b)) = (ours.iter().find_map(applying), theirs.iter().find_map(applying)) {
        return Some(Meeting { depends_on: BTreeSet::new(), notes: vec![a, b] });
    }
    let mut found = Meeting { depends_on: BTreeSet::new(), notes: Vec::new() };
    for (a, first) in ours {
        for (b, second) in theirs {
            let both = bucket.scopes[*a as usize].intersection(&bucket.scopes[*b as usize]);
            if let Some(Match::DependsOn(names)) = both.map(|both| both.matches(vehicle)) {
                found.depends_on.extend(names);
                found.notes.extend([*first, *second]);
            }
        }
    }
    (!found.notes.is_empty()).then_some(found)
}

/// Marks every answer that one of two contradicting claims backs, and the other does not, where the other has an
/// answer of its own. What surely is disputed depends on nothing.
fn mark(answers: &mut [Answer], backed: &[BTreeSet<u32>], (a, b): (u32, u32), meeting: &Meeting) {
    let only = |claim: u32, other: u32| -> Vec<usize> {
        (0..backed.len()).filter(|at| backed[*at].contains(&claim) && !backed[*at].contains(&other)).collect()
    };
    let (ours, theirs) = (only(a, b), only(b, a));
    if ours.is_empty() || theirs.is_empty() {
        return;
    }
    for at in ours.into_iter().chain(theirs) {
        let surely =
            answers[at].grade == Grade::Disputed && answers[at].evidence.dispute_depends_on.is_empty();
        answers[at].grade = Grade::Disputed;
        let depends_on = &mut answers[at].evidence.dispute_depends_on;
        if meeting.depends_on.is_empty() {
            depends_on.clear();
        } else if !surely {
            depends_on.extend(meeting.depends_on.iter().cloned());
        }
    }
}

/// The conflicts of a bucket, found when they are first needed.
#[derive(Default)]
pub(super) struct Conflicts(OnceCell<Vec<Conflict>>);

/// Notes of the conflicts that touch the vehicle.
#[derive(Default)]
pub(super) struct Touched {
    surely: BTreeSet<usize>,
    perhaps: BTreeSet<usize>,
}

impl Touched {
    fn add(&mut self, meeting: Meeting) {
        let notes = if meeting.depends_on.is_empty() { &mut self.surely } else { &mut self.perhaps };
        notes.extend(meeting.notes);
    }

    /// The note that names the conflict to which some of these belong, the earliest id where there are several; what
    /// surely touches goes before.
    pub(super) fn naming(&self, bucket: &Bucket, known: &Conflicts) -> Option<NoteId> {
        let notes = if self.surely.is_empty() { &self.perhaps } else { &self.surely };
        if notes.is_empty() {
            return None;
        }
        let conflicts = known.0.get_or_init(|| conflict::all(bucket));
        let own = |found: &&Conflict| {
            let mut entries = found.entries.iter().chain(&found.hanging);
            found.state != State::Settled && entries.any(|at| notes.contains(at))
        };
        conflicts.iter().find(own).map(|found| found.anchor)
    }
}
