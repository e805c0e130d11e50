//! How the cable runs: the recorded ways with their lengths, of which one becomes the run of a circuit.

use super::{Circuit, Desk, Used};
use crate::circuit::units::Metres;
use crate::job::{Amount, JobCircuit, Known, Settings};
use crate::judge::grade::Grade;

/// A recorded way.
#[derive(Debug)]
pub struct Route<'c> {
    /// The point, by number in the catalogue.
    pub point: usize,
    /// The note; what to keep away from is in its words.
    pub used: Used<'c>,
    /// How long it is; `None` where nothing is recorded.
    pub length: Option<Metres>,
    /// The circuits whose run it is, by number in `Card::circuits`; none where another way or what was told counts.
    pub circuits: Vec<usize>,
}

impl<'c> Desk<'c> {
    /// The recorded ways of the points along which circuits of the job lie.
    pub(super) fn routes(&self, circuits: &[Circuit<'c>]) -> Vec<Route<'c>> {
        let mut points: Vec<usize> = self.job.circuits.iter().filter_map(|circuit| circuit.along).collect();
        points.sort_unstable();
        points.dedup();
        let of_point = |point: usize| self.usable(point).iter().map(move |used| (point, *used));
        let route = |(point, used): (usize, Used<'c>)| {
            let runs = circuits.iter().enumerate().filter(|(_, circuit)| circuit.length_from == Some(used));
            let circuits = runs.map(|(at, _)| at).collect();
            Route { point, used, length: used.length(self.language), circuits }
        };
        points.into_iter().flat_map(of_point).map(route).collect()
    }

    /// Takes for the run of a circuit what is recorded. A length with which the circuit cannot be is left aside, for a
    /// card is wanted all the same, and the estimate stays.
    pub(super) fn recorded_length(&self, circuit: &JobCircuit, settings: &mut Settings) -> Option<Used<'c>> {
        let (used, length) = self.longest_of_the_best(circuit.along?)?;
        let mut tried = settings.clone();
        tried.record(circuit.run, Amount::Length(length));
        if tried.known(circuit.run) != Known::Recorded || self.job.work(&tried).is_err() {
            return None;
        }
        *settings = tried;
        Some(used)
    }

    /// The best way with a length. Where that is disputed or depends on what is not known, the longest of those that are
    /// or do, so that the cable reaches.
    fn longest_of_the_best(&self, point: usize) -> Option<(Used<'c>, Metres)> {
        let with_length = self.usable(point).iter();
        let mut ways = with_length.filter_map(|used| Some((*used, used.length(self.language)?)));
        let best = ways.next()?;
        let open = |used: &Used<'c>| used.grade() == Grade::Disputed || !used.surely();
        if !open(&best.0) {
            return Some(best);
        }
        let others = ways.filter(|(used, _)| open(used));
        Some(others.fold(best, |longest, way| if way.1 > longest.1 { way } else { longest }))
    }
}
