//! Answers: what a bucket says of one asked vehicle, each distinct answer once, graded, and none picked
//! silently where they contradict.
//!
//! Pure: a bucket and a vehicle in, answers out. Nothing here knows how answers are shown or stored.

use std::collections::{BTreeMap, BTreeSet};

use super::bucket::{Bucket, Claim, Clash, Entry, Role};
use super::grade::{Asked, Evidence, Grade, evidence, undisputed};
use super::{sides, touch};
use crate::note::NoteId;
use crate::value::Relation;
use crate::vehicle::{Match, Scope, Vehicle, covers, differs, matters, simplify};

/// What is known of one point of the asked vehicle.
#[derive(Debug, Clone)]
pub struct Judged {
    /// The grade of the whole.
    pub grade: Grade,
    /// The answers, best first.
    pub answers: Vec<Answer>,
    /// The open conflict that touches the vehicle, by the note that names it.
    pub conflict: Option<NoteId>,
    /// Where nothing is claimed for this vehicle: what is known on others of the model, nearest first.
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
    /// Why.
    pub evidence: Evidence,
    /// What more stands behind it if the vehicle is as narrower notes ask: what decides that, and their evidence.
    pub conditional: Option<(Vec<String>, Evidence)>,
    /// The vehicles it is claimed for, around the asked one.
    pub scope: Scope,
    /// The notes that back it: numbers into `Bucket::entries`, the strongest first.
    pub entries: Vec<usize>,
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
    /// Distinct observations.
    pub observations: usize,
    /// The notes, the strongest first: numbers into `Bucket::entries`.
    pub entries: Vec<usize>,
}

/// How many answers for other vehicles are worth showing where nothing is claimed for the asked one.
const ELSEWHERE_SHOWN: usize = 3;

