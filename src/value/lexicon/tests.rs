//! How a text is cut into pieces, and which lexicons are refused.

use super::{Gap, Lexicon, LexiconError, What};

const SMALL: &str = r#"
fillers = ["of"]
[words]
switch = ["sw"]
lamp = ["light"]
[[component]]
name = "stop lamp switch"
also = ["brake switch", "B+ switch"]
[[component]]
name = "A-pillar"
[[landmark]]
name = "fuse box"
also = ["fuse/relay box", "d/s box"]
[[relation]]
name = "in front of"
[[relation]]
name = "at"
also = ["in"]
neutral = true
"#;

/// The pieces of `text`: `<concept>` or the word, each with what stands before it.
fn cut(text: &str) -> String {
    let lexicon = Lexicon::parse(SMALL).expect("a lexicon");
    let shown = lexicon.read(text).into_iter().map(|piece| {
        assert!(text.get(piece.span.clone()).is_some(), "{text}: {:?}", piece.span);
        let gap = match piece.gap {
            Gap::Space => "_",
            Gap::Hyphen => "-",
            Gap::Article => "the ",
            Gap::Slash => "/",
            Gap::Break => "|",
        };
        match piece.what {
            What::Concept(id) => format!("{gap}<{}>", lexicon.concept(id).name()),
            What::Word(word) => format!("{gap}{word}"),
        }
    });
    shown.collect()
}

#[test]
fn a_text_is_cut_by_the_longest_phrases() {
    for (text, expected) in [
        ("", ""),
        ("...", ""),
        ("the", ""),
        ("Stop-Light Switches", "|<stop lamp switch>"),
        ("the brake sw.", "|<stop lamp switch>"),
        ("stop the lamp switch", "|<stop lamp switch>"),
        ("stop the the lamp switch", "|stopthe lamp_switch"),
        ("stop, lamp switch", "|stop|lamp_switch"),
        ("stop lamp", "|stop_lamp"),
        ("fuse/relay box", "|<fuse box>"),
        ("fuse/brake switch", "|fuse/<stop lamp switch>"),
        ("D/S box", "|<fuse box>"),
        ("D.S. box", "|<fuse box>"),
        ("B+ switch", "|<stop lamp switch>"),
        ("rear A-pillar", "|rear_<A-pillar>"),
        ("in front of the fuse box", "|<in front of>the <fuse box>"),
        ("front of fuse box", "|front_<of>_<fuse box>"),
        ("2 in in front of box", "|2 in_<in front of>_box"),
        ("2 in front of box", "|2_<in front of>_box"),
        ("pin 2 in fuse box", "|pin_2_<at>_<fuse box>"),
        ("1-3/8 12.5V 6\"", "|1-3/8_12.5v_6\""),
        ("driver's box's", "|drivers_boxs"),
        ("fuse box (stop lamp switch)", "|<fuse box>|<stop lamp switch>"),
        ("fuse box - left", "|<fuse box>|left"),
        ("fuse-box-left", "|<fuse box>-left"),
        ("ÄRGER é box", "|ärger_é_box"),
    ] {
        assert_eq!(cut(text), expected, "{text}");
    }
}

#[test]
fn a_phrase_stands_once() {
    let refused = |toml: &str| Lexicon::parse(toml).expect_err("a duplicate").to_string();
    let twice =
        "[words]\nlamp = [\"light\"]\n[[component]]\nname = \"tail lamp\"\n[[landmark]]\nname = \"rear\"\n";
    let message = refused(&format!("{twice}also = [\"Tail-Lights\"]"));
    assert!(
        message.starts_with("“Tail-Lights”, listed under “rear”, is already a word for “tail lamp”"),
        "{message}"
    );
    let message = refused("[words]\nlamp = [\"light\"]\nlantern = [\"lights\"]");
    assert!(message.starts_with("“lights”, listed under “words.lantern”"), "{message}");
}

#[test]
fn a_lexicon_that_does_not_hold_together_is_refused() {
    let refused = |toml: &str| Lexicon::parse(toml).expect_err("no lexicon");
    assert!(matches!(refused("[[component]]\nnome = \"x\""), LexiconError::Format(_)));
    assert!(matches!(refused("[[component]]\nname = \"x\"\nalso = [\"...\"]"), LexiconError::Empty { .. }));
    assert!(matches!(
        refused("[[component]]\nname = \"x\"\nwithin = [\"y\"]"),
        LexiconError::NoSuchEntry { .. }
    ));
    assert!(matches!(refused("[[side]]\nname = \"widdershins\""), LexiconError::NoSuchEntry { .. }));
    let circle =
        "[[component]]\nname = \"x\"\nwithin = [\"y\"]\n[[component]]\nname = \"y\"\nwithin = [\"x\"]";
    assert_eq!(refused(circle), LexiconError::WithinItself { entry: "x".to_owned() });
}

/// A long text takes no more than a short one for each word: no search runs over the whole of it.
#[test]
fn a_long_text_is_read_in_linear_time() {
    let lexicon = Lexicon::builtin();
    for word in ["a ", "the ", "brake ", "in ", "d/", "'", "6\"", "stop the "] {
        let text = word.repeat(200_000);
        let start = std::time::Instant::now();
        let pieces = lexicon.read(&text);
        assert!(pieces.len() <= 400_000);
        // Generous: this takes well under a second; a quadratic search takes many minutes.
        assert!(start.elapsed().as_secs() < 20, "{word}");
    }
}
