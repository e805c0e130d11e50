//! One ordinary circuit, from which tests change what they are about.

use baybook::circuit::Kind;
use baybook::circuit::ampacity::{Insulation, Surroundings};
use baybook::circuit::conductor::{Conductor, Series};
use baybook::circuit::path::{Path, Return};
use baybook::circuit::protection::Duty;
use baybook::circuit::request::{Allowed, Asked, Load, Request};
use baybook::circuit::units::{Amps, Awg, Celsius, Metres, Ohms, Share, Volts};

/// 10 A over 5 m and back by a conductor of its own, 3 % of 12 V, insulation of 105 °C, at 30 °C.
pub fn asked() -> Asked {
    Asked {
        load: Load::Current(Amps(10.0)),
        supply: Volts(12.0),
        allowed: Allowed::Part(Share(0.03)),
        duty: Duty::Continuous,
        path: path(5.0),
        upstream: Ohms(0.0),
        vehicle: Metres(12.0),
        surroundings: surroundings(105.0, 30.0),
        kind: Kind::Fuse,
        rating: None,
        minimum: None,
    }
}

/// The ordinary circuit with a change, checked.
pub fn request(change: impl FnOnce(&mut Asked)) -> Request {
    let mut asked = asked();
    change(&mut asked);
    asked.checked().expect("a circuit that makes sense")
}

pub fn path(metres: f64) -> Path {
    Path { out: Metres(metres), back: Metres(metres), by: Return::Own }
}

pub fn surroundings(rated: f64, ambient: f64) -> Surroundings {
    let insulation = Insulation::rated(Celsius(rated)).expect("a rating of the table");
    Surroundings { insulation, ambient: Celsius(ambient), engine_space: false, bundled: 2 }
}

/// A gauge as tables write it: `12`, `1/0`.
pub fn gauge(name: &str) -> Awg {
    let number = match name.strip_suffix("/0") {
        Some(count) => 1 - count.parse::<i8>().expect("a count of noughts"),
        None => name.parse().expect("a gauge"),
    };
    Awg::new(number).expect("a gauge in use")
}

pub fn awg(name: &str) -> Conductor {
    Conductor::gauged(Series::Awg, gauge(name)).expect("a gauge of the table")
}
