//! Dimensions, units and their factors, and the number types that calculation uses.
//!
//! This file owns what a unit is worth. How units are spelled is `words.rs`, what a gauge
//! number means is `gauge.rs`, and reading a text is `grammar.rs`.

use super::gauge;

/// Electrical tension in volts.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Volts(pub f64);
/// Electrical current in amperes.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Amps(pub f64);
/// Electrical resistance in ohms.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Ohms(pub f64);
/// A length in millimetres: holes, grommets, diameters.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Millimetres(pub f64);
/// A length in metres: cables and routes.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Metres(pub f64);
/// The cross-section of a conductor in square millimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct SquareMm(pub f64);
/// A tightening torque in newton metres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct NewtonMetres(pub f64);
/// A time in minutes.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Minutes(pub f64);

/// What a quantity measures. Serialised in kebab-case: `voltage`, `current`, …
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Dimension {
    /// Electrical tension; the only dimension whose values may be negative.
    Voltage,
    /// Electrical current: a load, or the rating of a fuse.
    Current,
    /// Electrical resistance.
    Resistance,
    /// A hole, a diameter, the run of a cable.
    Length,
    /// The cross-section of a conductor.
    Area,
    /// A tightening torque.
    Torque,
    /// A span of time.
    Time,
}

impl Dimension {
    /// What a value of this dimension is called in a sentence, with its article.
    #[must_use]
    pub fn noun(self) -> &'static str {
        match self {
            Self::Voltage => "a voltage",
            Self::Current => "a current",
            Self::Resistance => "a resistance",
            Self::Length => "a length",
            Self::Area => "a cross-section",
            Self::Torque => "a torque",
            Self::Time => "a time",
        }
    }

    /// The units in which it is written, for a hint.
    #[must_use]
    pub fn units(self) -> &'static str {
        match self {
            Self::Voltage => "V or mV",
            Self::Current => "A or mA",
            Self::Resistance => "ohm, mohm, kohm or Mohm",
            Self::Length => "mm, cm, m, in or ft",
            Self::Area => "mm² or AWG",
            Self::Torque => "N·m, lb-ft or lb-in",
            Self::Time => "min, h or s",
        }
    }
}

/// A unit in which installers write.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unit {
    /// V, the base of voltage.
    Volt,
    /// mV.
    Millivolt,
    /// A, the base of current.
    Ampere,
    /// mA.
    Milliampere,
    /// ohm, the base of resistance.
    Ohm,
    /// mohm, a thousandth of an ohm.
    Milliohm,
    /// kohm.
    Kilohm,
    /// Mohm, a million ohms.
    Megohm,
    /// mm, the base of length.
    Millimetre,
    /// cm.
    Centimetre,
    /// m.
    Metre,
    /// in.
    Inch,
    /// ft.
    Foot,
    /// mm², the base of area.
    SquareMillimetre,
    /// American Wire Gauge, a scale that runs against the area: 0 stands for 1/0, -3 for 4/0.
    Awg,
    /// N·m, the base of torque.
    NewtonMetre,
    /// lb-ft, pound-force foot.
    PoundFoot,
    /// lb-in, pound-force inch.
    PoundInch,
    /// s, the base of time.
    Second,
    /// min.
    Minute,
    /// h.
    Hour,
}

/// International yard and pound agreement of 1959: the inch is exactly 25.4 mm.
const MM_PER_INCH: f64 = 25.4;
/// The foot is 12 inches.
const MM_PER_FOOT: f64 = 304.8;
/// Pound-force in newtons, exact by definition: 0.45359237 kg (1959 agreement) times the standard
/// gravity 9.80665 m/s² (CGPM 1901). NIST SP 811, appendix B.
const NEWTON_PER_POUND: f64 = 4.448_221_615_260_5;

impl Unit {
    /// Every unit.
    pub const ALL: [Self; 21] = [
        Self::Volt,
        Self::Millivolt,
        Self::Ampere,
        Self::Milliampere,
        Self::Ohm,
        Self::Milliohm,
        Self::Kilohm,
        Self::Megohm,
        Self::Millimetre,
        Self::Centimetre,
        Self::Metre,
        Self::Inch,
        Self::Foot,
        Self::SquareMillimetre,
        Self::Awg,
        Self::NewtonMetre,
        Self::PoundFoot,
        Self::PoundInch,
        Self::Second,
        Self::Minute,
        Self::Hour,
    ];

