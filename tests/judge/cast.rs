//! The notes of the random cases: few hands, few vehicles, and values that are often the same, finer, different
//! or of an unknown relation. What a point compares is written here from the design, not taken from the catalogue.

use std::cell::RefCell;
use std::collections::{BTreeMap, HashMap};
use std::fmt;

use baybook::catalogue::Answers;
use baybook::judge::bucket::Bucket;
use baybook::judge::fold::{Fact, Folding, Known, Memo};
use baybook::language::Language;
use baybook::note::{Basis, NoteId};
use baybook::value::Value;
use baybook::value::place::DriveSide;
use baybook::vehicle::{Scope, Vehicle};

use crate::random::Random;

/// What a note or an answer says, by field.
pub type Said = BTreeMap<&'static str, Value>;

/// A note as far as judgement looks at it.
#[derive(Clone)]
pub struct Note {
    pub id: NoteId,
    pub said: Said,
    pub scope: Scope,
    pub seen: Vehicle,
    pub by: &'static str,
    pub basis: Basis,
    pub on: i32,
}

impl fmt::Debug for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let said: Vec<String> = self.said.iter().map(|(field, value)| format!("{field}={value}")).collect();
        let (years, only) = (self.scope.years(), self.scope.only_text());
        let (by, basis, on) = (self.by, self.basis.word(), self.on);
        write!(f, "{years} [{only}] {basis} {by} day {on} seen [{}]: {}", self.seen, said.join(", "))
    }
}

/// A point and what is written about it.
pub struct Subject {
    pub name: &'static str,
    pub several: bool,
    pub identified_by: &'static [&'static str],
    pub must_agree: &'static [&'static str],
    texts: &'static [(&'static str, &'static [&'static str])],
}

/// `""` is a field left empty. Spellings of one value stand beside each other on purpose.
pub const SUBJECTS: [Subject; 4] = [
    Subject {
        name: "brake-signal",
        several: false,
        identified_by: &[],
        must_agree: &["colour", "signal", "cavity"],
        texts: &[
            (
                "colour",
                &[
                    "",
                    "VT",
                    "VT/WH",
                    "violet, no tracer",
                    "violet with white tracer",
                    "VT/RD",
                    "GN",
                    "light GN",
                    "dark GN",
                ],
            ),
            ("signal", &["", "", "positive", "12 V", "negative"]),
            ("connector", &["", "C1", "c-1", "C2"]),
            ("cavity", &["", "2", "pin 2", "3"]),
            ("idle", &["", "", "0 V", "0.1 V"]),
        ],
    },
    Subject {
        name: "ground",
        several: true,
        identified_by: &["at"],
        must_agree: &["stud"],
        texts: &[
            (
                "at",
                &[
                    "",
                    "kick panel",
                    "left kick panel",
                    "driver side kick panel",
                    "right kick panel",
                    "inner fender",
                    "left inner fender",
                    "behind the glove box",
                    "above the kick panel",
                ],
            ),
            ("stud", &["", "M6", "M8", "M8x1.25", "5/16", "8 mm stud"]),
            ("torque", &["", "", "9 N·m"]),
        ],
    },
    Subject {
        name: "fused-feed",
        several: true,
        identified_by: &["at", "slot"],
        must_agree: &["rating", "hot"],
        texts: &[
            (
                "at",
                &[
                    "",
                    "fuse box",
                    "fuse box under dash",
                    "fuse box under hood",
                    "underhood fuse box",
                    "behind the glove box",
                ],
            ),
            ("slot", &["", "F12", "fuse 12", "f-12", "F13"]),
            ("rating", &["", "10 A", "10.4", "15", "20 A"]),
            ("hot", &["", "", "always", "constant", "ignition"]),
        ],
    },
    Subject {
        name: "firewall-pass",
        several: true,
        identified_by: &["at"],
        must_agree: &["hole", "grommet"],
        texts: &[
            (
                "at",
                &[
                    "",
                    "above the hood release cable",
                    "driver side, above the hood release cable",
                    "below the hood release cable",
                    "left of the steering column",
                    "steering column",
                ],
            ),
            ("hole", &["", "1-3/8 in", "35 mm", "36 mm", "3.5 cm", "40 mm", "about 1.5 in"]),
            ("grommet", &["", "none", "existing", "fit-new"]),
        ],
    },
];

