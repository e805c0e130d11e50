//! Everything that is told of one circuit: a conductor of each series or why there is none, joints, and the way
//! through metal.

use super::choice::{Choice, Refusal, choose, judge};
use super::conductor::{Conductor, Series};
use super::mend::{Mend, mends};
use super::passage::{Passage, passage};
use super::request::Request;
use super::trial::Trial;
use super::units::Millimetres;

/// What was found in one series.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// The series.
    pub series: Series,
    /// The choice, or why there is none.
    pub found: Result<Choice, Refused>,
}

/// Why there is none, and what would mend it.
#[derive(Debug, Clone)]
pub struct Refused {
    /// Why.
    pub refusal: Refusal,
    /// Up to three ways to mend it; the changes of one go together.
    pub mends: Vec<Vec<Mend>>,
}

/// A circuit worked out.
#[derive(Debug, Clone)]
pub struct Answer {
    /// What was asked.
    pub request: Request,
    /// The conductor that was given to be judged.
    pub fixed: Option<Conductor>,
    /// One for each series, or only that of the conductor that was given.
    pub outcomes: Vec<Outcome>,
    /// Other round things in the bundle, by their outsides.
    pub beside: Vec<Millimetres>,
}

/// Works a circuit out.
#[must_use]
pub fn answer(request: Request, fixed: Option<Conductor>, beside: Vec<Millimetres>) -> Answer {
    let outcome = |series| {
        let found = match fixed {
            Some(conductor) => judge(&request, conductor),
            None => choose(&request, series),
        };
        let found = found.map_err(|refusal| {
            let mends = mends(&request, series, fixed, &refusal);
            Refused { refusal: *refusal, mends }
        });
        Outcome { series, found }
    };
    let outcomes = match fixed {
        Some(conductor) => vec![outcome(conductor.series())],
        None => Series::ALL.map(outcome).into(),
    };
    Answer { request, fixed, outcomes, beside }
}

impl Answer {
    /// What was chosen in a series.
    #[must_use]
    pub fn of(&self, series: Series) -> Option<&Choice> {
        let outcome = self.outcomes.iter().find(|outcome| outcome.series == series)?;
        outcome.found.as_ref().ok()
    }

    /// The choice whose figures stand for the circuit: by gauge where there is one.
    #[must_use]
    pub fn main(&self) -> Option<&Choice> {
        [Series::Awg, Series::Metric, Series::Sae].into_iter().find_map(|series| self.of(series))
    }

    /// Why nothing was found, where nothing was.
    #[must_use]
    pub fn refused(&self) -> Option<&Refused> {
        if self.main().is_some() { None } else { self.outcomes.first()?.found.as_ref().err() }
    }

    /// The bundle of a conductor, its return and what lies beside them, on its way through metal.
    #[must_use]
    pub fn passage(&self, conductor: Conductor) -> Passage {
        let own = (0..self.request.path.conductors()).map(|_| conductor.outside());
        let all: Vec<Millimetres> = own.chain(self.beside.iter().copied()).collect();
        passage(&all)
    }

    /// The same conductor with a device of the other kind.
    #[must_use]
    pub fn with_the_other_kind(&self, conductor: Conductor) -> Trial {
        let request = Request { kind: self.request.kind.other(), rating: None, ..self.request };
        Trial::of(&request, conductor)
    }
}

/// Where the figures come from that every circuit uses.
pub const SOURCES: [&str; 8] = [
    "gauges: ASTM B258; SAE cable: least areas of SAE J1127/J1128; metric sizes: IEC 60228 class 5",
    "copper: IEC 60028, with the lay of strands of NEC Chapter 9 Table 8",
    "ampacity: 33 CFR 183.425 Table 5 with its notes (boats; road vehicles have no public table)",
    "fuses: data sheets declaring ISO 8820-3, SAE J1284 and SAE J1888",
    "breakers: SAE J553, above 200 % typical times from memory",
    "faults: IEC 60364-5-54 and IEC 60364-4-43, at most 5 s",
    "our assumptions: a battery of 500 A cold cranking (SAE J537), a chassis of 300 mm² of steel with two joints",
    "common practice, no source: load on a fuse, barrels, rings, loom, grommets, holes",
];
