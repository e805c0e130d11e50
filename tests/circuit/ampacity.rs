//! What conductors may carry: 33 CFR 183.425 Table 5 with its notes, and a published derating table.

use baybook::circuit::ampacity::{ENGINE_SPACE, Surroundings};
use baybook::circuit::units::Amps;

use crate::reference::{assert_near, rows, table};
use crate::shop::{awg, surroundings};

const TABLE: &str = "ampacity_33cfr183.csv";

/// Stored as printed, so equal.
#[test]
fn the_table_is_table_5() {
    let table = rows(TABLE, "kind", "table5_amperage_A");
    assert_eq!(table.len(), 105);
    for row in table {
        let here = surroundings(row.number("insulation_temp_c"), 30.0);
        let conductor = awg(row.text("awg"));
        let theirs = Amps(row.number("value"));
        assert_eq!(here.table(conductor), theirs, "{conductor}");
        assert_eq!(here.ampacity(conductor), theirs, "{conductor}");
    }
}

/// The factor read in print, and those from memory as bounds: a conductor is never given more than the note gives.
#[test]
fn an_engine_space_takes_what_note_1_says() {
    for row in rows(TABLE, "kind", "note1_engine_space_factor") {
        let rated = row.number("insulation_temp_c");
        let here = Surroundings { engine_space: true, ..surroundings(rated, 30.0) };
        assert_eq!(here.ambient(), ENGINE_SPACE);
        let (ours, theirs) = (here.heat().0, row.number("value"));
        if row.is_verified() {
            assert_eq!(ours, theirs, "{rated}");
        }
        assert!(ours <= theirs, "{rated}: {ours}");
    }
}

/// Asked for at 50 V and more only; used below as our own choice.
#[test]
fn a_bundle_takes_what_note_2_says() {
    let table = rows(TABLE, "kind", "note2_bundle_factor_50V_or_more");
    assert_eq!(table.len(), 4);
    for row in table {
        let counts = row.text("conductors_bundled").trim_end_matches('+');
        for count in counts.split('-').map(|count| count.parse().expect("a count")) {
            let here = Surroundings { bundled: count, ..surroundings(105.0, 30.0) };
            assert_eq!(here.bundling().0, row.number("value"), "{count}");
        }
    }
}

/// Printed to one decimal: 0.06 A.
#[test]
fn a_published_derating_table_comes_out() {
    let table = rows(TABLE, "kind", "derived_published_A");
    assert_eq!(table.len(), 56);
    for row in table {
        let counts = row.text("conductors_bundled");
        let inside = row.text("engine_space") == "inside";
        for bundled in counts.split('-').map(|count| count.parse().expect("a count")) {
            let here = Surroundings {
                bundled,
                engine_space: inside,
                ..surroundings(row.number("insulation_temp_c"), 30.0)
            };
            let ours = here.ampacity(awg(row.text("awg"))).0;
            let what = format!("{} AWG, {counts}, {inside}", row.text("awg"));
            assert!((ours - row.number("value")).abs() <= 0.06, "{what}: {ours}");
        }
    }
}

/// 33 CFR 183.425(d): the thinnest conductor in a sheath is the thinnest that is chosen here.
#[test]
fn nothing_thinner_than_the_regulation_is_chosen() {
    let row = &rows(TABLE, "kind", "min_awg_conductor_in_multiconductor_sheath")[0];
    let thinnest = baybook::circuit::conductor::Series::Awg.sizes().next().expect("a size");
    assert_eq!(thinnest, awg(row.text("awg")));
}

/// Every kind of row is used above or in `protection`, but the rule for separate conductors, which binds boats alone,
/// and the rule for 50 V and more.
#[test]
fn no_kind_of_row_is_forgotten() {
    let left_out = [
        "min_awg_conductor_installed_separately",
        "overcurrent_device_max_fraction_of_table5_50V_or_more_next_size_up",
    ];
    let used = [
        "table5_amperage_A",
        "note1_engine_space_factor",
        "note2_bundle_factor_50V_or_more",
        "derived_published_A",
        "min_awg_conductor_in_multiconductor_sheath",
        "overcurrent_device_max_fraction_of_table5_below_50V",
    ];
    let known = |kind: &str| left_out.contains(&kind) || used.contains(&kind);
    assert!(table(TABLE).iter().all(|row| known(row.text("kind"))));
    // The factors for heat of the insulations agree among each other: the root of what is left over.
    assert_near(surroundings(105.0, 50.0).heat().0, 0.85, 0.01, "105 °C at 50 °C");
}
