//! Bundles against the known optima for equal circles (Wikipedia "Circle packing in a circle").

use baybook::circuit::packing::enclosing;
use baybook::circuit::units::Millimetres;

use crate::reference::table;

fn around(count: usize) -> f64 {
    enclosing(&vec![Millimetres(2.0); count]).0 / 2.0
}

/// Never below the optimum but for rounding, and at most one per cent above it.
#[test]
fn equal_circles_come_near_the_optimum() {
    let table = table("circle_packing.csv");
    assert_eq!(table.len(), 19);
    for row in table {
        let (count, best) = (row.text("n").parse().expect("a count"), row.number("ratio_R_over_r"));
        let ours = around(count);
        assert!(ours >= best * (1.0 - 1e-9), "{count}: {ours}, and {best} is the least");
        assert!(ours <= best * 1.01, "{count}: {ours}, and {best} is possible");
    }
}

/// D = 1.2 times the root of the sum of squares, a rule of the trade without a source, is too small for few.
#[test]
fn the_rule_of_the_trade_is_too_small_for_few() {
    let unsafe_for: Vec<usize> = table("circle_packing.csv")
        .iter()
        .filter(|row| row.number("common_practice_1.2_sqrt_n") < row.number("ratio_R_over_r"))
        .map(|row| row.text("n").parse().expect("a count"))
        .collect();
    assert_eq!(unsafe_for, [2, 3, 4, 5, 6, 9, 10]);
    for count in unsafe_for {
        assert!(around(count) > 1.2 * (count as f64).sqrt(), "{count}");
    }
}
