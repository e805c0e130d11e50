//! A simulated shop: its notes folded into buckets as a book folds them, and the questions that it is asked.

use std::collections::{BTreeMap, HashMap};

use baybook::judge::bucket::Bucket;
use baybook::judge::fold::{Fact, Folding, Known, Memo};
use baybook::judge::pattern::doubt::Doubt;
use baybook::judge::pattern::facelift::{Changes, Facelift, changes};
use baybook::language::Language;
use baybook::note::{Basis, NoteId};
use baybook::value::Value;
use baybook::value::colour::Colour;
use baybook::value::place::DriveSide;
use baybook::vehicle::{Scope, Vehicle};

use crate::dice::Dice;
use crate::world::{self, Model, Truth, Wire, World};
use crate::writing::{self, Written};

pub struct Shop {
    pub models: Vec<Model>,
    pub buckets: BTreeMap<(usize, usize), Bucket>,
    pub questions: Vec<Question>,
    pub facelifts: BTreeMap<(usize, usize), Facelift>,
}

/// One point of one vehicle, with what is true of it.
pub struct Question {
    pub bucket: (usize, usize),
    pub vehicle: Vehicle,
    pub truth: Colour,
    /// Which of the kinds of vehicles that have the same wire it belongs to.
    pub kind: usize,
}

impl Shop {
    pub fn new(world: &World, seed: u64) -> Self {
        let language = language();
        let mut dice = Dice(seed);
        let models = world::models(world, &mut dice);
        let notes = writing::notes(world, &models, &mut dice);
        let buckets = fold(&language, &models, &notes, seed);
        let questions = (0..world.asked).flat_map(|_| asked(&language, &models, &mut dice)).collect();
        let facelifts = facelifts(&buckets);
        Self { models, buckets, questions, facelifts }
    }

    pub fn truth(&self, bucket: (usize, usize)) -> &Truth {
        &self.models[bucket.0].truths[bucket.1]
    }
}

pub fn language() -> Language {
    Language::new(None, DriveSide::Lhd, jiff::civil::date(2026, 1, 15)).expect("the built-in catalogue")
}

/// What the other points of each model tell of one.
fn facelifts(buckets: &BTreeMap<(usize, usize), Bucket>) -> BTreeMap<(usize, usize), Facelift> {
    let found: BTreeMap<(usize, usize), Changes> =
        buckets.iter().map(|(key, bucket)| (*key, changes(bucket, Doubt::builtin()))).collect();
    let of = |key: &(usize, usize)| {
        let others = found.range((key.0, 0)..(key.0 + 1, 0)).filter(|(other, _)| *other != key);
        Facelift::of(others.map(|(_, changes)| changes), Doubt::builtin())
    };
    buckets.keys().map(|key| (*key, of(key))).collect()
}

/// A wire as the library reads it, a plain one without tracer.
pub fn colour(wire: Wire) -> Colour {
    const CODES: [&str; world::HUES] =
        ["BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "tan"];
    let text = match wire.tracer {
        Some(tracer) => format!("{}/{}", CODES[wire.base], CODES[tracer]),
        None => format!("{}, no tracer", CODES[wire.base]),
    };
    Colour::parse(&text).expect("a colour of the simulation")
}

/// One vehicle that comes in, most of its attributes known, and all points of it asked.
fn asked(language: &Language, models: &[Model], dice: &mut Dice) -> Vec<Question> {
    let model = dice.below(models.len());
    let real = models[model].vehicle(dice);
    let known = real.attributes.iter().filter(|_| dice.happens(0.95));
    let mut text = real.year.to_string();
    text.extend(known.map(|(name, value)| format!("; {name}={value}")));
    if dice.happens(0.25) {
        text += &format!("; built={:04}-{:02}", real.built / 12, real.built % 12 + 1);
    }
    let vehicle =
        Vehicle::parse_seen(&text, language.vocabulary(), language.year()).expect("an asked vehicle");
    let question = |(truth, about): (usize, &Truth)| Question {
        bucket: (model, truth),
        vehicle: vehicle.clone(),
        truth: colour(about.wire(&real)),
        kind: about.kind_of(&real),
    };
    models[model].truths.iter().enumerate().map(question).collect()
}

fn fold(
    language: &Language,
    models: &[Model],
    notes: &[Written],
    seed: u64,
) -> BTreeMap<(usize, usize), Bucket> {
    let mut memo = Memo::new(language);
    let mut reader = Reader { language, values: HashMap::new(), ids: Dice(seed ^ 0x5eed) };
    let mut foldings: BTreeMap<(usize, usize), Folding> = BTreeMap::new();
    for note in notes {
        let point = models[note.model].truths[note.truth].point;
        let folding = foldings.entry((note.model, note.truth)).or_insert_with(|| {
            Folding::new(language, language.catalogue.point(point).expect("a point of the catalogue"))
        });
        reader.push(note, folding, &mut memo);
    }
    foldings.into_iter().map(|(key, folding)| (key, folding.finish())).collect()
}

/// Reads rows as intake would, each spelling once.
struct Reader<'l> {
    language: &'l Language,
    values: HashMap<(&'static str, String), Value>,
    ids: Dice,
}

impl Reader<'_> {
    fn push(&mut self, note: &Written, folding: &mut Folding, memo: &mut Memo<'_>) {
        let given = [("colour", note.colour.as_str()), ("signal", note.signal)];
        let values: Vec<(u16, Known)> = given
            .into_iter()
            .filter(|(_, text)| !text.is_empty())
            .map(|(field, text)| self.value(field, text, memo))
            .collect();
        let (vocabulary, today) = (self.language.vocabulary(), self.language.year());
        let years = format!("{}-{}", note.years.0, note.years.1);
        let scope = Scope::parse(&years, &note.only, vocabulary, today).expect("a scope");
        let seen = Vehicle::parse_seen(&note.seen, vocabulary, today).expect("a seen vehicle");
        scope.admits_seen(&seen).expect("a vehicle within its scope");
        let mut id = [0; 10];
        id[..8].copy_from_slice(&self.ids.next().to_le_bytes());
        let fact = Fact {
            number: u32::try_from(folding.bucket().entries.len()).expect("few notes"),
            id: NoteId(id),
            values: &values,
            prose: false,
            scope: memo.scope(&scope),
            seen: (!seen.is_blank()).then(|| memo.seen(&seen.to_string(), || seen.clone())),
            person: memo.person(&note.by),
            basis: note.basis,
            on: note.on,
        };
        folding.push(&fact, memo);
    }

    fn value(&mut self, field: &'static str, text: &str, memo: &mut Memo<'_>) -> (u16, Known) {
        let number = self.language.catalogue.field(field).expect("a field of the catalogue");
        let read = || self.language.read(number, text).unwrap_or_else(|wrong| panic!("{text}: {wrong}"));
        let value = self.values.entry((field, text.to_owned())).or_insert_with(read);
        (u16::try_from(number).expect("few fields"), memo.value(number, value))
    }
}

/// Whether notes with this basis were made before a vehicle.
pub fn is_observation(entry: &baybook::judge::bucket::Entry) -> bool {
    entry.basis != Basis::Told && entry.basis != Basis::Diagram && entry.seen != 0
}
