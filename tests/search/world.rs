//! The shop of the judged set: its models, what is true of them, and the notes that its people write.
//!
//! Every maker, model and person is invented. Whoever writes leaves things out, takes a wire for another now and then,
//! and mentions the wrong one in a remark.

use std::collections::BTreeMap;

use crate::amount::Size;
use crate::dice::Dice;
use crate::kinds::{Choice, KINDS, Kind, Where};
use crate::meaning::{Meaning, Note};
use crate::spot::Spot;
use crate::wire::Wire;

pub const PEOPLE: [&str; 7] =
    ["R. Okafor", "D. Pruett", "J. Amadi", "M. Haugli", "T. Szalai", "G. Lindqvist", "S. Brandvold"];

/// A model: its maker, its name, the first year of each generation, and the side of the driver.
struct Model {
    make: &'static str,
    name: &'static str,
    from: [u16; 2],
    rhd: bool,
}

const fn model(make: &'static str, name: &'static str, first: u16, second: u16) -> Model {
    Model { make, name, from: [first, second], rhd: false }
}

const MODELS: [Model; 26] = [
    model("Quillon", "Tarn", 2012, 2018),
    model("Quillon", "Fell", 2011, 2017),
    model("Quillon", "Scree", 2010, 2016),
    model("Hathermoor", "Drover", 2009, 2015),
    model("Hathermoor", "Shepherd", 2011, 2018),
    model("Hathermoor", "Packman", 2008, 2014),
    model("Hathermoor", "Wether", 2013, 2019),
    model("Vostrand", "Kaldur", 2011, 2018),
    model("Vostrand", "Isbre", 2014, 2019),
    Model { make: "Vostrand", name: "Havnar", from: [2012, 2018], rhd: true },
    model("Ombrel", "Nimba", 2013, 2019),
    model("Ombrel", "Cumula", 2010, 2017),
    model("Kestwick", "Whinchat", 2012, 2018),
    model("Kestwick", "Turnstone", 2013, 2019),
    Model { make: "Kestwick", name: "Dunlin", from: [2010, 2016], rhd: true },
    model("Zephane", "Brizo", 2013, 2019),
    model("Zephane", "Calima", 2012, 2019),
    model("Dravik", "Oxhaul 250", 2008, 2016),
    model("Dravik", "Cartage", 2010, 2018),
    model("Dravik", "Tonner", 2012, 2018),
    model("Ironquay", "Bollard", 2010, 2016),
    model("Ironquay", "Capstan", 2011, 2019),
    model("Ironquay", "Hawser", 2012, 2019),
    model("Pelluna", "Sorrel", 2012, 2018),
    model("Pelluna", "Bramble", 2015, 2020),
    model("Pelluna", "Minoa", 2011, 2019),
];

const QUALIFIERS: [(&str, &str); 6] = [
    ("tow", "yes"),
    ("tow", "no"),
    ("cab", "crew"),
    ("cab", "regular"),
    ("fuel", "diesel"),
    ("fuel", "petrol"),
];

/// What sticks in the mind: a remark, and the words by which it is remembered.
pub struct Scrap {
    pub remark: &'static str,
    pub remembered: Vec<&'static str>,
}

/// The remarks of `scraps.txt`.
pub fn scraps() -> Vec<Scrap> {
    let lines = include_str!("scraps.txt").lines().filter(|line| !line.starts_with('#'));
    let mut parts = lines.map(|line| line.split('|').map(str::trim));
    parts
        .by_ref()
        .map(|mut parts| Scrap { remark: parts.next().unwrap_or_default(), remembered: parts.collect() })
        .collect()
}

/// What is true of one point of one generation.
struct Fact<'a> {
    model: &'a Model,
    years: (u16, u16),
    kind: &'static Kind,
    wire: Option<Wire>,
    spot: Option<Spot>,
    sizes: Vec<&'static Size>,
    choices: Vec<&'static Choice>,
    code: Option<(u16, u16)>,
    slot: Option<u16>,
}

