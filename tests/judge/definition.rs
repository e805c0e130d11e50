//! A second reading of the rules of judgement, from their words: note against note, with nothing but how two
//! values relate, whether two scopes overlap and whether a scope takes a vehicle in. Slow and plain.

use baybook::note::Basis;
use baybook::value::Relation;
use baybook::vehicle::{Match, Scope, Vehicle};

use crate::cast::{Note, Said, Subject};

/// How two notes stand to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Both can be true of one vehicle.
    Fine,
    /// They contradict if they speak of one instance, which is not known.
    Possible,
    /// They contradict.
    Certain,
}

/// Two spellings of a name are one person where they differ in case and punctuation only.
fn same_hand(a: &str, b: &str) -> bool {
    let letters = |name: &str| {
        name.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect::<String>()
    };
    letters(a) == letters(b)
}

/// "Metered, fitted or inspected"; "an empty `seen` is no observation".
pub fn is_observation(note: &Note) -> bool {
    matches!(note.basis, Basis::Metered | Basis::Fitted | Basis::Inspected) && !note.seen.is_blank()
}

/// "One pair (who, seen vehicle)".
pub fn one_observation(a: &Note, b: &Note) -> bool {
    same_hand(a.by, b.by) && a.seen == b.seen
}

/// Whether two notes of one hand may be of one vehicle: nothing that both tell of it differs.
fn may_be_one(a: &Note, b: &Note) -> bool {
    let told = |note: &Note, name: &str| note.seen.attribute(name).map(str::to_owned);
    let year = |note: &Note| note.seen.year();
    let differ = |name: &str| matches!((told(a, name), told(b, name)), (Some(a), Some(b)) if a != b);
    same_hand(a.by, b.by)
        && !matches!((year(a), year(b)), (Some(a), Some(b)) if a != b)
        && !["cab", "tow"].into_iter().any(differ)
}

/// "One person on one vehicle counts once", however the vehicle was described: the most of these that surely are of
/// different hands or vehicles, found by trying every choice.
pub fn independent(notes: &[&Note]) -> usize {
    let chosen = |choice: u32| (0..notes.len()).filter(move |at| choice >> at & 1 == 1);
    let apart = |choice: u32| {
        chosen(choice).all(|a| chosen(choice).all(|b| a == b || !may_be_one(notes[a], notes[b])))
    };
    let choices = (0..1_u32 << notes.len()).filter(|choice| apart(*choice));
    choices.map(|choice| choice.count_ones() as usize).max().unwrap_or_default()
}

impl Subject {
    /// "Same, finer, different, unknown (not both given)"; "cavity only within one connector".
    pub fn relation(&self, field: &str, a: &Said, b: &Said) -> Relation {
        let given = |field: &str| match (a.get(field), b.get(field)) {
            (Some(a), Some(b)) => a.relation(b),
            _ => Relation::Unknown,
        };
        if field == "cavity" && given("connector") != Relation::Same {
            return Relation::Unknown;
        }
        given(field)
    }

    fn identifying(&self, a: &Said, b: &Said) -> Vec<Relation> {
        self.identified_by.iter().map(|field| self.relation(field, a, b)).collect()
    }

    /// Whether some field that has to agree is different.
    pub fn differs(&self, a: &Said, b: &Said) -> bool {
        self.must_agree.iter().any(|field| self.relation(field, a, b) == Relation::Different)
    }

    /// Whether two claims are known to speak of one instance; where a vehicle has one answer they always do.
    pub fn one_instance(&self, a: &Said, b: &Said) -> bool {
        let told = |relation: &Relation| {
            matches!(relation, Relation::Same | Relation::FirstFiner | Relation::SecondFiner)
        };
        !self.several || self.identifying(a, b).iter().all(told)
    }

    /// "A later note by the same hand on the same seen vehicle replaces the earlier": where it speaks of the same
    /// instance, and corrects it or gives every field that the earlier one gave.
    pub fn replaces(&self, later: &Note, earlier: &Note) -> bool {
        let gives_all = earlier.said.keys().all(|field| later.said.contains_key(field));
        later.on > earlier.on
            && !later.seen.is_blank()
            && one_observation(later, earlier)
            && self.one_instance(&later.said, &earlier.said)
            && (self.differs(&later.said, &earlier.said) || gives_all)
    }

    /// The notes that still stand, by number.
    pub fn live(&self, notes: &[Note]) -> Vec<usize> {
        (0..notes.len()).filter(|at| !notes.iter().any(|later| self.replaces(later, &notes[*at]))).collect()
    }

    /// How what two live notes say contradicts; `known` is what all live notes say.
    pub fn clash(&self, a: &Said, b: &Said, known: &[&Said]) -> Verdict {
        let identifying = self.identifying(a, b);
        if identifying.contains(&Relation::Different) || !self.differs(a, b) {
            return Verdict::Fine;
        }
        let all_of =
            |allowed: Relation| identifying.iter().all(|found| *found == Relation::Same || *found == allowed);
        let certain = !self.several
            || all_of(Relation::Same)
            || (all_of(Relation::FirstFiner) && !self.fits_another(b, a, known))
            || (all_of(Relation::SecondFiner) && !self.fits_another(a, b, known));
        if certain { Verdict::Certain } else { Verdict::Possible }
    }

    /// "The vaguer one fits [an]other known instance": one that is not the finer one's, and that the vaguer one
    /// names with the same words or fewer.
    fn fits_another(&self, vaguer: &Said, finer: &Said, known: &[&Said]) -> bool {
        known.iter().any(|other| {
            let another = self.identifying(other, finer).contains(&Relation::Different);
            let fits = |relation: &Relation| matches!(relation, Relation::Same | Relation::SecondFiner);
            another && self.identifying(vaguer, other).iter().all(fits)
        })
    }

    /// All pairs of live notes that contradict, the lower number first.
    pub fn contradictions(&self, notes: &[Note]) -> Vec<(usize, usize, Verdict)> {
        let live = self.live(notes);
        let known: Vec<&Said> = live.iter().map(|at| &notes[*at].said).collect();
        let mut found = Vec::new();
        for (place, a) in live.iter().enumerate() {
            for b in &live[place + 1..] {
                let verdict = self.clash(&notes[*a].said, &notes[*b].said, &known);
                if verdict != Verdict::Fine && notes[*a].scope.overlaps(&notes[*b].scope) {
                    found.push((*a, *b, verdict));
                }
            }
        }
        found
    }
}

/// Whether a vehicle of which everything that matters is known lies in a scope.
pub fn takes_in(scope: &Scope, vehicle: &Vehicle) -> bool {
    match scope.matches(vehicle) {
        Match::Applies => true,
        Match::Excluded => false,
        Match::DependsOn(on) => panic!("the vehicle is not fully known: {on:?}"),
    }
}
