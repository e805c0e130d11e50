//! The vehicle identification number: its form, check digit, model year and maker's identifier,
//! by 49 CFR 565 (the transliteration, weights and year codes of 565.15).
//!
//! The serial number (positions 12-17) is nobody's business: only [`VinPattern`], positions 1-8, 10
//! and 11, can be stored or shown. What a number says about make and model, the book learns.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::years::ModelYear;
use crate::value::{Misread, Problem};

/// Characters in a VIN (49 CFR 565.13(b)).
pub const VIN_LENGTH: usize = 17;
/// The model-year codes, 1980/2010 first: no I, O, Q, U, Z or 0 (49 CFR 565.15, Table VII).
const YEAR_CODES: &[u8] = b"ABCDEFGHJKLMNPRSTVWXY123456789";
/// Position weights (49 CFR 565.15(c)(2), Table IV); the check digit itself does not count.
const WEIGHTS: [u32; VIN_LENGTH] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
/// The positions, counted from 0, that may be kept: 1-8, 10 and 11.
const KEPT: [usize; 10] = [0, 1, 2, 3, 4, 5, 6, 7, 9, 10];

/// A whole number as read from a vehicle. It cannot be stored, and `Debug` hides the serial.
#[derive(Clone, PartialEq, Eq)]
pub struct Vin([u8; VIN_LENGTH]);

/// Whether position 9 is what the rest of the number asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CheckDigit {
    /// It is.
    Right,
    /// It is not.
    Wrong {
        /// What would stand there were all other characters right.
        computed: char,
    },
}

/// What position 10 says about the model year. The codes come round every 30 years.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VinYear {
    /// It can be told.
    Known(ModelYear),
    /// One of two, 30 years apart.
    Either(ModelYear, ModelYear),
    /// The character is no model-year code.
    NoCode,
}

impl VinYear {
    /// The year, where it can be told.
    #[must_use]
    pub fn known(self) -> Option<ModelYear> {
        match self {
            Self::Known(year) => Some(year),
            Self::Either(..) | Self::NoCode => None,
        }
    }

    /// The years that it may be: none, one or two, the earlier first.
    #[must_use]
    pub fn candidates(self) -> Vec<ModelYear> {
        match self {
            Self::Known(year) => vec![year],
            Self::Either(early, late) => vec![early, late],
            Self::NoCode => Vec::new(),
        }
    }
}

impl Vin {
    /// Reads a VIN: blanks around it are dropped, small letters made capital.
    ///
    /// # Errors
    /// Not 17 characters, or a character that no VIN has (49 CFR 565.13(g): letters and digits
    /// without I, O and Q); the message names the position and does not repeat the number.
    pub fn parse(text: &str) -> Result<Self, Misread> {
        let text = text.trim();
        let length = text.chars().count();
        if length != VIN_LENGTH {
            let message = format!("a VIN has {VIN_LENGTH} characters, and this has {length}");
            return Err(Misread::new(Problem::Unreadable, message));
        }
        let mut characters = [0; VIN_LENGTH];
        for (i, c) in text.chars().enumerate() {
            characters[i] = character(c).ok_or_else(|| bad_character(i, c))?;
        }
        Ok(Self(characters))
    }

    /// The transliterated characters times their weights, summed (49 CFR 565.15(c)(3)).
    #[must_use]
    pub fn weighted_sum(&self) -> u32 {
        self.0.iter().zip(WEIGHTS).map(|(&c, weight)| transliterated(c) * weight).sum()
    }

    /// Compares position 9 with the remainder of the weighted sum by 11, where 10 is written X
    /// (49 CFR 565.15(c)(4)).
    #[must_use]
    pub fn check_digit(&self) -> CheckDigit {
        let computed = char::from_digit(self.weighted_sum() % 11, 10).unwrap_or('X');
        if computed == char::from(self.0[8]) { CheckDigit::Right } else { CheckDigit::Wrong { computed } }
    }

    /// Whether the check digit has to be right: the first character is 1-5, assigned to North America
    /// (ISO 3780), where 49 CFR 565.13(c) requires it. Elsewhere a maker may use position 9 as it likes.
    #[must_use]
    pub fn mandatory(&self) -> bool {
        self.pattern().north_american()
    }

    /// Both years that position 10 may mean, the earlier first; none where it is no year code.
    #[must_use]
    pub fn model_year_candidates(&self) -> Vec<ModelYear> {
        self.pattern().model_year_candidates()
    }

    /// As [`VinPattern::model_year`].
    #[must_use]
    pub fn model_year(&self, light: Option<bool>) -> VinYear {
        self.pattern().model_year(light)
    }

