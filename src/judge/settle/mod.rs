//! How a conflict is settled: what each of its notes becomes when the shop upholds, narrows, splits, separates or
//! retires.
//!
//! Pure: the notes of a conflict in, what they become out, or why that cannot be. It decides nothing by itself and
//! writes nothing; what is left afterwards `conflict` finds.

mod cells;
mod cut;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

pub use cut::Cut;

use super::bucket::{Bucket, Clash};
use super::cavity::{CavityConflict, telling};
use super::conflict::{Conflict, Layout, contradictions};
use crate::decision::Becomes;
use crate::note::NoteId;
use crate::vehicle::attribute::Vocabulary;
use crate::vehicle::{Match, Scope, Vehicle};

/// What notes become, by id.
pub type Outcome = Vec<(NoteId, Becomes)>;

/// One note of a conflict.
#[derive(Debug, Clone)]
pub struct Party {
    /// Its id.
    pub id: NoteId,
    /// The vehicles that it holds for.
    pub scope: Scope,
    /// The vehicle that its writer looked at, where they looked at one.
    pub seen: Option<Vehicle>,
    /// The sides that it supports: a coarse value supports several. By number, from 0.
    pub sides: Vec<usize>,
    /// Where on the vehicle, as canonical text, where it says so.
    pub at: Option<String>,
}

/// A conflict as far as settling it goes.
#[derive(Debug, Clone, Default)]
pub struct Case {
    /// Its notes.
    pub parties: Vec<Party>,
    /// How many sides it has.
    pub sides: usize,
    /// Which notes contradict which: numbers into `parties`.
    pub against: Vec<(usize, usize)>,
    /// Whether it is about a cavity: then two places are two connectors of one name.
    pub is_cavity: bool,
}

/// Why a conflict cannot be settled like that.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unsettled {
    /// A side that is not there.
    #[error("there is no side {0}; the sides are 1 to {1}")]
    NoSide(usize, usize),
    /// A note that is not part of it.
    #[error("the note {0} is not part of this conflict")]
    Stranger(NoteId),
    /// Nothing contradicts what is upheld.
    #[error("nothing contradicts what is to be upheld")]
    NothingAgainst,
    /// What is upheld is all that contradicts.
    #[error("what is to be upheld contradicts itself, {0} against {1}")]
    AgainstItself(NoteId, NoteId),
    /// A narrowing that reaches beyond the note.
    #[error("{0} holds for {1}, and a narrowing only takes away from that: {2} reaches further")]
    Widens(NoteId, String, String),
    /// A narrowing that leaves nothing.
    #[error("nothing would be left of {0}, which holds for {1}")]
    NothingLeft(NoteId, String),
    /// A narrowing that changes nothing.
    #[error("that changes nothing: {0} holds for nothing beyond it")]
    Unchanged(NoteId),
    /// A narrowing that leaves out the vehicle that was looked at.
    #[error("{0} was seen on a {1}, which would lie outside")]
    SeenOutside(NoteId, String),
    /// A cut through what was seen of one side.
    #[error("side {0} was seen on both sides of this cut ({1}); it is not the reason")]
    Broken(usize, String),
    /// Two sides in one part.
    #[error("sides {0} and {1} would lie in the same part")]
    SamePart(usize, usize),
    /// A side of which nothing tells where it belongs.
    #[error("nothing that was seen tells in which part side {0} holds")]
    NoPart(usize),
    /// A part that does not exist.
    #[error("'{0}' is no part of this cut; write {1}")]
    StrangePart(String, String),
    /// A side of which no note says where it is so.
    #[error("no note of side {0} says at which place it is so")]
    NoPlace(usize),
    /// Two sides at one place.
    #[error("sides {0} and {1} are both noted at one place, {2}")]
    SamePlace(usize, usize, String),
    /// Fewer than two sides left to tell apart.
    #[error("there have to be two sides at least")]
    OneSide,
}

