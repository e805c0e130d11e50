//! Which decisions are in force: not one that another takes back, and none of two that oppose each other.
//!
//! Owns what opposing is. It looks at decisions alone, never at notes, so that the order in which either came in does
//! not matter. What decisions in force do to notes is judged in `judge::decided`.

use std::collections::{BTreeMap, BTreeSet};

use super::{Becomes, Decision, DecisionId, Kind};
use crate::note::NoteId;
use crate::vehicle::attribute::Vocabulary;
use crate::vehicle::{ModelYear, Scope};

/// A decision with all that hang together with it: by a note that both are about, or by following.
pub type Web = BTreeMap<DecisionId, Decision>;

/// A decision that opposes another one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opponent {
    /// Its id.
    pub id: DecisionId,
    /// Who made it.
    pub by: String,
    /// When, in days since 1970-01-01.
    pub day: i32,
    /// Whether somebody decided anew: a decision that stands follows both.
    pub decided_anew: bool,
}

/// Whether a decision counts.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Force {
    /// Whether another decision takes it back.
    pub taken_back: bool,
    /// The decisions that oppose it, by id.
    pub opposed_by: Vec<Opponent>,
}

impl Force {
    /// Whether it does to notes what it says.
    #[must_use]
    pub fn counts(&self) -> bool {
        !self.taken_back && self.opposed_by.is_empty()
    }
}

/// Which of the decisions of a web are in force. Of two that settle something, neither following the other, directly or
/// through others, both do nothing where one keeps or narrows a note that the other retires, or they narrow one note to
/// scopes that do not meet: as long as both stand, or once a decision that stands was made in view of both.
#[must_use]
pub fn forces(web: &Web) -> BTreeMap<DecisionId, Force> {
    let view = View::new(web);
    let mut forces: BTreeMap<DecisionId, Force> = BTreeMap::new();
    for id in web.keys() {
        forces.insert(*id, Force { taken_back: view.back.contains_key(id), opposed_by: Vec::new() });
    }
    for ((a, b), notes) in view.disagreements() {
        if view.follows(a, b) || view.follows(b, a) {
            continue;
        }
        for (own, other) in [(a, b), (b, a)] {
            let decided_anew = view.decided_anew(own, other, &notes);
            let stands = |id| !view.back.contains_key(&id);
            if stands(own) && (stands(other) || decided_anew) {
                let Decision { by, day, .. } = &web[&other];
                let opponent = Opponent { id: other, by: by.clone(), day: *day, decided_anew };
                forces.entry(own).or_default().opposed_by.push(opponent);
            }
        }
    }
    forces.values_mut().for_each(|force| force.opposed_by.sort_by_key(|opponent| opponent.id));
    forces
}

struct View<'w> {
    web: &'w Web,
    /// What is taken back, and by which.
    back: BTreeMap<DecisionId, Vec<DecisionId>>,
}

impl<'w> View<'w> {
    fn new(web: &'w Web) -> Self {
        let mut back: BTreeMap<DecisionId, Vec<DecisionId>> = BTreeMap::new();
        for (id, decision) in web.iter().filter(|(_, decision)| decision.kind == Kind::Reopen) {
            decision.follows.iter().for_each(|earlier| back.entry(*earlier).or_default().push(*id));
        }
        Self { web, back }
    }

    /// The pairs that say of one note what cannot both be, with these notes.
    fn disagreements(&self) -> BTreeMap<(DecisionId, DecisionId), BTreeSet<NoteId>> {
        let mut said: BTreeMap<NoteId, Vec<(DecisionId, &Becomes)>> = BTreeMap::new();
        for (id, decision) in self.web.iter().filter(|(_, decision)| decision.kind.settles()) {
            for (note, becomes) in &decision.about {
                said.entry(*note).or_default().push((*id, becomes));
            }
        }
        let mut found: BTreeMap<(DecisionId, DecisionId), BTreeSet<NoteId>> = BTreeMap::new();
        for (note, said) in said {
            for (at, (a, ours)) in said.iter().enumerate() {
                for (b, _) in said[at + 1..].iter().filter(|(_, theirs)| disagree(ours, theirs)) {
                    found.entry((*a, *b)).or_default().insert(note);
                }
            }
        }
        found
    }

    /// Whether a decision comes after another, directly or through others.
    fn follows(&self, later: DecisionId, earlier: DecisionId) -> bool {
        let (mut waiting, mut met) = (vec![later], BTreeSet::new());
        while let Some(id) = waiting.pop() {
            let Some(decision) = self.web.get(&id).filter(|_| met.insert(id)) else { continue };
            if decision.follows.contains(&earlier) {
                return true;
            }
            waiting.extend(&decision.follows);
        }
        false
    }

    /// Whether a decision that stands settles some of these notes in view of both: it follows both, and was made before
    /// the other one was taken back.
    fn decided_anew(&self, own: DecisionId, other: DecisionId, notes: &BTreeSet<NoteId>) -> bool {
        self.web.iter().any(|(id, decision)| {
            decision.kind.settles()
                && !self.back.contains_key(id)
                && decision.about.iter().any(|(note, _)| notes.contains(note))
                && self.follows(*id, own)
                && self.follows(*id, other)
                && !self.back.get(&other).is_some_and(|back| back.iter().any(|back| self.follows(*id, *back)))
        })
    }
}