/// All notes of the shop.
pub fn notes(dice: &mut Dice) -> Vec<Note> {
    let scraps = scraps();
    let mut notes = Vec::new();
    for model in &MODELS {
        for (at, from) in model.from.into_iter().enumerate() {
            let years = (from, model.from.get(at + 1).map_or(from + 5, |next| next - 1));
            for kind in &KINDS {
                for _ in 0..kind.instances {
                    let fact = fact(model, years, kind, dice);
                    let first = dice.below(PEOPLE.len());
                    for more in 0..1 + dice.weighted(&[0.45, 0.35, 0.2]) {
                        notes.push(fact.note((first + more) % PEOPLE.len(), &scraps, dice));
                    }
                }
            }
        }
    }
    notes
}

fn fact<'a>(model: &'a Model, years: (u16, u16), kind: &'static Kind, dice: &mut Dice) -> Fact<'a> {
    let place = (!kind.places.is_empty()).then(|| dice.one_of(kind.places));
    let spot = place.map(|place| match place {
        Where::Here(part) => part.here(dice),
        Where::About(part, relation) => part.about(relation),
    });
    let one = |sizes: &&'static [Size], dice: &mut Dice| &sizes[dice.below(sizes.len())];
    Fact {
        model,
        years,
        kind,
        wire: kind.wire.then(|| Wire::any(dice)),
        spot,
        sizes: kind.sizes.iter().map(|sizes| one(sizes, dice)).collect(),
        choices: (!kind.choices.is_empty())
            .then(|| &kind.choices[dice.below(kind.choices.len())])
            .into_iter()
            .collect(),
        code: kind.wire.then(|| (dice.between(101, 260), dice.between(1, 28))),
        slot: (kind.name == "fused-feed").then(|| dice.between(1, 44)),
    }
}

