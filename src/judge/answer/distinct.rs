//! Which answers there are among notes: the finest distinct values, those that merely complete each other joined,
//! what is contested apart. Who stands behind each is `backing`'s.

use std::collections::{BTreeMap, BTreeSet};

use super::super::bucket::{Bucket, Claim, Clash, Entry, Role};
use super::super::sides;
use crate::value::Relation;

/// The distinct answers among notes: the finest values, those that merely complete each other joined, and
/// split again where two cavities of one connector are named.
pub(super) fn answers(bucket: &Bucket, claimed: &[usize]) -> Vec<Claim> {
    let over = compared(bucket);
    let mut answers: Vec<Claim> = Vec::new();
    let mut seeds = sides::counted(bucket, claimed, &over);
    let all_blank = seeds.iter().all(|(value, _)| value.iter().all(|cell| *cell == 0));
    seeds.retain(|(value, _)| all_blank || value.iter().any(|cell| *cell != 0));
    seeds.sort_by(|(a, notes_a), (b, notes_b)| {
        notes_b.cmp(notes_a).then_with(|| sides::texts(bucket, a).cmp(&sides::texts(bucket, b)))
    });
    for (value, _) in seeds {
        let fitting: Vec<usize> =
            (0..answers.len()).filter(|at| is_one(bucket, &answers[*at], &value)).collect();
        match fitting.as_slice() {
            [] => answers.push(value),
            [one] => join(bucket, &mut answers[*one], &value),
            _ => {}
        }
    }
    add_unsaid(bucket, claimed, &over, &mut answers);
    let before = answers.len();
    let told: Vec<Claim> =
        answers.into_iter().flat_map(|answer| by_cavity(bucket, claimed, answer)).collect();
    if told.len() > before { joined_again(bucket, told) } else { told }
}

/// The distinct answers for a vehicle: what the notes say that surely hold for it, and beside that what only notes say
/// that may hold. What the latter tell more exactly of an answer is no part of it, for it depends; where it is contested,
/// it is an answer of its own.
pub(super) fn for_vehicle(bucket: &Bucket, certain: &[usize], depending: &[usize]) -> Vec<Claim> {
    if let ([], all) | (all, []) = (certain, depending) {
        return answers(bucket, all);
    }
    let mut found = answers(bucket, certain);
    let known = bucket.live_claims();
    let claimed = [certain, depending].concat();
    let claims = claims_of(bucket, &claimed);
    let said = |own: &Claim| {
        let contested = |other: &&&Claim| bucket.clash(own, other, &known) == Clash::Certain;
        let against: Vec<&&Claim> = claims.iter().filter(contested).collect();
        // An answer that what contradicts the note fits as well does not take its side.
        let takes_side = |answer: &Claim| !against.iter().any(|other| completes(bucket, answer, other));
        found
            .iter()
            .any(|answer| weighs(bucket, answer, own) && completes(bucket, answer, own) && takes_side(answer))
    };
    let mut unsaid = bucket.claims_of(depending);
    unsaid.retain(|at| !said(&bucket.claims[*at as usize]));
    let is_unsaid = |at: &usize| unsaid.binary_search(&bucket.entries[*at].claim).is_ok();
    let others: Vec<usize> = depending.iter().copied().filter(is_unsaid).collect();
    if !others.is_empty() {
        found.extend(answers(bucket, &others));
    }
    let told = found.len();
    add_unsaid(bucket, &claimed, &compared(bucket), &mut found);
    let contested = found.split_off(told);
    found.extend(contested.into_iter().flat_map(|answer| by_cavity(bucket, &claimed, answer)));
    found
}

/// The columns by which answers are told apart; a cavity is given to them afterwards.
fn compared(bucket: &Bucket) -> Vec<usize> {
    bucket.identifying().chain(plainly_agreeing(bucket)).collect()
}

/// What these notes claim, each claim once.
fn claims_of<'b>(bucket: &'b Bucket, notes: &[usize]) -> Vec<&'b Claim> {
    bucket.claims_of(notes).into_iter().map(|at| &bucket.claims[at as usize]).collect()
}

