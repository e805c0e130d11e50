//! How the quantities of a circuit are written: what a field of a note can be is read by `value::quantity`; watts,
//! per cent and degrees, which no field holds, are read here.

use super::conductor::{Conductor, Series};
use super::request::{Allowed, Load, believed_loads};
use super::units::{Amps, Celsius, Metres, Millimetres, Share, SquareMm, Volts, Watts};
use crate::value::quantity::{self, Bounds, Quantity, Rule, Unit};
use crate::value::{Misread, Problem};

/// The one number that a text gives; a range or a limit is no input to a calculation.
fn single<T: PartialEq + Copy>(
    text: &str,
    unit: Unit,
    get: fn(&Quantity) -> Option<Bounds<T>>,
) -> Result<T, Misread> {
    let read = Quantity::parse(text, &Rule::for_unit(unit))?;
    match get(&read) {
        Some(Bounds { low, high: Some(high) }) if low == high => Ok(low),
        _ => {
            Err(Misread::new(Problem::Ambiguous, format!("“{text}” is more than one number; one is needed")))
        }
    }
}

/// The number before one of these endings; `None` where the text ends otherwise.
fn before<'t>(text: &'t str, endings: &[&str]) -> Option<&'t str> {
    let text = text.trim();
    endings.iter().find_map(|ending| {
        let at = text.len().checked_sub(ending.len())?;
        let (number, end) = (text.get(..at)?, text.get(at..)?);
        let parted = number.ends_with(|c: char| !c.is_alphabetic());
        (parted && end.eq_ignore_ascii_case(ending)).then(|| number.trim_end())
    })
}

/// The number of a text, minus sign allowed.
fn number(text: &str, of: &str) -> Result<f64, Misread> {
    let unsigned = text.trim().trim_start_matches(['-', '−']).trim_start();
    let sign = if unsigned.len() == text.trim().len() { 1.0 } else { -1.0 };
    let refuse = || Misread::new(Problem::Unreadable, format!("“{text}” is no number of {of}"));
    quantity::decimal_number(unsigned).map(|number| number * sign).ok_or_else(refuse)
}

/// `15 A`, `15`, `55 W`, `0.4 kW`.
///
/// # Errors
/// It is neither.
pub fn load(text: &str) -> Result<Load, Misread> {
    if let Some(kilowatts) = before(text, &["kilowatts", "kilowatt", "kW"]) {
        return Ok(Load::Power(Watts(number(kilowatts, "kilowatts")? * 1000.0)));
    }
    if let Some(watts) = before(text, &["watts", "watt", "W"]) {
        return Ok(Load::Power(Watts(number(watts, "watts")?)));
    }
    current(text).map(Load::Current).map_err(|misread| match misread.problem {
        // Notes may tell of more than a circuit is worked out for, so their limit is another one.
        Problem::OutOfRange if is_positive(text) => {
            let message = format!("a load of “{text}” is not believed; it is {}", believed_loads());
            Misread { message, ..misread }
        }
        _ => as_well(misread, "a power such as 55 W"),
    })
}

/// Whether a text that is out of range is a number, and not below zero.
fn is_positive(text: &str) -> bool {
    text.contains(|c: char| c.is_ascii_digit()) && !text.trim_start().starts_with(['-', '−'])
}

/// What would be right beside what the reading of a field knows of.
fn as_well(misread: Misread, what: &str) -> Misread {
    match misread.problem {
        Problem::Unreadable | Problem::UnitWrong => {
            Misread { message: format!("{}; {what} is right as well", misread.message), ..misread }
        }
        _ => misread,
    }
}

/// `15 A`, `15`, `300 mA`.
///
/// # Errors
/// It is no current.
pub fn current(text: &str) -> Result<Amps, Misread> {
    single(text, Unit::Ampere, Quantity::amps)
}

