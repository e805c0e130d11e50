//! What follows from the notes of the visits: surprises on the next vehicle, corrections, hearsay, and
//! the diagrams that the counter types in on slow days. Owns the echoes; the visits are `shop`.

use crate::dice::Dice;
use crate::facts::Fact;
use crate::fleet::{MODELS, Model, Vehicle};
use crate::hands::{Claim, Colours, HANDS, Hand, Seen, Voice, Years};
use crate::note::{Day, Note};
use crate::office;
use crate::shop::{self, SeenRecord, Written, cells, claim};
use crate::spelling;
use crate::truth::{Facts, Thing};
use crate::voice::Speaker;

/// The counter: hears everything, reads the diagrams, holds no meter.
static COUNTER: Hand = Hand {
    signs: &[crate::hands::COUNTER],
    here: (0, 0),
    colours: &[(Colours::Slash, 6), (Colours::Iec, 3)],
    american: false,
    years: Years::Full,
    formal: 90,
    metric: 80,
    claims: &[(Claim::Generation, 1)],
    careful: 60,
    seen: &[(Seen::Nothing, 1)],
    remarks: 100,
    voice: Voice::Sentence,
    basis: [0, 0, 0],
    often: 0,
};

/// The next vehicle differs from what the sheet says, and that is worth a line more than agreement is.
pub fn surprises(written: &[Written], speaker: &mut Speaker, dice: &mut Dice) -> Vec<Written> {
    let open: Vec<&Written> =
        written.iter().filter(|w| w.thing.change.is_some() && w.note.on.year < 2025).collect();
    (0..70).filter_map(|_| surprise(dice.one_of(&open), speaker, dice)).collect()
}

