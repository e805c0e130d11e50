//! Seven years in the invented shop: vehicles come in, hands look, and some of it is written down.
//! Here claims reach too far, colours are misread and hearsay is copied. Owns the course of events;
//! what is true is `truth`, who writes how is `hands`.

use crate::aftermath;
use crate::dice::Dice;
use crate::facts::{Fact, Wire};
use crate::fleet::{Body, MODELS, Model, Vehicle};
use crate::hands::{Claim, HANDS, Hand, Seen};
use crate::note::{Day, Note};
use crate::office;
use crate::spelling;
use crate::truth::{self, Facts, Thing, When};
use crate::voice::{Speaker, Told};

/// A note together with what lies behind it, for whoever copies it later.
pub struct Written {
    pub note: Note,
    pub model: &'static Model,
    pub thing: Thing,
    generation: usize,
    changed: bool,
    pub facts: Facts,
    /// The wire as it really is.
    pub right: Option<Wire>,
    pub slipped: bool,
}

impl Written {
    /// Whether `vehicle`, of the same generation, lies on the other side of the maker's change.
    pub fn is_contradicted_by(&self, vehicle: &Vehicle) -> bool {
        let same = self.model.generation(vehicle.year).0 == self.generation;
        let tow = !self.thing.needs_tow || vehicle.has("tow") == Some("yes");
        same && tow && self.thing.is_changed_on(vehicle) != self.changed
    }
}

/// All notes of the shop but the ones told in `stories`, in the order they were written.
pub fn notes(seed: u64) -> Vec<Note> {
    let mut dice = Dice::new(seed);
    let mut speaker = Speaker::new();
    let mut written = Vec::new();
    for month in (2019 * 12 + 1)..=(2025 * 12 + 11) {
        let day = Day::of_month(month);
        // Trailers come out of the barn in spring.
        let visits = if (3..=6).contains(&day.month) { 5 } else { 3 } + dice.below(3);
        for _ in 0..visits {
            visit(day, &mut speaker, &mut dice, &mut written);
        }
    }
    let surprises = aftermath::surprises(&written, &mut speaker, &mut dice);
    written.extend(surprises);
    let mut notes = aftermath::corrections(&written, &mut dice);
    notes.extend(aftermath::hearsay(&written, &mut speaker, &mut dice));
    notes.extend(aftermath::drawings(&mut speaker, &mut dice));
    notes.extend(written.into_iter().map(|w| w.note));
    notes
}

