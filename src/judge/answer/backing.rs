//! What stands behind an answer: the notes that back it, their evidence, what it depends on, and what they tell
//! beside. Which answers there are is `distinct`'s.

use std::collections::{BTreeMap, BTreeSet};

use super::super::bucket::{Bucket, Claim, Clash, Column, Entry};
use super::super::grade::{Asked, Grade, evidence, undisputed};
use super::super::pattern::Chance;
use super::super::sides;
use super::distinct::{completes, weighs};
use super::{Answer, More, Tally};
use crate::note::Basis;
use crate::value::Relation;
use crate::vehicle::{Match, Scope, Vehicle, simplify};

/// What the answers of one bucket have in common.
pub(super) struct Ground<'b> {
    pub(super) bucket: &'b Bucket,
    pub(super) asked: &'b Asked,
    pub(super) vehicle: &'b Vehicle,
    /// The notes that may hold for the vehicle and claim something: numbers into `Bucket::entries`.
    pub(super) claimed: &'b [usize],
    /// The claims of all live notes.
    known: Vec<u32>,
    /// The distinct claims and scopes of those notes that can dispute.
    weighty: Vec<(u32, u32)>,
}

/// The notes behind one answer: numbers into `Bucket::entries`.
struct Backing {
    /// For each claim of the bucket, whether it and the answer complete each other.
    completed: Vec<bool>,
    /// Live notes that back it, for whatever vehicle.
    anywhere: Vec<usize>,
    /// Those that surely hold for the asked one.
    certain: Vec<usize>,
    /// Those that may.
    depending: Vec<usize>,
}

impl<'b> Ground<'b> {
    pub(super) fn new(
        bucket: &'b Bucket,
        asked: &'b Asked,
        vehicle: &'b Vehicle,
        claimed: &'b [usize],
    ) -> Self {
        let weighty = claimed.iter().map(|at| &bucket.entries[*at]).filter(|entry| has_weight(entry));
        let mut weighty: Vec<(u32, u32)> = weighty.map(|entry| (entry.claim, entry.scope)).collect();
        weighty.sort_unstable();
        weighty.dedup();
        Self { bucket, asked, vehicle, claimed, known: bucket.live_claims(), weighty }
    }