/// What live notes say that none of `answers` says: distinct answers for other vehicles of the model.
pub(super) fn unclaimed(bucket: &Bucket, answers: &[Claim]) -> Vec<Claim> {
    let said = |claim: &Claim| answers.iter().any(|answer| completes(bucket, answer, claim));
    let unsaid: Vec<bool> =
        bucket.claims.iter().map(|claim| gives_one(bucket, claim) && !said(claim)).collect();
    let entries = bucket.entries.iter().enumerate();
    let others: Vec<usize> = entries
        .filter(|(_, entry)| entry.is_live() && unsaid[entry.claim as usize])
        .map(|(at, _)| at)
        .collect();
    if others.is_empty() { Vec::new() } else { self::answers(bucket, &others) }
}

/// How the colours of two claims relate.
pub(in crate::judge) fn colour_relation(bucket: &Bucket, a: &[u16], b: &[u16]) -> Relation {
    colour_column(bucket).map_or(Relation::Unknown, |at| bucket.columns[at].relation(a[at], b[at]))
}

/// The column of the colour.
pub(in crate::judge) fn colour_column(bucket: &Bucket) -> Option<usize> {
    bucket.columns.iter().position(|column| column.field == "colour")
}

/// The answers with a colour left as plain as some of the notes tell it: a tracer may have been overlooked, and one
/// may have been seen where there is none.
pub(in crate::judge) fn plainer<'b>(
    bucket: &'b Bucket,
    answers: &[Claim],
    notes: impl Iterator<Item = &'b Entry>,
) -> Vec<Claim> {
    let Some(column) = colour_column(bucket) else { return Vec::new() };
    let mut is_told = vec![false; bucket.claims.len()];
    notes.for_each(|entry| is_told[entry.claim as usize] = true);
    let told = bucket.claims.iter().zip(is_told).filter(|(_, is_told)| *is_told);
    let told: BTreeSet<u16> = told.map(|(claim, _)| claim[column]).collect();
    let mut plain = Vec::new();
    for answer in answers {
        let relation = |cell: u16| bucket.columns[column].relation(answer[column], cell);
        for cell in told.iter().filter(|cell| relation(**cell) == Relation::FirstFiner) {
            let mut other = answer.clone();
            other[column] = *cell;
            if !plain.contains(&other) && !answers.contains(&other) {
                plain.push(other);
            }
        }
    }
    plain
}

