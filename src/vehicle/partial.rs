//! One vehicle, as far as it is known: the one asked about, or the one that a writer saw.
//!
//! It owns the partial assignment and the `seen` text. What a vehicle means to a scope stands in
//! `matching`; make and model are the caller's.

use std::collections::BTreeMap;
use std::fmt;

use serde::{Deserialize, Serialize};

use super::attribute::Vocabulary;
use super::built::Built;
use super::vin::{CheckDigit, VIN_LENGTH, Vin, VinPattern};
use super::years::{ModelYear, Years};
use super::{DEFAULT_DRIVE, DRIVE};
use crate::value::{Misread, Problem};

/// What is known of one vehicle; the rest may be anything, but for `drive`, which is `lhd` where
/// nobody wrote it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Vehicle {
    year: Option<ModelYear>,
    built: Built,
    attributes: BTreeMap<String, String>,
    vin: Option<VinPattern>,
}

impl Vehicle {
    /// A vehicle of which the year is known, if that.
    #[must_use]
    pub fn new(year: Option<ModelYear>) -> Self {
        Self { year, ..Self::default() }
    }

    /// The same vehicle, with a canonical value of one attribute.
    #[must_use]
    pub fn with(mut self, attribute: &str, value: &str) -> Self {
        if attribute == DRIVE && value == DEFAULT_DRIVE {
            self.attributes.remove(attribute);
        } else {
            self.attributes.insert(attribute.to_owned(), value.to_owned());
        }
        self
    }

    /// The same vehicle, of that model year.
    #[must_use]
    pub fn with_year(self, year: ModelYear) -> Self {
        Self { year: Some(year), ..self }
    }

    /// The same vehicle, built in one of these months.
    #[must_use]
    pub fn with_built(self, built: Built) -> Self {
        Self { built, ..self }
    }

    /// The same vehicle, with what may be kept of its VIN.
    #[must_use]
    pub fn with_vin(self, vin: VinPattern) -> Self {
        Self { vin: Some(vin), ..self }
    }

    /// The model year, where it is known.
    #[must_use]
    pub fn year(&self) -> Option<ModelYear> {
        self.year
    }

    /// The months in which it may have been built.
    #[must_use]
    pub fn built(&self) -> Built {
        self.built
    }

    /// The attributes that are known, without an assumed `drive`.
    #[must_use]
    pub fn attributes(&self) -> &BTreeMap<String, String> {
        &self.attributes
    }

    /// The value of an attribute, where it is known; `drive` always is.
    #[must_use]
    pub fn attribute(&self, name: &str) -> Option<&str> {
        self.attributes.get(name).map(String::as_str).or_else(|| (name == DRIVE).then_some(DEFAULT_DRIVE))
    }

    /// What is kept of its VIN.
    #[must_use]
    pub fn vin(&self) -> Option<VinPattern> {
        self.vin
    }

    /// Whether nothing is known of it: an empty `seen`, which is no observation.
    #[must_use]
    pub fn is_blank(&self) -> bool {
        *self == Self::default()
    }

    /// Whether the two may be one vehicle: nothing that is known of both differs. Some of the characters of a VIN are
    /// kept, and many vehicles have the same.
    #[must_use]
    pub fn may_be(&self, other: &Self) -> bool {
        let same = |name: &String| match (self.attribute(name), other.attribute(name)) {
            (Some(a), Some(b)) => a == b,
            _ => true,
        };
        self.year.zip(other.year).is_none_or(|(a, b)| a == b)
            && self.vin.zip(other.vin).is_none_or(|(a, b)| a == b)
            && self.built.overlaps(&other.built)
            && self.attributes.keys().chain(other.attributes.keys()).all(same)
    }

    /// The same vehicle, its model year not known.
    #[must_use]
    pub fn without_year(mut self) -> Self {
        self.year = None;
        self
    }

    /// The same vehicle, its VIN not known.
    #[must_use]
    pub fn without_vin(mut self) -> Self {
        self.vin = None;
        self
    }

    /// The same vehicle with its year settled: where only the VIN is known and exactly one of its two
    /// candidates lies in `years`, as the years of the note in which it is seen, that one is it.
    #[must_use]
    pub fn year_settled_by(self, years: &Years) -> Self {
        let mut possible = self.vin.map(|vin| vin.model_year_candidates()).unwrap_or_default();
        possible.retain(|&year| years.holds(year));
        match (self.year, possible.as_slice()) {
            (None, [year]) => self.with_year(*year),
            _ => self,
        }
    }

