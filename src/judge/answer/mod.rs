//! Answers: what a bucket says of one asked vehicle, each distinct answer once, graded, and none picked
//! silently where they contradict.
//!
//! Owns what an answer is and the order of work. Which answers there are is `distinct`'s to say, what stands behind
//! each `backing`'s, in which order they come `order`'s, and what holds for other vehicles `elsewhere`'s.

mod backing;
mod distinct;
mod elsewhere;
mod order;

use super::bucket::{Bucket, Claim, Clash, Entry};
use super::grade::{Asked, Evidence, Grade, counted};
use super::pattern::{self, Chance, HasOutlook, Outlook};
use super::{sides, touch};
use crate::note::NoteId;
use crate::value::Relation;
use crate::vehicle::{Match, Scope, Vehicle, covers, differs, matters};

use backing::Ground;
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
    let asked = ask(bucket, vehicle);
    let (mut noted, claimed) = for_it(bucket, &asked);
    sides::strongest_first(bucket, &mut noted);
    let ground = Ground::new(bucket, &asked, vehicle, &claimed);
    let told = Told::by(&ground);
    let support = told.support(&ground, outlook);
    let mut answers: Vec<Answer> =
        told.kept(&ground, support).map(|(claim, support)| ground.answer(claim, support)).collect();
    silence(bucket, &asked, &mut answers);
    let known = touch::Conflicts::default();
    let conflict = touch::dispute(bucket, &asked, vehicle, &mut answers).naming(bucket, &known);
    let mention = |clash| match claimed.is_empty() {
        true => None,
        false => touch::mentioned(bucket, &asked, vehicle, clash, &known),
    };
    let mentioned = if conflict.is_none() { mention(Clash::Certain) } else { None };
    let possible = if bucket.several { mention(Clash::Possible) } else { None };
    let possible = possible.filter(|anchor| conflict != Some(*anchor) && mentioned != Some(*anchor));
    order::sort(bucket, &mut answers);
    let mut elsewhere = Vec::new();
    if answers.iter().all(|answer| answer.support.share() < DOUBTFUL) {
        let said =
            |other: &Elsewhere| answers.iter().any(|answer| completes(bucket, &answer.claim, &other.claim));
        elsewhere =
            elsewhere::nearest(bucket, vehicle, outlook).into_iter().filter(|other| !said(other)).collect();
    }
    let grade = order::overall(bucket, &answers);
    Judged { grade, answers, conflict, mentioned, possible, noted, elsewhere }
}

/// What a bucket says of a vehicle in short: the grade of the whole and the answers, as [`judge_with`] has them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gist {
    /// The grade of the whole.
    pub grade: Grade,
    /// The answers, best first; disputed ones in no order.
    pub answers: Vec<Short>,
}

/// An answer in short; its fields are those of an [`Answer`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Short {
    /// Its compared values.
    pub claim: Claim,
    /// Whether it applies or depends.
    pub applies: Match,
    /// How far it can be trusted.
    pub grade: Grade,
    /// The notes that back it.
    pub entries: Vec<usize>,
}

/// Judges what a bucket says of `vehicle`, in short. Support is not worked out where nothing depends on it: it only
/// puts answers in order, those of a dispute have none, and says whether a plainer one is an answer.
#[must_use]
pub fn gist(bucket: &Bucket, vehicle: &Vehicle, beside: &dyn HasOutlook) -> Gist {
    let asked = ask(bucket, vehicle);
    let (_, claimed) = for_it(bucket, &asked);
    let ground = Ground::new(bucket, &asked, vehicle, &claimed);
    let told = Told::by(&ground);
    let support = told.has_plainer().then(|| told.support(&ground, beside.outlook()));
    let known = support.is_some();
    let support = support.unwrap_or_else(|| vec![Chance::new(0.0); told.claims.len()]);
    let mut answers: Vec<Answer> =
        told.kept(&ground, support).map(|(claim, support)| ground.in_short(claim, support)).collect();
    touch::dispute(bucket, &asked, vehicle, &mut answers);
    let disputed = answers.iter().any(|answer| answer.grade == Grade::Disputed);
    if !known && !disputed && answers.len() > 1 {
        for (answer, support) in answers.iter_mut().zip(told.support(&ground, beside.outlook())) {
            answer.support = support;
        }
    }
    order::sort(bucket, &mut answers);
    let grade = order::overall(bucket, &answers);
    Gist { grade, answers: answers.iter().map(Short::of).collect() }
}

