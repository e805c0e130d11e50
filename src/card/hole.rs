//! What passes metal together, and whether the recorded holes are wide enough for it.

use super::{Desk, Used};
use crate::circuit::passage::{Opening, Passage, passage, widest_in};
use crate::circuit::units::Millimetres;
use crate::job::Worked;

/// Conductors that pass metal at one point.
#[derive(Debug)]
pub struct Bundle<'c> {
    /// The point, by number in the catalogue.
    pub point: usize,
    /// The circuits, by number in `Card::circuits`; those that cannot be built are left out.
    pub circuits: Vec<usize>,
    /// How many conductors.
    pub conductors: usize,
    /// The bundle with its loom, grommet and hole.
    pub passage: Passage,
    /// The recorded holes.
    pub holes: Vec<Hole<'c>>,
}

/// A recorded hole.
#[derive(Debug)]
pub struct Hole<'c> {
    /// The note.
    pub used: Used<'c>,
    /// How wide it is; `None` where nothing is recorded.
    pub size: Option<Millimetres>,
    /// What is recorded of its grommet: a choice of the field `grommet`.
    pub grommet: Option<String>,
    /// The widest common grommet for it.
    pub opening: Option<Opening>,
    /// Whether the bundle passes.
    pub fits: Fits,
}

/// Whether a bundle passes a hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fits {
    /// With its loom.
    Yes,
    /// Only without its loom.
    WithoutLoom,
    /// Not at all.
    No,
    /// The hole was not measured.
    Unknown,
}

impl Fits {
    /// The word in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Yes => "yes",
            Self::WithoutLoom => "without-loom",
            Self::No => "no",
            Self::Unknown => "unknown",
        }
    }
}

/// The hole of a point that is used.
pub(super) fn chosen<'c>(bundles: &[Bundle<'c>], point: usize) -> Option<Used<'c>> {
    let bundle = bundles.iter().find(|bundle| bundle.point == point)?;
    bundle.chosen().map(|hole| hole.used)
}

impl<'c> Bundle<'c> {
    /// The hole that is used: the best known that is wide enough, else one that was not measured, else the best known.
    #[must_use]
    pub fn chosen(&self) -> Option<&Hole<'c>> {
        let like = |fits: Fits| self.holes.iter().find(|hole| hole.fits == fits);
        [Fits::Yes, Fits::Unknown, Fits::WithoutLoom, Fits::No].into_iter().find_map(like)
    }
}

impl<'c> Desk<'c> {
    /// The bundles of the job, a bundle for each point.
    pub(super) fn bundles(&self, worked: &[Worked<'_>]) -> Vec<Bundle<'c>> {
        let mut points: Vec<usize> = worked.iter().filter_map(|one| one.circuit.through).collect();
        points.sort_unstable();
        points.dedup();
        points.into_iter().map(|point| self.bundle(point, worked)).collect()
    }

    fn bundle(&self, point: usize, worked: &[Worked<'_>]) -> Bundle<'c> {
        let (mut circuits, mut outsides) = (Vec::new(), Vec::new());
        for (at, one) in worked.iter().enumerate().filter(|(_, one)| one.circuit.through == Some(point)) {
            let Some(choice) = one.built() else { continue };
            circuits.push(at);
            let count = one.answer.request.path.conductors();
            outsides.extend((0..count).map(|_| choice.trial.conductor.outside()));
        }
        let passage = passage(&outsides);
        let holes = self.usable(point).iter().map(|used| self.hole(*used, &passage)).collect();
        Bundle { point, circuits, conductors: outsides.len(), passage, holes }
    }

    fn hole(&self, used: Used<'c>, passage: &Passage) -> Hole<'c> {
        let size = used.hole(self.language);
        let opening = size.and_then(widest_in);
        let passes = |thick: Millimetres| opening.is_some_and(|opening| thick <= opening.bore);
        let fits = match (size, passage.loom) {
            (None, _) => Fits::Unknown,
            (Some(_), Some(loom)) if passes(loom.outside) => Fits::Yes,
            (Some(_), _) if passes(passage.bundle) => Fits::WithoutLoom,
            (Some(_), _) => Fits::No,
        };
        Hole { used, size, grommet: used.text(self.language, "grommet"), opening, fits }
    }
}