fn surprise(first: &Written, speaker: &mut Speaker, dice: &mut Dice) -> Option<Written> {
    let day = first.note.on.later(dice.between(20, 700), dice);
    let hands: Vec<(&'static Hand, usize)> = HANDS
        .iter()
        .filter(|h| h.works_on(day) && h.signs[0] != first.note.hand)
        .map(|h| (h, h.often))
        .collect();
    if hands.is_empty() || day.year > 2025 {
        return None;
    }
    let hand = dice.weigh(&hands);
    let vehicle =
        (0..60).map(|_| Vehicle::draw(first.model, day.year, dice)).find(|v| first.is_contradicted_by(v))?;
    let record = SeenRecord::new(hand, first.model, &vehicle, dice);
    let mut second = shop::write(&first.thing, first.model, &vehicle, hand, &record, day, speaker, dice);
    if dice.chance(45) {
        second.note.remark = speaker.surprised(first.note.hand, hand, dice);
    }
    Some(second)
}

/// Somebody comes back to the same vehicle, finds the slip, and writes it again.
pub fn corrections(written: &[Written], dice: &mut Dice) -> Vec<Note> {
    const WORDS: &[&str] = &[
        "was wrong last time, looked again in daylight",
        "corrects my earlier line",
        "had it back in, wiped the wire, this is right",
        "my mistake before",
        "second look with a better lamp",
    ];
    let mut list = Vec::new();
    for w in written.iter().filter(|w| w.slipped && !w.note.seen.is_empty()) {
        if !dice.chance(22) || w.note.on.year > 2024 {
            continue;
        }
        let Some(hand) = HANDS.iter().find(|h| h.signs[0] == w.note.hand) else { continue };
        let (Some(wire), Some(cell)) =
            (w.right, w.note.fields.iter().position(|(name, _)| *name == "colour"))
        else {
            continue;
        };
        let mut note = w.note.clone();
        note.fields[cell].1 = spelling::cell("colour", &Fact::Wire(wire), hand, dice);
        note.on = w.note.on.later(dice.between(9, 120), dice);
        note.remark = (dice.one_of(WORDS)).to_string();
        list.push(note);
    }
    list
}

/// What was heard: copies of what another wrote, right or wrong, nobody having looked.
pub fn hearsay(written: &[Written], speaker: &mut Speaker, dice: &mut Dice) -> Vec<Note> {
    let told = |w: &&Written| {
        w.note.on.year < 2025
            && w.note.point != "data-pair"
            && w.facts.iter().any(|(name, _)| ["colour", "hole", "rating"].contains(name))
    };
    let right: Vec<&Written> = written.iter().filter(told).filter(|w| !w.slipped).collect();
    let wrong: Vec<&Written> = written.iter().filter(told).filter(|w| w.slipped).collect();
    let mut list = Vec::new();
    for _ in 0..52 {
        let source =
            if !wrong.is_empty() && dice.chance(30) { dice.one_of(&wrong) } else { dice.one_of(&right) };
        let copies = if dice.chance(22) { 2 } else { 1 };
        for _ in 0..copies {
            list.extend(retold(source, speaker, dice));
        }
    }
    list
}

fn retold(source: &Written, speaker: &mut Speaker, dice: &mut Dice) -> Option<Note> {
    let on = source.note.on.later(dice.between(12, 500), dice);
    let here: Vec<&'static Hand> =
        HANDS.iter().filter(|h| h.signs[0] != source.note.hand && h.works_on(on)).collect();
    let teller: &'static Hand =
        if here.is_empty() || dice.chance(55) { &COUNTER } else { dice.one_of(&here) };
    if on.months() > 2025 * 12 + 11 {
        return None;
    }
    let kept = ["colour", "at", "hole", "rating", "slot", "stud", "carries", "shape", "door", "signal"];
    let facts: Facts = source.facts.iter().filter(|(name, _)| kept.contains(name)).cloned().collect();
    let mut note = source.note.clone();
    note.fields =
        facts.iter().map(|(name, fact)| (*name, spelling::cell(name, fact, teller, dice))).collect();
    note.basis = "told";
    note.by = teller.signs[0].to_string();
    note.hand = teller.signs[0];
    note.on = on;
    note.seen = String::new();
    note.only = if dice.chance(70) { String::new() } else { note.only };
    note.remark = speaker.hearsay(source.note.hand, dice);
    Some(note)
}

/// What the maker's diagrams say, typed in at the counter on slow days.
pub fn drawings(speaker: &mut Speaker, dice: &mut Dice) -> Vec<Note> {
    let mut list = Vec::new();
    while list.len() < 64 {
        let model = dice.pick(MODELS);
        let generation = dice.below(model.generations.len());
        let first = model.generations[generation];
        let last = model.generations.get(generation + 1).map_or(2024, |next| next - 1);
        let things = office::things(model, generation);
        let wires: Vec<&Thing> = things.iter().filter(|t| t.plain_colour().is_some()).collect();
        let thing = dice.one_of(&wires);
        let vehicle = Vehicle::draw(model, last, dice);
        if !(first..=last).contains(&vehicle.year) || (thing.needs_tow && vehicle.has("tow") != Some("yes")) {
            continue;
        }
        list.push(drawing(thing, model, &vehicle, last, speaker, dice));
    }
    list
}

fn drawing(
    thing: &Thing,
    model: &'static Model,
    vehicle: &Vehicle,
    last: u16,
    speaker: &mut Speaker,
    dice: &mut Dice,
) -> Note {
    let day = Day { year: (last + 1).clamp(2019, 2025), month: dice.between(1, 10), day: 1 }.some_day(dice);
    let knows = thing.change_known_by(day).filter(|_| dice.chance(COUNTER.careful));
    let (from, to, only) = claim(model, vehicle, &COUNTER, knows, day, dice);
    let facts = thing.seen_on(vehicle, dice);
    Note {
        make: model.make,
        model: model.name,
        years: spelling::years(from, to.map(|t| t.min(last)), Years::Full, dice),
        only,
        point: thing.point,
        fields: cells(thing.point, &facts, &COUNTER, dice),
        basis: "diagram",
        by: COUNTER.signs[0].to_string(),
        hand: COUNTER.signs[0],
        on: day,
        seen: String::new(),
        remark: speaker.drawing(dice),
    }
}
