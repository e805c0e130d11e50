//! One conductor tried on a circuit: every figure of it, and which rules it keeps.

use super::conductor::Conductor;
use super::heat::{ADIABATIC, Withstand};
use super::protection::Device;
use super::request::Request;
use super::units::{AmpSquareSeconds, Amps, Celsius, Ohms, Seconds, Share, SquareMm, Volts, Watts, smaller};

/// A rule that a conductor has to keep.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Rule {
    /// No thinner than was asked for.
    Minimum,
    /// The voltage lost is allowed.
    Drop,
    /// It may carry the load where it lies.
    Ampacity,
    /// There is a device that the load leaves cool and that opens before the conductor is overloaded.
    Protection,
    /// A short circuit at the far end opens it in time.
    Fault,
    /// The conductor survives until then.
    Survival,
}

impl Rule {
    /// Every rule.
    pub const ALL: [Self; 6] =
        [Self::Minimum, Self::Drop, Self::Ampacity, Self::Protection, Self::Fault, Self::Survival];

    /// The word in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Minimum => "minimum",
            Self::Drop => "drop",
            Self::Ampacity => "ampacity",
            Self::Protection => "protection",
            Self::Fault => "fault",
            Self::Survival => "survival",
        }
    }
}

/// What a weak source resists for each volt of it: a 12-volt battery of 500 A cold cranking falls from 12.6 V to 7.2 V
/// at that current (definition of SAE J537, from memory), which is about 0.01 ohm. Our assumption.
const SOURCE: f64 = 0.01 / 12.0;
/// How soon a fault has to be over: as long as the adiabatic law holds.
pub const IN_TIME: Seconds = ADIABATIC;

/// A conductor on a circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trial {
    /// The conductor.
    pub conductor: Conductor,
    /// How warm the load makes it.
    pub temperature: Celsius,
    /// Lost on the way out.
    pub drop_out: Volts,
    /// Lost on the way back.
    pub drop_back: Volts,
    /// What it may carry where it lies.
    pub ampacity: Amps,
    /// What protects it; `None` where nothing is made for such a load.
    pub device: Option<Device>,
    /// What a short circuit at the far end draws.
    pub fault: Amps,
    /// How long that takes to open the device at most; `None` where it may never.
    pub opens: Option<Seconds>,
    /// What the conductor survives.
    pub withstand: AmpSquareSeconds,
    request: Request,
}

impl Trial {
    /// Tries a conductor.
    #[must_use]
    pub fn of(request: &Request, conductor: Conductor) -> Self {
        let surroundings = &request.surroundings;
        let temperature = surroundings.temperature(conductor, request.current);
        let legs = request.path.legs(conductor, temperature);
        let source = Ohms(SOURCE * request.supply.0);
        let fault = request.supply / (source + request.upstream + legs.whole());
        let device = device(request);
        let insulation = surroundings.insulation;
        Self {
            conductor,
            temperature,
            drop_out: request.current * legs.out,
            drop_back: request.current * legs.back,
            ampacity: surroundings.ampacity(conductor),
            device,
            fault,
            opens: device.and_then(|device| device.opens_within(fault)),
            withstand: Withstand::between(insulation.column(), insulation.limit()).heat(conductor.area()),
            request: *request,
        }
    }

    /// What it was tried on.
    #[must_use]
    pub fn request(&self) -> &Request {
        &self.request
    }

    /// The least rating that the load leaves cool.
    #[must_use]
    pub fn least_rating(&self) -> Amps {
        self.request.duty.least_rating(self.request.current)
    }

    /// What the way out resists.
    #[must_use]
    pub fn resistance_out(&self) -> Ohms {
        Ohms(self.drop_out.0 / self.request.current.0)
    }

    /// Lost in all.
    #[must_use]
    pub fn drop(&self) -> Volts {
        self.drop_out + self.drop_back
    }

    /// What is left for the load.
    #[must_use]
    pub fn left(&self) -> Volts {
        self.request.supply - self.drop()
    }

    /// The power that the way takes.
    #[must_use]
    pub fn loss(&self) -> Watts {
        self.drop() * self.request.current
    }

    /// What the device lets through in a fault at the far end; `None` where it may never open.
    #[must_use]
    pub fn let_through(&self) -> Option<AmpSquareSeconds> {
        self.opens.map(|time| self.fault.heat(time))
    }

    /// How long the conductor survives a fault at the far end, by the law that holds for 5 s.
    #[must_use]
    pub fn survives(&self) -> Seconds {
        self.withstand.lasts(self.fault)
    }