impl Case {
    /// The case of a conflict of one point.
    #[must_use]
    pub fn of_value(bucket: &Bucket, conflict: &Conflict, layout: &Layout) -> Self {
        let number: BTreeMap<usize, usize> =
            conflict.entries.iter().enumerate().map(|(number, entry)| (*entry, number)).collect();
        let parties = conflict.entries.iter().map(|at| {
            let supports = |side: &usize| layout.sides[*side].entries.contains(at);
            party(bucket, *at, (0..layout.sides.len()).filter(supports).collect())
        });
        let wanted = if conflict.certain { Clash::Certain } else { Clash::Possible };
        let pairs = contradictions(bucket).into_iter().filter(|(.., clash)| *clash == wanted);
        let against = pairs.filter_map(|(a, b, _)| Some((*number.get(&a)?, *number.get(&b)?))).collect();
        Self { parties: parties.collect(), sides: layout.sides.len(), against, is_cavity: false }
    }

    /// The case of a conflict over a cavity; its sides are what it is told to be. `buckets` by point.
    #[must_use]
    pub fn of_cavity<'b>(conflict: &CavityConflict, buckets: impl Fn(usize) -> Option<&'b Bucket>) -> Self {
        let sides = conflict.sides();
        let mut parties = Vec::new();
        for (at, claimant) in conflict.claimants.iter().enumerate() {
            let side = sides.iter().position(|side| side.contains(&at)).into_iter().collect();
            parties.extend(buckets(claimant.point).map(|bucket| party(bucket, claimant.entry, side)));
        }
        Self { parties, sides: sides.len(), against: conflict.pairs(), is_cavity: true }
    }

    /// The note of a bucket alone.
    #[must_use]
    pub fn of_note(bucket: &Bucket, entry: usize) -> Self {
        Self { parties: vec![party(bucket, entry, vec![0])], sides: 1, ..Self::default() }
    }

    /// The notes that support a side; numbered from 1, as a person sees it.
    ///
    /// # Errors
    /// There is no such side.
    pub fn side(&self, number: usize) -> Result<BTreeSet<usize>, Unsettled> {
        if !(1..=self.sides).contains(&number) {
            return Err(Unsettled::NoSide(number, self.sides));
        }
        let supports = |at: &usize| self.parties[*at].sides.contains(&(number - 1));
        Ok((0..self.parties.len()).filter(supports).collect())
    }

    /// The number of a note.
    ///
    /// # Errors
    /// It is not part of the conflict.
    pub fn party(&self, id: NoteId) -> Result<usize, Unsettled> {
        self.parties.iter().position(|party| party.id == id).ok_or(Unsettled::Stranger(id))
    }

    /// These notes are right: what contradicts one of them is retired.
    ///
    /// # Errors
    /// Nothing does, or they contradict each other and nothing else.
    pub fn uphold(&self, upheld: &BTreeSet<usize>) -> Result<Outcome, Unsettled> {
        let mut retired: BTreeSet<usize> = BTreeSet::new();
        for (a, b) in &self.against {
            match (upheld.contains(a), upheld.contains(b)) {
                (true, false) => retired.insert(*b),
                (false, true) => retired.insert(*a),
                _ => false,
            };
        }
        if retired.is_empty() {
            let within = self.against.iter().find(|(a, b)| upheld.contains(a) && upheld.contains(b));
            let id = |at: usize| self.parties[at].id;
            return Err(match within {
                Some((a, b)) => Unsettled::AgainstItself(id(*a), id(*b)),
                None => Unsettled::NothingAgainst,
            });
        }
        let kept = upheld.iter().map(|at| (self.parties[*at].id, Becomes::Kept));
        let gone = retired.iter().map(|at| (self.parties[*at].id, Becomes::Retired));
        Ok(kept.chain(gone).collect())
    }

    /// These notes do not count any more.
    #[must_use]
    pub fn retire(&self, retired: &BTreeSet<usize>) -> Outcome {
        retired.iter().map(|at| (self.parties[*at].id, Becomes::Retired)).collect()
    }

    /// All notes stay as they are, and somebody is to look.
    #[must_use]
    pub fn recheck(&self) -> Outcome {
        self.parties.iter().map(|party| (party.id, Becomes::Kept)).collect()
    }

    /// Each side is right, of a place of its own.
    ///
    /// # Errors
    /// There are not two sides.
    pub fn separate(&self, sides: &BTreeSet<usize>) -> Result<Outcome, Unsettled> {
        if sides.len() < 2 {
            return Err(Unsettled::OneSide);
        }
        let mut places: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for side in sides {
            for at in self.side(*side)? {
                places.entry(at).or_default().push(*side);
            }
        }
        let becomes = |own: &[usize]| match own {
            [one] => Becomes::Separate(u16::try_from(*one).unwrap_or(u16::MAX)),
            _ => Becomes::Kept,
        };
        Ok(places.iter().map(|(at, own)| (self.parties[*at].id, becomes(own))).collect())
    }

    /// Whether the notes of these sides, from 1, say that each is of a place of its own.
    ///
    /// # Errors
    /// Two sides name the same place; or one names none, where it is not about a cavity.
    pub fn are_apart(&self, sides: &BTreeSet<usize>) -> Result<(), Unsettled> {
        let mut places: Vec<(usize, BTreeSet<&str>)> = Vec::new();
        for side in sides {
            let own = self.parties.iter().filter(|party| party.sides == [*side - 1]);
            let named: BTreeSet<&str> = own.filter_map(|party| party.at.as_deref()).collect();
            // Two connectors of one name may be told apart by nothing that was noted.
            if named.is_empty() && !self.is_cavity {
                return Err(Unsettled::NoPlace(*side));
            }
            places.push((*side, named));
        }
        for (at, (a, ours)) in places.iter().enumerate() {
            for (b, theirs) in &places[at + 1..] {
                if let Some(place) = ours.intersection(theirs).next() {
                    return Err(Unsettled::SamePlace(*a, *b, (*place).to_owned()));
                }
            }
        }
        Ok(())
    }

    /// The scope of each of these notes is cut to what lies in `to`, too; where that names no side of the driver,
    /// both are meant.
    ///
    /// # Errors
    /// Nothing would be left of one, it was seen outside, or nothing changes; and where a single note is narrowed,
    /// something that would reach further than it does.
    pub fn narrow(
        &self,
        narrowed: &BTreeSet<usize>,
        to: &Scope,
        names_drive: bool,
    ) -> Result<Outcome, Unsettled> {
        let vocabulary = Vocabulary::builtin();
        let mut outcome = Outcome::new();
        for at in narrowed {
            let party = &self.parties[*at];
            if narrowed.len() == 1 && reaches_further(to, &party.scope) {
                let (holds, wanted) = (party.scope.describe(vocabulary), to.describe(vocabulary));
                return Err(Unsettled::Widens(party.id, holds, wanted));
            }
            let left = party.cut(&if names_drive { to.clone() } else { to.clone().on_either_side() })?;
            if left != party.scope {
                outcome.push((party.id, narrowed_to(&left)));
            }
        }
        match (outcome.is_empty(), narrowed.first()) {
            (true, Some(first)) => Err(Unsettled::Unchanged(self.parties[*first].id)),
            _ => Ok(outcome),
        }
    }

    /// Each side gets its part of the vehicles, and every note is narrowed to the part of its own value. `told` gives
    /// the part of a side (from 1) where it is said, `before` or `from`, or values of the attribute; of the others
    /// what was seen decides, then what is claimed. `retired` notes go.
    ///
    /// # Errors
    /// What was seen speaks against the cut, or nothing tells where a side belongs.
    pub fn split(
        &self,
        cut: &Cut,
        told: &BTreeMap<usize, String>,
        retired: &BTreeSet<usize>,
    ) -> Result<Outcome, Unsettled> {
        let parts = self.parts(cut, told, retired)?;
        let mut outcome = self.retire(retired);
        for (at, party) in self.parties.iter().enumerate().filter(|(at, _)| !retired.contains(at)) {
            let mut own: Vec<&Scope> = party.sides.iter().filter_map(|side| parts.get(side)).collect();
            own.dedup();
            let becomes = match own.as_slice() {
                [part] => {
                    let left = party.cut(part)?;
                    if left == self.parties[at].scope { Becomes::Kept } else { narrowed_to(&left) }
                }
                // A coarse value that fits several parts contradicts none of them.
                _ => Becomes::Kept,
            };
            outcome.push((party.id, becomes));
        }
        Ok(outcome)
    }

    /// The part of each side that is left when some notes are retired.
    fn parts(
        &self,
        cut: &Cut,
        told: &BTreeMap<usize, String>,
        retired: &BTreeSet<usize>,
    ) -> Result<BTreeMap<usize, Scope>, Unsettled> {
        if let Some(side) = told.keys().find(|side| !(1..=self.sides).contains(*side)) {
            return Err(Unsettled::NoSide(*side, self.sides));
        }
        let left: Vec<usize> =
            (0..self.sides).filter(|side| self.of(*side, retired).next().is_some()).collect();
        if left.len() < 2 {
            return Err(Unsettled::OneSide);
        }
        let mut parts: BTreeMap<usize, Scope> = BTreeMap::new();
        let mut open = Vec::new();
        for side in left {
            let found = match told.get(&(side + 1)) {
                Some(text) => Some(cut.read(text)?),
                None => self.part(cut, side, retired)?,
            };
            match found {
                Some(part) => drop(parts.insert(side, part)),
                None => open.push(side),
            }
        }
        complete(cut, &mut parts, &open)?;
        Ok(parts)
    }

    fn of<'c>(&'c self, side: usize, retired: &'c BTreeSet<usize>) -> impl Iterator<Item = &'c Party> {
        let left = self.parties.iter().enumerate().filter(|(at, _)| !retired.contains(at));
        left.map(|(_, party)| party).filter(move |party| party.sides.contains(&side))
    }

    /// The part in which a side was seen, else the one that its notes claim.
    fn part(&self, cut: &Cut, side: usize, retired: &BTreeSet<usize>) -> Result<Option<Scope>, Unsettled> {
        // A coarse value that supports other sides as well tells nothing of where this one holds.
        let own = || self.of(side, retired).filter(|party| party.sides.len() == 1);
        let seen: Vec<Scope> = own().filter_map(|party| cut.part_of_seen(party.seen.as_ref()?)).collect();
        let found = if seen.is_empty() {
            let claimed: Option<Vec<Scope>> = own().map(|party| cut.part_of_scope(&party.scope)).collect();
            claimed.unwrap_or_default()
        } else {
            seen
        };
        cut.joined(&found).map_err(|told| Unsettled::Broken(side + 1, told))
    }
}

