//! A note: for the vehicles of a scope, a point has these values, because of this evidence.
//!
//! Owns the identity of a note (a hash of what it means), the bases of knowledge and the date. Where a
//! note came from, whether it still stands, and what it contradicts are for others.

use std::fmt;
use std::hash::{Hash, Hasher};

use serde::{Deserialize, Serialize};

use crate::vehicle::names::fold;
use crate::vehicle::{Scope, Vehicle};

/// How the writer knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Basis {
    /// Measured on the vehicle.
    Metered,
    /// Connected there, and it worked.
    Fitted,
    /// Seen with own eyes, neither measured nor connected.
    Inspected,
    /// From the vehicle maker's wiring diagram.
    Diagram,
    /// Word of mouth.
    Told,
}

impl Basis {
    /// All five, strongest first.
    pub const ALL: [Self; 5] = [Self::Metered, Self::Fitted, Self::Inspected, Self::Diagram, Self::Told];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        ["metered", "fitted", "inspected", "diagram", "told"][self as usize]
    }

    /// Reads the word.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let wanted = text.trim();
        Self::ALL.into_iter().find(|basis| basis.word().eq_ignore_ascii_case(wanted))
    }

    /// The number it is stored under; the order of `ALL`.
    #[must_use]
    pub fn number(self) -> u8 {
        self as u8
    }

    /// The basis stored under `number`.
    #[must_use]
    pub fn from_number(number: u8) -> Option<Self> {
        Self::ALL.get(usize::from(number)).copied()
    }

    /// Whether the writer stood before a vehicle: metered, fitted or inspected.
    #[must_use]
    pub fn is_observation(self) -> bool {
        self <= Self::Inspected
    }

    /// Whether the writer tried it on the vehicle: metered or fitted.
    #[must_use]
    pub fn is_proof(self) -> bool {
        self <= Self::Fitted
    }
}

/// Who wrote a note. Two spellings of a name are one person when they differ in case and punctuation only.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Person(String);

impl Person {
    /// A person by the name as written, or `None` where nothing is written.
    #[must_use]
    pub fn new(name: &str) -> Option<Self> {
        let name = crate::value::prose::tidy(name);
        (!fold(&name).is_empty()).then(|| Self(name.into_owned()))
    }

    /// The name as written.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.0
    }

    /// What two spellings of one name share.
    #[must_use]
    pub fn key(&self) -> String {
        fold(&self.0)
    }
}

/// The identity of a note: the first 80 bits of a BLAKE3 hash of what it means.
///
/// Shown as `n-` and base-32 characters (RFC 4648's alphabet in lower case); a prefix stands for the
/// whole where it is unambiguous.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct NoteId(pub [u8; 10]);

impl Hash for NoteId {
    /// It is a hash already, and most of it tells enough.
    fn hash<H: Hasher>(&self, state: &mut H) {
        let [a, b, c, d, e, f, g, h, ..] = self.0;
        state.write_u64(u64::from_le_bytes([a, b, c, d, e, f, g, h]));
    }
}

const BASE32: &[u8; 32] = b"abcdefghijklmnopqrstuvwxyz234567";

impl NoteId {
    /// Its sixteen characters without the prefix.
    #[must_use]
    pub fn code(self) -> String {
        base32(self.0)
    }

    /// The first and the last id that start with the characters of `code`, or `None` where it holds
    /// a character that no id has or is longer than an id.
    #[must_use]
    pub fn range(code: &str) -> Option<(Self, Self)> {
        base32_range(code).map(|(low, high)| (Self(low), Self(high)))
    }

    /// Reads the whole id as it is shown.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let (low, high) = Self::range(text.trim().strip_prefix("n-")?)?;
        (low == high).then_some(low)
    }
}

/// The sixteen characters of 80 bits.
#[must_use]
pub fn base32(id: [u8; 10]) -> String {
    let mut wide = [0; 16];
    wide[6..].copy_from_slice(&id);
    let bits = u128::from_be_bytes(wide);
    (0..16).rev().map(|place| char::from(BASE32[(bits >> (5 * place) & 31) as usize])).collect()
}

/// The first and the last 80 bits whose characters begin with those of `code`.
#[must_use]
pub fn base32_range(code: &str) -> Option<([u8; 10], [u8; 10])> {
    let digit = |byte: u8| BASE32.iter().position(|known| *known == byte.to_ascii_lowercase());
    let digits: Option<Vec<u128>> = code.bytes().map(|byte| digit(byte).map(|at| at as u128)).collect();
    let digits = digits.filter(|digits| (1..=16).contains(&digits.len()))?;
    let free = 5 * (16 - digits.len());
    let low = digits.iter().fold(0_u128, |bits, digit| bits << 5 | digit) << free;
    Some((from_bits(low), from_bits(low | ((1_u128 << free) - 1))))
}

fn from_bits(bits: u128) -> [u8; 10] {
    let mut id = [0; 10];
    id.copy_from_slice(&bits.to_be_bytes()[6..]);
    id
}

impl fmt::Display for NoteId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "n-{}", self.code())
    }
}

/// The day 1970-01-01, from which days are counted.
const EPOCH: jiff::civil::Date = jiff::civil::Date::constant(1970, 1, 1);

