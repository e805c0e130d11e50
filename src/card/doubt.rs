//! What is not known of a vehicle, or in doubt, that a job asks for: it costs the most time, so it is read first.

use super::{Desk, Used, grade};
use crate::ask::{PointFound, Task};
use crate::judge::cavity::CavityConflict;
use crate::judge::grade::Grade;
use crate::vehicle::Match;

/// Something to find out.
#[derive(Debug, Clone)]
pub struct Doubt<'c> {
    /// The point, by number in the catalogue; its `check` says how it is proved.
    pub point: usize,
    /// Whether the job must know it; else it helps.
    pub must: bool,
    /// Why.
    pub why: Why<'c>,
}

/// Why something is in doubt.
#[derive(Debug, Clone)]
pub enum Why<'c> {
    /// Nothing is claimed for this vehicle; where others of the model are known, they are in `judged.elsewhere`.
    Blank(Option<&'c PointFound>),
    /// Notes contradict each other.
    Disputed(&'c PointFound),
    /// It is claimed, and was seen only on others, or only told.
    Thin(&'c PointFound),
    /// An answer holds only if the vehicle is as these attributes ask.
    Depends(Used<'c>, Vec<String>),
    /// The shop asked to have it looked at.
    Asked(&'c Task),
    /// A cavity cannot be what all notes say.
    Cavity(&'c CavityConflict),
}

impl Why<'_> {
    /// The word in JSON.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::Blank(_) => "blank",
            Self::Disputed(_) => "disputed",
            Self::Thin(_) => "thin",
            Self::Depends(..) => "depends",
            Self::Asked(_) => "recheck",
            Self::Cavity(_) => "cavity",
        }
    }
}

impl<'c> Desk<'c> {
    /// Everything in doubt: what must be known first, of that what is disputed, then blank, then the rest.
    pub(super) fn doubts(&self) -> Vec<Doubt<'c>> {
        let mut doubts: Vec<Doubt<'c>> = Vec::new();
        for (point, must) in self.points().filter(|(point, _)| !self.is_labour(*point)) {
            doubts.extend(self.whys(point).into_iter().map(|why| Doubt { point, must, why }));
        }
        let urgency = |why: &Why<'_>| match why {
            Why::Disputed(_) | Why::Cavity(_) => 0,
            Why::Blank(_) => 1,
            Why::Asked(_) => 2,
            Why::Thin(_) => 3,
            Why::Depends(..) => 4,
        };
        doubts.sort_by_key(|doubt| (!doubt.must, urgency(&doubt.why)));
        doubts
    }

    fn whys(&self, point: usize) -> Vec<Why<'c>> {
        let found = self.point(point);
        let mut whys: Vec<Why<'c>> = match (grade(found), found) {
            (Grade::Disputed, Some(found)) => vec![Why::Disputed(found)],
            (Grade::Thin, Some(found)) => vec![Why::Thin(found)],
            (Grade::Blank, _) | (_, None) => vec![Why::Blank(found)],
            (Grade::Proven | Grade::Backed | Grade::Between, Some(_)) => Vec::new(),
        };
        whys.extend(self.found.tasks.iter().filter(|task| task.point == point).map(Why::Asked));
        let here = |conflict: &&CavityConflict| conflict.claimants[0].point == point;
        whys.extend(self.found.cavities.iter().filter(here).map(Why::Cavity));
        whys.extend(self.depends(point));
        whys
    }

    /// The best answer of a point, where none surely applies.
    fn depends(&self, point: usize) -> Option<Why<'c>> {
        let used = self.usable(point).first().copied()?;
        match &used.answer.applies {
            Match::DependsOn(dimensions) => Some(Why::Depends(used, dimensions.clone())),
            Match::Applies | Match::Excluded => None,
        }
    }
}