    fn entry(&self, at: usize) -> &'b Entry {
        &self.bucket.entries[at]
    }

    fn matching(&self, at: usize) -> &'b Match {
        &self.asked.matches[self.entry(at).scope as usize]
    }

    /// The answer that `claim` is, with what stands behind it.
    pub(super) fn answer(&self, claim: Claim, support: Chance) -> Answer {
        let backing = self.backing(&claim);
        let mut answer = self.graded(claim, support, &backing);
        let mut nearby: Vec<usize> = backing.anywhere;
        nearby.retain(|at| self.is_nearby(*at));
        sides::strongest_first(self.bucket, &mut nearby);
        answer.tallies = self.tallies(&answer.claim, &answer.applies, &backing.completed);
        answer.told_only = self.told_only(&answer.entries, &answer.claim);
        answer.scope = self.widest(&answer.entries);
        Answer { nearby, ..answer }
    }

    /// The same without what nothing depends on but what is shown of it: without tallies, what is only told, the
    /// scope and what is nearby.
    pub(super) fn in_short(&self, claim: Claim, support: Chance) -> Answer {
        let backing = self.backing(&claim);
        self.graded(claim, support, &backing)
    }

    fn backing(&self, claim: &[u16]) -> Backing {
        let bucket = self.bucket;
        let completed: Vec<bool> =
            bucket.claims.iter().map(|other| completes(bucket, other, claim)).collect();
        let backs = |(own, completes): (&Claim, &bool)| *completes && weighs(bucket, own, claim);
        let backing: Vec<bool> = bucket.claims.iter().zip(&completed).map(backs).collect();
        let backed_by = |at: &usize| backing[self.entry(*at).claim as usize];
        let live = (0..bucket.entries.len()).filter(|at| self.entry(*at).is_live());
        let anywhere = live.filter(backed_by).collect();
        let (certain, depending): (Vec<usize>, Vec<usize>) = self
            .claimed
            .iter()
            .copied()
            .filter(backed_by)
            .partition(|at| *self.matching(*at) == Match::Applies);
        Backing { completed, anywhere, certain, depending }
    }

    fn graded(&self, claim: Claim, support: Chance, backing: &Backing) -> Answer {
        let bucket = self.bucket;
        let (applies, entries, more) = if backing.certain.is_empty() {
            let depending = &backing.depending;
            (depends(depending.iter().map(|at| self.matching(*at))), depending, [].as_slice())
        } else {
            (Match::Applies, &backing.certain, backing.depending.as_slice())
        };
        let evidence = evidence(bucket, self.asked, entries, &backing.anywhere);
        let says_nothing = || {
            claim.iter().all(|cell| *cell == 0)
                && self.tallies(&claim, &applies, &backing.completed).is_empty()
        };
        // A note that only has a remark backs nothing.
        let grade = match undisputed(&evidence, self.against(entries, &claim)) {
            _ if bucket.agreeing().next().is_some() && says_nothing() => Grade::Thin,
            grade => grade,
        };
        let conditional = self.conditional(more, &claim);
        let mut entries = entries.clone();
        entries.sort_by_cached_key(|at| {
            let entry = self.entry(*at);
            (!self.asked.covered_by(entry), entry.strength())
        });
        Answer {
            claim,
            support,
            applies,
            grade,
            evidence,
            conditional,
            entries,
            tallies: Vec::new(),
            told_only: Vec::new(),
            scope: Scope::default(),
            nearby: Vec::new(),
        }
    }

    /// What the notes that complete an answer say of the fields that are not compared.
    fn tallies(&self, claim: &[u16], applies: &Match, completed: &[bool]) -> Vec<Tally> {
        let sure = |at: &usize| (*self.matching(*at) == Match::Applies) == (*applies == Match::Applies);
        let says = |at: &usize| completed[self.entry(*at).claim as usize];
        let told: Vec<usize> = self.claimed.iter().copied().filter(|at| sure(at) && says(at)).collect();
        tallies(self.bucket, self.asked, claim, &told)
    }

    /// Whether a note was written before a vehicle of the model, and not for the asked one.
    fn is_nearby(&self, at: usize) -> bool {
        let entry = self.entry(at);
        *self.matching(at) == Match::Excluded && entry.is_observation()
    }

    /// What more is known of an answer where the vehicle turns out to be as narrower notes ask.
    fn conditional(&self, notes: &[usize], claim: &[u16]) -> Option<More> {
        let Match::DependsOn(depends_on) = depends(notes.iter().map(|at| self.matching(*at))) else {
            return None;
        };
        if depends_on.is_empty() {
            return None;
        }
        let evidence = evidence(self.bucket, self.asked, notes, &[]);
        Some(More { depends_on, values: self.finer(notes, claim), evidence })
    }

    /// What notes say more exactly than an answer, field by field.
    fn finer(&self, notes: &[usize], claim: &[u16]) -> Vec<(String, Vec<String>)> {
        let columns = self.bucket.columns.iter().enumerate();
        let claims = self.bucket.claims_of(notes);
        let finer = |(at, column): (usize, &Column)| {
            let cells = claims.iter().map(|own| self.bucket.claims[*own as usize][at]);
            let more = cells.filter(|cell| {
                *cell != 0 && (claim[at] == 0 || column.relation(claim[at], *cell) == Relation::SecondFiner)
            });
            let texts: BTreeSet<&str> = more.filter_map(|cell| column.text(cell)).collect();
            let texts: Vec<String> = texts.into_iter().map(str::to_owned).collect();
            (!texts.is_empty()).then(|| (column.field.clone(), texts))
        };
        columns.filter_map(finer).collect()
    }

    /// The fields of an answer that only word of mouth gives, where others stand behind the rest.
    fn told_only(&self, notes: &[usize], claim: &[u16]) -> Vec<String> {
        let entries = || notes.iter().map(|at| self.entry(*at));
        if entries().all(|entry| entry.basis == Basis::Told) {
            return Vec::new();
        }
        let columns = self.bucket.columns.iter().enumerate().filter(|(at, _)| claim[*at] != 0);
        let only = columns.filter(|(at, column)| {
            let same = |own: &Claim| column.relation(own[*at], claim[*at]) == Relation::Same;
            let mut giving = entries().filter(|entry| same(self.bucket.claim(entry))).peekable();
            giving.peek().is_some() && giving.all(|entry| entry.basis == Basis::Told)
        });
        only.map(|(_, column)| column.field.clone()).collect()
    }

    /// Whether a note of weight certainly contradicts an answer on a vehicle that the asked one may be and for which
    /// the answer is claimed, too.
    fn against(&self, backing: &[usize], claim: &[u16]) -> bool {
        let bucket = self.bucket;
        let scopes = bucket.scopes_of(backing);
        let meets = |other: u32| {
            scopes.iter().any(|own| {
                let both = bucket.scopes[*own as usize].intersection(&bucket.scopes[other as usize]);
                both.is_some_and(|both| both.matches(self.vehicle) != Match::Excluded)
            })
        };
        let contradicts =
            |other: u32| bucket.clash(&bucket.claims[other as usize], claim, &self.known) == Clash::Certain;
        let mut of_claims = self.weighty.chunk_by(|a, b| a.0 == b.0);
        of_claims.any(|own| contradicts(own[0].0) && own.iter().any(|(_, scope)| meets(*scope)))
    }

    /// The union of the scopes of notes as boxes, of which the one that takes in the vehicle.
    fn widest(&self, notes: &[usize]) -> Scope {
        let scopes = self.bucket.scopes_of(notes);
        let boxes = simplify(scopes.into_iter().map(|at| self.bucket.scopes[at as usize].clone()).collect());
        let rank = |scope: &Scope| match scope.matches(self.vehicle) {
            Match::Applies => 0,
            Match::DependsOn(_) => 1,
            Match::Excluded => 2,
        };
        boxes.into_iter().min_by_key(rank).unwrap_or_default()
    }
}