    /// How soon such a fault has to be over.
    #[must_use]
    pub fn must_open(&self) -> Seconds {
        smaller(self.survives(), IN_TIME)
    }

    /// How much more than needed there is: one and above keeps the rule; zero where nothing could.
    #[must_use]
    pub fn margin(&self, rule: Rule) -> Share {
        let request = &self.request;
        let least = self.least_rating();
        Share(match (rule, self.device) {
            (Rule::Minimum, _) => {
                request.minimum.map_or(f64::INFINITY, |least| self.conductor.area() / least.area())
            }
            (Rule::Drop, _) => request.allowed / self.drop(),
            (Rule::Ampacity, _) => self.ampacity / request.current,
            (_, None) => 0.0,
            // Only a device that is there already can be loaded too much, and then no conductor matters.
            (Rule::Protection, Some(device)) if self.device_is_too_small() => device.rating() / least,
            (Rule::Protection, Some(device)) => self.ampacity / device.rating(),
            (Rule::Fault, Some(device)) => self.fault / device.opened_by(IN_TIME),
            (Rule::Survival, _) => self.let_through().map_or(0.0, |through| self.withstand.0 / through.0),
        })
    }

    /// Whether it keeps a rule.
    #[must_use]
    pub fn keeps(&self, rule: Rule) -> bool {
        match rule {
            // Areas of two series may be one in all but the last bit.
            Rule::Minimum => self.margin(rule).0 >= 1.0 - 1e-6,
            Rule::Fault => self.opens.is_some_and(|time| time <= IN_TIME),
            _ => self.margin(rule).0 >= 1.0,
        }
    }

    /// The rules that it breaks.
    #[must_use]
    pub fn broken(&self) -> Vec<Rule> {
        Rule::ALL.into_iter().filter(|rule| !self.keeps(*rule)).collect()
    }

    /// Whether the device that is there already is too small for the load, which no conductor mends.
    #[must_use]
    pub fn device_is_too_small(&self) -> bool {
        let least = self.least_rating().0 * (1.0 - 1e-9);
        self.device.is_some_and(|device| device.rating().0 < least)
    }

    /// The copper of the conductor.
    #[must_use]
    pub fn area(&self) -> SquareMm {
        self.conductor.area()
    }
}

/// The device that is there, or the smallest that the load leaves cool.
fn device(request: &Request) -> Option<Device> {
    match request.rating {
        Some(rating) => Device::rated(request.kind, rating),
        None => Device::least(request.kind, request.duty.least_rating(request.current)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::circuit::Kind;
    use crate::circuit::ampacity::{Insulation, Surroundings};
    use crate::circuit::path::{Path, Return};
    use crate::circuit::protection::Duty;
    use crate::circuit::units::Metres;
    use crate::circuit::written;

    /// 30 A behind a breaker of 40 A, with insulation for 105 °C, out and back by conductors so long, losing so much.
    fn broken(size: &str, metres: f64, allowed: f64) -> Vec<Rule> {
        let request = Request {
            current: Amps(30.0),
            supply: Volts(12.0),
            allowed: Volts(allowed),
            duty: Duty::Continuous,
            path: Path { out: Metres(metres), back: Metres(metres), by: Return::Own },
            upstream: Ohms(0.0),
            surroundings: Surroundings {
                insulation: Insulation::rated(Celsius(105.0)).expect("a rating"),
                ambient: Celsius(30.0),
                engine_space: false,
                bundled: 2,
            },
            kind: Kind::Breaker,
            rating: None,
            minimum: Some(written::conductor("14 AWG").expect("a conductor")),
        };
        Trial::of(&request, written::conductor(size).expect("a conductor")).broken()
    }

    /// Each rule is broken by itself, so that none hides behind another.
    #[test]
    fn each_rule_can_break() {
        assert_eq!(broken("8 AWG", 3.0, 6.0), []);
        assert_eq!(broken("8 AWG", 3.0, 0.3), [Rule::Drop]);
        assert_eq!(broken("12 AWG", 3.0, 6.0), [Rule::Survival]);
        assert_eq!(broken("8 AWG", 12.0, 6.0), [Rule::Fault]);
        assert_eq!(broken("14 AWG", 0.5, 6.0), [Rule::Protection, Rule::Survival]);
        assert_eq!(
            broken("18 AWG", 0.5, 6.0),
            [Rule::Minimum, Rule::Ampacity, Rule::Protection, Rule::Survival]
        );
    }
}
