//! What conductors survive: factors k of IEC 60364, let-through tables, and the currents that melt wire.

use baybook::circuit::heat::{ADIABATIC, Withstand};
use baybook::circuit::units::{Amps, Celsius, SquareMm};

use crate::reference::{assert_near, rows};
use crate::shop::gauge;

const TABLE: &str = "adiabatic.csv";

/// Printed as whole numbers: 0.5. Aluminium is left out: nothing here is made of it. Those from memory were
/// recomputed by the same formula elsewhere, so they hold only the arithmetic.
#[test]
fn the_factors_of_iec_60364() {
    let (mut verified, mut remembered) = (0, 0);
    for row in rows(TABLE, "kind", "k_factor").iter().filter(|row| row.text("conductor") == "Cu") {
        let (from, to) = (Celsius(row.number("theta_initial_c")), Celsius(row.number("theta_final_c")));
        let ours = Withstand::between(from, to).0;
        assert!((ours - row.number("k_published")).abs() <= 0.5, "{}: {ours}", row.text("insulation"));
        *(if row.is_verified() { &mut verified } else { &mut remembered }) += 1;
    }
    assert_eq!((verified, remembered), (9, 6));
}

/// Four digits behind the point, cut off rather than rounded.
#[test]
fn the_let_through_of_handbooks() {
    let table = rows(TABLE, "kind", "i2t_withstand");
    assert_eq!(table.len(), 13);
    for row in table {
        let area = SquareMm(row.number("S_mm2"));
        let ours = Withstand(row.number("k_published")).heat(area).0 / 1e6;
        assert!((ours - row.number("expected")).abs() <= 1e-4, "{area:?}: {ours}");
    }
}

#[test]
fn how_long_a_conductor_lasts() {
    let table = rows(TABLE, "kind", "formula_eval");
    assert_eq!(table.len(), 5);
    for row in table {
        let area = SquareMm(row.number("S_mm2"));
        let time = Withstand(row.number("k_published")).heat(area).lasts(Amps(row.number("current_a")));
        assert_near(time.0, row.number("expected"), 1e-5, row.text("insulation"));
    }
    assert_eq!(ADIABATIC.0, rows(TABLE, "kind", "validity")[0].number("time_s"));
}

/// Onderdonk's law is the same physics carried on to the melting point of copper, found apart from the standards.
/// Printed with two or three digits: 3 %. Preece's law is about wire that has time to give off its heat, so it is left
/// out.
#[test]
fn the_currents_that_melt_wire() {
    let table = rows(TABLE, "kind", "onderdonk_fusing");
    assert_eq!(table.len(), 24);
    for row in table {
        let name = row.text("insulation");
        let area = gauge(name.trim_start_matches("AWG ")).area();
        let (from, to) = (Celsius(row.number("theta_initial_c")), Celsius(row.number("theta_final_c")));
        let ours = (Withstand::between(from, to).heat(area).0 / row.number("time_s")).sqrt();
        assert_near(ours, row.number("expected"), 0.03, name);
    }
}
