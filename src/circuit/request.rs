//! What is asked of a circuit: checked once, and after that every number in it can be.
//!
//! Reading texts is `written`'s, choosing a conductor `choice`'s.

use super::ampacity::Surroundings;
use super::conductor::Conductor;
use super::path::{Path, Return};
use super::protection::Duty;
use super::tables::Kind;
use super::units::{Amps, Celsius, Metres, Ohms, Share, Volts, Watts};

/// A load as it is written on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Load {
    /// By its current.
    Current(Amps),
    /// By its power at the supply voltage.
    Power(Watts),
}

/// How much voltage may be lost on the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Allowed {
    /// So many volts.
    Drop(Volts),
    /// So much of the supply voltage.
    Part(Share),
}

/// A circuit as it is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asked {
    /// What it feeds.
    pub load: Load,
    /// The voltage at the source.
    pub supply: Volts,
    /// What may be lost, out and back together.
    pub allowed: Allowed,
    /// How long the load runs.
    pub duty: Duty,
    /// Out and back.
    pub path: Path,
    /// How long the vehicle is, which bounds a return by its metal.
    pub vehicle: Metres,
    /// What resists between the source and where this circuit begins: that of another circuit, or nothing.
    pub upstream: Ohms,
    /// Where the conductors lie.
    pub surroundings: Surroundings,
    /// Fuse or breaker.
    pub kind: Kind,
    /// The rating of a device that is there already.
    pub rating: Option<Amps>,
    /// No thinner than this, whatever the rules allow.
    pub minimum: Option<Conductor>,
}

/// A circuit that makes sense: every quantity is finite, positive and of a size that is met on vehicles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Request {
    /// What flows.
    pub current: Amps,
    /// The voltage at the source.
    pub supply: Volts,
    /// What may be lost, out and back together.
    pub allowed: Volts,
    /// How long the load runs.
    pub duty: Duty,
    /// Out and back.
    pub path: Path,
    /// What resists between the source and where this circuit begins: that of another circuit, or nothing.
    pub upstream: Ohms,
    /// Where the conductors lie.
    pub surroundings: Surroundings,
    /// Fuse or breaker.
    pub kind: Kind,
    /// The rating of a device that is there already.
    pub rating: Option<Amps>,
    /// No thinner than this, whatever the rules allow.
    pub minimum: Option<Conductor>,
}

/// Which of the inputs is wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Input {
    /// The load.
    Load,
    /// The supply voltage.
    Supply,
    /// The allowed drop.
    Drop,
    /// The run out.
    Run,
    /// The run back.
    ReturnRun,
    /// The length of the vehicle.
    Vehicle,
    /// The ambient temperature.
    Ambient,
    /// The count of conductors bundled.
    Bundled,
}

/// An input that cannot be: which, why, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct Unfit {
    /// Which.
    pub input: Input,
    /// Why.
    pub message: String,
    /// What would be right.
    pub right: String,
}

/// The longest motor vehicle that is not a bus: Council Directive 96/53/EC, annex I (from memory).
pub const LONGEST_VEHICLE: Metres = Metres(12.0);
/// The ambient of the ampacity table.
pub const USUAL_AMBIENT: Celsius = Celsius(30.0);
/// General-purpose cable of SAE J1128 (from memory); what is rated for more is on the safe side.
pub const USUAL_INSULATION: Celsius = Celsius(80.0);
/// A battery without its charger.
pub const USUAL_SUPPLY: Volts = Volts(12.0);
/// ABYC E-11, for what is critical.
pub const USUAL_DROP: Allowed = Allowed::Part(Share(0.03));

/// The least and the most that is believed of a load: from an indicator lamp to a winch (our choice).
const LOADS: [Amps; 2] = [Amps(0.01), Amps(500.0)];

/// `from 0.01 A to 500 A`, wherever a load is refused.
pub(super) fn believed_loads() -> String {
    format!("from {} A to {} A", LOADS[0].0, LOADS[1].0)
}