    /// Reads a `seen` text: a year, a VIN and qualifiers, separated by `;`, each at most once:
    /// `2016; cab=crew; tow=yes`. Of a VIN only the pattern is kept, and the year that it tells.
    ///
    /// # Errors
    /// What cannot be read; several years or values; a wrong check digit, or a year that the VIN
    /// denies, on a North American VIN. An empty text is a vehicle of which nothing is known.
    pub fn parse_seen(text: &str, vocabulary: &Vocabulary, today: ModelYear) -> Result<Self, Misread> {
        let mut read = Self::default();
        for part in super::attribute::parts(text) {
            read.take(part, vocabulary, today)?;
        }
        read.reconciled_with_vin(today)
    }

    /// Takes in one part of a `seen` text.
    fn take(&mut self, part: &str, vocabulary: &Vocabulary, today: ModelYear) -> Result<(), Misread> {
        if let Some(dates) = super::attribute::build_dates(part) {
            let read = Built::parse(dates, today)?;
            let free = self.built.is_all();
            return set_once("built", free, || self.built = read);
        }
        if let Some(number) = vin_text(part) {
            let read = read_vin(number)?;
            let free = self.vin.is_none();
            return set_once("the VIN", free, || self.vin = Some(read));
        }
        if let Some(text) = year_text(part) {
            let read = ModelYear::parse(text, today)?;
            let free = self.year.is_none();
            return set_once("the year", free, || self.year = Some(read));
        }
        let (attribute, value) = vocabulary.read_one_value(part)?;
        let free = !self.attributes.contains_key(&attribute);
        set_once(&attribute, free, || *self = std::mem::take(self).with(&attribute, &value))
    }

    /// The year from the VIN where none was written, and a complaint where both were and disagree.
    fn reconciled_with_vin(mut self, today: ModelYear) -> Result<Self, Misread> {
        let Some(vin) = self.vin else { return Ok(self) };
        let Some(year) = self.year else {
            self.year = vin.model_year_by(today);
            return Ok(self);
        };
        let candidates = vin.model_year_candidates();
        if !vin.north_american() || candidates.is_empty() || candidates.contains(&year) {
            return Ok(self);
        }
        let possible: Vec<String> = candidates.iter().map(ToString::to_string).collect();
        let message = format!("the VIN says {}, and the year written is {year}", possible.join(" or "));
        Err(Misread::new(Problem::Unreadable, message))
    }

    /// In plain words: `2016, crew cab, tow package`.
    #[must_use]
    pub fn describe(&self, vocabulary: &Vocabulary) -> String {
        let year = self.year.map(|year| year.to_string());
        let built = (!self.built.is_all()).then(|| self.built.plain());
        let attributes = self.attributes.iter().map(|(attribute, value)| vocabulary.plain(attribute, value));
        let said: Vec<String> = year.into_iter().chain(built).chain(attributes).collect();
        if said.is_empty() { "a vehicle of which nothing is known".to_owned() } else { said.join(", ") }
    }

    /// `{"year": 2016, "attributes": {"cab": "crew"}}`: an unknown year is `null`; `built` and `vin`
    /// stand only where they are known.
    #[must_use]
    pub fn to_json(&self) -> impl Serialize + use<'_> {
        #[derive(Serialize)]
        struct Shape<'v> {
            year: Option<ModelYear>,
            #[serde(skip_serializing_if = "Option::is_none")]
            built: Option<[Option<String>; 2]>,
            #[serde(skip_serializing_if = "Option::is_none")]
            vin: Option<String>,
            attributes: &'v BTreeMap<String, String>,
        }
        Shape {
            year: self.year,
            built: self.built.ends_named(),
            vin: self.vin.map(|vin| vin.to_string()),
            attributes: &self.attributes,
        }
    }
}

impl fmt::Display for Vehicle {
    /// The canonical `seen` text: `2016; 1M8GDM9A_GP______; built=2017-09; cab=crew`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let year = self.year.map(|year| year.to_string());
        let vin = self.vin.map(|vin| vin.to_string());
        let built = (!self.built.is_all()).then(|| format!("built={}", self.built));
        let attributes = self.attributes.iter().map(|(attribute, value)| format!("{attribute}={value}"));
        let parts: Vec<String> = year.into_iter().chain(vin).chain(built).chain(attributes).collect();
        f.write_str(&parts.join("; "))
    }
}