/// `0.36 V`, `3 %`. A bare number is refused: it may be either, and a drop of three volts starves most loads.
///
/// # Errors
/// It is neither.
pub fn allowed(text: &str) -> Result<Allowed, Misread> {
    if let Some(bare) = number(text, "volts or per cent").ok().filter(|bare| *bare > 0.0) {
        let readings = vec![format!("{bare} %"), format!("{bare} V")];
        let message =
            format!("'{text}' may be volts or per cent of the supply; write {}", readings.join(" or "));
        return Err(Misread { problem: Problem::Ambiguous, message, readings });
    }
    match before(text, &["%", "percent", "per cent"]) {
        Some(share) => Ok(Allowed::Part(Share(number(share, "per cent")? / 100.0))),
        None => voltage(text).map(Allowed::Drop).map_err(|misread| as_well(misread, "a share such as 3 %")),
    }
}

/// `12 V`, `12`.
///
/// # Errors
/// It is no voltage.
pub fn voltage(text: &str) -> Result<Volts, Misread> {
    single(text, Unit::Volt, Quantity::volts)
}

/// `6 m`, `16 ft`, `16 ft 4 in`, `196"`. A bare number is refused.
///
/// # Errors
/// It is no length.
pub fn length(text: &str) -> Result<Metres, Misread> {
    single(text, Unit::Metre, Quantity::metres)
}

/// `40 C`, `40 °C`, `104 F`, `40`: degrees Celsius unless Fahrenheit is said.
///
/// # Errors
/// It is no temperature.
pub fn temperature(text: &str) -> Result<Celsius, Misread> {
    // By definition 32 °F is 0 °C, and a degree is five ninths of one.
    if let Some(fahrenheit) = before(text, &["°F", "° F", "F", "fahrenheit"]) {
        return Ok(Celsius((number(fahrenheit, "degrees")? - 32.0) * 5.0 / 9.0));
    }
    number(before(text, &["°C", "° C", "C", "celsius", "°"]).unwrap_or(text), "degrees").map(Celsius)
}

/// `12 AWG`, `#12`, `12 SAE`, `2.5 mm²`.
///
/// # Errors
/// It is no cross-section, or one that the tables do not have.
pub fn conductor(text: &str) -> Result<Conductor, Misread> {
    let (gauge, series) = match before(text, &["SAE"]) {
        Some(gauge) => (awg(gauge)?, Series::Sae),
        None => (text.to_owned(), Series::Awg),
    };
    let read = Quantity::parse(&gauge, &Rule::for_unit(Unit::SquareMillimetre))?;
    let found = match read.awg() {
        Some(gauge) => Conductor::gauged(series, gauge),
        None => Conductor::metric(single::<SquareMm>(text, Unit::SquareMillimetre, Quantity::square_mm)?),
    };
    found.ok_or_else(|| {
        let series = if read.awg().is_some() { series } else { Series::Metric };
        let sizes: Vec<String> = series.sizes().map(|size| size.to_string()).collect();
        let known = match sizes.as_slice() {
            [first, .., last] => format!("from {first} to {last}: {}", sizes.join(", ")),
            _ => String::new(),
        };
        Misread::new(
            Problem::OutOfRange,
            format!("“{text}” is no size that the tables have; they go {known}"),
        )
    })
}

/// `12 gauge`, `12 AWG` or `12`, before the word SAE, as a gauge.
fn awg(text: &str) -> Result<String, Misread> {
    let bare = before(text, &["gauge", "AWG", "ga"]).unwrap_or(text);
    Ok(format!("{bare} AWG"))
}