/// Judges what a bucket says of `vehicle`.
#[must_use]
pub fn judge(bucket: &Bucket, vehicle: &Vehicle) -> Judged {
    let asked = ask(bucket, vehicle);
    let claimed: Vec<usize> = (0..bucket.entries.len())
        .filter(|at| {
            let entry = &bucket.entries[*at];
            entry.is_live() && asked.matches[entry.scope as usize] != Match::Excluded
        })
        .collect();
    if claimed.is_empty() {
        return Judged {
            grade: Grade::Blank,
            answers: Vec::new(),
            conflict: None,
            elsewhere: elsewhere(bucket, vehicle),
        };
    }
    let known = bucket.live_claims();
    let mut answers: Vec<Answer> = distinct(bucket, &claimed)
        .into_iter()
        .map(|claim| answer(bucket, &asked, vehicle, &claimed, &known, claim))
        .collect();
    let conflict = touch::dispute(bucket, &asked, vehicle, &mut answers);
    sort(bucket, &mut answers);
    Judged { grade: overall(bucket, &answers), answers, conflict, elsewhere: Vec::new() }
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

/// The distinct answers among notes: the finest values, those that merely complete each other joined, and
/// split again where two cavities of one connector are named.
fn distinct(bucket: &Bucket, claimed: &[usize]) -> Vec<Claim> {
    let over: Vec<usize> = bucket.identifying().chain(plainly_agreeing(bucket)).collect();
    let mut answers: Vec<Claim> = Vec::new();
    let mut seeds = sides::of(bucket, claimed, &over);
    let all_blank = seeds.iter().all(|seed| seed.value.iter().all(|cell| *cell == 0));
    seeds.retain(|seed| all_blank || seed.value.iter().any(|cell| *cell != 0));
    seeds.sort_by(|a, b| {
        b.entries
            .len()
            .cmp(&a.entries.len())
            .then_with(|| sides::texts(bucket, &a.value).cmp(&sides::texts(bucket, &b.value)))
    });
    for seed in seeds {
        let fitting: Vec<usize> =
            (0..answers.len()).filter(|at| completes(bucket, &answers[*at], &seed.value)).collect();
        match fitting.as_slice() {
            [] => answers.push(seed.value),
            [one] => join(bucket, &mut answers[*one], &seed.value),
            _ => {}
        }
    }
    add_unsaid(bucket, claimed, &over, &mut answers);
    answers.into_iter().flat_map(|answer| by_cavity(bucket, claimed, answer)).collect()
}

/// Adds what is claimed and no answer says, and what is contested by a claim that every answer to it fits as well:
/// two polarities where only the colours told answers apart, or three sizes of which only neighbours are the same
/// within tolerance.
fn add_unsaid(bucket: &Bucket, claimed: &[usize], over: &[usize], answers: &mut Vec<Claim>) {
    let known = bucket.live_claims();
    let said = |at: &usize| sides::only(bucket.claim(&bucket.entries[*at]), over);
    let distinct: BTreeSet<Claim> =
        claimed.iter().map(said).filter(|claim| gives_one(bucket, claim)).collect();
    let mut claims: Vec<Claim> = distinct.into_iter().collect();
    claims.sort_by(|a, b| sides::texts(bucket, a).cmp(&sides::texts(bucket, b)));
    for claim in &claims {
        let fits = |other: &Claim| {
            answers.iter().any(|answer| completes(bucket, answer, claim) && !completes(bucket, answer, other))
        };
        let contested = |other: &&Claim| bucket.clash(claim, other, &known) == Clash::Certain;
        let said = answers.iter().any(|answer| completes(bucket, answer, claim));
        if !said || !claims.iter().filter(contested).all(fits) {
            answers.push(claim.clone());
        }
    }
}

fn plainly_agreeing(bucket: &Bucket) -> impl Iterator<Item = usize> {
    bucket.agreeing().filter(|at| bucket.columns[*at].role == Role::Agrees)
}

/// Whether two claims complete each other: nothing different, and, where a vehicle has several answers, an
/// instance that is known to be the same.
fn completes(bucket: &Bucket, a: &[u16], b: &[u16]) -> bool {
    !bucket.apart(a, b) && bucket.differing(a, b).next().is_none() && same_instance(bucket, a, b)
}

fn same_instance(bucket: &Bucket, a: &[u16], b: &[u16]) -> bool {
    if !bucket.several {
        return true;
    }
    let mut identifying = bucket.identifying().peekable();
    if identifying.peek().is_none() {
        return true;
    }
    let mut met = false;
    for at in identifying {
        match bucket.cell(at, a, b) {
            Relation::Same | Relation::FirstFiner | Relation::SecondFiner => met = true,
            Relation::Unknown if a[at] == 0 || b[at] == 0 => {}
            Relation::Unknown | Relation::Different => return false,
        }
    }
    met || bucket.identifying().all(|at| a[at] == 0 && b[at] == 0)
}

/// Takes from `other` what `claim` leaves open or says less exactly.
fn join(bucket: &Bucket, claim: &mut Claim, other: &[u16]) {
    for at in 0..claim.len() {
        if claim[at] == 0 || bucket.columns[at].relation(claim[at], other[at]) == Relation::SecondFiner {
            claim[at] = other[at];
        }
    }
}

/// Gives an answer its connector and cavity: one answer for each cavity of every connector that has two, else the
/// pair that most notes name.
fn by_cavity(bucket: &Bucket, claimed: &[usize], answer: Claim) -> Vec<Claim> {
    let Some(cavity) = bucket.columns.iter().position(|column| column.role == Role::AgreesWithinConnector)
    else {
        return vec![answer];
    };
    let named = cavities_named(bucket, claimed, &answer, cavity);
    let two =
        |(plug, slot): &(&str, &str)| named.keys().any(|(p, s)| p == plug && s != slot && !s.is_empty());
    let clashing = named.iter().filter(|(key, _)| !key.0.is_empty() && !key.1.is_empty() && two(key));
    let split: Vec<Claim> = clashing.map(|(_, named)| named.told(bucket, &answer, cavity)).collect();
    if !split.is_empty() {
        return split;
    }
    let rank = |(key, named): &(&(&str, &str), &Named)| (!key.1.is_empty(), named.notes);
    let best = named.iter().max_by(|a, b| rank(a).cmp(&rank(b)).then_with(|| b.0.cmp(a.0)));
    vec![best.map_or_else(|| answer.clone(), |(_, named)| named.told(bucket, &answer, cavity))]
}

/// A cavity of a connector, by their cells, and how many notes name it.
struct Named {
    notes: usize,
    plug: u16,
    slot: u16,
}

impl Named {
    /// The answer with this connector and cavity.
    fn told(&self, bucket: &Bucket, answer: &[u16], cavity: usize) -> Claim {
        let mut claim = answer.to_vec();
        claim[cavity] = self.slot;
        if let Some(at) = bucket.connector() {
            claim[at] = self.plug;
        }
        claim
    }
}

/// What the notes that complete an answer name: connector and cavity, by their texts.
fn cavities_named<'b>(
    bucket: &'b Bucket,
    claimed: &[usize],
    answer: &[u16],
    cavity: usize,
) -> BTreeMap<(&'b str, &'b str), Named> {
    let connector = bucket.connector();
    let text = |column: usize, cell: u16| bucket.columns[column].text(cell).unwrap_or_default();
    let mut named: BTreeMap<(&str, &str), Named> = BTreeMap::new();
    for claim in claimed
        .iter()
        .map(|at| bucket.claim(&bucket.entries[*at]))
        .filter(|claim| completes(bucket, claim, answer))
    {
        let (plug, slot) = (connector.map_or(0, |at| claim[at]), claim[cavity]);
        let loses_connector = plug == 0 && connector.is_some_and(|at| answer[at] != 0);
        if (plug != 0 || slot != 0) && !loses_connector {
            let key = (connector.map_or("", |at| text(at, plug)), text(cavity, slot));
            named.entry(key).or_insert(Named { notes: 0, plug, slot }).notes += 1;
        }
    }
    named
}

