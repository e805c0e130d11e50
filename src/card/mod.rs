//! The job card: everything that a person needs who fits one job into one vehicle, as plain values in the order in
//! which it is read.
//!
//! Joins what is known of the vehicle (`ask`) with what the job builds (`job`, `circuit`). This file owns the shape and
//! the order of work; `doubt` says what is not known, `feed`, `hole` and `route` hold what is recorded against what
//! the job wants, `parts` makes the lists. How it looks is `show`'s business.

mod doubt;
mod feed;
mod ground;
mod hole;
mod labour;
mod parts;
mod route;
mod used;

pub use doubt::{Doubt, Why};
pub use feed::{Feed, Objection, RecordedFeed};
pub use hole::{Bundle, Fits, Hole};
pub use labour::{LABOUR, Labour};
pub use parts::{Cut, LoomLength, Over, Part, SLACK, SLACK_AT_EACH_END};
pub use route::Route;
pub use used::Used;

use std::collections::BTreeMap;

use crate::ask::{Found, PointFound};
use crate::catalogue::Answers;
use crate::circuit::conductor::Conductor;
use crate::circuit::path::Return;
use crate::circuit::request::Unfit;
use crate::circuit::units::{Amps, Volts};
use crate::job::{Check, Job, JobCircuit, Known, Settings, When, Worked};
use crate::judge::grade::Grade;
use crate::language::Language;

/// A job card. The fields stand in the order in which they are read; lists without entries have nothing to say.
#[derive(Debug)]
pub struct Card<'c> {
    /// How the shop's texts are read: titles, fields and general cautions are in its catalogue.
    pub language: &'c Language,
    /// What is fitted.
    pub job: &'c Job,
    /// The vehicle, and everything that the book says of it.
    pub found: &'c Found,
    /// The parameters of the job, each with where its value is from.
    pub settings: Settings,
    /// What is not known or in doubt, what must be known first.
    pub doubts: Vec<Doubt<'c>>,
    /// The points of the job of which something is known: those that must be, then those that help.
    pub facts: Vec<Fact<'c>>,
    /// The circuits of the job.
    pub circuits: Vec<Circuit<'c>>,
    /// Where the job is fed, and the recorded feeds held against what it draws.
    pub feeds: Vec<Feed<'c>>,
    /// What passes metal, and the recorded holes held against it.
    pub bundles: Vec<Bundle<'c>>,
    /// The recorded ways of the cable.
    pub routes: Vec<Route<'c>>,
    /// The conductors to cut.
    pub cuts: Vec<Cut>,
    /// Devices, terminals, loom, grommets and what makes the hole.
    pub parts: Vec<Part<'c>>,
    /// What is measured, before cutting and after connecting.
    pub readings: Vec<Reading<'c>>,
    /// What the job took before.
    pub labour: Option<Labour<'c>>,
}

/// A point of which something is known.
#[derive(Debug, Clone, Copy)]
pub struct Fact<'c> {
    /// Whether the job must know it; else it helps.
    pub must: bool,
    /// What is known; its grade and its answers are in `judged`.
    pub found: &'c PointFound,
}

/// A circuit of the job on this vehicle.
#[derive(Debug)]
pub struct Circuit<'c> {
    /// The circuit worked out: its conductor, device and figures are in `answer`, where its length is from in `run`.
    pub worked: Worked<'c>,
    /// Where it begins.
    pub from: End<'c>,
    /// Where it ends.
    pub to: End<'c>,
    /// The ground of its load, or to which its own return goes back; nothing of it is used where none is recorded there.
    /// `None` where the catalogue has no such point.
    pub ground: Option<End<'c>>,
    /// Where its own fuse or breaker sits.
    pub at: Option<End<'c>>,
    /// Where it passes metal.
    pub through: Option<End<'c>>,
    /// The note whose length is that of its run.
    pub length_from: Option<Used<'c>>,
    /// The note whose rating is that of the vehicle's fuse behind which it lies.
    pub rating_from: Option<Used<'c>>,
}

impl Circuit<'_> {
    /// Whether it drives something by way of the chassis, so that its load wants a lead to a ground.
    #[must_use]
    pub fn drives(&self) -> bool {
        let request = &self.worked.answer.request;
        self.worked.built().is_some() && request.path.by == Return::Chassis && request.current >= LEAST_READ
    }
}

