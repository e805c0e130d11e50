//! The tables of `schema/conductors.toml`, `schema/protection.toml` and `schema/fittings.toml`, read once.
//!
//! Each table carries its source in the file. What follows from them is the business of the modules beside this one.

use std::sync::OnceLock;

use serde::Deserialize;

use super::units::{Celsius, Millimetres, OhmsPerMetre, SquareMm};

/// One row of a gauge.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Gauge {
    pub(super) awg: String,
    /// Circular mils of SAE cable.
    pub(super) sae: Option<f64>,
    pub(super) amps: Vec<f64>,
    outside: f64,
    #[serde(default = "yes")]
    pub(super) stocked: bool,
}

fn yes() -> bool {
    true
}

/// One metric size.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Metric {
    area: f64,
    resistance: f64,
    outside: f64,
}

/// One column of the ampacity table.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Insulation {
    rated: f64,
    pub(super) engine_space: f64,
    limit: f64,
}

/// From how many conductors on which factor holds.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Bundle {
    pub(super) from: u32,
    pub(super) factor: f64,
}

impl Gauge {
    pub(super) fn outside(&self) -> Millimetres {
        Millimetres(self.outside)
    }
}

impl Metric {
    pub(super) fn area(&self) -> SquareMm {
        SquareMm(self.area)
    }

    /// At 20 °C.
    pub(super) fn resistance(&self) -> OhmsPerMetre {
        OhmsPerMetre(self.resistance / 1000.0)
    }

    pub(super) fn outside(&self) -> Millimetres {
        Millimetres(self.outside)
    }
}

impl Insulation {
    pub(super) fn rated(&self) -> Celsius {
        Celsius(self.rated)
    }

    /// What it survives for a few seconds.
    pub(super) fn limit(&self) -> Celsius {
        Celsius(self.limit)
    }
}

/// `schema/conductors.toml`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Conductors {
    #[serde(rename = "version")]
    _version: u32,
    #[serde(rename = "gauge")]
    pub(super) gauges: Vec<Gauge>,
    #[serde(rename = "metric")]
    pub(super) metrics: Vec<Metric>,
    #[serde(rename = "insulation")]
    pub(super) insulations: Vec<Insulation>,
    #[serde(rename = "bundle")]
    pub(super) bundles: Vec<Bundle>,
}

/// A fuse or a breaker.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// It melts once.
    Fuse,
    /// It can be closed again.
    Breaker,
}

/// How long it takes at most to open.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Opens {
    pub(super) times: f64,
    pub(super) within: f64,
}

/// Protective devices of one make-up.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Family {
    pub(super) name: String,
    pub(super) title: String,
    pub(super) kind: Kind,
    pub(super) ratings: Vec<f64>,
    pub(super) colours: Vec<String>,
    pub(super) opens: Vec<Opens>,
}

/// `schema/protection.toml`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Protection {
    #[serde(rename = "version")]
    _version: u32,
    #[serde(rename = "family")]
    pub(super) families: Vec<Family>,
}

/// A crimp barrel and what it holds.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Barrel {
    pub(super) colour: String,
    /// The thinnest and the thickest gauge.
    pub(super) awg: [String; 2],
    pub(super) mm2: [f64; 2],
}

/// A ring and the studs that it goes over.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Ring {
    pub(super) names: [String; 2],
    stud: f64,
}

impl Ring {
    pub(super) fn stud(&self) -> Millimetres {
        Millimetres(self.stud)
    }
}

/// Split tubing around a bundle.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Loom {
    inside: f64,
    outside: f64,
}

impl Loom {
    pub(super) fn inside(&self) -> Millimetres {
        Millimetres(self.inside)
    }

    pub(super) fn outside(&self) -> Millimetres {
        Millimetres(self.outside)
    }
}

/// A grommet.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Grommet {
    bore: f64,
    hole: f64,
}

impl Grommet {
    pub(super) fn bore(&self) -> Millimetres {
        Millimetres(self.bore)
    }

    pub(super) fn hole(&self) -> Millimetres {
        Millimetres(self.hole)
    }
}

/// What makes a hole.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Tools {
    pub(super) saws: Vec<f64>,
    pub(super) steps: Vec<f64>,
}