/// Adds what is claimed and no answer says, and what is contested by a claim that every answer to it fits as well:
/// two polarities where only the colours told answers apart, or three sizes of which only neighbours are the same
/// within tolerance.
fn add_unsaid(bucket: &Bucket, claimed: &[usize], over: &[usize], answers: &mut Vec<Claim>) {
    let known = bucket.live_claims();
    let said = claims_of(bucket, claimed).into_iter().map(|claim| sides::only(claim, over));
    let distinct: BTreeSet<Claim> = said.filter(|claim| gives_one(bucket, claim)).collect();
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

/// Whether two values merely complete each other.
fn is_one(bucket: &Bucket, a: &[u16], b: &[u16]) -> bool {
    completes(bucket, a, b) && can_be_told(bucket, a, b)
}

fn plainly_agreeing(bucket: &Bucket) -> impl Iterator<Item = usize> {
    bucket.agreeing().filter(|at| bucket.columns[*at].role == Role::Agrees)
}

/// Whether two claims complete each other: nothing different, and, where a vehicle has several answers, an
/// instance that is known to be the same.
pub(in crate::judge) fn completes(bucket: &Bucket, a: &[u16], b: &[u16]) -> bool {
    !bucket.apart(a, b) && bucket.differing(a, b).next().is_none() && same_instance(bucket, a, b)
}

/// Whether of every value that both give it can be told how they relate: dark green beside green with a white tracer
/// are two answers, though they may be one wire.
fn can_be_told(bucket: &Bucket, a: &[u16], b: &[u16]) -> bool {
    let told = |at: usize| a[at] == 0 || b[at] == 0 || bucket.cell(at, a, b) != Relation::Unknown;
    plainly_agreeing(bucket).all(told)
}

/// Whether two claims are known to speak of one instance.
pub(in crate::judge) fn same_instance(bucket: &Bucket, a: &[u16], b: &[u16]) -> bool {
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

/// Gives an answer its connector and cavity: one answer for each cavity of every connector that has two, also
/// of one that nobody names, else the pair that most notes name.
fn by_cavity(bucket: &Bucket, claimed: &[usize], answer: Claim) -> Vec<Claim> {
    let Some(cavity) = bucket.columns.iter().position(|column| column.role == Role::AgreesWithinConnector)
    else {
        return vec![answer];
    };
    let named = cavities_named(bucket, claimed, &answer, cavity);
    let two =
        |(plug, slot): &(&str, &str)| named.keys().any(|(p, s)| p == plug && s != slot && !s.is_empty());
    let clashing = named.iter().filter(|(key, _)| !key.1.is_empty() && two(key));
    let of_cavity =
        |(_, named): (_, &Named)| of_its_own(bucket, claimed, named.told(bucket, &answer, cavity));
    let split: Vec<Claim> = clashing.map(of_cavity).collect();
    if !split.is_empty() {
        return split;
    }
    let rank = |(key, named): &(&(&str, &str), &Named)| (!key.1.is_empty(), named.notes);
    let best = named.iter().max_by(|a, b| rank(a).cmp(&rank(b)).then_with(|| b.0.cmp(a.0)));
    vec![best.map_or_else(|| answer.clone(), |(_, named)| named.told(bucket, &answer, cavity))]
}

/// An answer of one cavity without what only notes of another cavity tell.
fn of_its_own(bucket: &Bucket, claimed: &[usize], answer: Claim) -> Claim {
    let mut own = claims_of(bucket, claimed);
    own.retain(|claim| completes(bucket, claim, &answer));
    let mut told = answer;
    for at in plainly_agreeing(bucket) {
        if own.iter().all(|claim| claim[at] == 0) {
            told[at] = 0;
        }
    }
    told
}

/// Joins answers that merely complete each other once each has its cavity.
fn joined_again(bucket: &Bucket, answers: Vec<Claim>) -> Vec<Claim> {
    let Some(cavity) = bucket.columns.iter().position(|column| column.role == Role::AgreesWithinConnector)
    else {
        return answers;
    };
    let plug = bucket.connector().unwrap_or(cavity);
    let mut kept: Vec<Claim> = Vec::new();
    for answer in answers {
        let one = |other: &Claim| {
            other[cavity] == answer[cavity] && other[plug] == answer[plug] && is_one(bucket, other, &answer)
        };
        match kept.iter().position(one) {
            Some(at) => join(bucket, &mut kept[at], &answer),
            None => kept.push(answer),
        }
    }
    kept
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
    let mut notes = vec![0; bucket.claims.len()];
    claimed.iter().for_each(|at| notes[bucket.entries[*at].claim as usize] += 1);
    let told = bucket.claims.iter().zip(notes).filter(|(_, notes)| *notes > 0);
    for (claim, notes) in told.filter(|(claim, _)| completes(bucket, claim, answer)) {
        let (plug, slot) = (connector.map_or(0, |at| claim[at]), claim[cavity]);
        let loses_connector = plug == 0 && connector.is_some_and(|at| answer[at] != 0);
        if (plug != 0 || slot != 0) && !loses_connector {
            let key = (connector.map_or("", |at| text(at, plug)), text(cavity, slot));
            named.entry(key).or_insert(Named { notes: 0, plug, slot }).notes += notes;
        }
    }
    named
}

/// Whether a note backs an answer: it gives at least one field that must agree, and differs in none. Where
/// the answer itself has no such field, a note of the same instance backs it.
pub(in crate::judge) fn backs(bucket: &Bucket, claim: &[u16], answer: &[u16]) -> bool {
    completes(bucket, claim, answer) && weighs(bucket, claim, answer)
}

/// Whether a note that completes an answer backs it.
pub(super) fn weighs(bucket: &Bucket, claim: &[u16], answer: &[u16]) -> bool {
    gives_one(bucket, claim) || !gives_one(bucket, answer)
}

fn gives_one(bucket: &Bucket, claim: &[u16]) -> bool {
    bucket.agreeing().any(|at| claim[at] != 0)
}