fn visit(month: Day, speaker: &mut Speaker, dice: &mut Dice, written: &mut Vec<Written>) {
    let day = month.some_day(dice);
    let hands: Vec<(&Hand, usize)> = HANDS.iter().filter(|h| h.works_on(day)).map(|h| (h, h.often)).collect();
    let hand = dice.weigh(&hands);
    let models: Vec<(&'static Model, usize)> =
        MODELS.iter().filter(|m| m.generations[0] <= day.year).map(|m| (m, m.often)).collect();
    let model = dice.weigh(&models);
    let vehicle = Vehicle::draw(model, day.year, dice);
    let truth = office::things(model, model.generation(vehicle.year).0);
    let record = SeenRecord::new(hand, model, &vehicle, dice);
    for thing in worth_noting(model, &vehicle, &truth, dice) {
        written.push(write(thing, model, &vehicle, hand, &record, day, speaker, dice));
    }
    if dice.chance(16) {
        let thing = truth::labour(model, dice);
        written.push(write(&thing, model, &vehicle, hand, &record, day, speaker, dice));
    }
}

/// The points that a job of this kind brings to light.
fn worth_noting<'t>(model: &Model, vehicle: &Vehicle, truth: &'t [Thing], dice: &mut Dice) -> Vec<&'t Thing> {
    const BRAKE: &[&str] = &[
        "brake-signal",
        "brake-signal",
        "firewall-pass",
        "ground",
        "battery-feed",
        "breaker-mount",
        "controller-mount",
        "cable-route",
        "tow-connector-dash",
        "panel-removal",
    ];
    const LAMPS: &[&str] = &[
        "park-lamp",
        "left-turn",
        "right-turn",
        "reverse-lamp",
        "tow-connector-rear",
        "ground",
        "high-stop-lamp",
        "fused-feed",
        "fog-lamp",
        "cable-route",
        "panel-removal",
        "brake-signal",
    ];
    const RADIO: &[&str] = &[
        "accessory-feed",
        "illumination",
        "speed-signal",
        "park-brake",
        "reverse-lamp",
        "ground",
        "panel-removal",
        "ignition-feed",
    ];
    const ALARM: &[&str] = &[
        "door-signal",
        "hood-switch",
        "horn",
        "start-signal",
        "ignition-feed",
        "brake-signal",
        "park-lamp",
        "data-pair",
        "fused-feed",
    ];
    const AUXILIARY: &[&str] = &[
        "high-beam",
        "battery-feed",
        "firewall-pass",
        "fused-feed",
        "ground",
        "breaker-mount",
        "illumination",
        "park-lamp",
    ];
    let job = match model.body {
        Body::Pickup => dice.weigh(&[(BRAKE, 50), (LAMPS, 20), (AUXILIARY, 14), (RADIO, 8), (ALARM, 8)]),
        Body::Van | Body::Suv => {
            dice.weigh(&[(BRAKE, 28), (LAMPS, 34), (RADIO, 16), (ALARM, 12), (AUXILIARY, 10)])
        }
        Body::Car => dice.weigh(&[(LAMPS, 45), (RADIO, 30), (ALARM, 25)]),
    };
    let tow = vehicle.has("tow") == Some("yes");
    let count = 1 + dice.below(4);
    let mut kept: Vec<&Thing> = Vec::new();
    for _ in 0..count * 3 {
        let point = dice.one_of(job);
        let open: Vec<&Thing> = truth.iter().filter(|t| t.point == point && (tow || !t.needs_tow)).collect();
        // The same point twice in one visit is seldom worth a line, unless it is another instance.
        let again = kept.iter().any(|k| k.point == point);
        if kept.len() < count && !open.is_empty() && (!again || dice.chance(15)) {
            let thing = dice.one_of(&open);
            if !kept.iter().any(|k| std::ptr::eq(*k, thing)) {
                kept.push(thing);
            }
        }
    }
    kept
}

/// What this hand records of the vehicle in front of it; the same on every line of the visit.
pub struct SeenRecord {
    kind: Seen,
    attributes: Vec<&'static str>,
}

impl SeenRecord {
    /// The record that `hand` makes of `vehicle`.
    pub fn new(hand: &Hand, model: &Model, vehicle: &Vehicle, dice: &mut Dice) -> Self {
        let mut attributes = Vec::new();
        for (name, percent) in
            [("cab", 80), ("tow", 65), ("lamps", 15), ("start", 15), ("trim", 8), ("fuel", 12)]
        {
            if vehicle.has(name).is_some() && dice.chance(percent) {
                attributes.push(name);
            }
        }
        if model.body == Body::Car {
            attributes.retain(|name| *name != "tow");
        }
        Self { kind: dice.weigh(hand.seen), attributes }
    }

    fn written(&self, vehicle: &Vehicle, also: Option<When>, claimed: bool) -> String {
        let kind = if claimed { Seen::Full } else { self.kind };
        match kind {
            Seen::Nothing => String::new(),
            Seen::Year => vehicle.year.to_string(),
            Seen::Vin => vehicle.vin.clone(),
            Seen::Full => self.full(vehicle, also),
        }
    }

