//! Seven years in the invented shop: vehicles come in, hands look, and some of it is written down.
//! Here claims reach too far, colours are misread and hearsay is copied. Owns the course of events;
//! what is true is `truth`, who writes how is `hands`.

use crate::dice::Dice;
use crate::facts::{Fact, Wire};
use crate::fleet::{Body, MODELS, Model, Vehicle};
use crate::hands::{Claim, Colours, HANDS, Hand, Seen, Voice, Years};
use crate::note::{Day, Note};
use crate::spelling;
use crate::truth::{self, Facts, Thing, When};
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

/// A note together with what lies behind it, for whoever copies it later.
struct Written {
    note: Note,
    facts: Facts,
    /// The wire as it really is.
    right: Option<Wire>,
    slipped: bool,
}

/// All notes of the shop but the ones told in `stories`, in the order they were written.
pub fn notes(seed: u64) -> Vec<Note> {
    let mut dice = Dice::new(seed);
    let mut speaker = Speaker::default();
    let mut written = Vec::new();
    for month in (2019 * 12 + 1)..=(2025 * 12 + 11) {
        let day = Day::of_month(month);
        // Trailers come out of the barn in spring.
        let visits = if (3..=6).contains(&day.month) { 5 } else { 3 } + dice.below(3);
        for _ in 0..visits {
            visit(day, &mut speaker, &mut dice, &mut written);
        }
    }
    let mut notes = corrections(&written, &mut dice);
    notes.extend(hearsay(&written, &mut speaker, &mut dice));
    notes.extend(drawings(&mut speaker, &mut dice));
    notes.extend(written.into_iter().map(|w| w.note));
    notes
}

