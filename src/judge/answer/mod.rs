//! Answers: what a bucket says of one asked vehicle, each distinct answer once, graded, and none picked
//! silently where they contradict.
//!
//! Owns what an answer is and the order of work. Which answers there are is `distinct`'s to say, what stands behind
//! each `backing`'s, in which order they come `order`'s, and what holds for other vehicles `elsewhere`'s.

mod backing;
mod distinct;
mod elsewhere;
mod order;

use std::collections::BTreeSet;

use super::bucket::{Bucket, Claim, Clash, Entry};
use super::grade::{Asked, Evidence, Grade, counted};
use super::pattern::{self, Chance, Outlook};
use super::{sides, touch};
use crate::note::NoteId;
use crate::value::Relation;
use crate::vehicle::{Match, Scope, Vehicle, covers, differs, matters};

pub(super) use backing::has_weight;
pub(super) use distinct::{backs, colour_column, colour_relation, completes, plainer, same_instance};

/// What is known of one point of the asked vehicle.
#[derive(Debug, Clone)]
pub struct Judged {
    /// The grade of the whole.
    pub grade: Grade,
    /// The answers, best first.
    pub answers: Vec<Answer>,
    /// The open conflict that touches the vehicle, by the note that names it.
    pub conflict: Option<NoteId>,
    /// Where none does: an open conflict of notes that cannot dispute, by word of mouth or without a seen vehicle, which
    /// is mentioned.
    pub mentioned: Option<NoteId>,
    /// Another open conflict, of notes that contradict each other if they speak of the same one.
    pub possible: Option<NoteId>,
    /// The notes that claim nothing and have a remark at most, for this vehicle or one that it may be, the strongest
    /// first: numbers into `Bucket::entries`.
    pub noted: Vec<usize>,
    /// Where nothing is claimed for this vehicle, or nothing that is likely: what is known on others of the model,
    /// nearest first.
    pub elsewhere: Vec<Elsewhere>,
}

/// One answer.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Its compared values, as cells of the bucket's columns.
    pub claim: Claim,
    /// Its other typed values.
    pub tallies: Vec<Tally>,
    /// Whether it applies to the asked vehicle or depends on what is not known of it.
    pub applies: Match,
    /// How far it can be trusted.
    pub grade: Grade,
    /// The chance that it is right for the asked vehicle.
    pub support: Chance,
    /// Why.
    pub evidence: Evidence,
    /// What more stands behind it if the vehicle is as narrower notes ask.
    pub conditional: Option<More>,
    /// The compared fields that only word of mouth gives, where others stand behind the rest.
    pub told_only: Vec<String>,
    /// The vehicles it is claimed for, around the asked one.
    pub scope: Scope,
    /// The notes that back it: numbers into `Bucket::entries`, the strongest first.
    pub entries: Vec<usize>,
    /// Observations that say the same and are not claimed for the asked vehicle, the strongest first: they inform it.
    pub nearby: Vec<usize>,
}

/// What more is known if the vehicle is as narrower notes ask.
#[derive(Debug, Clone)]
pub struct More {
    /// What decides that.
    pub depends_on: Vec<String>,
    /// What those notes say more exactly: fields with canonical texts.
    pub values: Vec<(String, Vec<String>)>,
    /// What stands behind it.
    pub evidence: Evidence,
}

/// What notes say of a field that is not compared: each distinct text with how many said it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tally {
    /// The field.
    pub field: String,
    /// Canonical texts with counts, the best supported first.
    pub texts: Vec<(String, usize)>,
}

/// An answer that holds for other vehicles of the model and is not claimed for the asked one.
#[derive(Debug, Clone)]
pub struct Elsewhere {
    /// Its compared values.
    pub claim: Claim,
    /// The vehicles it is claimed for.
    pub scope: Scope,
    /// The chance that it is right for the asked vehicle all the same: what was seen on others informs it.
    pub support: Chance,
    /// Distinct observations.
    pub observations: usize,
    /// The notes, the strongest first: numbers into `Bucket::entries`.
    pub entries: Vec<usize>,
}

/// Where no answer is likelier than this, what is known of other vehicles is worth seeing, too.
const DOUBTFUL: f64 = 0.5;

/// Judges what a bucket says of `vehicle`.
#[must_use]
pub fn judge(bucket: &Bucket, vehicle: &Vehicle) -> Judged {
    judge_with(bucket, vehicle, &Outlook::default())
}

/// The same, with what is known beside the notes of this point.
#[must_use]
pub fn judge_with(bucket: &Bucket, vehicle: &Vehicle, outlook: &Outlook) -> Judged {
    let mut judged = judge_claims(bucket, vehicle, outlook);
    let said = |other: &Elsewhere| {
        judged.answers.iter().any(|answer| completes(bucket, &answer.claim, &other.claim))
    };
    if judged.answers.iter().all(|answer| answer.support.share() < DOUBTFUL) {
        let known = elsewhere::nearest(bucket, vehicle, outlook).into_iter();
        judged.elsewhere = known.filter(|other| !said(other)).collect();
    }
    judged
}