/// Runs `set` if the thing was free, else complains that it is given twice.
fn set_once(name: &str, free: bool, set: impl FnOnce()) -> Result<(), Misread> {
    if !free {
        return Err(Misread::new(Problem::Unreadable, format!("{name} is given twice; one vehicle has one")));
    }
    set();
    Ok(())
}

/// The number in a part that is meant as a VIN: `vin=…`, or one word of about that length with digits, or with the blanks
/// of a pattern.
fn vin_text(part: &str) -> Option<&str> {
    if let Some((name, number)) = part.split_once('=') {
        return name.trim().eq_ignore_ascii_case("vin").then_some(number);
    }
    let of_length = (VIN_LENGTH - 2..=VIN_LENGTH + 2).contains(&part.chars().count());
    let digits = part.bytes().filter(u8::is_ascii_digit).count();
    let like_one = digits >= 3 || part.contains('_');
    (of_length && like_one && !part.contains(char::is_whitespace)).then_some(part)
}

fn read_vin(number: &str) -> Result<VinPattern, Misread> {
    if number.contains('_') {
        return VinPattern::parse(number);
    }
    let vin = Vin::parse(number)?;
    match vin.check_digit() {
        CheckDigit::Wrong { computed } if vin.mandatory() => {
            let message = format!(
                "the check digit of this VIN (position 9) should be {computed}; look for a slip in the other characters"
            );
            Err(Misread::new(Problem::Unreadable, message))
        }
        _ => Ok(vin.pattern()),
    }
}

