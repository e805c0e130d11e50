//! What would make a circuit possible that is not: single changes, each of which was tried and is enough.

use super::ampacity::Insulation;
use super::choice::{Refusal, choose};
use super::conductor::{Conductor, Series};
use super::path::{Path, Return};
use super::protection::Device;
use super::request::Request;
use super::tables::Kind;
use super::trial::{Rule, Trial};
use super::units::{Amps, Celsius, Metres, Share};

/// A change that is enough by itself.
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

/// More than this is allowed for nothing (ABYC E-11, for what is not critical).
const MOST_DROP: u32 = 100;
/// A shop is no cooler.
const COOLEST: u32 = 20;
/// So many are told.
const TOLD: usize = 3;

/// Up to three changes that would mend a refused circuit, the likeliest first; `fixed` is the conductor that was given.
#[must_use]
pub fn mends(request: &Request, series: Series, fixed: Option<Conductor>, refusal: &Refusal) -> Vec<Mend> {
    let bench = Bench { request: *request, series, fixed };
    let broke = |rules: &[Rule]| refusal.broken.iter().any(|rule| rules.contains(rule));
    let mut ways: Vec<fn(&Bench) -> Option<Mend>> = vec![Bench::conductor, Bench::device];
    if broke(&[Rule::Survival, Rule::Fault]) {
        ways.push(Bench::fuse);
    }
    if broke(&[Rule::Drop]) {
        ways.extend([Bench::own_return, Bench::drop, Bench::run]);
    }
    if broke(&[Rule::Ampacity, Rule::Protection]) {
        ways.extend([Bench::insulation, Bench::clear_of_engine, Bench::bundled, Bench::ambient]);
    }
    ways.extend([Bench::run, Bench::load]);
    let mut found: Vec<Mend> = Vec::new();
    for mend in ways.into_iter().filter_map(|way| way(&bench)) {
        if !found.contains(&mend) {
            found.push(mend);
        }
    }
    found.truncate(TOLD);
    found
}

/// Where changes are tried.
struct Bench {
    request: Request,
    series: Series,
    fixed: Option<Conductor>,
}

impl Bench {
    fn works(&self, request: &Request) -> bool {
        match self.fixed {
            Some(conductor) => Trial::of(request, conductor).broken().is_empty(),
            None => choose(request, self.series).is_ok(),
        }
    }

    fn with(&self, change: impl Fn(&mut Request)) -> bool {
        let mut changed = self.request;
        change(&mut changed);
        self.works(&changed)
    }

    fn conductor(&self) -> Option<Mend> {
        self.fixed?;
        choose(&self.request, self.series).ok().map(|choice| Mend::Conductor(choice.trial.conductor))
    }

    fn device(&self) -> Option<Mend> {
        self.request.rating?;
        let least = self.request.duty.least_rating(self.request.current);
        let device = Device::least(self.request.kind, least)?;
        self.with(|request| request.rating = Some(device.rating())).then_some(Mend::Device(device))
    }

    fn fuse(&self) -> Option<Mend> {
        let breaker = self.request.kind == Kind::Breaker && self.request.rating.is_none();
        (breaker && self.with(|request| request.kind = Kind::Fuse)).then_some(Mend::Fuse)
    }

    fn own_return(&self) -> Option<Mend> {
        let chassis = self.request.path.by == Return::Chassis;
        (chassis && self.with(|request| request.path.by = Return::Own)).then_some(Mend::OwnReturn)
    }

    /// In tenths of a per cent.
    fn drop(&self) -> Option<Mend> {
        let supply = self.request.supply;
        let share = |tenths: u32| Share(f64::from(tenths) / 1000.0);
        let now = (self.request.allowed / supply * 1000.0) as u32;
        let enough = |tenths| self.with(|request| request.allowed = supply * share(tenths));
        least(now + 1, MOST_DROP, enough).map(|tenths| Mend::Drop(share(tenths)))
    }

    /// In decimetres.
    fn run(&self) -> Option<Mend> {
        let path = self.request.path;
        let run = |decimetres: u32| Metres(f64::from(decimetres) / 10.0);
        let most_now = (path.out.0 * 10.0) as u32;
        let shortened = |decimetres| {
            let share = run(decimetres) / path.out;
            Path { out: run(decimetres), back: path.back * share, ..path }
        };
        let works = |decimetres| self.with(|request| request.path = shortened(decimetres));
        most(1, most_now, works).map(|decimetres| Mend::Run(run(decimetres)))
    }

    /// In tenths of an ampere.
    fn load(&self) -> Option<Mend> {
        let amps = |tenths: u32| Amps(f64::from(tenths) / 10.0);
        let most_now = (self.request.current.0 * 10.0) as u32;
        let works = |tenths| self.with(|request| request.current = amps(tenths));
        most(1, most_now, works).map(|tenths| Mend::Load(amps(tenths)))
    }

    fn insulation(&self) -> Option<Mend> {
        let better = std::iter::successors(self.request.surroundings.insulation.better(), |it| it.better());
        let enough = |insulation: &Insulation| {
            let insulation = *insulation;
            self.with(|request| request.surroundings.insulation = insulation)
        };
        better.into_iter().find(enough).map(Mend::Insulation)
    }

    fn clear_of_engine(&self) -> Option<Mend> {
        let near = self.request.surroundings.engine_space;
        (near && self.with(|request| request.surroundings.engine_space = false))
            .then_some(Mend::ClearOfEngine)
    }

    fn bundled(&self) -> Option<Mend> {
        let fewest = self.request.path.conductors();
        let works = |count| self.with(|request| request.surroundings.bundled = count);
        most(fewest, self.request.surroundings.bundled.saturating_sub(1), works).map(Mend::Bundled)
    }

    fn ambient(&self) -> Option<Mend> {
        let surroundings = self.request.surroundings;
        if surroundings.engine_space || surroundings.ambient.0 <= f64::from(COOLEST) {
            return None;
        }
        let works =
            |degrees: u32| self.with(|request| request.surroundings.ambient = Celsius(f64::from(degrees)));
        let now = surroundings.ambient.0 as u32;
        most(COOLEST, now, works).map(|degrees| Mend::Ambient(Celsius(f64::from(degrees))))
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
