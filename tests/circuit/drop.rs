//! Voltage drop: worked examples of FAA AC 43.13-1B, marine practice with two published tables, IEC 60364-5-52.

use baybook::circuit::choice::choose;
use baybook::circuit::conductor::{Conductor, Series, copper};
use baybook::circuit::path::Path;
use baybook::circuit::request::{Allowed, Load};
use baybook::circuit::trial::Rule;
use baybook::circuit::units::{Amps, Celsius, Metres, OhmsPerMetre, Resistivity, Share, SquareMm, Volts};

use crate::reference::{Row, assert_near, rows, table};
use crate::shop::{awg, path, request};

const TABLE: &str = "voltage_drop_examples.csv";
const METRES_PER_FOOT: f64 = 0.3048;

fn usable(kind: &str) -> impl Iterator<Item = Row> {
    rows(TABLE, "kind", kind).into_iter().filter(|row| row.text("usable_in_test") == "yes")
}

fn named(id: &str) -> Row {
    rows(TABLE, "id", id).pop().expect("the row")
}

fn feet(row: &Row) -> Metres {
    Metres(row.number("length") * METRES_PER_FOOT)
}

/// Printed to two or three digits: 0.01 V, and 0.05 V where the page rounds 3.5552 up to 3.60.
#[test]
fn worked_examples_of_the_faa() {
    let mut looked_at = 0;
    for row in usable("worked_example").filter(|row| row.text("r_unit") == "ohm/ft") {
        let resistance = OhmsPerMetre(row.number("r_used") / METRES_PER_FOOT) * feet(&row);
        let drop = Amps(row.number("current_a")) * resistance;
        let tolerance = if row.text("id") == "faa-11-7-3" { 0.05 } else { 0.01 };
        assert!((drop.0 - row.number("expected")).abs() <= tolerance, "{}: {}", row.text("id"), drop.0);
        looked_at += 1;
    }
    assert_eq!(looked_at, 7);
}

/// The chart has even sizes only; the length has the return in it.
#[test]
fn a_size_of_the_faa() {
    let row = named("faa-ex1");
    let allowed = Volts(row.number("allowed_drop_v"));
    let found = smallest(Series::Awg, &row, allowed, Celsius(20.0));
    assert_eq!(found, awg(row.text("expected")));
}

fn smallest(series: Series, row: &Row, allowed: Volts, at: Celsius) -> Conductor {
    let current = Amps(row.number("current_a"));
    let fits = |size: &Conductor| current * size.resistance(feet(row), at) <= allowed;
    series.sizes().find(fits).expect("a size that is thick enough")
}

/// The page's coefficient has four digits: 0.05 %.
#[test]
fn a_warm_conductor_reaches_less_far() {
    let mut looked_at = 0;
    for row in usable("formula_eval").filter(|row| row.text("id").starts_with("faa-tcorr")) {
        let longest = 100.0 * copper(Celsius(20.0)).0 / copper(Celsius(row.number("temp_c"))).0;
        assert_near(longest, row.number("expected"), 5e-4, row.text("id"));
        looked_at += 1;
    }
    assert_eq!(looked_at, 4);
}

/// K = 10.75 ohm cmil/ft, as marine practice writes it, in ohm mm²/m.
fn marine() -> Resistivity {
    Resistivity(10.75 * SquareMm::of_circular_mils(1.0).0 / METRES_PER_FOOT)
}

/// How warm our stranded gauges are when they resist as much as marine practice counts: about 24 °C.
fn marine_warmth() -> Celsius {
    let (mut low, mut high) = (0.0, 100.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        let ours = awg("12").per_metre(Celsius(middle));
        if ours < marine() / awg("12").area() { low = middle } else { high = middle }
    }
    Celsius(low)
}

#[test]
fn an_example_of_marine_practice() {
    let row = named("marine-cm-3pct");
    let drop = Amps(row.number("current_a"))
        * (marine() / SquareMm::of_circular_mils(row.number("expected")) * feet(&row));
    assert_near(drop.0, row.number("allowed_drop_v"), 1e-6, "the area that is just enough");
    let size = |id: &str, series| {
        let row = named(id);
        let found = smallest(series, &row, Volts(row.number("allowed_drop_v")), marine_warmth());
        assert_eq!(
            found.gauge().map(|gauge| gauge.to_string()).as_deref(),
            Some(row.text("expected")),
            "{id}"
        );
    };
    size("marine-cm-3pct-awg", Series::Awg);
    size("marine-cm-3pct-sae", Series::Sae);
    size("marine-cm-10pct-awg", Series::Awg);
}

