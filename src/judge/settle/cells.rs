//! Settling by cells that do not meet: every note of a conflict goes to the cell in which it can be true, so that no
//! two are left that contradict each other. Which cells is the caller's to say.

use std::collections::BTreeSet;

use super::{Case, Outcome, Party, Unsettled, narrowed_to};
use crate::decision::Becomes;
use crate::judge::pattern::split::{Cut, Split};
use crate::vehicle::{DRIVE, Match, Scope};

/// What becomes of one note.
enum Place {
    /// It stays as it is: it contradicts nothing in any cell.
    Everywhere,
    /// It holds for these of its vehicles.
    Within(Scope),
    /// In every cell something contradicts it that was seen there.
    Nowhere,
}

impl Case {
    /// Accepts a split that was suggested: a note that was seen in a cell is narrowed to it, and every other one to
    /// where nothing contradicts it that was seen; what is left no place at all is retired, with `retired` ones.
    ///
    /// # Errors
    /// Fewer than two cells in which something was seen are left, or what was seen speaks against the cut.
    pub fn accept(&self, split: &Split, retired: &BTreeSet<usize>) -> Result<Outcome, Unsettled> {
        let either = !matches!(&split.cut, Cut::Attribute(name, _) if name == DRIVE);
        let scope = |scope: &Scope| if either { scope.clone().on_either_side() } else { scope.clone() };
        let cells: Vec<Scope> = split.cells.iter().map(|cell| scope(&cell.scope)).collect();
        Sorting::new(self, cells, retired)?.outcome(retired)
    }
}

/// The notes of a case being sorted into cells.
struct Sorting<'c> {
    case: &'c Case,
    cells: Vec<Scope>,
    /// The notes that hold in each cell: numbers into the parties.
    inside: Vec<Vec<usize>>,
    /// The cell in which each note was seen.
    homes: Vec<Option<usize>>,
    against: BTreeSet<(usize, usize)>,
}

impl<'c> Sorting<'c> {
    fn new(case: &'c Case, cells: Vec<Scope>, retired: &BTreeSet<usize>) -> Result<Self, Unsettled> {
        let home = |party: &Party| {
            let seen = party.seen.as_ref()?;
            cells.iter().position(|cell| cell.matches(seen) == Match::Applies)
        };
        let homes: Vec<Option<usize>> = case.parties.iter().map(home).collect();
        let own = |cell: usize| {
            let at_home = |at: &usize| homes[*at] == Some(cell) && !retired.contains(at);
            (0..homes.len()).filter(at_home).collect::<Vec<usize>>()
        };
        let inside: Vec<Vec<usize>> = (0..cells.len()).map(own).collect();
        if inside.iter().filter(|inside| !inside.is_empty()).count() < 2 {
            return Err(Unsettled::OneSide);
        }
        let against = case.against.iter().flat_map(|(a, b)| [(*a, *b), (*b, *a)]).collect();
        Ok(Self { case, cells, inside, homes, against })
    }

    fn outcome(mut self, retired: &BTreeSet<usize>) -> Result<Outcome, Unsettled> {
        let mut outcome = self.case.retire(retired);
        let parties = || self.case.parties.iter().enumerate().filter(|(at, _)| !retired.contains(at));
        for (at, party) in parties() {
            if let Some(home) = self.homes[at] {
                let left = party.cut(&self.cells[home])?;
                outcome.push((party.id, becomes(party, &left)));
            }
        }
        // Those that were seen where it is not known stand before those that nobody saw.
        let mut rest: Vec<usize> =
            parties().map(|(at, _)| at).filter(|at| self.homes[*at].is_none()).collect();
        rest.sort_by_key(|at| (self.case.parties[*at].seen.is_none(), self.case.parties[*at].id));
        for at in rest {
            let party = &self.case.parties[at];
            let found = match self.place(at) {
                Place::Everywhere => Becomes::Kept,
                Place::Nowhere => Becomes::Retired,
                Place::Within(left) => becomes(party, &left),
            };
            outcome.push((party.id, found));
        }
        Ok(outcome)
    }

    /// Finds a place for a note that has no home, and lets it hold there.
    fn place(&mut self, at: usize) -> Place {
        let party = &self.case.parties[at];
        let meets: Vec<usize> = (0..self.cells.len()).filter(|cell| self.takes(party, *cell)).collect();
        let fits =
            |cell: &usize| !self.inside[*cell].iter().any(|other| self.against.contains(&(at, *other)));
        let fitting: Vec<usize> = meets.iter().copied().filter(fits).collect();
        let place = if fitting.len() == meets.len() {
            Place::Everywhere
        } else {
            self.widest(party, &fitting).map_or(Place::Nowhere, Place::Within)
        };
        let holds = |cell: &&usize| match &place {
            Place::Everywhere => true,
            Place::Within(left) => left.overlaps(&self.cells[**cell]),
            Place::Nowhere => false,
        };
        let held: Vec<usize> = meets.iter().filter(holds).copied().collect();
        held.into_iter().for_each(|cell| self.inside[cell].push(at));
        place
    }

    /// Whether something of a note lies in a cell, and the vehicle on which it was seen may.
    fn takes(&self, party: &Party, cell: usize) -> bool {
        party.cut(&self.cells[cell]).is_ok()
    }

    /// What a note claims of cells: of all of them, where that is one box, else of the first that holds something that
    /// was seen to be as it says, or of the first.
    fn widest(&self, party: &Party, cells: &[usize]) -> Option<Scope> {
        let parts: Vec<Scope> = cells.iter().filter_map(|cell| party.cut(&self.cells[*cell]).ok()).collect();
        let whole = parts.iter().cloned().reduce(|all, part| all.union_if_box(&part).unwrap_or(all));
        let whole = whole.filter(|all| parts.iter().all(|part| all.contains(part)));
        let shares = |other: &usize| {
            let other = &self.case.parties[*other];
            other.seen.is_some() && other.sides.iter().any(|side| party.sides.contains(side))
        };
        let first = || cells.iter().position(|cell| self.inside[*cell].iter().any(shares));
        whole.or_else(|| parts.get(first().unwrap_or_default()).cloned())
    }
}

fn becomes(party: &Party, left: &Scope) -> Becomes {
    if *left == party.scope { Becomes::Kept } else { narrowed_to(left) }
}