fn visit(month: Day, speaker: &mut Speaker, dice: &mut Dice, written: &mut Vec<Written>) {
    let day = month.some_day(dice);
    let hands: Vec<(&Hand, usize)> =
        HANDS.iter().filter(|h| (h.here.0..=h.here.1).contains(&day.months())).map(|h| (h, h.often)).collect();
    let hand = *dice.weighted(&hands);
    let models: Vec<(&'static Model, usize)> =
        MODELS.iter().filter(|m| m.generations[0] <= day.year).map(|m| (m, m.often)).collect();
    let model = *dice.weighted(&models);
    let vehicle = Vehicle::draw(model, day.year, dice);
    let truth = truth::things(model, model.generation(vehicle.year).0);
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
    const BRAKE: &[&str] = &["brake-signal", "brake-signal", "firewall-pass", "ground", "battery-feed", "breaker-mount", "controller-mount", "cable-route", "tow-connector-dash", "panel-removal"];
    const LAMPS: &[&str] = &["park-lamp", "left-turn", "right-turn", "reverse-lamp", "tow-connector-rear", "ground", "high-stop-lamp", "fused-feed", "fog-lamp", "cable-route", "panel-removal", "brake-signal"];
    const RADIO: &[&str] = &["accessory-feed", "illumination", "speed-signal", "park-brake", "reverse-lamp", "ground", "panel-removal", "ignition-feed"];
    const ALARM: &[&str] = &["door-signal", "hood-switch", "horn", "start-signal", "ignition-feed", "brake-signal", "park-lamp", "data-pair", "fused-feed"];
    const AUXILIARY: &[&str] = &["high-beam", "battery-feed", "firewall-pass", "fused-feed", "ground", "breaker-mount", "illumination", "park-lamp"];
    let job = match model.body {
        Body::Pickup => *dice.weighted(&[(BRAKE, 50), (LAMPS, 20), (AUXILIARY, 14), (RADIO, 8), (ALARM, 8)]),
        Body::Van | Body::Suv => *dice.weighted(&[(BRAKE, 28), (LAMPS, 34), (RADIO, 16), (ALARM, 12), (AUXILIARY, 10)]),
        Body::Car => *dice.weighted(&[(LAMPS, 45), (RADIO, 30), (ALARM, 25)]),
    };
    let tow = vehicle.has("tow") == Some("yes");
    let mut open: Vec<&Thing> = truth.iter().filter(|t| job.contains(&t.point) && (tow || !t.needs_tow)).collect();
    dice.shuffle(&mut open);
    // Eight panels and five slots would drown the one brake wire: the rarer the point on the list, the likelier it is told.
    let mut kept: Vec<&Thing> = Vec::new();
    for thing in open {
        let same = kept.iter().filter(|k| k.point == thing.point).count();
        if same == 0 || (same == 1 && dice.chance(12)) {
            kept.push(thing);
        }
    }
    kept.sort_by_key(|t| job.iter().position(|p| *p == t.point).unwrap_or(99) / 3);
    kept.truncate(1 + dice.below(4));
    kept
}

/// What this hand records of the vehicle in front of it; the same on every line of the visit.
struct SeenRecord {
    kind: Seen,
    attributes: Vec<&'static str>,
}

impl SeenRecord {
    fn new(hand: &Hand, model: &Model, vehicle: &Vehicle, dice: &mut Dice) -> Self {
        let mut attributes = Vec::new();
        for (name, percent) in [("cab", 80), ("tow", 65), ("lamps", 15), ("start", 15), ("trim", 8), ("fuel", 12)] {
            if vehicle.has(name).is_some() && dice.chance(percent) {
                attributes.push(name);
            }
        }
        if model.body == Body::Car {
            attributes.retain(|name| *name != "tow");
        }
        Self { kind: *dice.weighted(hand.seen), attributes }
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

#[allow(clippy::too_many_arguments)] // one visit has this many things to it
fn write(
    thing: &Thing, model: &'static Model, vehicle: &Vehicle, hand: &'static Hand, record: &SeenRecord, day: Day, speaker: &mut Speaker,
    dice: &mut Dice,
) -> Written {
    let mut facts = thing.seen_on(vehicle, dice);
    let right = wire_of(&facts);
    let slipped = slip(&mut facts, dice);
    let knows = thing.change.as_ref().map(|c| c.when).filter(|_| dice.chance(hand.careful));
    let needs_tow = (thing.needs_tow && dice.chance(hand.careful)).then_some(When::Has("tow", "yes"));
    let (first, last, only) = claim(model, vehicle, hand, knows.or(needs_tow), day, dice);
    let basis = basis(thing.point, hand, dice);
    let mut fields = cells(&facts, hand, dice);
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
        by: (*dice.pick(hand.signs)).to_string(),
        hand: hand.signs[0],
        on: day,
        seen: record.written(vehicle, knows.or(needs_tow), !only.is_empty()),
        only,
        remark: speaker.remark(thing.point, basis, hand, dice),
    };
    Written { note, facts, right, slipped }
}

fn wire_of(facts: &Facts) -> Option<Wire> {
    facts.iter().find_map(|(_, fact)| if let Fact::Wire(wire) = fact { Some(*wire) } else { None })
}

/// Faded wires, thick fingers: now and then a fact is written down wrong.
fn slip(facts: &mut Facts, dice: &mut Dice) -> bool {
    let mut slipped = false;
    for (name, fact) in facts.iter_mut() {
        let wrong = match fact {
            Fact::Wire(wire) if dice.chance(5) => wire.misread().map(Fact::Wire),
            Fact::Wire(wire) if wire.tracer.is_some() && dice.chance(6) => {
                *fact = Fact::Wire(wire.without_tracer());
                None
            }
            Fact::Stud("M8") if dice.chance(4) => Some(Fact::Stud("M6")),
            Fact::Code(code) if *name == "cavity" && dice.chance(3) => code.parse::<u16>().ok().map(|n| Fact::Code((n + 1).to_string())),
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
fn claim(model: &Model, vehicle: &Vehicle, hand: &Hand, knows: Option<When>, day: Day, dice: &mut Dice) -> (u16, Option<u16>, String) {
    let (_, first, end) = model.generation(vehicle.year);
    // Nobody knows years that are not built yet; the newest model year runs a little ahead of the calendar.
    let known = end.unwrap_or(u16::MAX).min(day.year.max(vehicle.year));
    let (mut from, mut to) = match *dice.weighted(hand.claims) {
        Claim::Exact => (vehicle.year, Some(vehicle.year)),
        Claim::Pair if dice.chance(50) => (vehicle.year.max(first + 1) - 1, Some(vehicle.year)),
        Claim::Pair => (vehicle.year, Some((vehicle.year + 1).min(known))),
        Claim::Generation => (first, Some(known)),
        Claim::Open => (first.max(vehicle.year - dice.between(0, 2)), None),
        Claim::Wide => (first - dice.between(0, 2), Some((known + dice.between(0, 2)).min(day.year.max(vehicle.year)))),
    };
    let mut only = String::new();
    match knows {
        Some(When::FromYear(year)) if vehicle.year >= year => from = from.max(year),
        Some(When::FromYear(year)) => to = Some(to.unwrap_or(known).min(year - 1)),
        Some(When::FromBuilt(year, month)) if vehicle.built >= (year, month) => only = format!("built={year}-{month:02}.."),
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
    const METAL: [&str; 6] = ["firewall-pass", "controller-mount", "breaker-mount", "cable-route", "panel-removal", "labour"];
    let [metered, fitted, inspected] = hand.basis;
    if point == "labour" {
        return "fitted";
    }
    if METAL.contains(&point) {
        return *dice.weighted(&[("fitted", metered + fitted), ("inspected", inspected + 2)]);
    }
    *dice.weighted(&[("metered", metered), ("fitted", fitted), ("inspected", inspected)])
}

/// The cells that the hand fills in; nobody fills in all of them.
fn cells(facts: &Facts, hand: &Hand, dice: &mut Dice) -> Vec<(&'static str, String)> {
    let several = !facts.iter().any(|(name, _)| *name == "signal") && !facts.iter().any(|(name, _)| *name == "cavity");
    let plug = dice.chance(48);
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

/// Somebody comes back to the same vehicle, finds the slip, and writes it again.
fn corrections(written: &[Written], dice: &mut Dice) -> Vec<Note> {
    const WORDS: &[&str] = &["was wrong last time, looked again in daylight", "corrects my earlier line", "had it back in, wiped the wire, this is right", "my mistake before", "second look with a better lamp"];
    let mut list = Vec::new();
    for w in written.iter().filter(|w| w.slipped && !w.note.seen.is_empty()) {
        if !dice.chance(22) || w.note.on.year > 2024 {
            continue;
        }
        let Some(hand) = HANDS.iter().find(|h| h.signs[0] == w.note.hand) else { continue };
        let (Some(wire), Some(cell)) = (w.right, w.note.fields.iter().position(|(name, _)| *name == "colour")) else { continue };
        let mut note = w.note.clone();
        note.fields[cell].1 = spelling::cell("colour", &Fact::Wire(wire), hand, dice);
        note.on = w.note.on.later(dice.between(9, 120), dice);
        note.remark = (*dice.pick(WORDS)).to_string();
        list.push(note);
    }
    list
}

/// What was heard: copies of what another wrote, right or wrong, nobody having looked.
fn hearsay(written: &[Written], speaker: &mut Speaker, dice: &mut Dice) -> Vec<Note> {
    let told = |w: &&Written| w.note.on.year < 2025 && w.facts.iter().any(|(name, _)| ["colour", "hole", "rating"].contains(name));
    let right: Vec<&Written> = written.iter().filter(told).filter(|w| !w.slipped).collect();
    let wrong: Vec<&Written> = written.iter().filter(told).filter(|w| w.slipped).collect();
    let mut list = Vec::new();
    for _ in 0..52 {
        let source = if !wrong.is_empty() && dice.chance(30) { *dice.pick(&wrong) } else { *dice.pick(&right) };
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
        HANDS.iter().filter(|h| h.signs[0] != source.note.hand && (h.here.0..=h.here.1).contains(&on.months())).collect();
    let teller: &'static Hand = if here.is_empty() || dice.chance(55) { &COUNTER } else { *dice.pick(&here) };
    if on.months() > 2025 * 12 + 11 {
        return None;
    }
    let kept = ["colour", "at", "hole", "rating", "slot", "stud", "carries", "shape", "door", "signal"];
    let facts: Facts = source.facts.iter().filter(|(name, _)| kept.contains(name)).cloned().collect();
    let mut note = source.note.clone();
    note.fields = facts.iter().map(|(name, fact)| (*name, spelling::cell(name, fact, teller, dice))).collect();
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
fn drawings(speaker: &mut Speaker, dice: &mut Dice) -> Vec<Note> {
    let mut list = Vec::new();
    while list.len() < 64 {
        let model = dice.pick(MODELS);
        let generation = dice.below(model.generations.len());
        let first = model.generations[generation];
        let last = model.generations.get(generation + 1).map_or(2024, |next| next - 1);
        let things = truth::things(model, generation);
        let wires: Vec<&Thing> = things.iter().filter(|t| t.plain_colour().is_some()).collect();
        let thing = *dice.pick(&wires);
        let vehicle = Vehicle::draw(model, last, dice);
        if !(first..=last).contains(&vehicle.year) || (thing.needs_tow && vehicle.has("tow") != Some("yes")) {
            continue;
        }
        list.push(drawing(thing, model, &vehicle, last, speaker, dice));
    }
    list
}

fn drawing(thing: &Thing, model: &'static Model, vehicle: &Vehicle, last: u16, speaker: &mut Speaker, dice: &mut Dice) -> Note {
    let day = Day { year: (last + 1).clamp(2019, 2025), month: dice.between(1, 10), day: 1 }.some_day(dice);
    let knows = thing.change.as_ref().map(|c| c.when).filter(|_| dice.chance(COUNTER.careful));
    let (from, to, only) = claim(model, vehicle, &COUNTER, knows, day, dice);
    let facts = thing.seen_on(vehicle, dice);
    Note {
        make: model.make,
        model: model.name,
        years: spelling::years(from, to.map(|t| t.min(last)), Years::Full, dice),
        only,
        point: thing.point,
        fields: cells(&facts, &COUNTER, dice),
        basis: "diagram",
        by: COUNTER.signs[0].to_string(),
        hand: COUNTER.signs[0],
        on: day,
        seen: String::new(),
        remark: speaker.drawing(dice),
    }
}
