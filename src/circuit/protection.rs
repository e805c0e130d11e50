//! Fuses and breakers: the rating that a load needs, and how soon a fault opens it.
//!
//! Which conductor goes with it is decided in `trial`; the tables are in `schema/protection.toml`.

use super::tables::{self, Family, Kind};
use super::units::{Amps, Seconds, Share};

/// How long a load runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Duty {
    /// For minutes at a time or longer.
    Continuous,
    /// In bursts: brakes, horns, pumps.
    Intermittent,
}

impl Duty {
    /// The share of its rating to which a device is loaded. 80 % for a continuous load: common practice, no source
    /// (makers say 75 to 80 %). 90 % for an intermittent one: our choice, no source.
    #[must_use]
    pub fn share(self) -> Share {
        match self {
            Self::Continuous => Share(0.8),
            Self::Intermittent => Share(0.9),
        }
    }

    /// The least rating for a load.
    #[must_use]
    pub fn least_rating(self, load: Amps) -> Amps {
        load / self.share()
    }

    /// The word on the command line and in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Continuous => "continuous",
            Self::Intermittent => "intermittent",
        }
    }
}

impl Kind {
    /// The word on the command line and in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Fuse => "fuse",
            Self::Breaker => "breaker",
        }
    }

    /// The other kind.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Fuse => Self::Breaker,
            Self::Breaker => Self::Fuse,
        }
    }

    /// The classes of SAE J553 that protect by themselves: what resets by itself (Type I) needs a further
    /// protection before it. `None` for a fuse.
    #[must_use]
    pub fn classes(self) -> &'static [&'static str] {
        match self {
            Self::Fuse => &[],
            Self::Breaker => &["Type II", "Type III"],
        }
    }
}

/// A device of one rating.
#[derive(Debug, Clone, Copy)]
pub struct Device {
    family: &'static Family,
    at: usize,
}

impl Device {
    /// The smallest device of a kind with at least this rating; `None` above the largest.
    #[must_use]
    pub fn least(kind: Kind, rating: Amps) -> Option<Self> {
        // A load that comes to just the rating, but for the last bit of a division, is no more than it.
        let enough = rating.0 * (1.0 - 1e-9);
        let families = tables::protection().families.iter().filter(|family| family.kind == kind);
        families
            .filter_map(|family| {
                let at = family.ratings.iter().position(|rated| *rated >= enough)?;
                Some(Self { family, at })
            })
            .next()
    }

    /// The device of a kind with just this rating; `None` where there is none.
    #[must_use]
    pub fn rated(kind: Kind, rating: Amps) -> Option<Self> {
        Self::least(kind, rating).filter(|device| device.rating() == rating)
    }

    /// The largest rating of a kind.
    #[must_use]
    pub fn largest(kind: Kind) -> Amps {
        let families = tables::protection().families.iter().filter(|family| family.kind == kind);
        Amps(families.flat_map(|family| family.ratings.iter().copied()).fold(0.0, f64::max))
    }

    /// What it is rated for.
    #[must_use]
    pub fn rating(&self) -> Amps {
        Amps(self.family.ratings[self.at])
    }

    /// A fuse or a breaker.
    #[must_use]
    pub fn kind(&self) -> Kind {
        self.family.kind
    }