impl Fact<'_> {
    fn note(&self, by: usize, scraps: &[Scrap], dice: &mut Dice) -> Note {
        let meaning = self.meaning(by, scraps.len(), dice);
        let mut row = fields(&meaning, dice);
        self.claim(&meaning, &mut row, dice);
        row.insert("remark", remark(&meaning, scraps, dice));
        row.retain(|_, cell| !cell.is_empty());
        Note { meaning, row }
    }

    /// What one person tells of it.
    fn meaning(&self, by: usize, scraps: usize, dice: &mut Dice) -> Meaning {
        let wire = self.wire.map(|wire| match dice.share() {
            share if share < 0.04 => Wire::any(dice),
            share if share < 0.16 => wire.coarser().unwrap_or(wire),
            _ => wire,
        });
        let spot = self.spot.map(|spot| match dice.happens(0.12) {
            true => spot.coarser().unwrap_or(spot),
            false => spot,
        });
        // Where nothing but a size is known, the size is told.
        let often = |at: usize| match (at, self.spot) {
            (0, None) => 1.0,
            (0, Some(_)) => 0.9,
            _ => 0.4,
        };
        let sizes = self.sizes.iter().enumerate().filter(|(at, _)| dice.happens(often(*at)));
        let sizes = sizes.map(|(_, size)| *size).collect();
        let narrower = dice.happens(0.35);
        let (from, to) = self.years;
        let from = if narrower { dice.between(from, to) } else { from };
        Meaning {
            make: self.model.make,
            model: self.model.name,
            years: (from, if narrower { dice.between(from, to) } else { to }),
            rhd: self.model.rhd,
            only: dice.happens(0.15).then(|| dice.one_of(&QUALIFIERS)),
            point: self.kind,
            wire,
            spot: spot.filter(|_| wire.is_none() || dice.happens(0.93)),
            sizes,
            choices: self.choices.iter().filter(|_| dice.happens(0.85)).copied().collect(),
            code: self.code.filter(|_| dice.happens(0.6)),
            slot: self.slot,
            scrap: dice.happens(0.13).then(|| dice.below(scraps)),
            mention: (wire.is_some() && dice.happens(0.1)).then(|| Wire::any(dice)),
            by,
        }
    }

    /// The columns that say of what the note is, who wrote it, and how they know.
    fn claim(&self, meaning: &Meaning, row: &mut BTreeMap<&'static str, String>, dice: &mut Dice) {
        let (from, to) = meaning.years;
        // A range to 2012 or before, cut short, may be a month.
        let years = match dice.below(4) {
            _ if from == to => from.to_string(),
            0 => format!("{:02}-{:02}", from % 100, to % 100),
            1 if to > 2012 => format!("{from}-{:02}", to % 100),
            _ => format!("{from}-{to}"),
        };
        let drive = meaning.rhd.then(|| "drive=rhd".to_owned());
        let only = meaning.only.map(|(name, value)| format!("{name}={value}"));
        let basis = dice.one_of(&["metered", "metered", "fitted", "inspected", "diagram", "told"]);
        let year = dice.between(from, to);
        let seen = if matches!(basis, "diagram" | "told") { String::new() } else { self.seen(year, meaning) };
        let day = (dice.between(1, 12), dice.between(1, 28));
        row.extend([
            ("make", meaning.make.to_owned()),
            ("model", meaning.model.to_owned()),
            ("years", years),
            ("only", drive.into_iter().chain(only).collect::<Vec<_>>().join("; ")),
            ("point", meaning.point.name.to_owned()),
            ("basis", basis.to_owned()),
            ("by", PEOPLE[meaning.by].to_owned()),
            ("on", format!("{}-{:02}-{:02}", (year + dice.between(0, 3)).clamp(2017, 2024), day.0, day.1)),
            ("seen", seen),
        ]);
    }

    fn seen(&self, year: u16, meaning: &Meaning) -> String {
        let drive = if self.model.rhd { "; drive=rhd" } else { "" };
        let only = meaning.only.map(|(name, value)| format!("; {name}={value}"));
        format!("{year}{drive}{}", only.unwrap_or_default())
    }
}

/// The columns of the values, each in one of the ways that people write it.
fn fields(meaning: &Meaning, dice: &mut Dice) -> BTreeMap<&'static str, String> {
    let mut row = BTreeMap::new();
    row.extend(meaning.wire.map(|wire| ("colour", wire.written(dice))));
    row.extend(meaning.spot.map(|spot| ("at", spot.written(meaning.rhd, dice))));
    row.extend(meaning.sizes.iter().map(|size| (size.field, size.written(dice).to_owned())));
    row.extend(meaning.choices.iter().map(|choice| (choice.field, dice.one_of(choice.written).to_owned())));
    row.extend(meaning.slot.map(|slot| ("slot", format!("F{slot}"))));
    if let Some((connector, cavity)) = meaning.code {
        row.extend([("connector", format!("C{connector}")), ("cavity", cavity.to_string())]);
    }
    row
}

/// A remark: what sticks in the mind, the wire beside it, or what the meter said.
fn remark(meaning: &Meaning, scraps: &[Scrap], dice: &mut Dice) -> String {
    let mut parts: Vec<String> =
        meaning.scrap.map(|scrap| scraps[scrap].remark.to_owned()).into_iter().collect();
    if let Some(other) = meaning.mention {
        let wire = other.written(dice);
        parts.push(match dice.below(3) {
            0 => format!("the {wire} beside it is dead"),
            1 => format!("not the {wire} one"),
            _ => format!("runs next to a {wire}"),
        });
    }
    if meaning.wire.is_some() && dice.happens(0.3) {
        parts.push(format!("12.{} V on the meter, no. {}", dice.below(9), dice.below(10_000)));
    } else if dice.happens(0.25) {
        parts.push(format!("job {}", dice.below(10_000)));
    }
    parts.join(". ")
}