    fn full(&self, vehicle: &Vehicle, also: Option<When>) -> String {
        let mut text = vehicle.year.to_string();
        for (name, value) in &vehicle.attributes {
            let asked = matches!(also, Some(When::Has(attribute, _)) if attribute == *name);
            if asked || self.attributes.contains(name) {
                text.push_str(&format!("; {name}={value}"));
            }
        }
        if let Some(When::FromBuilt(..)) = also {
            text.push_str(&format!("; built={}-{:02}", vehicle.built.0, vehicle.built.1));
        }
        text
    }
}

/// What `hand` writes about `thing` after looking at `vehicle`.
#[allow(clippy::too_many_arguments)] // one visit has this many things to it
pub fn write(
    thing: &Thing,
    model: &'static Model,
    vehicle: &Vehicle,
    hand: &'static Hand,
    record: &SeenRecord,
    day: Day,
    speaker: &mut Speaker,
    dice: &mut Dice,
) -> Written {
    let mut facts = thing.seen_on(vehicle, dice);
    let right = wire_of(&facts);
    let usual = thing.is_usual_place(&facts);
    let slipped = slip(&mut facts, dice);
    let knows = thing.change_known_by(day).filter(|_| dice.chance(hand.careful));
    let needs_tow = (thing.needs_tow && dice.chance(hand.careful)).then_some(When::Has("tow", "yes"));
    let (first, last, only) = claim(model, vehicle, hand, knows.or(needs_tow), day, dice);
    let basis = basis(thing.point, hand, dice);
    let mut fields = cells(thing.point, &facts, hand, dice);
    if hand.signs[0] == "M. Haugli" && basis == "metered" {
        readings(&mut fields, dice);
    }
    let note = Note {
        make: model.make,
        model: model.name,
        years: spelling::years(first, last, hand.years, dice),
        point: thing.point,
        fields,
        basis,
        by: (dice.one_of(hand.signs)).to_string(),
        hand: hand.signs[0],
        on: day,
        seen: record.written(vehicle, knows.or(needs_tow), !only.is_empty()),
        only,
        remark: speaker.remark(&Told { point: thing.point, basis, usual, on: day }, hand, dice),
    };
    Written {
        note,
        model,
        thing: thing.clone(),
        generation: model.generation(vehicle.year).0,
        changed: thing.is_changed_on(vehicle),
        facts,
        right,
        slipped,
    }
}

fn wire_of(facts: &Facts) -> Option<Wire> {
    facts.iter().find_map(|(_, fact)| if let Fact::Wire(wire) = fact { Some(*wire) } else { None })
}

/// Faded wires, thick fingers: now and then a fact is written down wrong.
fn slip(facts: &mut Facts, dice: &mut Dice) -> bool {
    let mut slipped = false;
    for (name, fact) in facts.iter_mut() {
        let wrong = match fact {
            Fact::Wire(wire) if dice.chance(7) => wire.misread().map(Fact::Wire),
            Fact::Wire(wire) if wire.tracer.is_some() && dice.chance(6) => {
                *fact = Fact::Wire(wire.without_tracer());
                None
            }
            Fact::Stud("M8") if dice.chance(4) => Some(Fact::Stud("M6")),
            Fact::Code(code) if *name == "cavity" && dice.chance(3) => {
                code.parse::<u16>().ok().map(|n| Fact::Code((n + 1).to_string()))
            }
            _ => None,
        };
        if let Some(wrong) = wrong {
            *fact = wrong;
            slipped = true;
        }
    }
    slipped
}