    /// The manufacturer identifier: positions 1-3, and 12-14 too where the third is 9, which marks a
    /// maker of few vehicles (49 CFR 565.15(a)). Positions 12-14 are not stored for all that.
    #[must_use]
    pub fn manufacturer_identifier(&self) -> String {
        let small_maker: &[u8] = if self.0[2] == b'9' { &self.0[11..14] } else { &[] };
        self.0[..3].iter().chain(small_maker).map(|&c| char::from(c)).collect()
    }

    /// The part that may be stored.
    #[must_use]
    pub fn pattern(&self) -> VinPattern {
        VinPattern(KEPT.map(|i| self.0[i]))
    }
}

impl fmt::Debug for Vin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Vin({})", self.pattern())
    }
}

/// Positions 1-8, 10 and 11 of a VIN: the maker, the kind of vehicle, the model year and the plant,
/// and nothing that tells one vehicle from the next. Written in 17 characters, with `_` for the
/// positions that were dropped: `1M8GDM9A_KP______`.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct VinPattern([u8; KEPT.len()]);

impl VinPattern {
    /// Reads a pattern in its canonical text; a whole VIN is read by [`Vin::parse`].
    ///
    /// # Errors
    /// As [`Vin::parse`], and where a position to be dropped is not `_`.
    pub fn parse(text: &str) -> Result<Self, Misread> {
        let text = text.trim().to_ascii_uppercase();
        let blank = |i: usize| !KEPT.contains(&i);
        let wrong = text.chars().enumerate().find(|&(i, c)| blank(i) != (c == '_'));
        if let Some((i, _)) = wrong.filter(|_| text.chars().count() == VIN_LENGTH) {
            let message = format!(
                "position {} of this VIN pattern is wrong: positions 9 and 12-17 are written _, and no other",
                i + 1
            );
            return Err(Misread::new(Problem::Unreadable, message));
        }
        // A digit where the pattern is blank makes it readable as a whole number; the digit is dropped again.
        Vin::parse(&text.replace('_', "0")).map(|vin| vin.pattern())
    }

    /// The first eight characters: the maker and the kind of vehicle, by which make and model are known.
    #[must_use]
    pub fn kind(&self) -> String {
        self.0[..8].iter().map(|&c| char::from(c)).collect()
    }

    /// Whether the first character is assigned to North America (1-5, ISO 3780), so that 49 CFR 565
    /// holds for the number.
    #[must_use]
    pub fn north_american(&self) -> bool {
        matches!(self.0[0], b'1'..=b'5')
    }

    /// Both years that position 10 may mean, the earlier first; none where it is no year code.
    #[must_use]
    pub fn model_year_candidates(&self) -> Vec<ModelYear> {
        self.model_year(None).candidates()
    }

    /// The model year. For a passenger car, a multipurpose vehicle or a truck of at most 4536 kg
    /// gross weight (`light`), a digit in position 7 means 1980-2009 and a letter 2010-2039
    /// (49 CFR 565.15(b)). For anything else, or where it is not known, either year is possible.
    /// Outside North America position 10 need not be a year at all; the caller knows.
    #[must_use]
    pub fn model_year(&self, light: Option<bool>) -> VinYear {
        let Some(early) = early_year(self.0[8]) else { return VinYear::NoCode };
        let late = ModelYear::new(early.get() + 30);
        match (light, self.0[6].is_ascii_digit()) {
            (Some(true), true) => VinYear::Known(early),
            (Some(true), false) => VinYear::Known(late),
            _ => VinYear::Either(early, late),
        }
    }

    /// The model year where one of the candidates is more than two years after `today`, which leaves
    /// the other; `None` outside North America, where position 10 need not be a year.
    #[must_use]
    pub fn model_year_by(&self, today: ModelYear) -> Option<ModelYear> {
        let mut possible = self.model_year_candidates();
        possible.retain(|&year| year <= today.latest());
        match possible.as_slice() {
            [year] if self.north_american() => Some(*year),
            _ => None,
        }
    }
}

impl fmt::Display for VinPattern {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut text = [b'_'; VIN_LENGTH];
        for (i, c) in KEPT.into_iter().zip(self.0) {
            text[i] = c;
        }
        text.iter().try_for_each(|&c| fmt::Write::write_char(f, char::from(c)))
    }
}

impl fmt::Debug for VinPattern {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "VinPattern({self})")
    }
}

/// The year of the first round, 1980-2009, that a code stands for.
fn early_year(code: u8) -> Option<ModelYear> {
    let steps = YEAR_CODES.iter().position(|&known| known == code)?;
    u16::try_from(steps).ok().map(|steps| ModelYear::new(1980 + steps))
}

/// The character as a VIN has it, in capitals; `None` for one that no VIN has.
fn character(c: char) -> Option<u8> {
    let c = u8::try_from(c.to_ascii_uppercase()).ok()?;
    (c.is_ascii_alphanumeric() && !matches!(c, b'I' | b'O' | b'Q')).then_some(c)
}

