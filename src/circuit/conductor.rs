//! Copper conductors: three series of sizes, their areas, resistances and outside diameters.
//!
//! How much one may carry is `ampacity`'s; how a text becomes one is `written`'s.

use std::fmt;

use super::tables;
use super::units::{Awg, Celsius, Metres, Millimetres, Ohms, OhmsPerMetre, Resistivity, Share, SquareMm};

/// Annealed copper at 20 °C, the International Annealed Copper Standard (IEC 60028): 1/58 ohm mm²/m.
const ANNEALED_COPPER: Resistivity = Resistivity(0.017_241);
/// Per kelvin from 20 °C, of the same standard (IEC 60028).
const PER_KELVIN: f64 = 0.003_93;
/// Strands lie in a helix and are longer than the conductor: two per cent, as NEC Chapter 9 Table 8 has between
/// solid and stranded.
const LAY: Share = Share(1.02);
/// The temperature at which tables give resistances.
const REFERENCE: Celsius = Celsius(20.0);

/// How much more copper resists at a temperature than at 20 °C.
fn warmed(at: Celsius) -> Share {
    Share(1.0 + PER_KELVIN * (at - REFERENCE).0)
}

/// The resistivity of copper at a temperature.
#[must_use]
pub fn copper(at: Celsius) -> Resistivity {
    ANNEALED_COPPER * warmed(at)
}

/// How sizes are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Series {
    /// American Wire Gauge: the area by its formula (ASTM B258).
    Awg,
    /// The same numbers with the minimum areas of SAE J1127 and J1128 cable, 3 to 11 % smaller.
    Sae,
    /// Square millimetres, flexible (class 5 of IEC 60228).
    Metric,
}

impl Series {
    /// Every series.
    pub const ALL: [Self; 3] = [Self::Awg, Self::Sae, Self::Metric];

    /// The sizes to choose from, the thinnest first.
    pub fn sizes(self) -> impl Iterator<Item = Conductor> {
        let rows = match self {
            Self::Metric => tables::conductors().metrics.len(),
            _ => tables::conductors().gauges.len(),
        };
        (0..rows).map(move |row| Conductor { series: self, row }).filter(|size| size.is_stocked())
    }

    /// The word in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Awg => "awg",
            Self::Sae => "sae",
            Self::Metric => "mm2",
        }
    }
}

/// A stranded copper conductor of one size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Conductor {
    series: Series,
    row: usize,
}

impl Conductor {
    /// Of this gauge, with the area of the series; `None` where the table has no such size.
    #[must_use]
    pub fn gauged(series: Series, gauge: Awg) -> Option<Self> {
        if series == Series::Metric {
            return None;
        }
        let name = gauge.to_string();
        let row = tables::conductors().gauges.iter().position(|row| row.awg == name)?;
        let found = Self { series, row };
        (series == Series::Awg || found.gauge_row()?.sae.is_some()).then_some(found)
    }

    /// Of this metric size; `None` where IEC 60228 or the table has no such size.
    #[must_use]
    pub fn metric(area: SquareMm) -> Option<Self> {
        let same = |row: &tables::Metric| (row.area() / area - 1.0).abs() < 1e-6;
        let row = tables::conductors().metrics.iter().position(same)?;
        Some(Self { series: Series::Metric, row })
    }

    /// How its size is counted.
    #[must_use]
    pub fn series(self) -> Series {
        self.series
    }