/// A date as days since 1970-01-01.
#[must_use]
pub fn day_of(date: jiff::civil::Date) -> i32 {
    date.since(EPOCH).map_or(0, |span| span.get_days())
}

/// The date of a day since 1970-01-01.
#[must_use]
pub fn date_of(day: i32) -> jiff::civil::Date {
    EPOCH.saturating_add(jiff::Span::new().days(day))
}

/// The ISO text of a day since 1970-01-01.
#[must_use]
pub fn date_text(day: i32) -> String {
    date_of(day).to_string()
}

/// How many characters of an id are shown in a book of `notes` notes: as few as six, and as many as
/// keep the chance that any two ids of the book share them near one in two hundred and fifty.
#[must_use]
pub fn shown_characters(notes: u64) -> usize {
    let bits = 2.0 * (notes.max(1) as f64).log2() + 7.0;
    ((bits / 5.0).ceil() as usize).clamp(6, 16)
}

/// A note with everything that it means.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    /// The maker as written.
    pub make: String,
    /// The model as written.
    pub model: String,
    /// The vehicles that it claims to cover.
    pub scope: Scope,
    /// The name of the point.
    pub point: String,
    /// Field names with canonical texts, sorted by name.
    pub values: Vec<(String, String)>,
    /// How the writer knows.
    pub basis: Basis,
    /// Who wrote it.
    pub by: Person,
    /// When.
    pub on: jiff::civil::Date,
    /// The vehicle on which the writer looked.
    pub seen: Option<Vehicle>,
    /// What else was written.
    pub remark: String,
}

/// The parts of a note that make its identity, as texts: nothing here depends on how it was spelled.
#[derive(Debug, Clone, Copy)]
pub struct Meaning<'a> {
    /// `vehicle::names::fold` of the maker.
    pub make: &'a str,
    /// `vehicle::names::fold` of the model.
    pub model: &'a str,
    /// Canonical years.
    pub years: &'a str,
    /// Canonical qualifiers, build dates among them.
    pub only: &'a str,
    /// The name of the point.
    pub point: &'a str,
    /// How the writer knows.
    pub basis: Basis,
    /// `Person::key`.
    pub by: &'a str,
    /// The ISO date.
    pub on: &'a str,
    /// Canonical vehicle, or nothing.
    pub seen: &'a str,
    /// The remark with blanks made one.
    pub remark: &'a str,
}

impl Meaning<'_> {
    /// The id of a note with this meaning and these values (names with canonical texts, sorted by name).
    ///
    /// Each part is hashed with its length before it, so that no two meanings run into one text.
    pub fn id<'v>(&self, values: impl Iterator<Item = (&'v str, &'v str)>, scratch: &mut Vec<u8>) -> NoteId {
        scratch.clear();
        scratch.push(1); // the version of this recipe
        let fixed =
            [self.make, self.model, self.years, self.only, self.point, self.basis.word(), self.by, self.on];
        for part in fixed.into_iter().chain([self.seen, self.remark]) {
            push_part(scratch, part);
        }
        for (name, value) in values {
            push_part(scratch, name);
            push_part(scratch, value);
        }
        NoteId(shortened(scratch))
    }
}

/// Appends a part after its length, so that no two meanings run into one text.
pub(crate) fn push_part(scratch: &mut Vec<u8>, part: &str) {
    scratch.extend_from_slice(&(part.len() as u32).to_le_bytes());
    scratch.extend_from_slice(part.as_bytes());
}

/// The first 80 bits of the BLAKE3 hash of parts.
pub(crate) fn shortened(parts: &[u8]) -> [u8; 10] {
    let mut id = [0; 10];
    id.copy_from_slice(&blake3::hash(parts).as_bytes()[..10]);
    id
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_is_found_again_by_any_of_its_prefixes() {
        let id = NoteId([0x9c, 1, 2, 3, 4, 5, 6, 7, 8, 0xff]);
        let code = id.code();
        assert_eq!(code.len(), 16);
        for length in 1..=16 {
            let (low, high) = NoteId::range(&code[..length]).expect("characters of an id");
            assert!(low <= id && id <= high, "prefix of {length}");
        }
        assert_eq!(NoteId::range(&code), Some((id, id)));
        assert_eq!(NoteId::range("n-1"), None);
        assert_eq!(NoteId::range(""), None);
    }

    #[test]
    fn more_notes_show_more_characters() {
        for (notes, expected) in [(0, 6), (1_000, 6), (10_000, 7), (100_000, 9), (1_000_000, 10)] {
            assert_eq!(shown_characters(notes), expected, "{notes} notes");
        }
    }

    #[test]
    fn parts_do_not_run_into_each_other() {
        let base = Meaning {
            make: "ab",
            model: "c",
            years: "2016",
            only: "",
            point: "ground",
            basis: Basis::Metered,
            by: "x",
            on: "2024-01-01",
            seen: "",
            remark: "",
        };
        let other = Meaning { make: "a", model: "bc", ..base };
        let id = |meaning: &Meaning| meaning.id([("at", "left")].into_iter(), &mut Vec::new());
        assert_ne!(id(&base), id(&other));
        assert_eq!(id(&base), id(&base));
    }
}