/// Whether what two decisions say of one note cannot both be.
#[must_use]
pub fn disagree(a: &Becomes, b: &Becomes) -> bool {
    use Becomes as B;
    match (a, b) {
        (B::Retired, B::Retired) => false,
        (B::Retired, _) | (_, B::Retired) => true,
        (B::Narrowed { years, only }, B::Narrowed { years: others, only: theirs }) => {
            match (scope(years, only), scope(others, theirs)) {
                (Some(a), Some(b)) => !a.overlaps(&b),
                _ => false,
            }
        }
        _ => false,
    }
}

/// Reads canonical texts, which were found to be possible when the decision came in: no year is too late any more.
fn scope(years: &str, only: &str) -> Option<Scope> {
    const LATEST: ModelYear = ModelYear::new(9_000);
    Scope::parse(years, only, Vocabulary::builtin(), LATEST).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decision(by: &str, kind: Kind, follows: &[&Decision], about: &[(u8, Becomes)]) -> Decision {
        Decision {
            kind,
            by: by.to_owned(),
            day: 20_000,
            because: "looked".to_owned(),
            follows: follows.iter().map(|earlier| earlier.id()).collect(),
            about: about.iter().map(|(note, becomes)| (NoteId([*note; 10]), becomes.clone())).collect(),
        }
        .in_order()
    }

    fn narrowed(years: &str) -> Becomes {
        Becomes::Narrowed { years: years.to_owned(), only: String::new() }
    }

    /// Which of these count, by number.
    fn counting(all: &[&Decision]) -> Vec<usize> {
        let web: Web = all.iter().map(|one| (one.id(), (*one).clone())).collect();
        let forces = forces(&web);
        (0..all.len()).filter(|at| forces[&all[*at].id()].counts()).collect()
    }

    #[test]
    fn two_that_say_opposite_things_of_one_note_do_nothing() {
        use Becomes::{Kept, Retired, Separate};
        let pair = |kinds: (Kind, Kind), ours: Becomes, theirs: Becomes| {
            let one = decision("R. Okafor", kinds.0, &[], &[(1, ours)]);
            let two = decision("M. Haugli", kinds.1, &[], &[(1, theirs)]);
            counting(&[&one, &two]).len()
        };
        let uphold = (Kind::Uphold, Kind::Uphold);
        for (ours, theirs, count) in [
            (Kept, Retired, 0),
            (Separate(1), Retired, 0),
            (narrowed("2015-2016"), Retired, 0),
            (narrowed("2015-2016"), narrowed("2017-2019"), 0),
            (narrowed("2015-2016"), narrowed("2016-2019"), 2),
            (narrowed("2015-2016"), Kept, 2),
            (Retired, Retired, 2),
            (Kept, Separate(2), 2),
        ] {
            assert_eq!(pair(uphold, ours.clone(), theirs.clone()), count, "{ours:?} against {theirs:?}");
        }
        assert_eq!(pair((Kind::Recheck, Kind::Retire), Kept, Retired), 2, "who only asks settles nothing");
    }

    #[test]
    fn whoever_decides_in_view_of_both_has_the_last_word() {
        use Becomes::{Kept, Retired};
        let a = decision("R. Okafor", Kind::Uphold, &[], &[(1, Kept), (2, Retired)]);
        let b = decision("M. Haugli", Kind::Uphold, &[], &[(1, Retired), (2, Kept)]);
        let anew = decision("D. Pruett", Kind::Uphold, &[&a, &b], &[(1, Kept), (2, Retired)]);
        let a_back = decision("D. Pruett", Kind::Reopen, &[&a], &[(1, Kept), (2, Kept)]);
        let b_back = decision("D. Pruett", Kind::Reopen, &[&b], &[(1, Kept), (2, Kept)]);
        let anew_back = decision("D. Pruett", Kind::Reopen, &[&anew], &[(1, Kept), (2, Kept)]);
        assert_eq!(counting(&[&a, &b]), [0_usize; 0]);
        assert_eq!(counting(&[&a, &b, &anew]), [2]);
        assert_eq!(counting(&[&a, &b, &a_back]), [1, 2], "what is taken back opposes nothing");
        assert_eq!(counting(&[&a, &b, &anew, &a_back]), [2, 3], "nor does the other one come back to life");
        assert_eq!(counting(&[&a, &b, &anew, &anew_back]), [3]);
        // Made when one stood alone again, it is no decision between the two.
        let after = decision("D. Pruett", Kind::Narrow, &[&a, &b_back], &[(1, narrowed("2016"))]);
        assert_eq!(counting(&[&a, &b, &b_back, &after]), [0, 2, 3]);
    }

    #[test]
    fn what_follows_through_others_does_not_oppose() {
        use Becomes::{Kept, Retired};
        let a = decision("R. Okafor", Kind::Uphold, &[], &[(1, Kept), (2, Retired)]);
        let between = decision("R. Okafor", Kind::Recheck, &[&a], &[(1, Kept)]);
        let last = decision("R. Okafor", Kind::Retire, &[&between], &[(1, Retired)]);
        assert_eq!(counting(&[&a, &between, &last]), [0, 1, 2]);
        // Without what lies between nobody can know.
        assert_eq!(counting(&[&a, &last]), [0_usize; 0]);
    }
}
