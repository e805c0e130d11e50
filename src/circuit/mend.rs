//! What would make a circuit possible that is not: changes, each of which was tried and is enough.

use super::ampacity::Insulation;
use super::choice::{Refusal, choose};
use super::conductor::{Conductor, Series};
use super::path::{Path, Return};
use super::protection::Device;
use super::request::Request;
use super::tables::Kind;
use super::trial::{Rule, Trial};
use super::units::{Amps, Celsius, Metres, Share};

/// A change to a circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Mend {
    /// Another conductor than the one given.
    Conductor(Conductor),
    /// Another device than the one that is there.
    Device(Device),
    /// A fuse, which opens sooner than a breaker.
    Fuse,
    /// So much drop.
    Drop(Share),
    /// At most this run out, and back in proportion.
    Run(Metres),
    /// At most this load.
    Load(Amps),
    /// Better insulation.
    Insulation(Insulation),
    /// A way that keeps clear of the engine.
    ClearOfEngine,
    /// A place no hotter than this.
    Ambient(Celsius),
    /// At most so many conductors bundled.
    Bundled(u32),
    /// A conductor of its own for the return.
    OwnReturn,
}

impl Mend {
    /// The circuit, and the conductor that was given, after the change.
    #[must_use]
    pub fn on(self, mut request: Request, fixed: Option<Conductor>) -> (Request, Option<Conductor>) {
        match self {
            Self::Conductor(conductor) => return (request, Some(conductor)),
            Self::Device(device) => request.rating = Some(device.rating()),
            Self::Fuse => request.kind = Kind::Fuse,
            Self::Drop(share) => request.allowed = request.supply * share,
            Self::Run(out) => {
                let share = out / request.path.out;
                request.path = Path { out, back: request.path.back * share, ..request.path };
            }
            Self::Load(amps) => request.current = amps,
            Self::Insulation(insulation) => request.surroundings.insulation = insulation,
            Self::ClearOfEngine => request.surroundings.engine_space = false,
            Self::Ambient(ambient) => request.surroundings.ambient = ambient,
            Self::Bundled(count) => request.surroundings.bundled = count,
            Self::OwnReturn => request.path.by = Return::Own,
        }
        (request, fixed)
    }
}

/// More than this is allowed for nothing (ABYC E-11, for what is not critical).
const MOST_DROP: u32 = 100;
/// A shop is no cooler.
const COOLEST: u32 = 20;
/// So many are told.
const TOLD: usize = 3;

/// Up to three ways to mend a refused circuit, the likeliest first; `fixed` is the conductor that was given. Each is one
/// change, or where no single one is enough two that have to go together.
#[must_use]
pub fn mends(
    request: &Request,
    series: Series,
    fixed: Option<Conductor>,
    refusal: &Refusal,
) -> Vec<Vec<Mend>> {
    let bench = Bench { request: *request, series, fixed };
    let mut ways: Vec<Vec<Mend>> =
        bench.singles(&refusal.broken).into_iter().map(|mend| vec![mend]).collect();
    if ways.is_empty() {
        ways = bench.pairs();
    }
    ways.truncate(TOLD);
    ways
}

/// Where changes are tried.
struct Bench {
    request: Request,
    series: Series,
    fixed: Option<Conductor>,
}

impl Bench {
    fn works(&self) -> bool {
        match self.fixed {
            Some(conductor) => Trial::of(&self.request, conductor).broken().is_empty(),
            None => choose(&self.request, self.series).is_ok(),
        }
    }

    /// The changes that are enough by themselves.
    fn singles(&self, broken: &[Rule]) -> Vec<Mend> {
        let broke = |rules: &[Rule]| broken.iter().any(|rule| rules.contains(rule));
        let mut ways: Vec<fn(&Self) -> Option<Mend>> = vec![Self::conductor, Self::device];
        if broke(&[Rule::Survival, Rule::Fault]) {
            ways.push(Self::fuse);
        }
        if broke(&[Rule::Drop]) {
            ways.extend([Self::own_return, Self::drop, Self::run]);
        }
        if broke(&[Rule::Ampacity, Rule::Protection]) {
            ways.extend([Self::insulation, Self::clear_of_engine, Self::bundled, Self::ambient]);
        }
        ways.extend([Self::run, Self::load]);
        let mut found: Vec<Mend> = Vec::new();
        for mend in ways.into_iter().filter_map(|way| way(self)) {
            if !found.contains(&mend) {
                found.push(mend);
            }
        }
        found
    }

    /// A first change that clears what no other can, each with what is enough after it.
    fn pairs(&self) -> Vec<Vec<Mend>> {
        let after = |first: Mend| {
            let seconds = self.changed(first).singles(&Rule::ALL);
            seconds.into_iter().map(move |second| vec![first, second])
        };
        self.firsts().into_iter().flat_map(after).collect()
    }

