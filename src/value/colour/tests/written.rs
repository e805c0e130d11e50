//! What installers write and what is made of it, as tables.

use super::*;

/// Checks lines of `text -> expected`. The expected side is the canonical text; or `? a | b` for an
/// ambiguous text with its readings; or `! words` for an unreadable one whose message has the words;
/// or `x words` for one that cannot be.
fn check(table: &str) {
    for line in table.lines().map(str::trim).filter(|line| !line.is_empty()) {
        let (text, expected) = line.split_once(" -> ").unwrap_or_else(|| panic!("no arrow in {line:?}"));
        let got = shown(Colour::parse(text.trim()), expected);
        assert_eq!(got, expected.trim(), "read from {:?}", text.trim());
    }
}

/// The outcome in the notation of the tables; a message that has the expected words is shown as them.
fn shown(read: Result<Colour, Misread>, expected: &str) -> String {
    let misread = match read {
        Ok(colour) => return colour.to_string(),
        Err(misread) => misread,
    };
    let sign = match misread.problem {
        Problem::Ambiguous => return format!("? {}", misread.readings.join(" | ")).trim().to_owned(),
        Problem::Unreadable => "!",
        Problem::OutOfRange => "x",
        other => panic!("{other:?} is no trouble of a colour"),
    };
    let words = expected.get(2..).unwrap_or_default().trim();
    if misread.message.contains(words) {
        format!("{sign} {words}").trim().to_owned()
    } else {
        misread.message
    }
}

#[test]
fn codes_words_and_shorthand() {
    check(
        "
        VT -> VT
        vt -> VT
        Vt/wH -> VT/WH
        violet -> VT
        Purple -> VT
        PPL -> VT
        PUR -> VT
        VIO -> VT
        pu -> VT
        gray -> GY
        Grey -> GY
        GRY -> GY
        GRA -> GY
        slate -> GY
        black -> BK
        BLK -> BK
        BRN -> BN
        BR -> BN
        red -> RD
        ORG -> OG
        ORN -> OG
        OR -> OG
        yel -> YE
        ylw -> YE
        GRN -> GN
        BLU -> BU
        WHT -> WH
        wt -> WH
        PNK -> PK
        gold -> GD
        turquoise -> TQ
        silver -> SR
        TAN -> tan
        tn -> tan
        beige -> beige
        clear -> clear
        natural -> clear
        transparent -> clear
        blk. -> BK
        ",
    );
}

#[test]
fn base_and_tracer_keep_their_order() {
    check(
        "
        violet/white -> VT/WH
        white/violet -> WH/VT
        purple/white -> VT/WH
        PPL-WHT -> VT/WH
        PPL/WHT -> VT/WH
        VT.WH -> VT/WH
        VT WH -> VT/WH
        VT_WH -> VT/WH
        VT | WH -> VT/WH
        VT\\WH -> VT/WH
        VT – WH -> VT/WH
        violet white -> VT/WH
        violet-white -> VT/WH
        violet / white -> VT/WH
        violet w/ white tracer -> VT/WH
        violet w/white -> VT/WH
        VT w/WH -> VT/WH
        violet w white -> VT/WH
        violet w. white stripe -> VT/WH
        violet with white -> VT/WH
        violet with a white stripe -> VT/WH
        violet with white tracer -> VT/WH
        violet, with a white stripe -> VT/WH
        violet with a thin white stripe -> VT/WH
        violet, white tracer -> VT/WH
        violet, white stripe -> VT/WH
        violet (white stripe) -> VT/WH
        violet white stripe -> VT/WH
        violet wh. trc -> VT/WH
        vio. wht. str. -> VT/WH
        VT/WH TR -> VT/WH
        violet striped white -> VT/WH
        violet striped with white -> VT/WH
        violet, stripe white -> VT/WH
        violet with stripe white -> VT/WH
        white stripe on violet -> VT/WH
        violet-with-white-stripe -> VT/WH
        GRN/OR/BLU -> GN/OG/BU
        a white tracer on violet wire -> VT/WH
        violet wire with a white stripe -> VT/WH
        violet wire, white stripe -> VT/WH
        violet/white wire -> VT/WH
        violet/white, -> VT/WH
        VT/WH (violet with white tracer) -> VT/WH
        violet/white (VT/WH) -> VT/WH
        (violet/white) -> VT/WH
        green/yellow (GNYE) -> GN/YE
        BL/WH (blue/white) -> BU/WH
        blue (BL) -> BU
        violet / or -> VT/OG
        or / violet -> OG/VT
        violet wire white stripe -> VT/WH
        TAN/BLK -> tan/BK
        BR-Y -> BN/YE
        R/W -> RD/WH
        W/R -> WH/RD
        VT/W -> VT/WH
        WH/OR -> WH/OG
        or-blk -> OG/BK
        violet/white/red -> VT/WH/RD
        VT-WH-RD -> VT/WH/RD
        violet with white and red tracers -> VT/WH/RD
        violet with white, red and green tracers -> VT/WH/RD/GN
        violet with white tracer and red tracer -> VT/WH/RD
        violet/white stripe/red stripe -> VT/WH/RD
        GN/YE -> GN/YE
        green-yellow -> GN/YE
        ",
    );
}