/// A point at an end of a circuit or on its way, and the answer that is used there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct End<'c> {
    /// The point, by number in the catalogue.
    pub point: usize,
    /// What is known of it; `None` where nothing usable is.
    pub used: Option<Used<'c>>,
}

/// Something that is measured, with room to write what was read.
#[derive(Debug, Clone, Copy)]
pub enum Reading<'c> {
    /// As the job has it.
    Job(&'c Check),
    /// The drop of a circuit under its load, by its number in `Card::circuits`: at most what was worked out.
    Drop {
        /// The circuit.
        circuit: usize,
        /// The current at which it is read.
        load: Amps,
        /// What the conductor may lose.
        at_most: Volts,
        /// And what the metric one may that does in its place, where it is another.
        metric: Option<(Conductor, Volts)>,
    },
}

impl Reading<'_> {
    /// Before cutting or after connecting.
    #[must_use]
    pub fn when(&self) -> When {
        match self {
            Self::Job(check) => check.when,
            Self::Drop { .. } => When::After,
        }
    }
}

/// The point at which a return is bolted to the vehicle.
pub const GROUND: &str = "ground";

/// Below this no drop is read at the load: it lights nothing and moves nothing. Our choice.
const LEAST_READ: Amps = Amps(1.0);

/// Draws up the card. `settings` holds what the person told; what is recorded of the vehicle is taken beside it.
///
/// # Errors
/// A quantity that was told and cannot be, with the circuit that it is in.
pub fn draw_up<'c>(
    language: &'c Language,
    found: &'c Found,
    job: &'c Job,
    settings: Settings,
) -> Result<Card<'c>, (&'c JobCircuit, Unfit)> {
    let desk = Desk::new(language, found, job);
    let (settings, recorded) = desk.with_recorded(settings);
    let worked = job.work(&settings)?;
    let feeds = desk.feeds(&worked);
    let bundles = desk.bundles(&worked);
    let circuits: Vec<Circuit<'c>> = worked
        .into_iter()
        .zip(recorded)
        .map(|(worked, recorded)| desk.circuit(worked, recorded, &feeds, &bundles))
        .collect();
    Ok(Card {
        language,
        job,
        found,
        doubts: desk.doubts(),
        facts: desk.facts(),
        routes: desk.routes(&circuits),
        cuts: parts::cuts(&circuits),
        parts: desk.parts(&circuits, &bundles),
        readings: readings(job, &circuits),
        labour: desk.labour(),
        settings,
        circuits,
        feeds,
        bundles,
    })
}

impl Card<'_> {
    /// What can go wrong: of the job, then what always holds. Those of the points stand in the catalogue.
    pub fn cautions(&self) -> impl Iterator<Item = &str> {
        let own = self.job.cautions.iter().map(String::as_str);
        own.chain(self.language.catalogue.cautions.iter().map(|caution| &**caution))
    }

    /// The title of a point.
    #[must_use]
    pub fn title(&self, point: usize) -> &str {
        &self.language.catalogue.points[point].title
    }
}

/// The answers of a point that can be used: those that surely apply before those that depend; of several places those that
/// were seen before those in doubt; and none that is told not to suit.
fn usable<'c>(language: &Language, found: &'c PointFound) -> Vec<Used<'c>> {
    let answers = found.judged.answers.iter().map(|answer| Used { found, answer });
    let mut usable: Vec<Used<'c>> =
        answers.filter(|used| used.text(language, "suits").as_deref() != Some("no")).collect();
    let several = language.catalogue.points[found.point].answers == Answers::Several;
    usable.sort_by_key(|used| (!used.surely(), several && used.is_doubtful()));
    usable
}

/// What was recorded for a circuit, and counts.
#[derive(Debug, Clone, Copy, Default)]
struct Recorded<'c> {
    length: Option<Used<'c>>,
    rating: Option<Used<'c>>,
}

/// Where a card is drawn up.
struct Desk<'c> {
    language: &'c Language,
    found: &'c Found,
    job: &'c Job,
    /// The answers that can be used, the best first, by point.
    usable: BTreeMap<usize, Vec<Used<'c>>>,
}

