//! What texts are cut into, and what notes answer to it, as tables.

use std::collections::BTreeSet;

use super::cut::Cutter;
use super::meaning::{Meaning, value_terms};
use crate::language::Language;
use crate::value::place::DriveSide;

fn language() -> Language {
    Language::new(None, DriveSide::Lhd, jiff::civil::date(2025, 6, 1)).expect("the built-in language")
}

/// The phrases of a text: as written, with what each may mean.
fn cut(text: &str) -> String {
    let language = language();
    let phrases = Cutter::new(&language).cut(text, DriveSide::Lhd, Vec::new());
    let told = |meaning: &Meaning| match meaning {
        Meaning::Colour(colour) => colour.to_string(),
        Meaning::Spot(spot) => {
            format!("{}{}", spot.relation.as_deref().unwrap_or("at"), [" ", &spot.part].concat())
        }
        Meaning::Sides(sides, _) => format!("side {sides}"),
        Meaning::Point(name) => format!("point {name}"),
        Meaning::Choice(field, word) => format!("{field}={word}"),
        Meaning::Quantity(field, quantity) => format!("{field} {quantity}"),
        Meaning::Thread(thread) => format!("thread {thread}"),
        Meaning::Code(field, code) => format!("{} {code}", field.as_deref().unwrap_or("code")),
        Meaning::Word(key) => format!("“{key}”"),
        other => format!("{other:?}"),
    };
    let phrase = |meanings: &[Meaning]| meanings.iter().map(told).collect::<Vec<_>>().join(" or ");
    phrases.iter().map(|own| phrase(&own.meanings)).collect::<Vec<_>>().join("; ")
}

fn check(text: &str, expected: &str) {
    assert_eq!(cut(text), expected, "{text}");
}

#[test]
fn colours() {
    check("violet w/ white tracer", "VT/WH");
    check("PPL-WHT", "VT/WH");
    check("the violet one", "VT");
    check("lt blu/blk wire", "light BU/BK");
    check("plain violet", "VT, no tracer");
    check("grn or blu", "GN; BU");
    check("white stripe on violet", "VT/WH");
    check("r/w wire", "RD/WH");
    check("dash light wire yellow", "point illumination; YE");
}

#[test]
fn the_longest_name_wins() {
    check("park light PUR/WHT", "point park-lamp or carries=park-lamp; VT/WH");
    check("backup light yellow", "at reverse lamp or point reverse-lamp; YE");
    check("light yellow", "light YE");
    check("at the tow hitch", "at tow bar");
    check("over the gas tank", "above fuel tank");
    check("route to the rear left door boot", "point cable-route; side left; at door boot");
}

#[test]
fn of_names_that_share_a_word_each_part_keeps_a_meaning() {
    check("tailgate door trigger", "door=tailgate; point door-signal");
    check("tailgate door", "at tailgate");
    check("dash tow connector dash fuse block", "point tow-connector-dash; at fuse box under dash");
}

#[test]
fn a_part_named_twice_is_the_place_and_what_else_the_words_mean() {
    check("7-pin trailer plug", "at trailer connector or point tow-connector-rear; shape=seven-round");
    check("trailer plug 7-way", "at trailer connector or point tow-connector-rear; shape=seven-blade");
    check("left rear lamp, tail light wire", "at tail lamp; side left; point park-lamp");
}

#[test]
fn shorthand_of_the_trade() {
    check("RH indicator", "point right-turn or carries=right-turn");
    check("stop sig", "point brake-signal or carries=brake-signal");
    check("fw pass", "point firewall-pass");
    check("engine comp fuse box", "at fuse box under hood");
    check("CAN bus", "point data-pair or signal=data");
    check("needs a grommet", "grommet=fit-new");
    check("without grommet", "grommet=none");
    check("how the panel comes off", "point panel-removal");
}

#[test]
fn places() {
    check("BPP sw", "at stop lamp switch");
    check("above the hood release cable", "above hood release cable");
    check("driver side kick panel", "at kick panel; side left");
    check(
        "left inner fender, near the battery",
        "at inner fender; side left; beside battery or carries=battery-feed or hot=always",
    );
    check("at the rear", "side rear");
}

#[test]
fn points_and_choices() {
    check("brake signal", "point brake-signal or carries=brake-signal");
    check("cold side of the brake switch", "point brake-signal");
    check("no grommet", "grommet=none");
    check("hot with ignition", "“hot”; carries=ignition-feed or hot=ignition");
}

#[test]
fn figures() {
    check("35 mm", "hole 35 mm or length 0.035 m");
    check("12.4 V", "active 12.4 V or idle 12.4 V");
    check("M8", "thread M8 or code M8");
    check("pin 2", "cavity 2");
    check("2019 in last", "“2019”; “last”");
    check("20 in", "hole 508 mm or length 0.508 m");
    check("C-212", "code C212");
    check("hood pin 16 ga", "at hood switch or point hood-switch; section 16 AWG");
    check("slot 12, 20 A", "slot 12; rating 20 A");
    check("connector C212 cavity 14", "connector C212; cavity 14");
}

#[test]
fn what_carries_nothing_is_left_out() {
    check("what is it", "");
    check("which wire was it", "");
    check("", "");
    check("\"+~(:", "");
    check("cinnamon toast", "“cinnamon”; “toast”");
}

/// Whether a note with a value of a field answers to a question, and how well.
fn answers(field: &str, value: &str, question: &str) -> f32 {
    let language = language();
    let at = language.catalogue.field(field).expect("a field");
    let value = language.read(at, value).expect("a value");
    let terms: BTreeSet<String> = value_terms(field, &value, DriveSide::Lhd).into_iter().collect();
    let phrases = Cutter::new(&language).cut(question, DriveSide::Lhd, Vec::new());
    let strength = |meaning: &Meaning| {
        let ways = meaning.ways().into_iter().filter(|way| terms.contains(&way.term));
        ways.map(|way| way.strength).fold(0.0, f32::max)
    };
    let best = |meanings: &[Meaning]| meanings.iter().map(strength).fold(0.0, f32::max);
    phrases.iter().map(|phrase| best(&phrase.meanings)).sum()
}

/// Each value answers better than the next, and the last not at all where it is told so.
#[test]
fn the_same_before_the_finer_before_the_coarser_before_the_near() {
    let check = |field: &str, question: &str, values: &[&str]| {
        let found: Vec<f32> = values.iter().map(|value| answers(field, value, question)).collect();
        assert!(found.windows(2).all(|pair| pair[0] > pair[1]), "{question}: {values:?} {found:?}");
    };
    check("colour", "violet/white", &["VT/WH", "VT", "VT/RD", "green"]);
    check("colour", "violet", &["VT", "VT/WH", "WH/VT", "green"]);
    check("colour", "light blue", &["light BU", "light BU/WH", "BU", "dark BU"]);
    check("colour", "blue/white", &["BU/WH", "light BU/WH", "BU", "BU/RD", "RD"]);
    check("at", "kick panel", &["left kick panel", "above kick panel", "engine bay"]);
    check("at", "left kick panel", &["left kick panel", "kick panel", "engine bay"]);
    check("at", "above the brake pedal", &["above brake pedal", "below brake pedal", "brake booster"]);
    check("stud", "M8", &["M8", "M8x1.25", "M10"]);
    check("stud", "M8x1.25", &["M8x1.25", "M8", "M8x1", "M10"]);
    check("slot", "slot 12", &["12", "13"]);
}
