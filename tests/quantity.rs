//! Units and wire gauges against sources outside the project: the `uom` crate for the factors,
//! published tables for the geometry of the gauges.

use std::f64::consts::PI;

use baybook::value::quantity::{Awg, Dimension, Measure, Quantity, Rule, Unit};
use uom::si::{
    acceleration, area, electric_current, electric_potential, electrical_resistance, f64 as si, force,
    length, mass, time, torque,
};

/// Both directions of one unit by `uom`: its number of the base unit, and back.
struct Outside {
    unit: Unit,
    to_base: fn(f64) -> f64,
    of_base: fn(f64) -> f64,
}

macro_rules! outside {
    ($unit:ident, $quantity:ident, $module:ident :: $theirs:ident, $base:ident) => {
        Outside {
            unit: Unit::$unit,
            to_base: |n| si::$quantity::new::<$module::$theirs>(n).get::<$module::$base>(),
            of_base: |n| si::$quantity::new::<$module::$base>(n).get::<$module::$theirs>(),
        }
    };
}

/// The newton metres of a pound-force on this arm, from parts of `uom` that are exact: 7000 grains are a
/// pound (yard and pound agreement of 1959). Its own pound-force foot is rounded to seven digits.
fn pound_force_on(arm: si::Length) -> f64 {
    let pound = si::Mass::new::<mass::grain>(7000.0);
    let force = pound * si::Acceleration::new::<acceleration::standard_gravity>(1.0);
    force.get::<force::newton>() * arm.get::<length::meter>()
}

fn pound_foot() -> f64 {
    pound_force_on(si::Length::new::<length::foot>(1.0))
}

fn pound_inch() -> f64 {
    pound_force_on(si::Length::new::<length::inch>(1.0))
}

/// Every unit but AWG, which is no multiple of anything. The factors of `uom` are its own.
fn outside() -> Vec<Outside> {
    vec![
        outside!(Volt, ElectricPotential, electric_potential::volt, volt),
        outside!(Millivolt, ElectricPotential, electric_potential::millivolt, volt),
        outside!(Ampere, ElectricCurrent, electric_current::ampere, ampere),
        outside!(Milliampere, ElectricCurrent, electric_current::milliampere, ampere),
        outside!(Ohm, ElectricalResistance, electrical_resistance::ohm, ohm),
        outside!(Milliohm, ElectricalResistance, electrical_resistance::milliohm, ohm),
        outside!(Kilohm, ElectricalResistance, electrical_resistance::kiloohm, ohm),
        outside!(Megohm, ElectricalResistance, electrical_resistance::megaohm, ohm),
        outside!(Millimetre, Length, length::millimeter, millimeter),
        outside!(Centimetre, Length, length::centimeter, millimeter),
        outside!(Metre, Length, length::meter, millimeter),
        outside!(Inch, Length, length::inch, millimeter),
        outside!(Foot, Length, length::foot, millimeter),
        outside!(SquareMillimetre, Area, area::square_millimeter, square_millimeter),
        outside!(NewtonMetre, Torque, torque::newton_meter, newton_meter),
        Outside { unit: Unit::PoundFoot, to_base: |n| n * pound_foot(), of_base: |n| n / pound_foot() },
        Outside { unit: Unit::PoundInch, to_base: |n| n * pound_inch(), of_base: |n| n / pound_inch() },
        outside!(Second, Time, time::second, second),
        outside!(Minute, Time, time::minute, second),
        outside!(Hour, Time, time::hour, second),
    ]
}

fn base(dimension: Dimension) -> Unit {
    match dimension {
        Dimension::Voltage => Unit::Volt,
        Dimension::Current => Unit::Ampere,
        Dimension::Resistance => Unit::Ohm,
        Dimension::Length => Unit::Millimetre,
        Dimension::Area => Unit::SquareMillimetre,
        Dimension::Torque => Unit::NewtonMetre,
        Dimension::Time => Unit::Second,
    }
}

fn converted(number: f64, from: Unit, to: Unit) -> f64 {
    Measure::new(number, from).to(to).expect("one dimension").number
}

fn assert_close(ours: f64, theirs: f64, relative: f64, what: &str) {
    assert!((ours - theirs).abs() <= relative * theirs.abs(), "{what}: {ours} here, {theirs} outside");
}

/// Four hundred numbers from a ten-thousandth to ten thousand, none of them round.
fn numbers() -> impl Iterator<Item = f64> {
    (0..400).map(|step| 10_f64.powf(f64::from(step) / 50.0 - 4.0) * 1.0123)
}

