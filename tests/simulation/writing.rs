//! The notes that the people of a shop write, one after the other, as rows of a sheet.

use std::collections::BTreeMap;

use baybook::note::Basis;

use crate::dice::Dice;
use crate::staff::{Hand, hands};
use crate::world::{Change, Model, Real, Truth, Wire, World};

/// One row, as written.
#[derive(Debug, Clone)]
pub struct Written {
    pub model: usize,
    pub truth: usize,
    pub years: (u16, u16),
    pub only: String,
    pub colour: String,
    pub signal: &'static str,
    pub basis: Basis,
    pub by: String,
    pub seen: String,
    /// Days since 1970-01-01.
    pub on: i32,
}

/// Writes all notes of a shop.
pub fn notes(world: &World, models: &[Model], dice: &mut Dice) -> Vec<Written> {
    let hands = hands(world, dice);
    let popular: Vec<f64> = models.iter().map(|_| 0.3 + dice.share() * 1.4).collect();
    let mut written: Vec<Written> = Vec::with_capacity(world.notes);
    let mut of_bucket: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
    for number in 0..world.notes {
        let model = dice.weighted(&popular);
        let truth = dice.weighted(&[1.5, 1.0, 1.0, 0.8, 0.8, 0.7][..world.points]);
        let hand = &hands[dice.below(hands.len())];
        let earlier = of_bucket.entry((model, truth)).or_default();
        let on = 16_000 + i32::try_from(number * 3_000 / world.notes).expect("some years");
        let desk = Desk { model: &models[model], truth: &models[model].truths[truth], hand };
        let mut note = if !earlier.is_empty() && dice.happens(world.told) {
            desk.told(&written[dice.one_of(earlier)], dice)
        } else if dice.happens(0.05) {
            desk.drawn_in_diagram(dice)
        } else {
            desk.seen(dice)
        };
        (note.model, note.truth, note.on) = (model, truth, on);
        earlier.push(number);
        written.push(note);
    }
    written
}

/// One hand at work on one point of one model.
struct Desk<'a> {
    model: &'a Model,
    truth: &'a Truth,
    hand: &'a Hand,
}

impl Desk<'_> {
    fn row(&self, colour: String, basis: Basis, years: (u16, u16)) -> Written {
        Written {
            model: 0,
            truth: 0,
            years,
            only: String::new(),
            colour,
            signal: "",
            basis,
            by: self.hand.name.clone(),
            seen: String::new(),
            on: 0,
        }
    }

    /// A note on a vehicle that the writer looked at.
    fn seen(&self, dice: &mut Dice) -> Written {
        let real = self.model.vehicle(dice);
        let others = self.model.truths.iter().filter(|other| other.point != self.truth.point);
        let others: Vec<&Truth> = others.collect();
        let neighbour = match others.len() {
            0 => Wire::any(dice),
            count => others[dice.below(count)].wire(&real),
        };
        let read = self.hand.read(self.truth.wire(&real), neighbour, dice);
        let basis = [Basis::Metered, Basis::Fitted, Basis::Inspected][dice.weighted(&[0.5, 0.2, 0.3])];
        let year = if dice.happens(self.hand.year_off) { beside(real.year, dice) } else { real.year };
        let mut note = self.row(self.hand.spell(read), basis, self.claimed(year, &real, dice));
        note.signal = match dice.share() {
            share if share < 0.397 => "positive",
            share if share < 0.40 => "negative",
            _ => "",
        };
        let named = self.qualifier(&real, dice);
        let mut told: Vec<(&str, &str)> = self
            .model
            .attributes
            .iter()
            .map(|(name, _)| (*name, real.attributes[name]))
            .filter(|(name, _)| Some(*name) == named || dice.happens(self.hand.recorded))
            .collect();
        told.sort_unstable();
        note.only = named.map(|name| format!("{name}={}", real.attributes[name])).unwrap_or_default();
        if !dice.happens(self.hand.no_vehicle) {
            note.seen = self.vehicle(year, &real, &told, dice);
        }
        note
    }

    fn vehicle(&self, year: u16, real: &Real, told: &[(&str, &str)], dice: &mut Dice) -> String {
        let aware = if matches!(self.truth.change, Change::Built(_)) { 0.5 } else { 0.15 };
        let built = dice
            .happens(aware * self.hand.recorded / 0.6)
            .then(|| format!("built={:04}-{:02}", real.built / 12, real.built % 12 + 1));
        let told = told.iter().map(|(name, value)| format!("{name}={value}"));
        let parts: Vec<String> = [year.to_string()].into_iter().chain(built).chain(told).collect();
        parts.join("; ")
    }

    /// The qualifier that a writer puts on the claim: one that decides, where it is known, or one that does not.
    fn qualifier(&self, real: &Real, dice: &mut Dice) -> Option<&'static str> {
        let deciding = self.truth.attribute().filter(|_| dice.happens(self.hand.knows_kind));
        let idle = dice.happens(0.05).then(|| self.model.attributes[dice.below(4)].0);
        deciding.or(idle).filter(|name| real.attributes.contains_key(name))
    }

    /// The years that a note claims, the seen one among them.
    fn claimed(&self, year: u16, real: &Real, dice: &mut Dice) -> (u16, u16) {
        if !dice.happens(self.hand.over_claimed) {
            return (year, year);
        }
        let (first, last) = (self.model.first.min(year), self.model.last.max(year));
        if let Some(facelift) = self.model.facelift.filter(|_| dice.happens(self.hand.knows)) {
            return if real.year < facelift {
                (first, (facelift - 1).max(year))
            } else {
                (facelift.min(year), last)
            };
        }
        if dice.happens(0.2) {
            return (first, last);
        }
        let (before, after) = (dice.between(0, 3), dice.between(0, 4));
        ((year - before).max(first), (year + after).min(last))
    }

    /// What somebody was told: an earlier note, its errors with it, and claimed a little wider.
    fn told(&self, earlier: &Written, dice: &mut Dice) -> Written {
        let (from, to) = earlier.years;
        let years = (from - dice.between(0, 1), to + dice.between(0, 1));
        let mut note = self.row(earlier.colour.clone(), Basis::Told, years);
        if dice.happens(0.7) {
            note.only.clone_from(&earlier.only);
        }
        note
    }

    /// What a wiring diagram says of the years for which it was drawn; now and then it is taken for all years.
    fn drawn_in_diagram(&self, dice: &mut Dice) -> Written {
        let real = self.model.vehicle(dice);
        let wire = self.truth.wire(&real);
        let same = |year: &u16| self.truth.wire(&Real { year: *year, ..real.clone() }) == wire;
        let before = (self.model.first..real.year).rev().take_while(same).last().unwrap_or(real.year);
        let after = (real.year..=self.model.last).take_while(same).last().unwrap_or(real.year);
        let all = dice.happens(0.2);
        let years = if all { (self.model.first, self.model.last) } else { (before, after) };
        let read = if dice.happens(0.03) { Wire::any(dice) } else { wire };
        let mut note = self.row(self.hand.spell(read), Basis::Diagram, years);
        if let Some(name) = self.truth.attribute().filter(|_| dice.happens(0.7)) {
            note.only = format!("{name}={}", real.attributes[name]);
        }
        note
    }
}

fn beside(year: u16, dice: &mut Dice) -> u16 {
    if dice.happens(0.5) { year + 1 } else { year - 1 }
}