impl Short {
    fn of(answer: &Answer) -> Self {
        let Answer { claim, applies, grade, entries, .. } = answer;
        Self { claim: claim.clone(), applies: applies.clone(), grade: *grade, entries: entries.clone() }
    }
}

impl Judged {
    /// The same in short.
    #[must_use]
    pub fn in_short(&self) -> Gist {
        Gist { grade: self.grade, answers: self.answers.iter().map(Short::of).collect() }
    }
}

/// The notes that may hold for the asked vehicle: those that claim nothing, and those that claim something.
fn for_it(bucket: &Bucket, asked: &Asked) -> (Vec<usize>, Vec<usize>) {
    let written = (0..bucket.entries.len()).filter(|at| {
        let entry = &bucket.entries[*at];
        entry.is_live() && asked.matches[entry.scope as usize] != Match::Excluded
    });
    written.partition(|at| bucket.claims_nothing(&bucket.entries[*at]))
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

/// The distinct answers for a vehicle before they are weighed.
struct Told {
    /// All of them, the plainer ones last.
    claims: Vec<Claim>,
    /// How many are no plainer ones.
    traced: usize,
}

impl Told {
    fn by(ground: &Ground<'_>) -> Self {
        let Ground { bucket, asked, claimed, .. } = *ground;
        let applies = |at: &usize| asked.matches[bucket.entries[*at].scope as usize] == Match::Applies;
        let (certain, depending): (Vec<usize>, Vec<usize>) = claimed.iter().partition(|at| applies(at));
        let mut claims = distinct::for_vehicle(bucket, &certain, &depending);
        let traced = claims.len();
        claims.extend(plainer(bucket, &claims, claimed.iter().map(|at| &bucket.entries[*at])));
        Self { claims, traced }
    }

    /// Whether there is a colour without the tracer that some notes tell.
    fn has_plainer(&self) -> bool {
        self.traced < self.claims.len()
    }

    fn support(&self, ground: &Ground<'_>, outlook: &Outlook) -> Vec<Chance> {
        if self.claims.is_empty() {
            return Vec::new();
        }
        let (bucket, traced) = (ground.bucket, &self.claims[..self.traced]);
        let mut candidates = traced.to_vec();
        candidates.extend(distinct::unclaimed(bucket, traced));
        pattern::support(bucket, ground.vehicle, &self.claims, &candidates, outlook)
    }

    /// The answers with their support. A colour without the tracer that some notes tell is an answer of its own only
    /// where it is likelier than all that have one: then somebody saw a tracer where there is none.
    fn kept<'t>(
        &'t self,
        ground: &'t Ground<'_>,
        support: Vec<Chance>,
    ) -> impl Iterator<Item = (Claim, Chance)> + 't {
        let finer = |plain: usize, support: &[Chance]| -> f64 {
            let relation = |at: usize| colour_relation(ground.bucket, &self.claims[at], &self.claims[plain]);
            let refining = (0..self.traced).filter(|at| relation(*at) == Relation::FirstFiner);
            refining.map(|at| support[at].share()).sum()
        };
        let is_kept: Vec<bool> = (0..self.claims.len())
            .map(|at| at < self.traced || support[at].share() > 2.0 * finer(at, &support))
            .collect();
        let claims = self.claims.iter().cloned().zip(support).zip(is_kept);
        claims.filter(|(_, is_kept)| *is_kept).map(|(answer, _)| answer)
    }
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
    let matters = matters(bucket.live_scopes());
    Asked {
        matches: bucket.scopes.iter().map(|scope| scope.matches(vehicle)).collect(),
        covers: bucket.seen.iter().map(|seen| covers(seen, vehicle, &matters)).collect(),
        differs: bucket.seen.iter().map(|seen| differs(seen, vehicle, &matters)).collect(),
        year: vehicle.year(),
    }
}