    /// `regular`, `large`, `bolted` as in the catalogue; `breaker`.
    #[must_use]
    pub fn family(&self) -> &'static str {
        &self.family.name
    }

    /// What it is called in a sentence.
    #[must_use]
    pub fn title(&self) -> &'static str {
        &self.family.title
    }

    /// The colour by which its rating is known, within its family.
    #[must_use]
    pub fn colour(&self) -> Option<&'static str> {
        self.family.colours.get(self.at).map(String::as_str)
    }

    /// How long at most a current takes to open it; `None` where it may never do so.
    ///
    /// Between two points of the table the time lies on the straight line of logarithmic paper: curves of fuses and
    /// thermal breakers bend upwards there, so the line is above them. Beyond the last point the device melts or
    /// bends before heat gets away, by a fixed A²s.
    #[must_use]
    pub fn opens_within(&self, current: Amps) -> Option<Seconds> {
        let times = current / self.rating();
        let points = &self.family.opens;
        let after = points.iter().position(|point| times < point.times);
        match after {
            Some(0) => None,
            Some(at) => {
                let (low, high) = (&points[at - 1], &points[at]);
                let along = (times / low.times).ln() / (high.times / low.times).ln();
                Some(Seconds(low.within * (high.within / low.within).powf(along)))
            }
            None => points.last().map(|last| Seconds(last.within * (last.times / times).powi(2))),
        }
    }

    /// The smallest current that surely opens it within a time.
    #[must_use]
    pub fn opened_by(&self, time: Seconds) -> Amps {
        let (mut low, mut high) = (1.0, 1e4);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            let opens = self.opens_within(self.rating() * middle).is_some_and(|within| within <= time);
            if opens { high = middle } else { low = middle }
        }
        self.rating() * high
    }
}

impl PartialEq for Device {
    fn eq(&self, other: &Self) -> bool {
        (self.family(), self.at) == (other.family(), other.at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(kind: Kind, least: f64, expected: &str) {
        let found = Device::least(kind, Amps(least));
        let text = found.map_or("none".to_owned(), |device| {
            format!("{} A {} {}", device.rating().0, device.title(), device.colour().unwrap_or("-"))
        });
        assert_eq!(text, expected, "{least} A");
    }

    #[test]
    fn the_smallest_device_that_a_load_leaves_cool() {
        check(Kind::Fuse, 0.3, "1 A blade fuse black");
        check(Kind::Fuse, 18.75, "20 A blade fuse yellow");
        check(Kind::Fuse, 20.0, "20 A blade fuse yellow");
        check(Kind::Fuse, 20.1, "25 A blade fuse clear");
        check(Kind::Fuse, 41.0, "50 A large blade fuse red");
        check(Kind::Fuse, 120.0, "125 A bolted fuse -");
        check(Kind::Fuse, 501.0, "none");
        check(Kind::Breaker, 37.5, "40 A circuit breaker -");
        check(Kind::Breaker, 201.0, "none");
        assert_eq!(Device::rated(Kind::Fuse, Amps(17.0)), None);
        // 16 A at 80 % is 20 A, whatever the division leaves over.
        let least = Duty::Continuous.least_rating(Amps(16.0));
        assert_eq!(Device::least(Kind::Fuse, least).map(|device| device.rating()), Some(Amps(20.0)));
    }

    /// Heat let through may not grow with the current: else a shorter run would ask for a thicker conductor.
    #[test]
    fn more_current_opens_sooner_and_lets_less_heat_through() {
        for kind in [Kind::Fuse, Kind::Breaker] {
            for rating in [5.0, 20.0, 60.0, 150.0] {
                let device = Device::least(kind, Amps(rating)).expect("a device");
                let mut last: Option<(Seconds, f64)> = None;
                for step in 135..4000 {
                    let current = device.rating() * (f64::from(step) / 100.0);
                    let time = device.opens_within(current).expect("it opens");
                    let heat = current.heat(time).0;
                    if let Some((before, through)) = last {
                        assert!(time < before && heat <= through * (1.0 + 1e-9), "{device:?} at {step} %");
                    }
                    last = Some((time, heat));
                }
            }
        }
    }

    #[test]
    fn an_overload_that_it_may_carry_opens_nothing() {
        let fuse = Device::least(Kind::Fuse, Amps(20.0)).expect("a fuse");
        assert_eq!(fuse.opens_within(Amps(20.0)), None);
        assert_eq!(fuse.opens_within(Amps(40.0)), Some(Seconds(5.0)));
        assert!((fuse.opened_by(Seconds(5.0)).0 - 40.0).abs() < 1e-6);
    }
}
