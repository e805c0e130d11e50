//! What holds for every quantity: canonical text reads back, comparison is reflexive and symmetric,
//! conversion agrees, and no text at all makes the reader panic.

use proptest::prelude::*;

use super::super::*;

/// Any unit and a text that can be read in it, most often.
fn written() -> impl Strategy<Value = (Unit, String)> {
    let number = prop_oneof![
        (0u32..2_000_000).prop_map(|n| format!("{}", f64::from(n) / 1000.0)),
        (0u32..40, 1u32..8).prop_map(|(whole, eighths)| format!("{whole} {eighths}/8")),
        (0u32..60).prop_map(|n| n.to_string()),
        (1u32..5).prop_map(|n| format!("{n}/0")),
    ];
    let before = prop::sample::select(vec!["", "about ", "< ", "at least ", "-"]);
    let between = prop::sample::select(vec!["", "", "-", " to ", " ± "]);
    let units = (prop::sample::select(&Unit::ALL[..]), prop::sample::select(&Unit::ALL[..]));
    (before, number.clone(), between, number, units, any::<bool>()).prop_map(
        |(before, a, between, b, (field, other), own)| {
            let unit = if own || other.dimension() != field.dimension() { field } else { other };
            let tail = if between.is_empty() { String::new() } else { format!("{between}{b}") };
            (field, format!("{before}{a}{tail} {}", unit.symbol()))
        },
    )
}

/// Every pair of units of one dimension; AWG is left out because it takes whole numbers only.
fn convertible() -> Vec<(Unit, Unit)> {
    let units = || Unit::ALL.into_iter().filter(|unit| *unit != Unit::Awg);
    let pairs = units().flat_map(|field| units().map(move |written| (field, written)));
    pairs.filter(|(field, written)| field.dimension() == written.dimension()).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    #[test]
    fn canonical_text_reads_back((field, text) in written()) {
        let rule = Rule::for_unit(field);
        if let Ok(quantity) = Quantity::parse(&text, &rule) {
            let again = Quantity::parse(&quantity.to_string(), &rule);
            prop_assert_eq!(again.map(|q| q.to_string()), Ok(quantity.to_string()), "{}", text);
            prop_assert_eq!(Quantity::parse(&quantity.to_string(), &rule), Ok(quantity));
        }
    }

    /// Whatever the units of text and field, the value is the converted one to six digits.
    #[test]
    fn a_sound_measure_is_read_and_converted(
        (field, written) in prop::sample::select(convertible()),
        thousandths in 1u32..1_900,
    ) {
        let number = f64::from(thousandths) / 1000.0;
        let quantity = Quantity::parse(&format!("{number} {}", written.symbol()), &Rule::for_unit(field)).unwrap();
        let expected = Measure::new(number, written).to(field).unwrap().number;
        let (low, high) = quantity.ends();
        prop_assert_eq!(Some(low), high);
        prop_assert!((low / expected - 1.0).abs() < 6e-6, "{} is {}", quantity, expected);
    }

    #[test]
    fn relation_is_reflexive_and_symmetric((field, a) in written(), (other, b) in written()) {
        let (first, second) = (Rule::for_unit(field), Rule::for_unit(other));
        let read = [(&a, &first), (&b, &second), (&b, &first)].map(|(text, rule)| Quantity::parse(text, rule).ok());
        for a in read.iter().flatten() {
            prop_assert_eq!(a.relation(a), Relation::Same);
            for b in read.iter().flatten() {
                prop_assert_eq!(a.relation(b), b.relation(a).flipped());
            }
        }
    }

    #[test]
    fn any_text_is_read_or_refused(text in ".*", field in prop::sample::select(&Unit::ALL[..])) {
        let rule = Rule::for_unit(field);
        if let Ok(quantity) = Quantity::parse(&text, &rule) {
            prop_assert_eq!(Quantity::parse(&quantity.to_string(), &rule), Ok(quantity));
        }
    }

    #[test]
    fn any_heap_of_pieces_is_read_or_refused(
        pieces in prop::collection::vec(prop::sample::select(vec![
            "1", "12", "0", "00", "3/8", "1,200", ".", ",", "..", "-", "–", "'", "\"", "''", "V", "mm", "mm2", "²",
            "ft", "in", "h", "min", ":", "30", "AWG", "#", "<", ">=", "±", "about", "or", "so", "to", "?", "e9", "Ω", "⅜",
            " ", "between", "and", "at", "least", "k", "M", "/", "%", "°",
        ]), 0..9),
        field in prop::sample::select(&Unit::ALL[..]),
        spaced in any::<bool>(),
    ) {
        let rule = Rule::for_unit(field);
        let text = pieces.join(if spaced { " " } else { "" });
        if let Ok(quantity) = Quantity::parse(&text, &rule) {
            prop_assert_eq!(Quantity::parse(&quantity.to_string(), &rule), Ok(quantity), "{}", text);
        }
    }
}