/// Whether an entry can dispute: an observation or a diagram. An empty `seen` is no observation.
pub(in crate::judge) fn has_weight(entry: &Entry) -> bool {
    entry.basis == Basis::Diagram || entry.is_observation()
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

/// Who tells a text: whether a note of the answer's own connector does, how many do, whether one that covers the
/// vehicle does, and the latest day.
type Telling = (bool, usize, bool, i32);

const NOBODY: Telling = (false, 0, false, i32::MIN);

/// Both together.
fn either(a: Telling, b: Telling) -> Telling {
    (a.0 || b.0, a.1 + b.1, a.2 || b.2, a.3.max(b.3))
}

/// What notes say of the fields that are not compared. A place stands beside the connector that the same note
/// names: where the answer has a connector and some note tells the place of that one, other places wait behind.
fn tallies(bucket: &Bucket, asked: &Asked, claim: &[u16], entries: &[usize]) -> Vec<Tally> {
    let mut fields: BTreeMap<u16, BTreeMap<&str, Telling>> = BTreeMap::new();
    let connector = bucket.connector();
    let plug = |claim: &[u16]| connector.map_or(0, |at| claim[at]);
    let mut telling = vec![NOBODY; bucket.extras.len()];
    for entry in entries.iter().map(|at| &bucket.entries[*at]) {
        let there = plug(bucket.claim(entry)) == plug(claim);
        let told = &mut telling[entry.extra as usize];
        *told = either(*told, (there, 1, asked.covered_by(entry), entry.on));
    }
    for (extra, own) in bucket.extras.iter().zip(telling).filter(|(_, own)| own.1 > 0) {
        for (field, text) in extra {
            let told = fields.entry(*field).or_default().entry(text).or_insert(NOBODY);
            *told = either(*told, own);
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