/// From a 6-volt system under load to below 50 V, where the rules used here end (33 CFR 183.435, SAE J553).
const SUPPLIES: [Volts; 2] = [Volts(5.0), Volts(50.0)];
/// A load that gets less than half of its voltage does not work (our choice).
const MOST_DROP: Share = Share(0.5);
/// From a jumper to a road train and its trailer (our choice).
const RUNS: [Metres; 2] = [Metres(0.05), Metres(100.0)];
/// From a quad bike to a road train (our choice).
const VEHICLES: [Metres; 2] = [Metres(1.0), Metres(30.0)];
/// From an arctic night to beside an exhaust (our choice).
const AMBIENTS: [Celsius; 2] = [Celsius(-60.0), Celsius(200.0)];
/// Conductors that carry current in one bundle (our choice).
const BUNDLES: [u32; 2] = [1, 100];

fn unfit(input: Input, message: String, right: &str) -> Unfit {
    Unfit { input, message, right: right.to_owned() }
}

/// Refuses what is outside of the two bounds, and what is no number at all.
fn within<T: PartialOrd + Copy>(
    input: Input,
    value: T,
    [least, most]: [T; 2],
    said: impl Fn(T) -> String,
) -> Result<(), Unfit> {
    if least <= value && value <= most {
        return Ok(());
    }
    let right = format!("it is from {} to {}", said(least), said(most));
    Err(unfit(input, format!("{} is not believed", said(value)), &right))
}

impl Asked {
    /// The request, with watts and per cent made amperes and volts.
    ///
    /// # Errors
    /// A quantity that is zero, negative, not finite or absurd; a drop of half the supply or more; a return by the
    /// chassis that is longer than the vehicle.
    pub fn checked(self) -> Result<Request, Unfit> {
        within(Input::Supply, self.supply, SUPPLIES, |volts| format!("{} V", volts.0))?;
        if self.supply >= SUPPLIES[1] {
            let message = format!("{} V is not below 50 V, where the rules used here end", self.supply.0);
            return Err(unfit(Input::Supply, message, "a supply from 5 V to below 50 V, such as 12 V"));
        }
        let current = self.current()?;
        let allowed = self.allowed_drop()?;
        self.check_path()?;
        within(Input::Ambient, self.surroundings.ambient, AMBIENTS, |at| format!("{} °C", at.0))?;
        within(Input::Bundled, self.surroundings.bundled, BUNDLES, |count| format!("{count}"))?;
        let Self { supply, duty, path, upstream, surroundings, kind, rating, minimum, .. } = self;
        Ok(Request { current, supply, allowed, duty, path, upstream, surroundings, kind, rating, minimum })
    }

    fn current(&self) -> Result<Amps, Unfit> {
        let (current, said) = match self.load {
            Load::Current(amps) => (amps, format!("{} A", amps.0)),
            Load::Power(watts) => (watts / self.supply, format!("{} W", watts.0)),
        };
        if current >= LOADS[0] && current <= LOADS[1] {
            return Ok(current);
        }
        let told = format!("a load of {said} is not believed");
        let right = format!("a load {}, such as 15 A, or its power, such as 55 W", believed_loads());
        Err(unfit(Input::Load, told, &right))
    }

    fn allowed_drop(&self) -> Result<Volts, Unfit> {
        let (drop, said) = match self.allowed {
            Allowed::Drop(volts) => (volts, format!("{} V", volts.0)),
            Allowed::Part(share) => (self.supply * share, format!("{} %", share.0 * 100.0)),
        };
        let most = self.supply * MOST_DROP;
        if drop > Volts(0.0) && drop <= most {
            return Ok(drop);
        }
        let why = if drop > most {
            "leaves the load less than half of its voltage"
        } else {
            "would take a conductor without resistance"
        };
        let right = format!(
            "above 0 and at most half of the {} V: 3 % for what must work well, 10 % for the rest",
            self.supply.0
        );
        Err(unfit(Input::Drop, format!("a drop of {said} {why}"), &right))
    }

    fn check_path(&self) -> Result<(), Unfit> {
        let metres = |length: Metres| format!("{} m", length.0);
        within(Input::Run, self.path.out, RUNS, metres)?;
        within(Input::Vehicle, self.vehicle, VEHICLES, metres)?;
        within(Input::ReturnRun, self.path.back, RUNS, metres)?;
        if self.path.by == Return::Chassis && self.path.back > self.vehicle {
            let message = format!(
                "a return of {} m through the chassis is longer than the vehicle of {} m",
                self.path.back.0, self.vehicle.0
            );
            let right = "give the length of the return through the metal, or the vehicle's length, or let it \
                         return by a conductor of its own";
            return Err(unfit(Input::ReturnRun, message, right));
        }
        Ok(())
    }
}