/// 131 entries; the 6 others are marked, because the formula that the table names gives another size.
#[test]
fn two_published_tables() {
    let mut looked_at = 0;
    for row in usable("table_entry") {
        let allowed = Volts(row.number("allowed_drop_v"));
        let found = smallest(Series::Awg, &row, allowed, marine_warmth());
        assert_eq!(found, awg(row.text("expected")), "{}", row.text("id"));
        looked_at += 1;
    }
    assert_eq!(looked_at, 131);
}

/// The whole choice counts the warmth of the conductor and every other rule, so it may be thicker than the tables and
/// never thinner; for the drop alone by one size at most.
#[test]
fn the_whole_choice_is_never_thinner_than_the_published_tables() {
    let sizes: Vec<Conductor> = Series::Awg.sizes().collect();
    let at = |size: Conductor| sizes.iter().position(|known| *known == size).expect("a size");
    for row in usable("table_entry") {
        let request = request(|asked| {
            asked.load = Load::Current(Amps(row.number("current_a")));
            asked.allowed = Allowed::Drop(Volts(row.number("allowed_drop_v")));
            asked.path = path(feet(&row).0 / 2.0);
        });
        let published = at(awg(row.text("expected")));
        let Ok(choice) = choose(&request, Series::Awg) else {
            assert_eq!(published, sizes.len() - 1, "{} is refused", row.text("id"));
            continue;
        };
        assert!(at(choice.trial.conductor) >= published, "{}", row.text("id"));
        let by_drop = choice.allows.iter().find(|(rule, _)| *rule == Rule::Drop).expect("the drop").1;
        assert!((published..=published + 1).contains(&at(by_drop)), "{}: {by_drop}", row.text("id"));
    }
}

/// Plain evaluations of u = 2 rho L I / S; rho is from memory, so only the arithmetic is at stake.
#[test]
fn the_formula_of_iec_60364_5_52() {
    let mut looked_at = 0;
    for row in usable("formula_eval").filter(|row| row.text("id").starts_with("iec-g")) {
        let area: f64 = row.text("size").trim_end_matches(" mm2").parse().expect("an area");
        let leg = Resistivity(row.number("r_used")) / SquareMm(area) * Metres(row.number("length"));
        let drop = Amps(row.number("current_a")) * (leg + leg);
        assert_near(drop.0, row.number("expected"), 1e-6, row.text("id"));
        looked_at += 1;
    }
    assert_eq!(looked_at, 5);
}

/// NEC Chapter 9 Table 8 as ohm cmil/ft at 75 °C; printed with three digits.
#[test]
fn the_constant_of_nec_table_8() {
    let row = named("nec-k");
    let conductor = awg("12");
    let ours = conductor.per_metre(Celsius(row.number("temp_c"))).0
        * METRES_PER_FOOT
        * (conductor.area().0 / SquareMm::of_circular_mils(1.0).0);
    assert_near(ours, row.number("expected"), 6e-3, "K");
}

/// ABYC E-11: 3 % and 10 % of 12 V. The 2 % of a main feeder has no voltage beside it, and the limits of FAA Table 11-6
/// are from memory.
#[test]
fn the_usual_limits_in_volts() {
    for id in ["marine-3pct", "marine-10pct"] {
        let row = named(id);
        let share = Share(row.number("expected") / 100.0);
        let request = request(|asked| asked.allowed = Allowed::Part(share));
        assert_near(request.allowed.0, row.number("allowed_drop_v"), 1e-12, id);
    }
}

/// Out 11 ft and back 10 ft, as the marine example has it, is the same as 10.5 ft each way.
#[test]
fn the_legs_are_counted_separately() {
    let lost = |out: f64, back: f64| {
        let path = Path { out: Metres(out), back: Metres(back), ..path(1.0) };
        path.legs(awg("12"), Celsius(30.0))
    };
    let (uneven, even) = (lost(11.0, 10.0), lost(10.5, 10.5));
    assert_near(uneven.whole().0, even.whole().0, 1e-12, "both legs");
    assert_near(uneven.out.0, uneven.back.0 * 1.1, 1e-12, "the way out");
}

#[test]
fn no_row_is_forgotten() {
    let all = table(TABLE);
    let unusable: Vec<&str> =
        all.iter().filter(|row| row.text("usable_in_test") == "no").map(|row| row.text("kind")).collect();
    let count = |kind: &str| unusable.iter().filter(|found| **found == kind).count();
    assert_eq!((count("worked_example"), count("limit"), count("table_entry")), (1, 4, 6));
    // 7 worked in volts, 1 by a chart, 4 of marine practice; 9 evaluations; 131 entries; 3 limits; 1 constant.
    assert_eq!(all.len() - unusable.len(), 7 + 1 + 4 + 9 + 131 + 3 + 1);
}