/// Letters stand for digits (49 CFR 565.15(c)(1), Table III): A-H 1-8, J-N 1-5, P 7, R 9, S-Z 2-9.
fn transliterated(c: u8) -> u32 {
    u32::from(match c {
        b'0'..=b'9' => c - b'0',
        b'A'..=b'H' => c - b'A' + 1,
        b'J'..=b'R' => c - b'J' + 1,
        b'S'..=b'Z' => c - b'S' + 2,
        _ => 0,
    })
}

fn bad_character(i: usize, c: char) -> Misread {
    let hint = match c.to_ascii_uppercase() {
        'I' => ": no VIN has an I, look for a 1",
        'O' | 'Q' => ": no VIN has an O or a Q, look for a 0",
        _ => ": a VIN has letters and digits only",
    };
    let shown: String = if c.is_control() { c.escape_default().collect() } else { c.to_string() };
    Misread::new(Problem::Unreadable, format!("position {} of this VIN is {shown}{hint}", i + 1))
}

#[cfg(test)]
mod tests {
    use super::{Vin, VinPattern, VinYear};
    use crate::vehicle::ModelYear;
    use proptest::prelude::*;

    /// The hypothetical example of the Wikibooks page on the check digit.
    const EXAMPLE: &str = "1M8GDM9AXKP042788";

    #[test]
    fn the_serial_number_is_never_shown() {
        let vin = Vin::parse(EXAMPLE).expect("readable");
        assert_eq!(vin.pattern().to_string(), "1M8GDM9A_KP______");
        assert_eq!(format!("{vin:?}"), "Vin(1M8GDM9A_KP______)");
        assert_eq!(format!("{:?}", vin.pattern()), "VinPattern(1M8GDM9A_KP______)");
        assert_eq!(vin.pattern().kind(), "1M8GDM9A");
        let stored = postcard::to_allocvec(&vin.pattern()).expect("stores");
        assert_eq!(stored, b"1M8GDM9AKP");
    }

    #[test]
    fn refusals_name_the_place_and_keep_the_number_to_themselves() {
        let check = |text: &str, says: &str| {
            let misread = Vin::parse(text).expect_err(text);
            assert!(misread.message.contains(says), "{misread}");
            assert!(!misread.message.contains("042788"), "{misread}");
        };
        check("1M8GDM9AXKP04278", "this has 16");
        check("1M8GDM9AXKP0427888", "this has 18");
        check("1M8GIM9AXKP042788", "position 5 of this VIN is I: no VIN has an I, look for a 1");
        check("oM8GDM9AXKP042788", "position 1 of this VIN is o: no VIN has an O");
        check("1M8GDM9AXKP04278é", "position 17 of this VIN is é");
        check("1M8GDM9A KP042788", "position 9");
        check("", "this has 0");
    }

    #[test]
    fn a_pattern_is_blank_exactly_where_the_number_is_dropped() {
        let check = |text: &str, says: &str| {
            let misread = VinPattern::parse(text).expect_err(text);
            assert!(misread.message.contains(says), "{text}: {misread}");
        };
        check(EXAMPLE, "position 9");
        check("1M8GDM9A_KP___788", "position 15");
        check("1M8_DM9A_KP______", "position 4");
        check("1M8GDM9A_KP_____", "this has 16");
        assert_eq!(VinPattern::parse("1m8gdm9a_kp______"), Vin::parse(EXAMPLE).map(|vin| vin.pattern()));
    }

    #[test]
    fn the_year_is_told_only_where_it_can_be() {
        let vin = Vin::parse(EXAMPLE).expect("readable");
        let [early, late] = [1989, 2019].map(ModelYear::new);
        assert_eq!(vin.model_year(Some(true)), VinYear::Known(early), "position 7 is a digit");
        assert_eq!(vin.model_year(Some(false)), VinYear::Either(early, late));
        assert_eq!(vin.model_year(None), VinYear::Either(early, late));
        assert_eq!(vin.pattern().model_year_by(ModelYear::new(2026)), None);
        assert_eq!(vin.pattern().model_year_by(ModelYear::new(2016)), Some(early));
    }

    proptest! {
        #[test]
        fn no_text_panics(text in any::<String>()) {
            let _ = Vin::parse(&text);
            let _ = VinPattern::parse(&text);
        }

        #[test]
        fn a_pattern_reads_back(text in "[0-9A-HJ-NPR-Z]{17}") {
            let pattern = Vin::parse(&text).expect("of the alphabet").pattern();
            prop_assert_eq!(VinPattern::parse(&pattern.to_string()), Ok(pattern));
        }
    }
}