/// Two spellings of one hand among them.
const HANDS: [&str; 4] = ["R. Okafor", "r okafor", "D. Pruett", "M. Haugli"];
const YEARS: [&str; 7] = ["2015-2019", "2016", "2017-", "-2016", "2015-2017", "2018-2020", "2014-2016"];
const ONLY: [&str; 7] =
    ["", "", "tow=yes", "tow=no", "cab=crew|extended", "cab=crew; tow=yes", "cab=regular"];
const SEEN: [&str; 9] = [
    "",
    "2016",
    "2016; cab=crew",
    "2016; cab=crew; tow=yes",
    "2016; tow=no",
    "2015; cab=crew",
    "2017; tow=yes",
    "2018",
    "2019; cab=regular",
];

/// Reads the texts of the cast, each once.
pub struct Cast {
    language: Language,
    values: RefCell<HashMap<(&'static str, String), Value>>,
    scopes: Vec<Scope>,
    seen: Vec<Vehicle>,
}

impl Cast {
    pub fn new() -> Self {
        let language =
            Language::new(None, DriveSide::Lhd, jiff::civil::date(2026, 1, 15)).expect("the catalogue");
        let (vocabulary, today) = (language.vocabulary(), language.year());
        let boxes = YEARS.iter().flat_map(|years| ONLY.iter().map(move |only| (years, only)));
        let scope =
            |(years, only): (&&str, &&str)| Scope::parse(years, only, vocabulary, today).expect("a scope");
        let scopes = boxes.map(scope).collect();
        let seen = SEEN
            .iter()
            .map(|text| Vehicle::parse_seen(text, vocabulary, today).expect("a vehicle"))
            .collect();
        Self { values: RefCell::default(), scopes, seen, language }
    }

    fn read(&self, field: &'static str, text: &str) -> Value {
        let read = || {
            self.language
                .read(field_number(&self.language, field), text)
                .unwrap_or_else(|misread| panic!("{field} {text}: {misread}"))
        };
        self.values.borrow_mut().entry((field, text.to_owned())).or_insert_with(read).clone()
    }

    pub fn language(&self) -> &Language {
        &self.language
    }

    /// A few random notes on a point, each seen within its own scope.
    fn notes(&self, subject: &Subject, random: &mut Random) -> Vec<Note> {
        (0..3 + random.below(6)).map(|_| self.note(subject, random)).collect()
    }

    fn note(&self, subject: &Subject, random: &mut Random) -> Note {
        let scope = self.scopes[random.below(self.scopes.len())].clone();
        let within: Vec<&Vehicle> = self.seen.iter().filter(|seen| scope.admits_seen(seen).is_ok()).collect();
        let mut id = [0; 10];
        id[..8].copy_from_slice(&random.next().to_le_bytes());
        let drawn: Vec<_> =
            subject.texts.iter().map(|(field, texts)| (*field, random.one_of(texts))).collect();
        let given = drawn.into_iter().filter(|(_, text)| !text.is_empty());
        Note {
            id: NoteId(id),
            said: given.map(|(field, text)| (field, self.read(field, text))).collect(),
            seen: random.one_of(&within).clone(),
            scope,
            by: random.one_of(&HANDS),
            basis: random.one_of(&Basis::ALL),
            on: 19_000 + i32::try_from(random.below(6)).expect("few days"),
        }
    }

    /// What a claim of a bucket says.
    pub fn said<'t>(&self, subject: &Subject, texts: impl Iterator<Item = (&'t str, &'t str)>) -> Said {
        let known = |name: &str| subject.texts.iter().map(|(field, _)| *field).find(|field| *field == name);
        let named = |name: &str| known(name).expect("a field of the cast");
        texts.map(|(name, text)| (named(name), self.read(named(name), text))).collect()
    }
}

