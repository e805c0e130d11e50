//! What is true: models, their points, and how the wires differ from year to year and from vehicle to vehicle.
//!
//! Knows nothing of notes. How well people see and write it is `staff`'s and `writing`'s.

use std::collections::BTreeMap;

use baybook::judge::pattern::split::Cut;

use crate::dice::Dice;

/// How hard a world is: what changes on its vehicles, and how the people in it work.
#[derive(Debug, Clone)]
pub struct World {
    pub name: &'static str,
    pub models: usize,
    pub notes: usize,
    /// Points of each model of which there are notes.
    pub points: usize,
    pub asked: usize,
    /// Weights: nothing changes; at a year; at two years; by an attribute; by build date; by year and attribute.
    pub changes: [f64; 6],
    /// Chance that a colour is misread, for the most and the least careful hand.
    pub misread: (f64, f64),
    /// Chance that the neighbouring wire is noted.
    pub neighbour: f64,
    /// Chance that each attribute of a seen vehicle is written down, for the least and the most careful hand.
    pub recorded: (f64, f64),
    /// Chance that a note claims more years than the one seen.
    pub over_claimed: f64,
    /// Chance that a note is word of mouth.
    pub told: f64,
    /// Chance that the model year is off by one.
    pub year_off: f64,
}

impl World {
    pub fn easy() -> Self {
        Self {
            name: "easy",
            changes: [0.60, 0.16, 0.02, 0.12, 0.03, 0.07],
            misread: (0.01, 0.06),
            neighbour: 0.01,
            recorded: (0.7, 0.97),
            over_claimed: 0.6,
            told: 0.10,
            year_off: 0.02,
            ..Self::normal()
        }
    }

    pub fn normal() -> Self {
        Self {
            name: "normal",
            models: 120,
            notes: 6_000,
            points: 4,
            asked: 360,
            changes: [0.44, 0.27, 0.05, 0.13, 0.04, 0.07],
            misread: (0.02, 0.12),
            neighbour: 0.02,
            recorded: (0.5, 0.9),
            over_claimed: 0.75,
            told: 0.18,
            year_off: 0.04,
        }
    }

    pub fn hard() -> Self {
        Self {
            name: "hard",
            changes: [0.30, 0.29, 0.10, 0.16, 0.05, 0.10],
            misread: (0.04, 0.20),
            neighbour: 0.04,
            recorded: (0.3, 0.8),
            over_claimed: 0.85,
            told: 0.25,
            year_off: 0.07,
            ..Self::normal()
        }
    }

    /// The same world with few models and few notes.
    pub fn small(self) -> Self {
        Self { models: 25, notes: 900, asked: 75, ..self }
    }
}

/// A wire: a base and perhaps a tracer, as numbers into the hues of `writing`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Wire {
    pub base: usize,
    pub tracer: Option<usize>,
}

/// A vehicle with everything that is true of it.
#[derive(Debug, Clone)]
pub struct Real {
    pub year: u16,
    /// Months since year 0.
    pub built: u32,
    pub attributes: BTreeMap<&'static str, &'static str>,
}

/// What makes the wires of one point differ.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    No,
    Year(u16),
    TwoYears(u16, u16),
    Attribute(&'static str, &'static str),
    Built(u32),
    /// From this year on, or until the year before, one value of an attribute differs.
    YearAndAttribute {
        from: u16,
        late: bool,
        attribute: &'static str,
        value: &'static str,
    },
}

#[derive(Debug, Clone)]
pub struct Truth {
    pub point: &'static str,
    pub change: Change,
    wires: [Wire; 3],
}