/// The years and qualifiers that the hand claims after looking at one vehicle.
pub fn claim(
    model: &Model,
    vehicle: &Vehicle,
    hand: &Hand,
    knows: Option<When>,
    day: Day,
    dice: &mut Dice,
) -> (u16, Option<u16>, String) {
    let (_, first, end) = model.generation(vehicle.year);
    // Nobody knows years that are not built yet; the newest model year runs a little ahead of the calendar.
    let known = end.unwrap_or(u16::MAX).min(day.year.max(vehicle.year));
    let (mut from, mut to) = match dice.weigh(hand.claims) {
        Claim::Exact => (vehicle.year, Some(vehicle.year)),
        Claim::Pair if dice.chance(50) => (vehicle.year.max(first + 1) - 1, Some(vehicle.year)),
        Claim::Pair => (vehicle.year, Some((vehicle.year + 1).min(known))),
        Claim::Generation => (first, Some(known)),
        Claim::Open => (first.max(vehicle.year - dice.between(0, 2)), None),
        Claim::Wide => {
            (first - dice.between(0, 2), Some((known + dice.between(0, 2)).min(day.year.max(vehicle.year))))
        }
    };
    let mut only = String::new();
    match knows {
        Some(When::FromYear(year)) if vehicle.year >= year => from = from.max(year),
        Some(When::FromYear(year)) => to = Some(to.unwrap_or(known).min(year - 1)),
        // A build date is worth writing only where the claim reaches over the change.
        Some(When::FromBuilt(year, _)) if from > year + 1 || to.is_some_and(|to| to < year) => {}
        Some(When::FromBuilt(year, month)) if vehicle.built >= (year, month) => {
            only = format!("built={year}-{month:02}..")
        }
        Some(When::FromBuilt(year, month)) => {
            let (y, m) = if month == 1 { (year - 1, 12) } else { (year, month - 1) };
            only = format!("built=..{y}-{m:02}");
        }
        Some(When::Has(attribute, _)) => {
            only = vehicle.has(attribute).map(|value| format!("{attribute}={value}")).unwrap_or_default();
        }
        None => {}
    }
    (from.min(vehicle.year), to.map(|t| t.max(vehicle.year)), only)
}

fn basis(point: &str, hand: &Hand, dice: &mut Dice) -> &'static str {
    const METAL: [&str; 6] =
        ["firewall-pass", "controller-mount", "breaker-mount", "cable-route", "panel-removal", "labour"];
    let [metered, fitted, inspected] = hand.basis;
    if point == "labour" {
        return "fitted";
    }
    if METAL.contains(&point) {
        return dice.weigh(&[("fitted", metered + fitted), ("inspected", inspected + 2)]);
    }
    dice.weigh(&[("metered", metered), ("fitted", fitted), ("inspected", inspected)])
}

/// The cells that the hand fills in; nobody fills in all of them.
pub fn cells(point: &str, facts: &Facts, hand: &Hand, dice: &mut Dice) -> Vec<(&'static str, String)> {
    let several =
        !facts.iter().any(|(name, _)| *name == "signal") && !facts.iter().any(|(name, _)| *name == "cavity");
    // A data pair without its connector says nothing.
    let plug = point == "data-pair" || dice.chance(48);
    let mut list = Vec::new();
    for (name, fact) in facts {
        let filled = match *name {
            "at" if several => true,
            "at" => plug || dice.chance(85),
            "connector" | "cavity" => plug,
            "signal" => dice.chance(55),
            "section" => dice.chance(25),
            "torque" => dice.chance(25),
            "fuse" => dice.chance(35),
            "grommet" => dice.chance(75),
            "how" | "tool" => dice.chance(60),
            "shape" | "hot" => dice.chance(88),
            _ => true,
        };
        if filled {
            list.push((*name, spelling::cell(name, fact, hand, dice)));
        }
    }
    list
}

/// Some write the meter readings into columns of their own.
fn readings(fields: &mut Vec<(&'static str, String)>, dice: &mut Dice) {
    let battery = format!("12.{}", dice.between(2, 7));
    let Some((_, signal)) = fields.iter().find(|(name, _)| *name == "signal") else { return };
    let (idle, active) = match signal.as_str() {
        "positive" | "12 V" | "+" | "switched positive" | "12V" => ("0".to_string(), battery),
        "negative" | "ground" | "-" | "switched ground" | "goes to ground" => (battery, "0".to_string()),
        _ => return,
    };
    fields.push(("idle", idle));
    fields.push(("active", active));
}
