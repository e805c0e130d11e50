//! What is really true in the invented world: one thing on one generation of a model, and where the
//! maker changed it on the way. People see this only through one vehicle. `office` draws the things.

use crate::dice::Dice;
use crate::facts::{Fact, Wire};
use crate::fleet::{Body, Model, Vehicle};
use crate::note::Day;

/// The seed of everything that is true.
pub const SEED: u64 = 0x0bad_5eed_0007;

/// What a difference inside one generation hangs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    FromYear(u16),
    FromBuilt(u16, u16),
    Has(&'static str, &'static str),
}

/// The maker's change of one field of one thing.
#[derive(Debug, Clone)]
pub struct Change {
    pub when: When,
    pub field: &'static str,
    pub fact: Fact,
}

/// Facts of one thing, in catalogue order.
pub type Facts = Vec<(&'static str, Fact)>;

/// One instance of one point.
#[derive(Debug, Clone)]
pub struct Thing {
    pub point: &'static str,
    pub facts: Facts,
    /// Other places where the same wire can be reached.
    pub taps: Vec<Facts>,
    pub change: Option<Change>,
    /// Only vehicles with the factory tow package have it.
    pub needs_tow: bool,
}

impl When {
    fn holds(self, vehicle: &Vehicle) -> bool {
        match self {
            Self::FromYear(year) => vehicle.year >= year,
            Self::FromBuilt(year, month) => vehicle.built >= (year, month),
            Self::Has(attribute, value) => vehicle.has(attribute) == Some(value),
        }
    }
}

impl Thing {
    /// A thing that is the same on every vehicle and reached in one place.
    pub fn new(point: &'static str, facts: Facts) -> Self {
        Self { point, facts, taps: Vec::new(), change: None, needs_tow: false }
    }

    /// The colour on most vehicles, where the thing is a wire.
    pub fn plain_colour(&self) -> Option<Wire> {
        self.facts.iter().find_map(|(_, fact)| if let Fact::Wire(wire) = fact { Some(*wire) } else { None })
    }

    /// On what the maker's change hangs, as far as anybody can know on `day`.
    pub fn change_known_by(&self, day: Day) -> Option<When> {
        let when = self.change.as_ref()?.when;
        let known = match when {
            When::FromYear(year) => year <= day.year,
            When::FromBuilt(year, month) => (year, month) < (day.year, day.month),
            When::Has(..) => true,
        };
        known.then_some(when)
    }

    /// Whether `vehicle` has what the maker changed to.
    pub fn is_changed_on(&self, vehicle: &Vehicle) -> bool {
        self.change.as_ref().is_some_and(|change| change.when.holds(vehicle))
    }

    /// Whether `facts` were read where most people look.
    pub fn is_usual_place(&self, facts: &Facts) -> bool {
        let place = |list: &Facts| list.iter().find(|(name, _)| *name == "at").map(|(_, fact)| fact.clone());
        place(facts) == place(&self.facts)
    }

    /// What a careful eye reads on `vehicle`, at the place where this writer happened to look.
    pub fn seen_on(&self, vehicle: &Vehicle, dice: &mut Dice) -> Facts {
        let mut facts = self.facts.clone();
        if !self.taps.is_empty() && dice.chance(30) {
            facts.retain(|(name, _)| !["at", "connector", "cavity"].contains(name));
            facts.extend(dice.pick(&self.taps).clone());
        }
        if let Some(change) = &self.change
            && change.when.holds(vehicle)
        {
            facts
                .iter_mut()
                .filter(|(name, _)| *name == change.field)
                .for_each(|(_, fact)| *fact = change.fact.clone());
        }
        facts
    }
}

/// How long a job took on a model of this kind.
pub fn labour(model: &Model, dice: &mut Dice) -> Thing {
    let (job, minutes): (&'static [&'static str], u16) = match model.body {
        Body::Pickup => dice.weigh(&[
            ((&["brake-control", "brake control"][..], 90), 5),
            ((&["trailer-lamps", "trailer wiring"][..], 75), 2),
            ((&["auxiliary-lamps", "aux lamps"][..], 150), 1),
            ((&["charge-line", "charge line"][..], 65), 1),
        ]),
        Body::Van | Body::Suv => dice.weigh(&[
            ((&["trailer-lamps", "trailer wiring"][..], 140), 4),
            ((&["brake-control", "brake control"][..], 120), 2),
            ((&["camera"][..], 110), 2),
        ]),
        Body::Car => {
            dice.weigh(&[((&["trailer-lamps", "tow wiring"][..], 165), 3), ((&["radio"][..], 70), 2)])
        }
    };
    let house = Dice::of(SEED, model.name).between(0, 30);
    let taken = minutes + house + dice.between(0, 8) * 5 - 15;
    Thing::new("labour", vec![("job", Fact::Choice(job)), ("minutes", Fact::Minutes(taken))])
}