#[test]
fn every_unit_converts_as_in_uom_both_ways() {
    let outside = outside();
    assert_eq!(outside.len() + 1, Unit::ALL.len(), "every unit but AWG has its check");
    for Outside { unit, to_base, of_base } in outside {
        let base = base(unit.dimension());
        for number in numbers() {
            let what = format!("{number} {}", unit.symbol());
            assert_close(converted(number, unit, base), to_base(number), 1e-12, &what);
            assert_close(converted(number, base, unit), of_base(number), 1e-12, &what);
        }
    }
}

#[test]
fn units_of_one_dimension_convert_into_each_other_as_in_uom() {
    let outside = outside();
    for from in &outside {
        for to in outside.iter().filter(|to| to.unit.dimension() == from.unit.dimension()) {
            for number in numbers() {
                let what = format!("{number} {} in {}", from.unit.symbol(), to.unit.symbol());
                let theirs = (to.of_base)((from.to_base)(number));
                assert_close(converted(number, from.unit, to.unit), theirs, 1e-12, &what);
            }
        }
    }
}

/// Those of `uom` follow from a pound-force that it rounds to seven digits.
#[test]
fn pound_units_of_torque_are_those_of_uom_as_far_as_it_goes() {
    let theirs = [
        (Unit::PoundFoot, si::Torque::new::<torque::pound_force_foot>(1.0)),
        (Unit::PoundInch, si::Torque::new::<torque::pound_force_inch>(1.0)),
    ];
    for (unit, torque) in theirs {
        let ours = converted(1.0, unit, Unit::NewtonMetre);
        assert_close(ours, torque.get::<torque::newton_meter>(), 1e-7, unit.symbol());
    }
}

#[test]
fn units_of_two_dimensions_never_convert() {
    for from in Unit::ALL {
        for to in Unit::ALL.into_iter().filter(|to| to.dimension() != from.dimension()) {
            assert_eq!(Measure::new(1.0, from).to(to), None, "{} in {}", from.symbol(), to.symbol());
        }
    }
}

struct GaugeRow {
    name: String,
    number: i8,
    figures: [f64; 4],
}

fn gauge_table() -> Vec<GaugeRow> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/awg.csv");
    let mut reader =
        csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).expect("the table is there");
    let row = |record: csv::StringRecord| GaugeRow {
        name: record[0].to_owned(),
        number: record[1].parse().expect("a gauge number"),
        figures: [2, 3, 4, 5].map(|column| record[column].parse().expect("a figure")),
    };
    reader.records().map(|record| row(record.expect("a row"))).collect()
}

/// Tolerances: seven digits of a computed column, and 0.05 % for a table rounded to four.
#[test]
fn gauges_have_the_published_geometry() {
    let table = gauge_table();
    assert_eq!(table.len(), 17, "22 to 4/0");
    for GaugeRow { name, number, figures: [diameter_mm, area_mm2, diameter_in, area_cmil] } in table {
        let gauge = Awg::new(number).expect("a gauge in use");
        assert_eq!(gauge.to_string(), name);
        assert_close(gauge.diameter().0, diameter_mm, 1e-6, &name);
        assert_close(gauge.area().0, area_mm2, 1e-6, &name);
        assert_close(converted(gauge.diameter().0, Unit::Millimetre, Unit::Inch), diameter_in, 5e-4, &name);
        // A circular mil is the area of a circle of a thousandth of an inch.
        let mm2_per_cmil = PI / 4.0 * 0.0254 * 0.0254;
        assert_close(gauge.area().0 / mm2_per_cmil, area_cmil, 5e-4, &name);
        assert_close(converted(f64::from(number), Unit::Awg, Unit::SquareMillimetre), area_mm2, 1e-6, &name);
        let back = converted(area_mm2, Unit::SquareMillimetre, Unit::Awg);
        assert!((back - f64::from(number)).abs() < 1e-5, "{name}: {back}");
    }
}

#[test]
fn a_gauge_as_written_has_the_published_area() {
    for GaugeRow { name, figures: [_, area_mm2, ..], .. } in gauge_table() {
        let quantity = Quantity::parse(&format!("{name} AWG"), &Rule::for_unit(Unit::SquareMillimetre));
        let quantity = quantity.expect("a gauge is read");
        assert_eq!(quantity.to_string(), format!("{name} AWG"));
        assert_close(quantity.square_mm().expect("a cross-section").low.0, area_mm2, 1e-6, &name);
    }
}

/// Yard and pound agreement of 1959: the inch is 25.4 mm and the foot twelve of it.
#[test]
fn exact_definitions_are_exact() {
    assert_eq!(converted(1.0, Unit::Inch, Unit::Millimetre), 25.4);
    assert_eq!(converted(1.0, Unit::Foot, Unit::Millimetre), 304.8);
    assert_eq!(converted(90.0, Unit::Minute, Unit::Hour), 1.5);
}