#[test]
fn shades() {
    check(
        "
        light blue -> light BU
        Lt Blu -> light BU
        lt. blue -> light BU
        LT.BLU -> light BU
        LTBLU -> light BU
        lt-blue -> light BU
        light-blue -> light BU
        LBLU -> light BU
        lightblue -> light BU
        pale blue -> light BU
        blue (light) -> light BU
        blue, light -> light BU
        blue (light)/white -> light BU/WH
        DKGRN -> dark GN
        DGRN -> dark GN
        dk grn -> dark GN
        dark green/lt blue -> dark GN/light BU
        light BU/dark GN -> light BU/dark GN
        light blue dark green -> light BU/dark GN
        blue light green -> BU/light GN
        blue/light blue -> BU/light BU
        lt grn w/ dk blu tracer -> light GN/dark BU
        blue light -> ? light BU
        BU-LT -> ? light BU
        BLU LT/WHT -> ? light BU/WH | BU/light WH
        LT/BLU -> ? light BU
        light -> ! light or dark has to stand directly before its colour
        light/dark blue -> ! light or dark
        dog -> ! \"dog\"
        ",
    );
}

#[test]
fn no_tracer() {
    check(
        "
        VT, no tracer -> VT, no tracer
        violet, no tracer -> VT, no tracer
        plain violet -> VT, no tracer
        solid violet -> VT, no tracer
        violet solid -> VT, no tracer
        violet, plain -> VT, no tracer
        plain, violet -> VT, no tracer
        plain violet wire -> VT, no tracer
        violet no stripe -> VT, no tracer
        violet without a stripe -> VT, no tracer
        violet w/o stripe -> VT, no tracer
        violet (no tracer) -> VT, no tracer
        violet/no tracer -> VT, no tracer
        light blue, no tracer -> light BU, no tracer
        violet untraced -> VT, no tracer
        solid violet with white stripe -> ? VT, no tracer | VT/WH
        ",
    );
}

#[test]
fn words_about_the_wire_are_passed_over() {
    check(
        "
        violet wire -> VT
        violet lead wire -> VT
        Violet cable -> VT
        the violet wire -> VT
        wire colour: violet -> VT
        violet coloured wire -> VT
        violet color -> VT
        violet conductor -> VT
        ",
    );
}

#[test]
fn shorthand_with_several_meanings_is_never_picked() {
    check(
        "
        BL -> ? BU | BK
        BL/WH -> ? BU/WH | BK/WH
        WH/BL -> ? WH/BU | WH/BK
        GR -> ? GN | GY
        gr/ye -> ? GN/YE | GY/YE
        LT GR -> ? light GN | light GY
        LTGR -> ? light GN | light GY
        LG -> ? light GN | light GY
        DB -> ? dark BU | dark BN
        B/W -> ? BK/WH | BU/WH | BN/WH
        R -> ? RD
        R W -> ? RD/WH
        R. Brown -> ? RD/BN
        w/red -> ? WH/RD
        mauve -> ? light VT | VT
        navy blue -> ? dark BU
        sky blue/white -> ? light BU/WH
        teal -> ? TQ | BU | GN
        OR WH -> ? OG/WH
        VT OR -> ? VT/OG
        RDBU -> ? RD/BU | BU/RD
        buwh -> ? BU/WH | WH/BU
        GNYE -> ? GN/YE | YE/GN
        BLKWHT -> ? BK/WH | WH/BK
        RDBU with white tracer -> ? RD/BU/WH | BU/RD/WH
        violet-striped white -> ? VT/WH | WH/VT
        violet stripe white -> ? VT/WH | WH/VT
        white on violet -> ? WH/VT | VT/WH
        ",
    );
}

#[test]
fn doubt_is_kept() {
    check(
        "
        purple? -> ? VT
        violet (?) -> ? VT
        violet/white? -> ? VT/WH
        violet maybe -> ? VT
        probably violet -> ? VT
        faded violet -> ? VT
        violet (violet?) -> ? VT
        violet (violet or blue) -> ? VT | BU
        violet (violet and white) -> ? VT | WH
        BL? -> ? BU | BK
        grn or blu -> ? GN | BU
        either green or blue -> ? GN | BU
        green and/or blue -> ? GN | BU
        grn-or-blu -> ? GN | BU | GN/OG/BU
        violet/white or violet/red -> ? VT/WH | VT/RD
        violet with white or red tracer -> ? VT/WH | VT/RD
        light or dark blue -> ? light BU | dark BU
        blk & wht -> ? BK/WH | BK | WH
        black and white -> ? BK/WH | BK | WH
        green and yellow -> ? GN/YE | GN | YE
        green-and-yellow -> ? GN/YE | GN | YE
        BK+WH -> ? BK/WH | BK | WH
        violet, white -> ? VT/WH | VT | WH
        violet wire, white wire -> ? VT/WH | VT | WH
        violet wire with white wire -> ? VT/WH | VT | WH
        violet wire white -> ? VT/WH | VT | WH
        violet (white) -> ? VT/WH | VT | WH
        violet/white and red -> ? VT/WH/RD | VT/WH | RD
        black with white stripe and red -> ? BK/WH/RD | BK/WH | RD
        black with white stripe, blue with white stripe -> ? BK/WH | BU/WH
        violet white stripe red -> ? VT/WH/RD | VT/WH | RD
        ",
    );
}

