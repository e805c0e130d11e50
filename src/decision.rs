//! A decision: who settled what about which notes, when and why. It is never changed; another decision takes it back.
//!
//! Owns the record and its identity (a hash of what it means); which decisions count `force` says. What they do to
//! notes is judged in `judge::decided`; how they are stored is the book's business.

pub mod force;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use crate::note::{NoteId, base32, base32_range, date_text, push_part, shortened};
use crate::vehicle::names::fold;

/// The identity of a decision: the first 80 bits of a BLAKE3 hash of what it means. Shown as `d-` and base-32
/// characters, as that of a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
pub struct DecisionId(pub [u8; 10]);

impl DecisionId {
    /// Its sixteen characters without the prefix.
    #[must_use]
    pub fn code(self) -> String {
        base32(self.0)
    }

    /// The first and the last id that start with the characters of `code`, as [`NoteId::range`].
    #[must_use]
    pub fn range(code: &str) -> Option<(Self, Self)> {
        base32_range(code).map(|(low, high)| (Self(low), Self(high)))
    }

    /// Reads the whole id as it is shown.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let (low, high) = Self::range(text.trim().strip_prefix("d-")?)?;
        (low == high).then_some(low)
    }
}

impl fmt::Display for DecisionId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "d-{}", self.code())
    }
}

/// What kind of decision it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Some notes are right; those that contradict them are retired.
    Uphold,
    /// The scopes of notes are cut to what holds.
    Narrow,
    /// Each value gets its part of the vehicles: by year, build date or an attribute.
    Split,
    /// All are right, of different places.
    Separate,
    /// Notes do not count any more.
    Retire,
    /// To be looked at when such a vehicle is next in.
    Recheck,
    /// Earlier decisions are taken back.
    Reopen,
}

impl Kind {
    /// All seven.
    pub const ALL: [Self; 7] =
        [Self::Uphold, Self::Narrow, Self::Split, Self::Separate, Self::Retire, Self::Recheck, Self::Reopen];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        ["uphold", "narrow", "split", "separate", "retire", "recheck", "reopen"][self as usize]
    }

    /// What was done, for a sentence: `upheld by R. Okafor`.
    #[must_use]
    pub fn done(self) -> &'static str {
        ["upheld", "narrowed", "split", "separated", "retired", "put down for a recheck", "reopened"]
            [self as usize]
    }

    /// Reads the word.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let wanted = text.trim().to_lowercase();
        Self::ALL.into_iter().find(|kind| kind.word() == wanted)
    }

    /// The number it is stored under; the order of `ALL`.
    #[must_use]
    pub fn number(self) -> u8 {
        self as u8
    }

    /// The kind stored under `number`.
    #[must_use]
    pub fn from_number(number: u8) -> Option<Self> {
        Self::ALL.get(usize::from(number)).copied()
    }

    /// Whether it settles something, as `recheck` and `reopen` do not.
    #[must_use]
    pub fn settles(self) -> bool {
        self < Self::Recheck
    }
}

/// What a note becomes by a decision.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Becomes {
    /// It stays as it is: upheld, to be rechecked, or free again.
    Kept,
    /// It does not count any more.
    Retired,
    /// It holds for those of its vehicles that lie in this scope, too: canonical years and qualifiers.
    Narrowed {
        /// Canonical years.
        years: String,
        /// Canonical qualifiers.
        only: String,
    },
    /// It is right, of a place of its own: notes with the same number share one.
    Separate(u16),
}

impl Becomes {
    /// How it is written: `kept`, `retired`, `narrowed`, `separate 1`. The scope of a narrowed note stands beside.
    #[must_use]
    pub fn word(&self) -> String {
        match self {
            Self::Kept => "kept".to_owned(),
            Self::Retired => "retired".to_owned(),
            Self::Narrowed { .. } => "narrowed".to_owned(),
            Self::Separate(place) => format!("separate {place}"),
        }
    }

    /// Reads what `word` writes, with the canonical scope beside it.
    #[must_use]
    pub fn parse(word: &str, years: &str, only: &str) -> Option<Self> {
        match word.trim().to_lowercase().as_str() {
            "kept" => Some(Self::Kept),
            "retired" => Some(Self::Retired),
            "narrowed" => Some(Self::Narrowed { years: years.to_owned(), only: only.to_owned() }),
            word => {
                let place = word.strip_prefix("separate")?.trim().parse().ok()?;
                (place > 0).then_some(Self::Separate(place))
            }
        }
    }

    /// The canonical years and qualifiers of a narrowed note; nothing of any other.
    #[must_use]
    pub fn scope_texts(&self) -> (&str, &str) {
        match self {
            Self::Narrowed { years, only } => (years, only),
            _ => ("", ""),
        }
    }
}

/// A decision with everything that it means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Decision {
    /// What kind it is.
    pub kind: Kind,
    /// Who decided, as written.
    pub by: String,
    /// When, in days since 1970-01-01.
    pub day: i32,
    /// Why.
    pub because: String,
    /// The decisions about the same notes that it comes after, ascending; `reopen` takes these back.
    pub follows: Vec<DecisionId>,
    /// The notes that it is about, ascending, each once, with what they become.
    pub about: Vec<(NoteId, Becomes)>,
}

impl Decision {
    /// Its id. Each part is hashed with its length before it, so that no two meanings run into one text.
    #[must_use]
    pub fn id(&self) -> DecisionId {
        let mut bytes = vec![1_u8]; // the version of this recipe
        let mut put = |part: &str| push_part(&mut bytes, part);
        for part in ["decision", self.kind.word(), &fold(&self.by), &date_text(self.day), &self.because] {
            put(part);
        }
        put(&self.follows.len().to_string());
        self.follows.iter().for_each(|earlier| put(&earlier.code()));
        for (note, becomes) in &self.about {
            let (years, only) = becomes.scope_texts();
            [&note.code(), &becomes.word(), years, only].into_iter().for_each(&mut put);
        }
        DecisionId(shortened(&bytes))
    }