/// The same, of what is claimed for the vehicle alone: nothing is told of what is known elsewhere.
#[must_use]
pub fn judge_claims(bucket: &Bucket, vehicle: &Vehicle, outlook: &Outlook) -> Judged {
    let asked = ask(bucket, vehicle);
    let written = (0..bucket.entries.len()).filter(|at| {
        let entry = &bucket.entries[*at];
        entry.is_live() && asked.matches[entry.scope as usize] != Match::Excluded
    });
    let (mut noted, claimed): (Vec<usize>, Vec<usize>) =
        written.partition(|at| bucket.claims_nothing(&bucket.entries[*at]));
    sides::strongest_first(bucket, &mut noted);
    if claimed.is_empty() {
        return Judged {
            grade: Grade::Blank,
            answers: Vec::new(),
            conflict: None,
            mentioned: None,
            possible: None,
            noted,
            elsewhere: Vec::new(),
        };
    }
    let mut answers: Vec<Answer> = {
        let ground = backing::Ground::new(bucket, &asked, vehicle, &claimed);
        let supported = supported(bucket, vehicle, &asked, &claimed, outlook).into_iter();
        supported.map(|(claim, support)| ground.answer(claim, support)).collect()
    };
    silence(bucket, &asked, &mut answers);
    let conflict = touch::dispute(bucket, &asked, vehicle, &mut answers);
    let mention = |clash| touch::mentioned(bucket, &asked, vehicle, clash);
    let mentioned = if conflict.is_none() { mention(Clash::Certain) } else { None };
    let possible = if bucket.several { mention(Clash::Possible) } else { None };
    let possible = possible.filter(|anchor| conflict != Some(*anchor) && mentioned != Some(*anchor));
    order::sort(bucket, &mut answers);
    let grade = order::overall(bucket, &answers);
    Judged { grade, answers, conflict, mentioned, possible, noted, elsewhere: Vec::new() }
}

/// Tells of each answer how many of the observations that count for it say nothing of what it is about: of the first
/// field that must agree, and of those in which answers differ. A note that only gives the polarity backs every colour.
fn silence(bucket: &Bucket, asked: &Asked, answers: &mut [Answer]) {
    let differs = |at: usize| {
        let own = || answers.iter().map(|answer| answer.claim.as_slice());
        own().any(|a| {
            own().any(|b| same_instance(bucket, a, b) && bucket.cell(at, a, b) == Relation::Different)
        })
    };
    let contested: Vec<usize> = bucket.agreeing().filter(|at| differs(*at)).collect();
    for answer in answers {
        let first = bucket.agreeing().find(|at| answer.claim[*at] != 0);
        let is_silent = |at: usize| {
            let cells = answer.entries.iter().map(|entry| bucket.claim(&bucket.entries[*entry])[at]);
            cells.into_iter().any(|cell| cell == 0)
        };
        let asks = |at: &usize| answer.claim[*at] != 0 && (first == Some(*at) || contested.contains(at));
        let columns: Vec<usize> = bucket.agreeing().filter(asks).filter(|at| is_silent(*at)).collect();
        if columns.is_empty() {
            continue;
        }
        let observed = counted(bucket, asked, &answer.entries);
        for at in columns {
            let says = |notes: &Vec<&Entry>| notes.iter().any(|entry| bucket.claim(entry)[at] != 0);
            let silent = observed.iter().filter(|notes| !says(notes)).count();
            if silent > 0 {
                answer.evidence.silent.push((bucket.columns[at].field.clone(), silent));
            }
        }
    }
}

/// The distinct answers with their support. A colour without the tracer that some notes tell is an answer of its own
/// only where it is likelier than all that have one: then somebody saw a tracer where there is none.
fn supported(
    bucket: &Bucket,
    vehicle: &Vehicle,
    asked: &Asked,
    claimed: &[usize],
    outlook: &Outlook,
) -> Vec<(Claim, Chance)> {
    let applies = |at: &usize| asked.matches[bucket.entries[*at].scope as usize] == Match::Applies;
    let (certain, depending): (Vec<usize>, Vec<usize>) = claimed.iter().partition(|at| applies(at));
    let mut claims = distinct::for_vehicle(bucket, &certain, &depending);
    let mut candidates = claims.clone();
    candidates.extend(distinct::unclaimed(bucket, &claims));
    let plain = plainer(bucket, &claims, claimed.iter().map(|at| &bucket.entries[*at]));
    let traced = claims.len();
    claims.extend(plain);
    let support = pattern::support(bucket, vehicle, &claims, &candidates, outlook);
    let finer = |plain: usize| -> f64 {
        let refining = (0..traced)
            .filter(|at| colour_relation(bucket, &claims[*at], &claims[plain]) == Relation::FirstFiner);
        refining.map(|at| support[at].share()).sum()
    };
    let kept: Vec<bool> =
        (0..claims.len()).map(|at| at < traced || support[at].share() > 2.0 * finer(at)).collect();
    claims.into_iter().zip(support).zip(kept).filter(|(_, kept)| *kept).map(|(answer, _)| answer).collect()
}

/// All distinct answers that these notes give, or all live ones, whatever vehicles they are claimed for.
pub(super) fn every_answer(bucket: &Bucket, notes: Option<&[usize]>) -> Vec<Claim> {
    match notes {
        Some(notes) => distinct::answers(bucket, notes),
        None => distinct::answers(bucket, &claiming(bucket)),
    }
}

/// The live notes that claim something: numbers into `Bucket::entries`.
fn claiming(bucket: &Bucket) -> Vec<usize> {
    let claims = |entry: &Entry| entry.is_live() && !bucket.claims_nothing(entry);
    (0..bucket.entries.len()).filter(|at| claims(&bucket.entries[*at])).collect()
}

fn ask(bucket: &Bucket, vehicle: &Vehicle) -> Asked {
    let used: BTreeSet<u32> = bucket.live().map(|entry| entry.scope).collect();
    let matters = matters(used.iter().map(|at| &bucket.scopes[*at as usize]));
    Asked {
        matches: bucket.scopes.iter().map(|scope| scope.matches(vehicle)).collect(),
        covers: bucket.seen.iter().map(|seen| covers(seen, vehicle, &matters)).collect(),
        differs: bucket.seen.iter().map(|seen| differs(seen, vehicle, &matters)).collect(),
        year: vehicle.year(),
    }
}
