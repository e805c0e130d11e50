//! Recorded feeds held against what the job draws from them: rating, when it is live, stud.

use super::{Desk, Used};
use crate::circuit::protection::Device;
use crate::circuit::terminal::ring;
use crate::circuit::units::Amps;
use crate::circuit::{Kind, request::Load};
use crate::job::{Amount, Factor, Guard, JobCircuit, Known, Settings, Worked};
use crate::value::thread::Thread;

/// A recorded place from which the job can be fed.
#[derive(Debug)]
pub struct Feed<'c> {
    /// The point, by number in the catalogue.
    pub point: usize,
    /// The note.
    pub used: Used<'c>,
    /// The circuits that begin there, by number in `Card::circuits`.
    pub circuits: Vec<usize>,
    /// What they draw together.
    pub load: Amps,
    /// The least rating that this load leaves cool.
    pub wants: Amps,
    /// What is recorded of it; `None` where nothing is.
    pub rating: Option<Amps>,
    /// Its stud.
    pub stud: Option<Thread>,
    /// When it is live: a choice of the field `hot`.
    pub hot: Option<String>,
    /// Why it will not do; empty where nothing recorded speaks against it.
    pub objections: Vec<Objection>,
}

/// Why a feed will not do.
#[derive(Debug, Clone, PartialEq)]
pub enum Objection {
    /// Its rating is below what the load needs.
    Rating {
        /// What is recorded.
        has: Amps,
        /// The least that would do.
        wants: Amps,
    },
    /// It is live at other times.
    Hot {
        /// What is recorded.
        has: String,
        /// What the job needs.
        wants: String,
    },
    /// No common ring goes over its stud.
    Stud(Thread),
}

/// What the circuits that begin at one point want of it.
struct Wanted {
    circuits: Vec<usize>,
    load: Amps,
    rating: Amps,
    hot: Option<String>,
}

/// The feed of a point that is used: the best of which nothing recorded speaks against it, else the best.
pub(super) fn chosen<'c>(feeds: &[Feed<'c>], point: usize) -> Option<Used<'c>> {
    let mut of_point = feeds.iter().filter(|feed| feed.point == point);
    let first = of_point.clone().next()?;
    Some(of_point.find(|feed| feed.objections.is_empty()).unwrap_or(first).used)
}

impl<'c> Desk<'c> {
    /// Every recorded feed of the job.
    pub(super) fn feeds(&self, worked: &[Worked<'_>]) -> Vec<Feed<'c>> {
        let mut points: Vec<usize> = Vec::new();
        for worked in worked.iter().filter(|worked| self.has_field(worked.circuit.from, "rating")) {
            if !points.contains(&worked.circuit.from) {
                points.push(worked.circuit.from);
            }
        }
        let of_point = |point: usize| {
            let wanted = wanted(worked, point);
            self.usable(point).into_iter().map(move |used| self.feed(point, used, &wanted))
        };
        points.into_iter().flat_map(of_point).collect()
    }

    pub(super) fn has_field(&self, point: usize, field: &str) -> bool {
        let catalogue = &self.language.catalogue;
        catalogue.points[point].fields.iter().any(|has| catalogue.fields[*has].name == field)
    }

    fn feed(&self, point: usize, used: Used<'c>, wanted: &Wanted) -> Feed<'c> {
        let (rating, stud) = (used.rating(self.language), used.stud(self.language));
        let hot = used.text(self.language, "hot");
        // A load that comes to just the rating, but for the last bit of a division, is no more than it.
        let small = rating.filter(|has| has.0 < wanted.rating.0 * (1.0 - 1e-9));
        let too_small = small.map(|has| Objection::Rating { has, wants: wanted.rating });
        let other = hot.clone().zip(wanted.hot.clone()).filter(|(has, wants)| has != wants);
        let thick = stud.filter(|stud| ring(stud.diameter()).is_none());
        let objections = too_small
            .into_iter()
            .chain(other.map(|(has, wants)| Objection::Hot { has, wants }))
            .chain(thick.map(Objection::Stud))
            .collect();
        Feed {
            point,
            used,
            circuits: wanted.circuits.clone(),
            load: wanted.load,
            wants: wanted.rating,
            rating,
            stud,
            hot,
            objections,
        }
    }

    /// Takes for the fuse of the vehicle what is recorded of the feed, where there is such a fuse.
    pub(super) fn recorded_rating(&self, circuit: &JobCircuit, settings: &mut Settings) -> Option<Used<'c>> {
        let Guard::Vehicle(Factor::Parameter(at)) = circuit.guard else { return None };
        let fuse = |used: &Used<'c>| {
            let rating = used.rating(self.language)?;
            Device::rated(Kind::Fuse, rating).map(|_| rating)
        };
        let used = self.usable(circuit.from).into_iter().find(|used| fuse(used).is_some())?;
        settings.record(at, Amount::Load(Load::Current(fuse(&used)?)));
        (settings.known(at) == Known::Recorded).then_some(used)
    }
}

fn wanted(worked: &[Worked<'_>], point: usize) -> Wanted {
    let mut wanted = Wanted { circuits: Vec::new(), load: Amps(0.0), rating: Amps(0.0), hot: None };
    for (at, one) in worked.iter().enumerate().filter(|(_, one)| one.circuit.from == point) {
        let request = &one.answer.request;
        wanted.circuits.push(at);
        wanted.load = wanted.load + request.current;
        wanted.rating = wanted.rating + request.duty.least_rating(request.current);
        wanted.hot = wanted.hot.or_else(|| one.circuit.hot.clone());
    }
    wanted
}