/// The bucket that the library folds from notes in this order.
pub fn bucket(memo: &mut Memo<'_>, subject: &Subject, notes: &[Note]) -> Bucket {
    let mut folding = Folding::new(memo.language, point(memo.language, subject.name));
    for (number, note) in notes.iter().enumerate() {
        push(&mut folding, memo, number, note);
    }
    folding.finish()
}

/// The bucket of one note on any point, about every vehicle.
pub fn bucket_of_texts(memo: &mut Memo<'_>, name: &str, texts: &[(&'static str, &str)]) -> Bucket {
    let language = memo.language;
    let read = |field: &str, text: &str| language.read(field_number(language, field), text).expect("a value");
    let note = Note {
        id: NoteId([u8::try_from(name.len()).expect("a short name"); 10]),
        said: texts.iter().map(|(field, text)| (*field, read(field, text))).collect(),
        scope: Scope::default(),
        seen: Vehicle::default(),
        by: HANDS[0],
        basis: Basis::Metered,
        on: 19_000,
    };
    let mut folding = Folding::new(language, point(language, name));
    push(&mut folding, memo, 0, &note);
    folding.finish()
}

fn point(language: &Language, name: &str) -> usize {
    language.catalogue.point(name).expect("a point of the catalogue")
}

fn field_number(language: &Language, name: &str) -> usize {
    language.catalogue.field(name).expect("a field of the catalogue")
}

fn push(folding: &mut Folding, memo: &mut Memo<'_>, number: usize, note: &Note) {
    let mut values: Vec<(u16, Known)> = Vec::new();
    for (name, value) in &note.said {
        let field = field_number(memo.language, name);
        values.push((u16::try_from(field).expect("few fields"), memo.value(field, value)));
    }
    let seen = (!note.seen.is_blank()).then(|| memo.seen(&note.seen.to_string(), || note.seen.clone()));
    let fact = Fact {
        number: u32::try_from(number).expect("few notes"),
        id: note.id,
        values: &values,
        prose: false,
        scope: memo.scope(&note.scope),
        seen,
        person: memo.person(note.by),
        basis: note.basis,
        on: note.on,
    };
    folding.push(&fact, memo);
}

/// Calls `check` for `cases` random sets of notes on every point, with the bucket folded from them.
pub fn for_random_buckets(seed: u64, cases: usize, check: impl FnMut(&Subject, &Cast, &[Note], &Bucket)) {
    for_chosen_buckets(seed, cases, |_, notes| notes, check);
}

/// The same of those notes alone that `choose` keeps.
pub fn for_chosen_buckets(
    seed: u64,
    cases: usize,
    choose: impl Fn(&Subject, Vec<Note>) -> Vec<Note>,
    mut check: impl FnMut(&Subject, &Cast, &[Note], &Bucket),
) {
    let cast = Cast::new();
    let mut memo = Memo::new(&cast.language);
    let mut random = Random(seed);
    for subject in &SUBJECTS {
        for _ in 0..cases {
            let notes = choose(subject, cast.notes(subject, &mut random));
            let bucket = bucket(&mut memo, subject, &notes);
            check(subject, &cast, &notes, &bucket);
        }
    }
}

#[test]
fn the_catalogue_compares_what_the_design_says() {
    let catalogue = Cast::new().language.catalogue;
    for subject in &SUBJECTS {
        let point = &catalogue.points[catalogue.point(subject.name).expect("a point of the catalogue")];
        let names =
            |fields: &[usize]| fields.iter().map(|at| catalogue.fields[*at].name.clone()).collect::<Vec<_>>();
        assert_eq!(names(&point.identified_by), subject.identified_by, "{}", subject.name);
        assert_eq!(names(&point.must_agree), subject.must_agree, "{}", subject.name);
        assert_eq!(point.answers == Answers::Several, subject.several, "{}", subject.name);
    }
}
