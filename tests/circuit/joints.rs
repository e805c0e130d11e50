//! Terminals against the colours of the trade and the sizes of studs.

use baybook::circuit::conductor::Conductor;
use baybook::circuit::terminal::{Crimp, crimp, ring};
use baybook::circuit::units::{Millimetres, SquareMm};
use baybook::value::thread::Thread;

use crate::reference::{rows, table};
use crate::shop::awg;

const TABLE: &str = "splice_terminal.csv";

/// Gauges that are not chosen here (22, 20) are left out, and so is the wider red of some makers, which overlaps blue.
#[test]
fn barrels_by_gauge() {
    for kind in ["insulated_terminal_colour", "heat_shrink_splice_colour"] {
        let mut looked_at = 0;
        for row in rows(TABLE, "kind", kind) {
            for gauge in [row.text("awg_from"), row.text("awg_to")] {
                if gauge == "22" || (row.text("colour_or_size") == "red" && gauge == "16") {
                    continue;
                }
                let found = crimp(awg(gauge));
                assert!(
                    matches!(found, Crimp::Insulated(colour) if colour == row.text("colour_or_size")),
                    "{gauge}"
                );
                looked_at += 1;
            }
        }
        assert_eq!(looked_at, 5, "{kind}");
    }
    assert_eq!(crimp(awg("8")), Crimp::Bare);
}

/// From memory, and 1.5 mm² stands in two: the smaller barrel is taken.
#[test]
fn barrels_by_square_millimetres() {
    let of = |area| crimp(Conductor::metric(SquareMm(area)).expect("a metric size"));
    for row in rows(TABLE, "kind", "insulated_terminal_colour_metric") {
        let found = of(row.number("mm2_to"));
        assert!(
            matches!(found, Crimp::Insulated(colour) if colour == row.text("colour_or_size")),
            "{found:?}"
        );
    }
    assert_eq!(of(10.0), Crimp::Bare);
}

/// The ring goes over its own stud, inch and metric, and not over the next larger one.
#[test]
fn rings_by_stud() {
    let sizes = rows(TABLE, "kind", "screw_diameter");
    assert_eq!(sizes.len(), 16);
    for row in sizes {
        let name = row.text("colour_or_size").trim_end_matches(" in");
        let found = ring(Millimetres(row.number("value"))).expect("a ring");
        assert!(found.contains(&name), "{name}: {found:?}");
    }
    for row in rows(TABLE, "kind", "stud_equivalence") {
        let inch = row.text("colour_or_size").trim_end_matches(" in");
        let metric = Thread::parse(row.text("value")).expect("a thread");
        assert_eq!(ring(metric.diameter()), Some([inch, row.text("value")]));
    }
}

/// Left out: the strength of crimps and the rules of ABYC E-11, which are no matter of size.
#[test]
fn no_kind_of_row_is_forgotten() {
    let known = [
        "insulated_terminal_colour",
        "insulated_terminal_colour_metric",
        "heat_shrink_splice_colour",
        "screw_diameter",
        "stud_equivalence",
        "crimp_min_tensile",
        "rule",
    ];
    assert!(table(TABLE).iter().all(|row| known.contains(&row.text("kind"))));
}