    /// Puts the lists in their order and drops what stands twice, so that one meaning has one id.
    #[must_use]
    pub fn in_order(mut self) -> Self {
        self.follows.sort_unstable();
        self.follows.dedup();
        self.about.sort();
        self.about.dedup_by_key(|(note, _)| *note);
        self
    }

    /// What it says a note becomes; `None` where it is not about it.
    #[must_use]
    pub fn becomes(&self, note: NoteId) -> Option<&Becomes> {
        let at = self.about.binary_search_by_key(&note, |(note, _)| *note).ok()?;
        self.about.get(at).map(|(_, becomes)| becomes)
    }
}

/// Puts decisions in the order in which they were made: by date, each after those that it follows, then by id.
pub fn sort(decisions: &mut Vec<(DecisionId, Decision)>) {
    let mut waiting: BTreeMap<DecisionId, Decision> = std::mem::take(decisions).into_iter().collect();
    let mut open: BTreeMap<DecisionId, usize> = BTreeMap::new();
    let mut later: BTreeMap<DecisionId, Vec<DecisionId>> = BTreeMap::new();
    for (id, decision) in &waiting {
        let earlier = decision.follows.iter().filter(|earlier| waiting.contains_key(earlier));
        open.insert(*id, earlier.clone().count());
        earlier.for_each(|earlier| later.entry(*earlier).or_default().push(*id));
    }
    let free = open.iter().filter(|(_, count)| **count == 0).map(|(id, _)| (waiting[id].day, *id));
    let mut ready: BTreeSet<(i32, DecisionId)> = free.collect();
    while let Some((_, id)) = ready.pop_first() {
        for next in later.remove(&id).unwrap_or_default() {
            let count = open.entry(next).or_default();
            *count = count.saturating_sub(1);
            if *count == 0 {
                ready.insert((waiting[&next].day, next));
            }
        }
        decisions.extend(waiting.remove(&id).map(|decision| (id, decision)));
    }
    // A hash cannot follow itself; what a damaged book holds all the same is not lost.
    decisions.extend(waiting);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decision(kind: Kind, follows: &[DecisionId], about: &[(u8, Becomes)]) -> Decision {
        Decision {
            kind,
            by: "R. Okafor".to_owned(),
            day: 20_000,
            because: "metered again".to_owned(),
            follows: follows.to_vec(),
            about: about.iter().map(|(note, becomes)| (NoteId([*note; 10]), becomes.clone())).collect(),
        }
        .in_order()
    }

    fn narrowed(years: &str) -> Becomes {
        Becomes::Narrowed { years: years.to_owned(), only: String::new() }
    }

    #[test]
    fn an_id_is_of_the_meaning_and_not_of_the_spelling() {
        let one = decision(Kind::Uphold, &[], &[(2, Becomes::Retired), (1, Becomes::Kept)]);
        let again = decision(Kind::Uphold, &[], &[(1, Becomes::Kept), (2, Becomes::Retired)]);
        assert_eq!(one.id(), again.id());
        assert_eq!(Decision { by: "r okafor".to_owned(), ..one.clone() }.id(), one.id());
        assert_eq!(DecisionId::parse(&one.id().to_string()), Some(one.id()));
        for other in [
            Decision { kind: Kind::Retire, ..one.clone() },
            Decision { by: "D. Pruett".to_owned(), ..one.clone() },
            Decision { day: 20_001, ..one.clone() },
            Decision { because: "guessed".to_owned(), ..one.clone() },
            Decision { follows: vec![one.id()], ..one.clone() },
            decision(Kind::Uphold, &[], &[(1, Becomes::Kept)]),
            decision(Kind::Uphold, &[], &[(1, Becomes::Retired), (2, Becomes::Kept)]),
            decision(Kind::Uphold, &[], &[(1, narrowed("2016")), (2, Becomes::Kept)]),
            decision(Kind::Uphold, &[], &[(1, narrowed("2017")), (2, Becomes::Kept)]),
        ] {
            assert_ne!(other.id(), one.id(), "{other:?}");
        }
    }

    #[test]
    fn what_a_note_becomes_reads_back() {
        for becomes in [Becomes::Kept, Becomes::Retired, narrowed("2015-2016"), Becomes::Separate(2)] {
            let (years, only) = becomes.scope_texts();
            assert_eq!(Becomes::parse(&becomes.word(), years, only), Some(becomes.clone()));
        }
        for word in ["", "separate", "separate 0", "separate x", "gone"] {
            assert_eq!(Becomes::parse(word, "", ""), None, "{word}");
        }
    }

    /// Three decisions of one day follow each other whatever their hashes are.
    #[test]
    fn the_order_is_that_in_which_they_were_made() {
        let first = decision(Kind::Uphold, &[], &[(1, Becomes::Kept)]);
        let second = decision(Kind::Reopen, &[first.id()], &[(1, Becomes::Kept)]);
        let third = decision(Kind::Retire, &[second.id()], &[(1, Becomes::Retired)]);
        let earlier = Decision { day: 19_000, ..decision(Kind::Retire, &[], &[(9, Becomes::Retired)]) };
        let made = [earlier, first, second, third];
        let wanted: Vec<DecisionId> = made.iter().map(Decision::id).collect();
        for turn in 0..4 {
            let mut list: Vec<_> = made.iter().map(|decision| (decision.id(), decision.clone())).collect();
            list.rotate_left(turn);
            sort(&mut list);
            assert_eq!(list.iter().map(|(id, _)| *id).collect::<Vec<_>>(), wanted);
        }
    }
}