/// `schema/fittings.toml`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Fittings {
    #[serde(rename = "version")]
    _version: u32,
    #[serde(rename = "barrel")]
    pub(super) barrels: Vec<Barrel>,
    #[serde(rename = "ring")]
    pub(super) rings: Vec<Ring>,
    #[serde(rename = "loom")]
    pub(super) looms: Vec<Loom>,
    #[serde(rename = "grommet")]
    pub(super) grommets: Vec<Grommet>,
    pub(super) tools: Tools,
}

/// A table that comes with the program. A faulty one is a fault of the program and stops it; the tests below load
/// each of them.
fn built_in<T: serde::de::DeserializeOwned>(name: &str, text: &str) -> T {
    toml::from_str(text).unwrap_or_else(|error| panic!("{name}: {error}"))
}

pub(super) fn conductors() -> &'static Conductors {
    static TABLE: OnceLock<Conductors> = OnceLock::new();
    TABLE.get_or_init(|| built_in("schema/conductors.toml", include_str!("../../schema/conductors.toml")))
}

pub(super) fn protection() -> &'static Protection {
    static TABLE: OnceLock<Protection> = OnceLock::new();
    TABLE.get_or_init(|| built_in("schema/protection.toml", include_str!("../../schema/protection.toml")))
}

pub(super) fn fittings() -> &'static Fittings {
    static TABLE: OnceLock<Fittings> = OnceLock::new();
    TABLE.get_or_init(|| built_in("schema/fittings.toml", include_str!("../../schema/fittings.toml")))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rises(numbers: impl IntoIterator<Item = f64>) -> bool {
        let numbers: Vec<f64> = numbers.into_iter().collect();
        !numbers.is_empty() && numbers.windows(2).all(|pair| pair[0] < pair[1])
    }

    #[test]
    fn the_conductors_rise_in_every_column() {
        let table = conductors();
        for column in 0..table.insulations.len() {
            assert!(rises(table.gauges.iter().map(|gauge| gauge.amps[column])), "column {column}");
        }
        assert!(table.gauges.iter().all(|gauge| gauge.amps.len() == table.insulations.len()));
        assert!(table.gauges.iter().all(|gauge| gauge.amps.is_sorted()), "better insulation carries more");
        assert!(rises(table.gauges.iter().filter_map(|gauge| gauge.sae)));
        assert!(rises(table.gauges.iter().map(|gauge| gauge.outside)));
        assert!(rises(table.metrics.iter().map(|metric| metric.area)));
        assert!(rises(table.metrics.iter().map(|metric| -metric.resistance)));
        assert!(rises(table.metrics.iter().map(|metric| metric.outside)));
        assert!(rises(table.insulations.iter().map(|column| column.rated)));
        assert!(rises(table.bundles.iter().map(|bundle| f64::from(bundle.from))));
        assert!(rises(table.bundles.iter().map(|bundle| -bundle.factor)));
    }

    #[test]
    fn the_devices_rise_and_more_current_opens_them_sooner() {
        for family in &protection().families {
            assert!(rises(family.ratings.iter().copied()), "{}", family.name);
            assert!(rises(family.opens.iter().map(|point| point.times)), "{}", family.name);
            assert!(rises(family.opens.iter().map(|point| -point.within)), "{}", family.name);
            let colours = family.colours.len();
            assert!(colours == 0 || colours == family.ratings.len(), "{}", family.name);
        }
        let fuses = protection().families.iter().filter(|family| family.kind == Kind::Fuse);
        assert!(rises(fuses.flat_map(|family| family.ratings.clone())), "each fuse stands in one family");
    }

    #[test]
    fn the_fittings_rise_and_fit() {
        let table = fittings();
        assert!(rises(table.rings.iter().map(|ring| ring.stud)));
        assert!(rises(table.looms.iter().map(|loom| loom.inside)));
        assert!(rises(table.grommets.iter().map(|grommet| grommet.bore)));
        assert!(rises(table.tools.saws.iter().copied()) && rises(table.tools.steps.iter().copied()));
        assert!(table.looms.iter().all(|loom| loom.outside > loom.inside));
        for grommet in &table.grommets {
            assert!(
                grommet.hole > grommet.bore && grommet.hole <= table.tools.saws[table.tools.saws.len() - 1]
            );
        }
    }
}
