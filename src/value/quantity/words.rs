//! How units are spelled: the words that installers write for each unit, the units that have no
//! business here but deserve a clear answer, and the nearest word to a misspelled one.

use std::collections::HashMap;
use std::sync::LazyLock;

use super::units::{Dimension, Unit};

/// Lower-case spellings. Several words stand with single spaces; marks that join words (`-`, `·`, `.`)
/// have become spaces before.
const SPELLINGS: &[(Unit, &[&str])] = &[
    (Unit::Volt, &["v", "volt", "volts", "vdc", "v dc", "volt dc", "volts dc"]),
    (Unit::Millivolt, &["mv", "millivolt", "millivolts"]),
    (Unit::Ampere, &["a", "amp", "amps", "ampere", "amperes"]),
    (Unit::Milliampere, &["ma", "milliamp", "milliamps", "milliampere", "milliamperes"]),
    (Unit::Ohm, &["ohm", "ohms"]),
    (Unit::Milliohm, &["mohm", "mohms", "milliohm", "milliohms"]),
    (Unit::Kilohm, &["kohm", "kohms", "kilohm", "kilohms", "kiloohm", "kiloohms"]),
    (Unit::Megohm, &["megohm", "megohms", "megaohm", "megaohms"]),
    (Unit::Millimetre, &["mm", "millimetre", "millimetres", "millimeter", "millimeters"]),
    (Unit::Centimetre, &["cm", "centimetre", "centimetres", "centimeter", "centimeters"]),
    (Unit::Metre, &["m", "metre", "metres", "meter", "meters"]),
    (Unit::Inch, &["in", "inch", "inches"]),
    (Unit::Foot, &["ft", "foot", "feet"]),
    (
        Unit::SquareMillimetre,
        &[
            "mm²",
            "mm2",
            "mm^2",
            "sqmm",
            "sq mm",
            "mm sq",
            "mm squared",
            "square mm",
            "square millimetre",
            "square millimetres",
            "square millimeter",
            "square millimeters",
        ],
    ),
    (Unit::Awg, &["awg", "ga", "gauge", "gage"]),
    (
        Unit::NewtonMetre,
        &[
            "nm",
            "n m",
            "newton metre",
            "newton metres",
            "newton meter",
            "newton meters",
            "newtonmetre",
            "newtonmetres",
            "newtonmeter",
            "newtonmeters",
        ],
    ),
    (
        Unit::PoundFoot,
        &[
            "lb ft",
            "lbs ft",
            "ft lb",
            "ft lbs",
            "lbf ft",
            "ft lbf",
            "lbft",
            "ftlb",
            "ftlbs",
            "foot lb",
            "foot lbs",
            "foot pound",
            "foot pounds",
            "pound foot",
            "pound feet",
            "pounds feet",
        ],
    ),
    (
        Unit::PoundInch,
        &[
            "lb in",
            "lbs in",
            "in lb",
            "in lbs",
            "lbf in",
            "in lbf",
            "lbin",
            "inlb",
            "inlbs",
            "inch lb",
            "inch lbs",
            "inch pound",
            "inch pounds",
            "pound inch",
            "pound inches",
        ],
    ),
    (Unit::Second, &["s", "sec", "secs", "second", "seconds"]),
    (Unit::Minute, &["min", "mins", "minute", "minutes"]),
    (Unit::Hour, &["h", "hr", "hrs", "hour", "hours"]),
];

/// Units of what no field holds, so that the message can say what was written.
const FOREIGN: &[(&str, &[&str])] = &[
    ("power", &["w", "watt", "watts", "kw", "hp"]),
    ("charge", &["ah", "mah", "amp hour", "amp hours"]),
    ("frequency", &["hz", "khz", "rpm"]),
    ("pressure", &["psi", "bar", "kpa"]),
    ("temperature", &["°", "c", "f", "celsius", "fahrenheit"]),
    ("mass or force", &["g", "kg", "lb", "lbs", "oz", "n", "kn"]),
    ("a share", &["%", "percent", "pct"]),
    ("volume", &["l", "ml", "litre", "litres", "liter", "liters"]),
    ("alternating voltage", &["vac", "v ac", "volt ac", "volts ac"]),
];

static UNITS: LazyLock<HashMap<&'static str, Unit>> = LazyLock::new(|| {
    SPELLINGS.iter().flat_map(|(unit, words)| words.iter().map(|word| (*word, *unit))).collect()
});

/// The unit that `word` spells where a value of `dimension` is expected.
///
/// Capitals do not matter, but for one letter: a capital M is mega, so `Mohm` is a megohm and `MV`,
/// `MA` and `MOHM` are no unit at all, because a slip there would be off by a thousand million.
pub(super) fn unit(word: &str, dimension: Option<Dimension>) -> Option<Unit> {
    let lower = word.to_lowercase();
    match (lower.as_str(), dimension) {
        ("m", Some(Dimension::Time)) => return Some(Unit::Minute),
        ("k", Some(Dimension::Resistance)) => return Some(Unit::Kilohm),
        ("mohm" | "mohms", _) if word.starts_with("Mo") => return Some(Unit::Megohm),
        _ if is_mega(word, &lower) => return None,
        _ => {}
    }
    UNITS.get(lower.as_str()).copied()
}

fn is_mega(word: &str, lower: &str) -> bool {
    word.starts_with('M') && matches!(lower, "mv" | "ma" | "mohm" | "mohms")
}

/// What a unit that no field uses measures: `W` is of power.
pub(super) fn foreign(word: &str) -> Option<&'static str> {
    let lower = word.to_lowercase();
    FOREIGN.iter().find(|(_, words)| words.contains(&lower.as_str())).map(|(what, _)| *what)
}

/// A hint for a word that is no unit: the nearest spelling of the dimension, where one is near.
pub(super) fn nearest(word: &str, dimension: Dimension) -> Option<&'static str> {
    let lower = word.to_lowercase();
    if is_mega(word, &lower) {
        return UNITS.get(lower.as_str()).map(|unit| unit.symbol());
    }
    let allowed = match lower.chars().count() {
        0..=2 => 0,
        3..=4 => 1,
        _ => 2,
    };
    SPELLINGS
        .iter()
        .filter(|(unit, _)| unit.dimension() == dimension)
        .flat_map(|(_, words)| *words)
        .map(|known| (strsim::osa_distance(&lower, known), *known))
        .filter(|(distance, known)| *distance <= allowed && *distance < known.chars().count())
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, known)| known)
}