/// The year in a part that is meant as one: `year=2016`, or a part that starts as years do.
fn year_text(part: &str) -> Option<&str> {
    match part.split_once('=') {
        Some((name, year)) => name.trim().eq_ignore_ascii_case("year").then_some(year),
        None => {
            let bare = part.trim_start_matches(['\'', '\u{2019}', '-', '\u{2013}']);
            let digits = bare.bytes().take_while(u8::is_ascii_digit).count();
            let more_words = part.contains(char::is_alphabetic);
            (digits >= 2 && !more_words).then_some(part)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{ModelYear, Vehicle, Vocabulary};
    use crate::vehicle::Years;
    use proptest::prelude::*;

    const TODAY: ModelYear = ModelYear::new(2026);

    fn read(text: &str) -> Result<Vehicle, crate::value::Misread> {
        Vehicle::parse_seen(text, Vocabulary::builtin(), TODAY)
    }

    #[test]
    fn the_seen_vehicle() {
        let check = |expected: &str, texts: &[&str]| {
            for text in texts {
                assert_eq!(read(text).map(|vehicle| vehicle.to_string()).as_deref(), Ok(expected), "{text}");
            }
        };
        check(
            "2016; cab=crew; tow=yes",
            &["2016; cab=crew; tow=yes", "'16;tow package;Crew Cab;", "tow=y; CAB=Crew; 16"],
        );
        check("2016; tow=no", &["2016; no tow package", "year=2016; tow=no", "2016; towing=without"]);
        check("2016", &["2016", " 2016 ; ", "2016; drive=lhd", "2016; left-hand drive"]);
        check("2016; drive=rhd", &["2016; drive=right", "2016; RHD"]);
        check("2016; trim=LX SPORT", &["2016; trim= lx  sport", "2016; Trim Level=LX Sport"]);
        check(
            "2017; built=2017-10; fuel=petrol",
            &["2017; gas; built=Oct 2017", "fuel=gasoline;built=2017-10; 2017"],
        );
        check("", &["", ";", " ; ; "]);
    }

    /// The hypothetical number of the Wikibooks page on the check digit; K is 1989 or 2019.
    #[test]
    fn a_vin_in_place_of_a_year() {
        let check = |text: &str, expected: &str| {
            assert_eq!(read(text).map(|vehicle| vehicle.to_string()).as_deref(), Ok(expected), "{text}");
        };
        check("1M8GDM9AXKP042788", "1M8GDM9A_KP______");
        check("1M8GDM9A_KP______", "1M8GDM9A_KP______");
        check("vin=1m8gdm9axkp042788; 2019; cab=crew", "2019; 1M8GDM9A_KP______; cab=crew");
        // X is 1999 or 2029, and 2029 lies more than two years ahead of 2026.
        check("1M8GDM9A_XP______", "1999; 1M8GDM9A_XP______");
        // Outside North America position 10 need not be a year.
        check("9M8GDM9A_XP______", "9M8GDM9A_XP______");
        check("9M8GDM9A_XP______; 2016", "2016; 9M8GDM9A_XP______");
    }

    #[test]
    fn the_years_of_the_note_settle_the_year_of_its_vin() {
        let check = |seen: &str, years: &str, expected: Option<u16>| {
            let years = Years::parse(years, TODAY).expect("readable");
            let settled = read(seen).expect("readable").year_settled_by(&years);
            assert_eq!(settled.year().map(ModelYear::get), expected, "{seen} in {years}");
        };
        check("1M8GDM9AXKP042788", "2015-2019", Some(2019));
        check("1M8GDM9AXKP042788", "1985-1995", Some(1989));
        check("1M8GDM9AXKP042788", "1985-2020", None);
        check("1M8GDM9AXKP042788", "2015-2017", None);
        check("2016", "2015-2019", Some(2016));
        check("cab=crew", "2016", None);
    }

    #[test]
    fn refused_with_a_reason() {
        let check = |text: &str, says: &str| {
            let misread = read(text).expect_err(text);
            assert!(misread.message.contains(says), "{text}: {misread}");
        };
        check("2015-2019", "one model year");
        check("2016; 2017", "the year is given twice");
        check("2016; cab=crew; cab=crew", "cab is given twice");
        check("2016; cab=crew|extended", "one vehicle has one cab");
        check("2016; cab=crow", "nearest: crew");
        check("2016; cub=crew", "nearest: cab");
        check("2016; colour=red", "no attribute that is known; known are cab, body");
        check("2016 cab=crew", "no attribute");
        check("2016; cab=crew, tow=yes", "no value of cab");
        check("2016; trim=LX, tow=yes", "separate qualifiers by ;");
        check("2016; trim=", "trim has no value");
        check("2016; =crew", "no attribute");
        check("2016; blue", "is no qualifier; write an attribute and its value, as cab=crew");
        check("2016; not crew cab", "is no qualifier");
        check("2016 crew cab", "and ; between two");
        check("2031", "more than two years from now");
        check("2016-05", "a month");
        check("1M8GDM9A1KP042788", "should be X");
        check("1M8GDM9AXKP04278", "this has 16");
        check("1M8GDM9AXKPO42788", "position 12 of this VIN is O");
        check("2016; 1M8GDM9AXKP042788", "the VIN says 1989 or 2019, and the year written is 2016");
        check("1M8GDM9AXKP042788; 1M8GDM9AXKP042788", "the VIN is given twice");
    }

    #[test]
    fn json_and_plain_words() {
        let check = |text: &str, json: &str, plain: &str| {
            let vehicle = read(text).expect(text);
            assert_eq!(serde_json::to_string(&vehicle.to_json()).expect("a vehicle"), json);
            assert_eq!(vehicle.describe(Vocabulary::builtin()), plain);
        };
        check("2016; crew cab", r#"{"year":2016,"attributes":{"cab":"crew"}}"#, "2016, crew cab");
        check("", r#"{"year":null,"attributes":{}}"#, "a vehicle of which nothing is known");
        check(
            "2017; built=2017-09..; no tow package",
            r#"{"year":2017,"built":["2017-09",null],"attributes":{"tow":"no"}}"#,
            "2017, built from 2017-09, no tow package",
        );
    }

    proptest! {
        #[test]
        fn no_text_panics_and_what_is_read_reads_back(text in "(2016|1[0-9]{3}|cab|crew|=|;|\\||tow|yes|trim|built|2017-09|\\.\\.|\\PC{0,3}){0,12}") {
            if let Ok(vehicle) = read(&text) {
                prop_assert_eq!(read(&vehicle.to_string()), Ok(vehicle));
            }
        }

        #[test]
        fn a_number_whose_figures_are_in_its_serial_reads_back(letters in "[A-H]{8}[0-9][A-H]{2}[0-9]{6}") {
            if let Ok(vehicle) = read(&letters) {
                prop_assert_eq!(read(&vehicle.to_string()), Ok(vehicle));
            }
        }

        #[test]
        fn any_trim_reads_back(trim in "\\PC{1,40}") {
            if let Ok(vehicle) = read(&format!("2016; trim={trim}")) {
                prop_assert_eq!(read(&vehicle.to_string()), Ok(vehicle));
            }
        }

        #[test]
        fn arbitrary_text_does_not_panic(text in any::<String>()) {
            let _ = read(&text);
        }
    }
}