impl<'c> Desk<'c> {
    fn new(language: &'c Language, found: &'c Found, job: &'c Job) -> Self {
        let usable = found.points.iter().map(|point| (point.point, usable(language, point))).collect();
        Self { language, found, job, usable }
    }

    /// What is known of a point.
    fn point(&self, point: usize) -> Option<&'c PointFound> {
        self.found.points.iter().find(|found| found.point == point)
    }

    /// The answers of a point that can be used on this vehicle, the best first.
    fn usable(&self, point: usize) -> &[Used<'c>] {
        self.usable.get(&point).map_or(&[], Vec::as_slice)
    }

    fn end(&self, point: usize) -> End<'c> {
        End { point, used: self.usable(point).first().copied() }
    }

    /// The end of a circuit: at a connector the line that the circuit is joined to, and none where it is joined to none.
    fn joined(&self, point: usize, circuit: &JobCircuit) -> End<'c> {
        if !self.has_field(point, "carries") {
            return self.end(point);
        }
        let line = |used: &Used<'c>| used.text(self.language, "carries");
        let joined = |used: &&Used<'c>| circuit.carries.is_some() && line(used) == circuit.carries;
        End { point, used: self.usable(point).iter().find(joined).copied() }
    }

    /// The parameters with what is recorded laid over the estimates; and of each circuit, what was.
    fn with_recorded(&self, mut settings: Settings) -> (Settings, Vec<Recorded<'c>>) {
        let recorded = self.job.circuits.iter();
        let recorded = recorded
            .map(|circuit| Recorded {
                length: self.recorded_length(circuit, &mut settings),
                rating: self.recorded_rating(circuit, &mut settings),
            })
            .collect();
        (settings, recorded)
    }

    fn circuit(
        &self,
        worked: Worked<'c>,
        recorded: Recorded<'c>,
        feeds: &[Feed<'c>],
        bundles: &[Bundle<'c>],
    ) -> Circuit<'c> {
        let circuit = worked.circuit;
        let from = feed::chosen(feeds, circuit.from).map_or_else(
            || self.joined(circuit.from, circuit),
            |used| End { point: circuit.from, used: Some(used) },
        );
        let through = circuit.through.map(|point| End { point, used: hole::chosen(bundles, point) });
        let device = |at: usize| if at == circuit.from { from } else { self.end(at) };
        let ground = self.ground_of(circuit);
        let to = ground.filter(|end| end.point == circuit.to);
        Circuit {
            from,
            to: to.unwrap_or_else(|| self.joined(circuit.to, circuit)),
            ground,
            at: circuit.at.map(device),
            through,
            length_from: recorded.length.filter(|_| worked.run == Known::Recorded),
            rating_from: recorded.rating,
            worked,
        }
    }

    /// The points of the job, what must be known first.
    fn points(&self) -> impl Iterator<Item = (usize, bool)> {
        let must = self.job.must.iter().map(|point| (*point, true));
        must.chain(self.job.may.iter().map(|point| (*point, false)))
    }

    fn facts(&self) -> Vec<Fact<'c>> {
        let known = |found: &&PointFound| !found.judged.answers.is_empty();
        let fact = |(point, must)| Some(Fact { must, found: self.point(point).filter(known)? });
        self.points().filter(|(point, _)| !self.is_labour(*point)).filter_map(fact).collect()
    }

    fn is_labour(&self, point: usize) -> bool {
        self.language.catalogue.points[point].name == LABOUR
    }
}

/// What the job has measured, and the drop of every circuit that carries a real load.
fn readings<'c>(job: &'c Job, circuits: &[Circuit<'c>]) -> Vec<Reading<'c>> {
    let drop = |(circuit, of): (usize, &Circuit<'_>)| {
        let load = of.worked.answer.request.current;
        let trial = &of.worked.built()?.trial;
        let metric = of.worked.metric().map(|metric| (metric.trial.conductor, metric.trial.drop()));
        (load >= LEAST_READ).then_some(Reading::Drop { circuit, load, at_most: trial.drop(), metric })
    };
    job.checks.iter().map(Reading::Job).chain(circuits.iter().enumerate().filter_map(drop)).collect()
}

/// The grade of a point, where nothing is known of it the one for that.
#[must_use]
pub fn grade(found: Option<&PointFound>) -> Grade {
    found.map_or(Grade::Blank, |found| found.judged.grade)
}