#[derive(Debug, Clone)]
pub struct Model {
    pub first: u16,
    pub last: u16,
    pub facelift: Option<u16>,
    /// Each attribute with its values and how common they are.
    pub attributes: Vec<(&'static str, &'static [(&'static str, f64)])>,
    pub truths: Vec<Truth>,
}

const ATTRIBUTES: [(&str, &[(&str, f64)]); 6] = [
    ("cab", &[("crew", 0.55), ("extended", 0.25), ("regular", 0.20)]),
    ("tow", &[("yes", 0.55), ("no", 0.45)]),
    ("trim", &[("LX", 0.45), ("EX", 0.35), ("SE", 0.20)]),
    ("engine", &[("V6", 0.6), ("V8", 0.4)]),
    ("start", &[("key", 0.6), ("push-button", 0.4)]),
    ("lamps", &[("bulb", 0.65), ("led", 0.35)]),
];
const POINTS: [&str; 6] =
    ["brake-signal", "left-turn", "park-lamp", "reverse-lamp", "right-turn", "illumination"];
pub const HUES: usize = 12;

impl Wire {
    pub fn any(dice: &mut Dice) -> Self {
        let base = dice.below(HUES);
        let tracer = dice.happens(0.6).then(|| dice.below(HUES)).filter(|tracer| *tracer != base);
        Self { base, tracer }
    }

    /// What a wire becomes where something changes: another tracer, or another wire altogether.
    fn changed(self, dice: &mut Dice) -> Self {
        loop {
            let other = if self.tracer.is_some() && dice.happens(0.25) {
                Self { tracer: Some(dice.below(HUES)), ..self }
            } else {
                Self::any(dice)
            };
            if other != self && other.tracer != Some(other.base) {
                return other;
            }
        }
    }
}

impl Truth {
    fn drawn(world: &World, model: &Model, point: &'static str, dice: &mut Dice) -> Self {
        let first = Wire::any(dice);
        let second = first.changed(dice);
        let third = if dice.happens(0.3) { first } else { second.changed(dice) };
        Self { point, change: Self::change(world, model, dice), wires: [first, second, third] }
    }

    fn change(world: &World, model: &Model, dice: &mut Dice) -> Change {
        let year = |dice: &mut Dice| match model.facelift {
            Some(year) if dice.happens(0.6) => year,
            _ => dice.between(model.first + 1, model.last),
        };
        let (attribute, values) = dice.one_of(&model.attributes);
        let value = values[dice.below(values.len())].0;
        match dice.weighted(&world.changes) {
            0 => Change::No,
            1 => Change::Year(year(dice)),
            2 => match (year(dice), year(dice)) {
                (a, b) if a == b => Change::Year(a),
                (a, b) => Change::TwoYears(a.min(b), a.max(b)),
            },
            3 => Change::Attribute(attribute, value),
            4 => Change::Built(u32::from(year(dice)) * 12 + u32::from(dice.between(0, 5))),
            _ => Change::YearAndAttribute { from: year(dice), late: dice.happens(0.7), attribute, value },
        }
    }

    /// The wire of one vehicle.
    pub fn wire(&self, real: &Real) -> Wire {
        self.wires[self.kind_of(real)]
    }

    /// Which of the kinds of vehicles that have the same wire one belongs to.
    pub fn kind_of(&self, real: &Real) -> usize {
        let is = |attribute: &str, value: &str| Some(real.attributes.get(attribute) == Some(&value));
        self.kind(real.year, Some(real.built), is).expect("all is known of a real vehicle")
    }

    /// The same where it can be told from what is known: the year, the month it was made in, whether an attribute has
    /// a value.
    pub fn kind(
        &self,
        year: u16,
        built: Option<u32>,
        is: impl Fn(&str, &str) -> Option<bool>,
    ) -> Option<usize> {
        Some(match &self.change {
            Change::No => 0,
            Change::Year(from) => usize::from(year >= *from),
            Change::TwoYears(a, b) => usize::from(year >= *a) + usize::from(year >= *b),
            Change::Attribute(attribute, value) => usize::from(is(attribute, value)?),
            // Made from July of the year before to June.
            Change::Built(from) if u32::from(year) * 12 - 6 >= *from => 1,
            Change::Built(from) if u32::from(year) * 12 + 6 <= *from => 0,
            Change::Built(from) => usize::from(built? >= *from),
            Change::YearAndAttribute { from, late, attribute, value } => {
                usize::from((year >= *from) == *late && is(attribute, value)?)
            }
        })
    }

    /// The attribute that makes a difference, if one does.
    pub fn attribute(&self) -> Option<&'static str> {
        match self.change {
            Change::Attribute(attribute, _) | Change::YearAndAttribute { attribute, .. } => Some(attribute),
            _ => None,
        }
    }
}

impl Model {
    fn drawn(world: &World, dice: &mut Dice) -> Self {
        let first = dice.between(2003, 2013);
        let last = (first + dice.between(6, 15)).min(2024);
        let facelift = dice.happens(0.6).then(|| dice.between(first + 2, last - 1));
        let skipped = (dice.below(ATTRIBUTES.len()), dice.below(ATTRIBUTES.len()));
        let kept = (0..ATTRIBUTES.len()).filter(|at| *at != skipped.0 && *at != skipped.1);
        let attributes = kept.map(|at| ATTRIBUTES[at]).collect();
        let mut model = Self { first, last, facelift, attributes, truths: Vec::new() };
        let start = dice.below(POINTS.len());
        model.truths = (0..world.points)
            .map(|at| Truth::drawn(world, &model, POINTS[(start + at) % POINTS.len()], dice))
            .collect();
        model
    }

    /// A vehicle as one comes into the shop.
    pub fn vehicle(&self, dice: &mut Dice) -> Real {
        let year = dice.between(self.first, self.last);
        let attribute = |(name, values): &(&'static str, &'static [(&'static str, f64)])| {
            let weights: Vec<f64> = values.iter().map(|(_, weight)| *weight).collect();
            (*name, values[dice.weighted(&weights)].0)
        };
        let attributes = self.attributes.iter().map(attribute).collect();
        // Made from July of the year before to June.
        Real { year, built: u32::from(year) * 12 - 6 + u32::from(dice.between(0, 11)), attributes }
    }
}

/// All models of a world.
pub fn models(world: &World, dice: &mut Dice) -> Vec<Model> {
    (0..world.models).map(|_| Model::drawn(world, dice)).collect()
}

impl Change {
    /// Whether a suggested cut is the reason why the wires differ.
    pub fn is_cut_by(&self, cut: &Cut) -> bool {
        match (self, cut) {
            (Self::Year(from), Cut::Years(starts)) => starts.iter().map(|start| start.get()).eq([*from]),
            (Self::TwoYears(a, b), Cut::Years(starts)) => {
                starts.iter().all(|start| [*a, *b].contains(&start.get()))
            }
            (Self::YearAndAttribute { from, .. }, Cut::Years(starts)) => {
                starts.iter().map(|start| start.get()).eq([*from])
            }
            (Self::Built(_), Cut::Built(_)) => true,
            (
                Self::Attribute(name, value) | Self::YearAndAttribute { attribute: name, value, .. },
                Cut::Attribute(own, groups),
            ) => own == name && groups.iter().all(|group| group.len() == 1 || !group.contains(*value)),
            _ => false,
        }
    }

    pub fn word(&self) -> &'static str {
        match self {
            Self::No => "none",
            Self::Year(_) => "year",
            Self::TwoYears(..) => "two years",
            Self::Attribute(..) => "attribute",
            Self::Built(_) => "build date",
            Self::YearAndAttribute { .. } => "year and attribute",
        }
    }
}
