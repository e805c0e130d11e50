//! Feeds: what the job draws at a point, and the recorded feeds held against it by rating, hours and stud.

use super::{Desk, Used};
use crate::circuit::protection::Device;
use crate::circuit::terminal::ring;
use crate::circuit::units::Amps;
use crate::circuit::{Kind, request::Load};
use crate::job::{Amount, Factor, Guard, JobCircuit, Known, Settings, Worked};
use crate::value::thread::Thread;

/// A point from which the job is fed.
#[derive(Debug)]
pub struct Feed<'c> {
    /// The point, by number in the catalogue.
    pub point: usize,
    /// The circuits that begin there, by number in `Card::circuits`.
    pub circuits: Vec<usize>,
    /// What they draw together.
    pub load: Amps,
    /// The least rating that this load leaves cool.
    pub wants: Amps,
    /// When it has to be live: a choice of the field `hot`; `None` where the job does not say.
    pub hot: Option<String>,
    /// The recorded places, the best known first.
    pub recorded: Vec<RecordedFeed<'c>>,
}

/// A recorded place of a feed.
#[derive(Debug)]
pub struct RecordedFeed<'c> {
    /// The answer.
    pub used: Used<'c>,
    /// Its rating; `None` where it is not recorded.
    pub rating: Option<Amps>,
    /// Its stud.
    pub stud: Option<Thread>,
    /// When it is live: a choice of the field `hot`.
    pub hot: Option<String>,
    /// Other times at which notes say that the same place is live; choices of the field `hot`.
    pub told_otherwise: Vec<String>,
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

impl Feed<'_> {
    fn of(worked: &[Worked<'_>], point: usize) -> Self {
        let (load, wants) = (Amps(0.0), Amps(0.0));
        let mut feed = Self { point, circuits: Vec::new(), load, wants, hot: None, recorded: Vec::new() };
        for (at, one) in worked.iter().enumerate().filter(|(_, one)| one.circuit.from == point) {
            let request = &one.answer.request;
            feed.circuits.push(at);
            feed.load = feed.load + request.current;
            feed.wants = feed.wants + request.duty.least_rating(request.current);
            feed.hot = feed.hot.or_else(|| one.circuit.hot.clone());
        }
        feed
    }

    fn objections(&self, rating: Option<Amps>, stud: Option<Thread>, hot: Option<&str>) -> Vec<Objection> {
        // A load that comes to just the rating, but for the last bit of a division, is no more than it.
        let small = rating.filter(|has| has.0 < self.wants.0 * (1.0 - 1e-9));
        let other = hot.zip(self.hot.as_deref()).filter(|(has, wants)| has != wants);
        let thick = stud.filter(|stud| ring(stud.diameter()).is_none());
        let small = small.map(|has| Objection::Rating { has, wants: self.wants });
        let other = other.map(|(has, wants)| Objection::Hot { has: has.to_owned(), wants: wants.to_owned() });
        small.into_iter().chain(other).chain(thick.map(Objection::Stud)).collect()
    }
}

/// The place of a feed that is used: the best known of those against which nothing recorded speaks, one in doubt after
/// those that were seen and one that is told live at other times last of all, else the best known.
pub(super) fn chosen<'c>(feeds: &[Feed<'c>], point: usize) -> Option<Used<'c>> {
    let recorded = &feeds.iter().find(|feed| feed.point == point)?.recorded;
    let fit = recorded.iter().filter(|place| place.objections.is_empty());
    let fit = fit.min_by_key(|place| (!place.told_otherwise.is_empty(), place.used.is_doubtful()));
    fit.or(recorded.first()).map(|place| place.used)
}

impl<'c> Desk<'c> {
    /// Every feed of the job: the points with a rating at which circuits begin.
    pub(super) fn feeds(&self, worked: &[Worked<'_>]) -> Vec<Feed<'c>> {
        let mut points: Vec<usize> = Vec::new();
        for worked in worked.iter().filter(|worked| self.has_field(worked.circuit.from, "rating")) {
            if !points.contains(&worked.circuit.from) {
                points.push(worked.circuit.from);
            }
        }
        points.into_iter().map(|point| self.feed(Feed::of(worked, point))).collect()
    }

    pub(super) fn has_field(&self, point: usize, field: &str) -> bool {
        let catalogue = &self.language.catalogue;
        catalogue.points[point].fields.iter().any(|has| catalogue.fields[*has].name == field)
    }

    fn feed(&self, mut feed: Feed<'c>) -> Feed<'c> {
        let place = |used: Used<'c>| {
            let (rating, stud) = (used.rating(self.language), used.stud(self.language));
            let hot = used.text(self.language, "hot");
            let objections = feed.objections(rating, stud, hot.as_deref());
            let told_otherwise = self.told_otherwise(&feed, &used, hot.as_deref());
            RecordedFeed { used, rating, stud, hot, told_otherwise, objections }
        };
        let recorded = self.usable(feed.point).iter().copied().map(place).collect();
        feed.recorded = recorded;
        feed
    }

    /// When notes say that a place is live beside what this answer says; nothing where the job does not ask.
    fn told_otherwise(&self, feed: &Feed<'_>, used: &Used<'c>, hot: Option<&str>) -> Vec<String> {
        let Some(hot) = hot.filter(|_| feed.hot.is_some()) else { return Vec::new() };
        let there = self.usable(feed.point).iter().filter(|other| self.is_one_place(used, other));
        let mut told: Vec<String> = there.filter_map(|other| other.text(self.language, "hot")).collect();
        told.retain(|other| other != hot);
        told.sort_unstable();
        told.dedup();
        told
    }

    /// Whether two answers speak of one place: no field by which places are told apart differs.
    fn is_one_place(&self, a: &Used<'c>, b: &Used<'c>) -> bool {
        let catalogue = &self.language.catalogue;
        catalogue.points[a.found.point].identified_by.iter().all(|field| {
            let name = &catalogue.fields[*field].name;
            match (a.text(self.language, name), b.text(self.language, name)) {
                (Some(a), Some(b)) => a == b,
                _ => true,
            }
        })
    }

    /// Takes for the fuse of the vehicle what is recorded of the feed, where there is such a fuse.
    pub(super) fn recorded_rating(&self, circuit: &JobCircuit, settings: &mut Settings) -> Option<Used<'c>> {
        let Guard::Vehicle(Factor::Parameter(at)) = circuit.guard else { return None };
        let fuse = |used: &Used<'c>| {
            let rating = used.rating(self.language)?;
            Device::rated(Kind::Fuse, rating).map(|_| rating)
        };
        let used = *self.usable(circuit.from).iter().find(|used| fuse(used).is_some())?;
        settings.record(at, Amount::Load(Load::Current(fuse(&used)?)));
        (settings.known(at) == Known::Recorded).then_some(used)
    }
}