/// Something round in a bundle: `16 AWG`, `2 x 16 AWG`, or a cable by its outside, `7 mm`. One entry for each.
///
/// # Errors
/// It is neither, or too many.
pub fn beside(text: &str) -> Result<Vec<Beside>, Misread> {
    let (count, what) = match text.split_once(['x', '×']) {
        Some((count, what)) if count.trim().parse::<usize>().is_ok() => {
            (count.trim().parse().unwrap_or(1), what.trim())
        }
        _ => (1_usize, text.trim()),
    };
    if !(1..=super::packing::MOST).contains(&count) {
        let message = format!("“{text}” is not between 1 and {}", super::packing::MOST);
        return Err(Misread::new(Problem::OutOfRange, message));
    }
    let one = match conductor(what) {
        Ok(conductor) => Beside { outside: conductor.outside(), carries: true },
        Err(misread) => match single(what, Unit::Millimetre, Quantity::millimetres) {
            Ok(outside) if outside > Millimetres(0.0) => Beside { outside, carries: false },
            _ => return Err(misread),
        },
    };
    Ok(vec![one; count])
}

/// Something round that lies in the bundle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beside {
    /// Its outside.
    pub outside: Millimetres,
    /// Whether it is a conductor that is taken to carry current; of a cable told by its outside nothing is known.
    pub carries: bool,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told<T: std::fmt::Debug>(read: Result<T, Misread>) -> String {
        read.map_or_else(|misread| misread.message, |value| format!("{value:?}"))
    }

    #[test]
    fn loads() {
        assert_eq!(told(load("15 A")), "Current(Amps(15.0))");
        assert_eq!(told(load("15")), "Current(Amps(15.0))");
        assert_eq!(told(load("55 W")), "Power(Watts(55.0))");
        assert_eq!(told(load("55watts")), "Power(Watts(55.0))");
        assert_eq!(told(load("0,4 kW")), "Power(Watts(400.0))");
        assert_eq!(told(load("-3 W")), "Power(Watts(-3.0))");
        assert_eq!(told(load("some W")), "“some” is no number of watts");
        assert_eq!(told(load("10-12 A")), "“10-12 A” is more than one number; one is needed");
        assert_eq!(
            told(load("3000 A")),
            "a load of “3000 A” is not believed; it is from 0.01 A to 500 A",
            "as of one of 600 A, which notes can tell"
        );
        assert_eq!(told(load("-3 A")), "“-3 A” is negative, which a current cannot be");
        assert_eq!(told(load("inf A")), "“inf A” is not a number that a meter or a rule shows");
        assert_eq!(told(load("inf W")), "“inf” is no number of watts");
        assert!(told(load("12 V")).contains("is the unit of a voltage"), "{}", told(load("12 V")));
    }

    #[test]
    fn drops_and_temperatures() {
        assert_eq!(told(allowed("3 %")), "Part(Share(0.03))");
        assert_eq!(told(allowed("0.36 V")), "Drop(Volts(0.36))");
        assert_eq!(told(temperature("40")), "Celsius(40.0)");
        assert_eq!(told(temperature("-10 °C")), "Celsius(-10.0)");
        assert_eq!(told(temperature("104 F")), "Celsius(40.0)");
        assert_eq!(told(temperature("warm")), "“warm” is no number of degrees");
    }

    #[test]
    fn conductors() {
        for (text, shown) in [
            ("12 AWG", "12 AWG"),
            ("#12", "12 AWG"),
            ("1/0", "1/0 AWG"),
            ("12 SAE", "12 gauge SAE"),
            ("12 gauge SAE", "12 gauge SAE"),
            ("2.5 mm2", "2.5 mm²"),
            ("2,5 mm²", "2.5 mm²"),
        ] {
            assert_eq!(conductor(text).map(|it| it.to_string()), Ok(shown.to_owned()), "{text}");
        }
        assert!(told(conductor("22 AWG")).contains("is no size that the tables have; they go from 18 AWG"));
        assert!(told(conductor("2.7 mm²")).contains("they go from 1 mm² to 120 mm²"));
    }

    #[test]
    fn what_lies_beside() {
        assert_eq!(beside("3 x 16 AWG").map(|all| all.len()), Ok(3));
        assert_eq!(told(beside("7 mm")), "[Beside { outside: Millimetres(7.0), carries: false }]");
        assert!(beside("0 x 16 AWG").is_err() && beside("7").is_err() && beside("0 mm").is_err());
    }
}