#[test]
fn what_is_not_a_colour() {
    check(
        "
        red tag -> ! \"tag\"
        green connector -> ! \"connector\"
        red plug -> ! \"plug\"
        Greenfield -> ! \"Greenfield\"
        redundant -> ! \"redundant\"
        greenish -> ! \"greenish\"
        bluish green -> ! \"bluish\"
        tanned -> ! \"tanned\"
        the tan one's neighbour -> ! \"one's\"
        violet 2 -> ! \"2\"
        18ga violet -> ! \"18ga\"
        violet #3 -> ! \"#\"
        =violet -> ! \"=\"
        two white stripes -> ! \"two\"
        the green one -> ! do not fit together
        bright red -> ! \"bright\" is not part of a wire colour; write
        not green -> ! what the wire is not
        not the green one -> ! what the wire is not
        no green -> ! what the wire is not
        violet, no white tracer -> ! what the wire is not
        white tracer -> ! a tracer is named without
        violet with tracer -> ! a tracer is named without
        violet stripe -> ! a tracer is named without
        with white tracer -> ! has to stand first
        w/ red tracer -> ! has to stand first
        /WH -> ! has to stand first
        VT/ -> ! a second colour is announced
        VT//WH -> ! a second colour is announced
        violet/? -> ! a second colour is announced
        violet with -> ! a second colour is announced
        ? -> ! no colour is named
        wire -> ! no colour is named
        the -> ! no colour is named
        plain -> ! no colour is named
        (violet -> ! brackets
        violet) white -> ! brackets
        violet/violet -> x cannot have a violet tracer
        black with black stripe -> x cannot have a black tracer
        VT/WH/RD/GN/YE -> x at most 3 tracers
        ",
    );
}

#[test]
fn a_misspelt_word_is_asked_about_and_not_corrected() {
    for (text, meant, readings) in [
        ("vioelt", "did you mean violet?", vec!["VT"]),
        ("Vioelt/white", "did you mean violet?", vec!["VT/WH"]),
        ("violet/wihte", "did you mean white?", vec!["VT/WH"]),
        ("bleu", "did you mean blue?", vec!["BU"]),
        ("purpel/wht", "did you mean purple?", vec!["VT/WH"]),
        ("violet white tarcer", "did you mean tracer?", vec!["VT/WH"]),
        ("vioelt plug", "did you mean violet?", vec![]),
    ] {
        let misread = Colour::parse(text).expect_err(text);
        assert_eq!(
            (misread.problem, misread.readings),
            (Problem::Unreadable, readings.into_iter().map(str::to_owned).collect())
        );
        assert!(misread.message.contains(meant), "{}", misread.message);
    }
}

#[test]
fn texts_that_are_no_text() {
    let long = "violet ".repeat(1500);
    for (text, why) in [
        ("", "no text"),
        ("   \t ", "no text"),
        ("\u{a0}", "no text"),
        ("violet\0", "control characters"),
        ("vio\u{1b}[31mlet", "control characters"),
        ("violet\nwhite", "control characters"),
        (long.as_str(), "too long"),
        ("violet\u{202e}", "\"\\u{202e}\""),
        ("fi\u{301}olet", "is not part"),
    ] {
        let misread = Colour::parse(text).expect_err(text);
        assert_eq!(misread.problem, Problem::Unreadable, "{text:?}");
        assert!(misread.message.contains(why), "{:?}", misread.message);
        assert!(!misread.message.chars().any(|c| c.is_control() || c == '\u{202e}'), "{:?}", misread.message);
    }
}

#[test]
fn many_doubts_in_one_text_end_quickly() {
    for piece in
        ["gn or / ", "rd lt / ", "BL/", "gn-or-", "a & ", "BKWH ", "with stripe ", "(", "red, ", "wire bk "]
    {
        let text = piece.repeat(LONG / piece.len());
        let started = std::time::Instant::now();
        assert!(Colour::parse(&text).is_err(), "{text}");
        assert!(started.elapsed() < std::time::Duration::from_secs(1), "{text}");
    }
}

/// As long as a text may be and still be looked at.
const LONG: usize = 119;

#[test]
fn a_refusal_says_what_was_read_what_is_wrong_and_what_would_be_right() {
    for (text, message) in [
        (
            "BL/WH",
            "\"BL/WH\" cannot be told: \"BL\" is used for more than one colour; write the one that is meant: BU/WH; BK/WH",
        ),
        ("purple?", "\"purple?\" is marked as doubtful; write VT only if that is certain"),
        (
            "red tag",
            "\"tag\" is not part of a wire colour; write a colour such as VT/WH, light blue or violet with white tracer",
        ),
    ] {
        assert_eq!(Colour::parse(text).expect_err(text).message, message);
    }
}
