//! The laws that hold for every colour and every text.

use proptest::prelude::*;

use super::*;

fn any_tint() -> impl Strategy<Value = Tint> {
    let shade = prop_oneof![Just(None), Just(Some(Shade::Light)), Just(Some(Shade::Dark))];
    (shade, prop::sample::select(Hue::ALL.to_vec())).prop_map(|(shade, hue)| Tint { shade, hue })
}

fn any_colour() -> impl Strategy<Value = Colour> {
    let tracers = prop_oneof![
        Just(Tracers::NotSaid),
        Just(Tracers::None),
        prop::collection::vec(any_tint(), 1..=MOST_TRACERS).prop_map(Tracers::Listed),
    ];
    (any_tint(), tracers)
        .prop_filter_map("a tracer of the base's colour", |(base, tracers)| Colour::new(base, tracers).ok())
}

/// Texts made of the words and signs that mean something, in any order.
fn any_jumble() -> impl Strategy<Value = String> {
    let pieces = [
        "violet", "wht", "BL", "W", "w", "or", "and", "/", "-", " ", ",", "(", ")", "?", "light", "dk",
        "with", "no", "stripe", "striped", "plain", "on", "wire", "RDBU", "&", "+", "not", "r", "thin",
        "w/o", ".", "navy", "maybe",
    ];
    prop::collection::vec((prop::sample::select(pieces.to_vec()), prop::bool::ANY), 0..24).prop_map(
        |picked| {
            picked
                .into_iter()
                .map(|(piece, apart)| if apart { format!("{piece} ") } else { piece.to_owned() })
                .collect()
        },
    )
}

proptest! {
    #[test]
    fn canonical_text_reads_back(colour in any_colour()) {
        prop_assert_eq!(Colour::parse(&colour.to_string()), Ok(colour));
    }

    #[test]
    fn plain_words_read_back(colour in any_colour()) {
        prop_assert_eq!(Colour::parse(&colour.plain()), Ok(colour));
    }

    #[test]
    fn case_says_nothing(colour in any_colour()) {
        prop_assert_eq!(Colour::parse(&colour.to_string().to_uppercase()), Ok(colour.clone()));
        prop_assert_eq!(Colour::parse(&colour.to_string().to_lowercase()), Ok(colour));
    }

    #[test]
    fn a_colour_is_the_same_as_itself(colour in any_colour()) {
        prop_assert_eq!(colour.relation(&colour), Relation::Same);
    }

    #[test]
    fn relation_is_the_same_from_both_sides(a in any_colour(), b in any_colour()) {
        prop_assert_eq!(a.relation(&b), b.relation(&a).flipped());
        prop_assert_eq!(a.relation(&b) == Relation::Same, a == b);
    }

    #[test]
    fn what_is_finer_than_finer_is_finer(a in any_colour(), shade in prop_oneof![Just(Shade::Light), Just(Shade::Dark)]) {
        let plain = Colour::new(Tint::of(a.base().hue), Tracers::NotSaid).expect("no tracer can be wrong");
        let expected = if plain == a { Relation::Same } else { Relation::FirstFiner };
        prop_assert_eq!(a.relation(&plain), expected);
        if let (Some(base), Tracers::NotSaid) = (a.base().shaded(shade), a.tracers()) {
            let finer = Colour::new(base, Tracers::None).expect("no tracer can be wrong");
            prop_assert_eq!(a.relation(&finer), Relation::SecondFiner);
        }
    }

    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        sound(&text);
    }

    #[test]
    fn any_jumble_is_read_or_refused(text in any_jumble()) {
        sound(&text);
    }
}

/// A text is read, and its canonical text is the same colour; or it is refused with a message that
/// can be shown, and every reading offered can be written.
fn sound(text: &str) {
    match Colour::parse(text) {
        Ok(colour) => assert_eq!(read(&colour.to_string()), colour),
        Err(misread) => {
            assert!(!misread.message.is_empty() && !misread.message.chars().any(char::is_control));
            for reading in misread.readings {
                assert_eq!(read(&reading).to_string(), reading, "offered for {text:?}");
            }
        }
    }
}