/// Gives the one side that is open what the other of two leaves, and sees that no two have a vehicle in common.
fn complete(cut: &Cut, parts: &mut BTreeMap<usize, Scope>, open: &[usize]) -> Result<(), Unsettled> {
    let only = if parts.len() == 1 { parts.values().next().and_then(|part| cut.rest(part)) } else { None };
    match (open, only) {
        ([], _) => {}
        ([side], Some(rest)) => drop(parts.insert(*side, rest)),
        ([side, ..], _) => return Err(Unsettled::NoPart(side + 1)),
    }
    for (a, part) in parts.iter() {
        if let Some((b, _)) = parts.iter().find(|(b, other)| *b > a && part.overlaps(other)) {
            return Err(Unsettled::SamePart(a + 1, b + 1));
        }
    }
    Ok(())
}

fn party(bucket: &Bucket, entry: usize, sides: Vec<usize>) -> Party {
    let note = &bucket.entries[entry];
    let seen = bucket.seen(note).filter(|_| note.basis.is_observation());
    let at = telling(bucket, "at")(note).map(str::to_owned);
    Party { id: note.id, scope: bucket.scope(note).clone(), seen: seen.cloned(), sides, at }
}

fn narrowed_to(scope: &Scope) -> Becomes {
    Becomes::Narrowed { years: scope.years().to_string(), only: scope.only_text() }
}

/// Whether what is asked for names something beyond what a note holds for, in a dimension that it names.
fn reaches_further(to: &Scope, holds: &Scope) -> bool {
    let years = !to.years().is_all() && !holds.years().contains(&to.years());
    let built = !to.built().is_all() && !holds.built().contains(&to.built());
    let beyond = |(attribute, values): (&String, &BTreeSet<String>)| {
        holds.allowed(attribute).is_some_and(|held| !values.is_subset(held) && !values.is_disjoint(held))
    };
    years || built || to.only().iter().any(beyond)
}

impl Party {
    /// What is left of its scope within `to`.
    fn cut(&self, to: &Scope) -> Result<Scope, Unsettled> {
        let vocabulary = Vocabulary::builtin();
        let nothing = || Unsettled::NothingLeft(self.id, self.scope.describe(vocabulary));
        let left = self.scope.intersection(to).ok_or_else(nothing)?;
        match &self.seen {
            Some(seen) if left.matches(seen) == Match::Excluded => {
                Err(Unsettled::SeenOutside(self.id, seen.describe(vocabulary)))
            }
            _ => Ok(left),
        }
    }
}