    /// Another device, where the one that is there is too small; else better insulation, where the air is too hot for
    /// this one; else a way clear of the engine.
    fn firsts(&self) -> Vec<Mend> {
        let least = self.request.duty.least_rating(self.request.current);
        let larger = self.request.rating.filter(|rating| *rating < least);
        let larger = larger.and_then(|_| Device::least(self.request.kind, least));
        let ambient = self.request.surroundings.ambient();
        let better = self.better_insulation().find(|better| better.column() > ambient);
        let clear = self.request.surroundings.engine_space.then_some(Mend::ClearOfEngine);
        [larger.map(Mend::Device), better.map(Mend::Insulation), clear].into_iter().flatten().collect()
    }

    /// The bench after a change.
    fn changed(&self, mend: Mend) -> Self {
        let (request, fixed) = mend.on(self.request, self.fixed);
        Self { request, fixed, ..*self }
    }

    /// The change, if it is enough.
    fn enough(&self, mend: Mend) -> Option<Mend> {
        self.changed(mend).works().then_some(mend)
    }

    fn conductor(&self) -> Option<Mend> {
        self.fixed?;
        choose(&self.request, self.series).ok().map(|choice| Mend::Conductor(choice.trial.conductor))
    }

    fn device(&self) -> Option<Mend> {
        self.request.rating?;
        let least = self.request.duty.least_rating(self.request.current);
        self.enough(Mend::Device(Device::least(self.request.kind, least)?))
    }

    fn fuse(&self) -> Option<Mend> {
        let breaker = self.request.kind == Kind::Breaker && self.request.rating.is_none();
        self.enough(Mend::Fuse).filter(|_| breaker)
    }

    fn own_return(&self) -> Option<Mend> {
        let chassis = self.request.path.by == Return::Chassis;
        self.enough(Mend::OwnReturn).filter(|_| chassis)
    }

    /// In tenths of a per cent.
    fn drop(&self) -> Option<Mend> {
        let way = |tenths: u32| Mend::Drop(Share(f64::from(tenths) / 1000.0));
        let now = (self.request.allowed / self.request.supply * 1000.0) as u32;
        least(now + 1, MOST_DROP, |tenths| self.enough(way(tenths)).is_some()).map(way)
    }

    /// In decimetres.
    fn run(&self) -> Option<Mend> {
        let way = |decimetres: u32| Mend::Run(Metres(f64::from(decimetres) / 10.0));
        let now = (self.request.path.out.0 * 10.0) as u32;
        most(1, now, |decimetres| self.enough(way(decimetres)).is_some()).map(way)
    }

    /// In tenths of an ampere.
    fn load(&self) -> Option<Mend> {
        let way = |tenths: u32| Mend::Load(Amps(f64::from(tenths) / 10.0));
        let now = (self.request.current.0 * 10.0) as u32;
        most(1, now, |tenths| self.enough(way(tenths)).is_some()).map(way)
    }

    fn better_insulation(&self) -> impl Iterator<Item = Insulation> {
        std::iter::successors(self.request.surroundings.insulation.better(), |it| it.better())
    }

    fn insulation(&self) -> Option<Mend> {
        self.better_insulation().find_map(|better| self.enough(Mend::Insulation(better)))
    }

    fn clear_of_engine(&self) -> Option<Mend> {
        self.enough(Mend::ClearOfEngine).filter(|_| self.request.surroundings.engine_space)
    }

    fn bundled(&self) -> Option<Mend> {
        let fewer = self.request.surroundings.bundled.saturating_sub(1);
        let works = |count| self.enough(Mend::Bundled(count)).is_some();
        most(self.request.path.conductors(), fewer, works).map(Mend::Bundled)
    }

    /// In whole degrees.
    fn ambient(&self) -> Option<Mend> {
        let surroundings = self.request.surroundings;
        let way = |degrees: u32| Mend::Ambient(Celsius(f64::from(degrees)));
        if surroundings.engine_space || surroundings.ambient.0 <= f64::from(COOLEST) {
            return None;
        }
        most(COOLEST, surroundings.ambient.0 as u32, |degrees| self.enough(way(degrees)).is_some()).map(way)
    }
}

/// The largest number in the range that works, where all below it do.
fn most(low: u32, high: u32, works: impl Fn(u32) -> bool) -> Option<u32> {
    if low > high || !works(low) {
        return None;
    }
    let (mut low, mut high) = (low, high);
    while low < high {
        let middle = low + (high - low).div_ceil(2);
        if works(middle) { low = middle } else { high = middle - 1 }
    }
    Some(low)
}

/// The smallest number in the range that works, where all above it do.
fn least(low: u32, high: u32, works: impl Fn(u32) -> bool) -> Option<u32> {
    if low > high {
        return None;
    }
    most(0, high - low, |back| works(high - back)).map(|back| high - back)
}