/// Whether a note backs an answer: it gives at least one field that must agree, and differs in none. Where
/// the answer itself has no such field, a note of the same instance backs it.
pub(super) fn backs(bucket: &Bucket, claim: &[u16], answer: &[u16]) -> bool {
    completes(bucket, claim, answer) && (gives_one(bucket, claim) || !gives_one(bucket, answer))
}

fn gives_one(bucket: &Bucket, claim: &[u16]) -> bool {
    bucket.agreeing().any(|at| claim[at] != 0)
}

fn answer(
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
        tallies,
        applies,
        evidence,
        conditional,
        scope,
        entries,
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
pub(super) fn has_weight(entry: &Entry) -> bool {
    entry.basis == crate::note::Basis::Diagram || (entry.basis.is_observation() && entry.seen != 0)
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

fn sort(bucket: &Bucket, answers: &mut [Answer]) {
    answers.sort_by(|a, b| {
        let key = |answer: &Answer| {
            let more = answer.conditional.as_ref().map(|(_, evidence)| evidence);
            let with_more = |count: fn(&Evidence) -> usize| count(&answer.evidence) + more.map_or(0, count);
            let told = with_more(|evidence| evidence.observations) == 0 && !answer.evidence.diagram;
            let support = (
                with_more(|evidence| evidence.covering),
                answer.evidence.is_proof() || more.is_some_and(Evidence::is_proof),
                with_more(|evidence| evidence.observations),
            );
            (
                told && answer.grade != Grade::Disputed,
                answer.applies != Match::Applies,
                grade_rank(answer.grade),
                std::cmp::Reverse(support),
            )
        };
        key(a).cmp(&key(b)).then_with(|| sides::texts(bucket, &a.claim).cmp(&sides::texts(bucket, &b.claim)))
    });
}

/// Disputed answers stand before thin ones: they are what has to be looked at.
fn grade_rank(grade: Grade) -> u8 {
    match grade {
        Grade::Proven => 0,
        Grade::Backed => 1,
        Grade::Disputed => 2,
        Grade::Between => 3,
        Grade::Thin => 4,
        Grade::Blank => 5,
    }
}

/// The grade of the whole: disputed where any answer is; the best where a vehicle has several answers; else that
/// of the first answer, or the weakest of those that depend on what is not known.
fn overall(bucket: &Bucket, answers: &[Answer]) -> Grade {
    let grades = || answers.iter().map(|answer| answer.grade);
    if grades().any(|grade| grade == Grade::Disputed) {
        return Grade::Disputed;
    }
    let first = answers.first();
    let found = if bucket.several {
        grades().min()
    } else if first.is_some_and(|answer| answer.applies == Match::Applies) {
        first.map(|answer| answer.grade)
    } else {
        grades().max()
    };
    found.unwrap_or(Grade::Blank)
}

fn elsewhere(bucket: &Bucket, vehicle: &Vehicle) -> Vec<Elsewhere> {
    let live: Vec<usize> = (0..bucket.entries.len()).filter(|at| bucket.entries[*at].is_live()).collect();
    let mut found: Vec<Elsewhere> = distinct(bucket, &live)
        .into_iter()
        .map(|claim| {
            let mut entries: Vec<usize> = live
                .iter()
                .copied()
                .filter(|at| backs(bucket, bucket.claim(&bucket.entries[*at]), &claim))
                .collect();
            sides::strongest_first(bucket, &mut entries);
            let nearest = entries
                .iter()
                .map(|at| bucket.scope(&bucket.entries[*at]))
                .min_by_key(|scope| (distance(scope, vehicle), (*scope).clone()));
            Elsewhere {
                scope: nearest.cloned().unwrap_or_default(),
                observations: sides::observations(bucket, &entries),
                claim,
                entries,
            }
        })
        .collect();
    found.sort_by(|a, b| {
        (distance(&a.scope, vehicle), std::cmp::Reverse(a.observations))
            .cmp(&(distance(&b.scope, vehicle), std::cmp::Reverse(b.observations)))
            .then_with(|| sides::texts(bucket, &a.claim).cmp(&sides::texts(bucket, &b.claim)))
    });
    found.truncate(ELSEWHERE_SHOWN);
    found
}

/// Model years between a scope and the asked vehicle.
fn distance(scope: &Scope, vehicle: &Vehicle) -> u16 {
    let Some(year) = vehicle.year() else { return 0 };
    let before = scope.years().from().map_or(0, |from| from.get().saturating_sub(year.get()));
    let after = scope.years().to().map_or(0, |to| year.get().saturating_sub(to.get()));
    before.max(after)
}