    /// The symbol that stands in canonical text.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Volt => "V",
            Self::Millivolt => "mV",
            Self::Ampere => "A",
            Self::Milliampere => "mA",
            Self::Ohm => "ohm",
            Self::Milliohm => "mohm",
            Self::Kilohm => "kohm",
            Self::Megohm => "Mohm",
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Metre => "m",
            Self::Inch => "in",
            Self::Foot => "ft",
            Self::SquareMillimetre => "mm²",
            Self::Awg => "AWG",
            Self::NewtonMetre => "N·m",
            Self::PoundFoot => "lb-ft",
            Self::PoundInch => "lb-in",
            Self::Second => "s",
            Self::Minute => "min",
            Self::Hour => "h",
        }
    }

    /// The unit with this symbol, for constants of the program.
    ///
    /// # Panics
    /// No unit has it; of a constant, that stops the build.
    #[must_use]
    pub const fn with_symbol(symbol: &str) -> Self {
        let mut at = 0;
        while at < Self::ALL.len() {
            if same(Self::ALL[at].symbol().as_bytes(), symbol.as_bytes()) {
                return Self::ALL[at];
            }
            at += 1;
        }
        panic!("no unit has this symbol")
    }

    /// What the unit measures.
    #[must_use]
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::Volt | Self::Millivolt => Dimension::Voltage,
            Self::Ampere | Self::Milliampere => Dimension::Current,
            Self::Ohm | Self::Milliohm | Self::Kilohm | Self::Megohm => Dimension::Resistance,
            Self::Millimetre | Self::Centimetre | Self::Metre | Self::Inch | Self::Foot => Dimension::Length,
            Self::SquareMillimetre | Self::Awg => Dimension::Area,
            Self::NewtonMetre | Self::PoundFoot | Self::PoundInch => Dimension::Torque,
            Self::Second | Self::Minute | Self::Hour => Dimension::Time,
        }
    }

    /// How many base units one of this unit is; `None` for AWG, which is a scale and not a multiple.
    fn factor(self) -> Option<f64> {
        Some(match self {
            Self::Awg => return None,
            Self::Volt | Self::Ampere | Self::Ohm | Self::Millimetre | Self::SquareMillimetre => 1.0,
            Self::NewtonMetre | Self::Second => 1.0,
            Self::Millivolt | Self::Milliampere | Self::Milliohm => 1e-3,
            Self::Kilohm | Self::Metre => 1e3,
            Self::Megohm => 1e6,
            Self::Centimetre => 10.0,
            Self::Inch => MM_PER_INCH,
            Self::Foot => MM_PER_FOOT,
            Self::PoundFoot => NEWTON_PER_POUND * MM_PER_FOOT / 1e3,
            Self::PoundInch => NEWTON_PER_POUND * MM_PER_INCH / 1e3,
            Self::Minute => 60.0,
            Self::Hour => 3600.0,
        })
    }

    /// How many base units so many of this unit are.
    pub(super) fn to_base(self, number: f64) -> f64 {
        self.factor().map_or_else(|| gauge::area_mm2(number), |factor| number * factor)
    }

    /// How many of this unit so many base units are.
    pub(super) fn of_base(self, number: f64) -> f64 {
        self.factor().map_or_else(|| gauge::number_for_mm2(number), |factor| number / factor)
    }
}

/// Whether two texts are one. Constants cannot compare texts themselves.
const fn same(a: &[u8], b: &[u8]) -> bool {
    let mut at = 0;
    while at < a.len() && at < b.len() && a[at] == b[at] {
        at += 1;
    }
    at == a.len() && at == b.len()
}

/// A number together with its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// How many of `unit`; for AWG the gauge number, with 0 for 1/0 and -3 for 4/0.
    pub number: f64,
    /// The unit of `number`.
    pub unit: Unit,
}

impl Measure {
    /// `number` of `unit`.
    #[must_use]
    pub const fn new(number: f64, unit: Unit) -> Self {
        Self { number, unit }
    }

    /// The same in another unit of its dimension; `None` where the dimensions differ.
    #[must_use]
    pub fn to(self, unit: Unit) -> Option<Self> {
        if unit.dimension() != self.unit.dimension() {
            return None;
        }
        if unit == self.unit {
            return Some(self);
        }
        Some(Self { number: unit.of_base(self.unit.to_base(self.number)), unit })
    }
}