    fn gauge_row(self) -> Option<&'static tables::Gauge> {
        if self.series == Series::Metric { None } else { tables::conductors().gauges.get(self.row) }
    }

    fn metric_row(self) -> Option<&'static tables::Metric> {
        if self.series == Series::Metric { tables::conductors().metrics.get(self.row) } else { None }
    }

    fn is_stocked(self) -> bool {
        match self.series {
            Series::Metric => true,
            Series::Awg => self.gauge_row().is_some_and(|row| row.stocked),
            Series::Sae => self.gauge_row().is_some_and(|row| row.stocked && row.sae.is_some()),
        }
    }

    /// Its gauge; `None` for a metric size.
    #[must_use]
    pub fn gauge(self) -> Option<Awg> {
        self.gauge_row().and_then(|row| gauge_named(&row.awg))
    }

    /// The row of the ampacity table that holds for it: its own gauge, or the thickest that is no thicker.
    pub(super) fn ampacity_row(self) -> Option<&'static tables::Gauge> {
        if let Some(row) = self.gauge_row() {
            return Some(row);
        }
        let fits =
            |row: &&tables::Gauge| gauge_named(&row.awg).is_some_and(|gauge| gauge.area() <= self.area());
        tables::conductors().gauges.iter().rev().find(fits)
    }

    /// The cross-section of its copper.
    #[must_use]
    pub fn area(self) -> SquareMm {
        match (self.gauge_row(), self.metric_row()) {
            (_, Some(row)) => row.area(),
            (Some(tables::Gauge { sae: Some(mils), .. }), _) if self.series == Series::Sae => {
                SquareMm::of_circular_mils(*mils)
            }
            _ => self.gauge().map_or(SquareMm(0.0), Awg::area),
        }
    }

    /// What a metre of it resists when it is so warm. A metric size as the standard's limit; a gauge by its area,
    /// the resistivity of copper and the lay of the strands.
    #[must_use]
    pub fn per_metre(self, at: Celsius) -> OhmsPerMetre {
        match self.metric_row() {
            Some(row) => row.resistance() * warmed(at),
            None => copper(at) / self.area() * LAY,
        }
    }

    /// What so much of it resists when it is so warm.
    #[must_use]
    pub fn resistance(self, length: Metres, at: Celsius) -> Ohms {
        self.per_metre(at) * length
    }

    /// The diameter over its insulation: of catalogues, so measure the cable.
    #[must_use]
    pub fn outside(self) -> Millimetres {
        let metric = self.metric_row().map(tables::Metric::outside);
        metric.or_else(|| self.gauge_row().map(tables::Gauge::outside)).unwrap_or(Millimetres(0.0))
    }

    /// Whether this is the thinner of two, by their copper.
    #[must_use]
    pub fn is_thinner_than(self, other: Self) -> bool {
        self.area() < other.area()
    }
}

impl fmt::Display for Conductor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.gauge_row(), self.series) {
            (Some(row), Series::Sae) => write!(f, "{} gauge SAE", row.awg),
            (Some(row), _) => write!(f, "{} AWG", row.awg),
            (None, _) => write!(f, "{} mm²", self.area().0),
        }
    }
}

/// `12`, `1/0`: as the tables write a gauge.
pub(super) fn gauge_named(text: &str) -> Option<Awg> {
    let number = match text.strip_suffix("/0") {
        Some(count) => 1 - count.parse::<i8>().ok()?,
        None => text.parse().ok()?,
    };
    Awg::new(number)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sizes(series: Series) -> String {
        series.sizes().map(|size| size.to_string()).collect::<Vec<_>>().join(", ")
    }

    #[test]
    fn the_sizes_of_each_series() {
        assert_eq!(
            sizes(Series::Awg),
            "18 AWG, 16 AWG, 14 AWG, 12 AWG, 10 AWG, 8 AWG, 6 AWG, 4 AWG, 2 AWG, 1 AWG, 1/0 AWG, 2/0 AWG, 3/0 AWG, 4/0 AWG"
        );
        assert!(sizes(Series::Sae).starts_with("18 gauge SAE, 16 gauge SAE"));
        assert!(sizes(Series::Metric).starts_with("1 mm², 1.5 mm², 2.5 mm², 4 mm²"));
    }

    #[test]
    fn a_thicker_one_resists_less_is_wider_and_carries_more() {
        for series in Series::ALL {
            let sizes: Vec<Conductor> = series.sizes().collect();
            for pair in sizes.windows(2) {
                let (thin, thick) = (pair[0], pair[1]);
                assert!(thin.is_thinner_than(thick), "{thin} {thick}");
                assert!(thin.per_metre(REFERENCE) > thick.per_metre(REFERENCE), "{thin} {thick}");
                assert!(thin.outside() < thick.outside(), "{thin} {thick}");
                let amps = |size: Conductor| size.ampacity_row().expect("a row").amps[0];
                assert!(amps(thin) <= amps(thick), "{thin} {thick}");
            }
        }
    }

    #[test]
    fn sae_cable_has_less_copper_than_its_number_says() {
        for size in Series::Sae.sizes() {
            let gauge = size.gauge().expect("a gauge");
            let share = size.area() / gauge.area();
            assert!((0.88..0.98).contains(&share), "{size}: {share}");
        }
    }

    #[test]
    fn a_metric_size_takes_the_row_of_the_next_smaller_gauge() {
        let row = |area| {
            let size = Conductor::metric(SquareMm(area)).expect("a metric size");
            size.ampacity_row().expect("a row").awg.as_str()
        };
        assert_eq!(
            [1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 120.0].map(row),
            ["18", "16", "14", "12", "10", "8", "4/0"]
        );
    }

    #[test]
    fn what_is_in_no_table_is_no_conductor() {
        let gauge = |number| Awg::new(number).expect("a gauge");
        assert_eq!(Conductor::gauged(Series::Awg, gauge(20)), None);
        assert_eq!(Conductor::gauged(Series::Sae, gauge(3)), None);
        assert!(Conductor::gauged(Series::Awg, gauge(3)).is_some());
        assert_eq!(Conductor::metric(SquareMm(2.7)), None);
    }
}
