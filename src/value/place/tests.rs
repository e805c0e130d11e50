//! Tables of texts with what they are read as, and of pairs with how they relate; then the
//! promises that hold for any text. The definition itself is checked in `tests/place.rs`.

use proptest::prelude::*;

use super::{DriveSide, Place};
use crate::value::lexicon::{Kind, Lexicon};
use crate::value::{Misread, Problem, Relation, Typed};

fn read(text: &str, drive: DriveSide) -> Result<Place, Misread> {
    Place::parse(text, Lexicon::builtin(), drive)
}

fn lhd(text: &str) -> Place {
    read(text, DriveSide::Lhd).unwrap_or_else(|misread| panic!("{text}: {misread}"))
}

#[track_caller]
fn check(table: &[(&str, &str)]) {
    for (text, expected) in table {
        assert_eq!(lhd(text).to_string(), *expected, "{text}");
    }
}

#[track_caller]
fn check_refused(problem: Problem, texts: &[&str]) {
    for text in texts {
        let shown: String = text.chars().take(40).collect();
        match read(text, DriveSide::Lhd) {
            Err(misread) => assert_eq!(misread.problem, problem, "{shown}: {misread}"),
            Ok(place) => panic!("{shown} was read as {place}"),
        }
    }
}

#[track_caller]
fn check_pairs(table: &[(&str, &str, Relation)]) {
    for (a, b, expected) in table {
        let (x, y) = (lhd(a), lhd(b));
        assert_eq!(x.relation(&y), *expected, "{a} / {b}");
        assert_eq!(y.relation(&x), expected.flipped(), "{b} / {a}");
    }
}

#[test]
fn one_component_under_many_names() {
    check(&[
        ("brake switch", "stop lamp switch"),
        ("stop lamp switch", "stop lamp switch"),
        ("Stop-Lamp Switch", "stop lamp switch"),
        ("brake light switch", "stop lamp switch"),
        ("brake-pedal switch", "stop lamp switch"),
        ("BPP sw", "stop lamp switch"),
        ("BPP", "stop lamp switch"),
        ("stop sw.", "stop lamp switch"),
        ("brake sw", "stop lamp switch"),
        ("stoplight switch", "stop lamp switch"),
        ("at the brake switch", "stop lamp switch"),
        ("wire at the brake switch", "stop lamp switch"),
        ("BRK SW", "stop lamp switch"),
        ("brake lights switches", "stop lamp switch"),
        ("FB", "fuse box"),
        ("fusebox", "fuse box"),
        ("fuse/relay box", "fuse box"),
        ("DLC", "data link connector"),
        ("diagnostic plug", "data link connector"),
        ("OBD port", "data link connector"),
        ("bulkhead", "firewall"),
        ("bonnet release cable", "hood release cable"),
        ("hood release", "hood release handle"),
        ("glovebox", "glove box"),
        ("IP", "dash"),
        ("I/P", "dash"),
        ("instrument panel", "dash"),
        ("dashboard", "dash"),
        ("fascia", "dash"),
        ("wing", "fender"),
        ("inner wing", "inner fender"),
        ("boot", "trunk"),
        ("windscreen", "windshield"),
        ("earth point", "ground point"),
        ("factory grounds", "ground point"),
        ("tail light", "tail lamp"),
        ("3rd brake light", "high mount stop lamp"),
        ("headlight switch", "headlamp switch"),
        ("ign sw", "ignition switch"),
        ("strg col", "steering column"),
        ("the column", "steering column"),
        ("batt +", "battery positive terminal"),
        ("B+", "battery positive terminal"),
        ("scuff plate", "door sill"),
        ("A pillar", "A-pillar"),
        ("the A-pillar", "A-pillar"),
        ("under the bonnet", "engine bay"),
        ("underhood", "engine bay"),
        ("screen washer bottle", "washer bottle"),
        ("7-way", "trailer connector"),
        ("chassis rails", "frame rail"),
    ]);
}

/// Texts as they stand in the sheets of a shop.
#[test]
fn what_a_shop_writes_is_known() {
    check(&[
        ("Clutch blanking plate", "clutch blank plate"),
        ("the clutch blank", "clutch blank plate"),
        ("firewall junction stud", "firewall, distribution stud"),
        ("RH inner fender distribution stud", "right inner fender, distribution stud"),
        ("power distribution block, left inner wing", "left inner fender, distribution block"),
        ("distribution box under the bonnet", "fuse box under hood"),
        ("body junction box", "junction box"),
        ("rear bumper step pad", "bumper step pad"),
        ("step pad, LH", "left bumper step pad"),
        ("rear bumper left of the plate", "rear bumper, left of plate"),
        ("behind the cluster bezel", "behind instrument bezel"),
        ("radio surround", "radio bezel"),
        ("horn relay socket", "horn, relay socket"),
        ("diag connector", "data link connector"),
        ("OBD plug", "data link connector"),
        ("hood release lever", "hood release handle"),
        ("hand brake lever", "parking brake lever"),
        ("centre high stop lamp", "high mount stop lamp"),
        ("high-level brake light", "high mount stop lamp"),
        ("above the accel. pedal", "above accelerator pedal"),
        ("blank plate below the booster", "blanking plate, below brake booster"),
        ("behind the parcel shelf, left", "left, behind parcel shelf"),
        ("above the prop shaft", "above driveshaft"),
        ("weld nut, d/s strut tower", "left strut tower, captive nut"),
    ]);
}

#[test]
fn a_side_belongs_to_the_component_beside_it() {
    check(&[
        ("left kick panel", "left kick panel"),
        ("kick panel left", "left kick panel"),
        ("kick panel, left", "left kick panel"),
        ("left, kick panel", "left kick panel"),
        ("kick panel (LH)", "left kick panel"),
        ("kick panel - L.H. side", "left kick panel"),
        ("LH kick panel", "left kick panel"),
        ("l/h kick panel", "left kick panel"),
        ("d/s kick panel", "left kick panel"),
        ("DS kick panel", "left kick panel"),
        ("driver's side kick panel", "left kick panel"),
        ("driver kick panel", "left kick panel"),
        ("kick panel on the left", "left kick panel"),
        ("p/s kick panel", "right kick panel"),
        ("passenger-side kick panel", "right kick panel"),
        ("offside headlamp", "left headlamp"),
        ("o/s headlamp", "left headlamp"),
        ("nearside wing", "right fender"),
        ("BPP sw, driver side", "left stop lamp switch"),
        ("left side of the column", "left steering column"),
        ("driver side of the firewall", "left firewall"),
        ("upper left firewall", "upper left firewall"),
        ("firewall, LH, top", "upper left firewall"),
        ("left rear bumper", "rear left bumper"),
        ("rear bumper l/h", "rear left bumper"),
        ("bumper, LR", "rear left bumper"),
        ("RF fender", "front right fender"),
        ("left rear tail lamp", "left tail lamp"),
        ("centre console", "centre console"),
        ("center of the dash", "centre dash"),
        ("fwd edge of the door", "front door"),
        ("inboard side of the frame rail", "inboard frame rail"),
        ("left left kick panel", "left kick panel"),
        ("driver side", "left"),
        ("upper and left firewall", "upper left firewall"),
        ("left kick panel connector", "left kick panel, connector"),
        ("left purple kick panel", "left kick panel, purple"),
    ]);
}

#[test]
fn relations_take_the_part_after_them() {
    check(&[
        ("left of the column", "left of steering column"),
        ("to the left of the column", "left of steering column"),
        ("left inner fender above the washer bottle", "left inner fender, above washer bottle"),
        ("above the washer bottle, left inner fender", "left inner fender, above washer bottle"),
        ("above the washer bottle on the left inner fender", "left inner fender, above washer bottle"),
        ("driver side, above the hood release cable", "left, above hood release cable"),
        ("driver side above the hood release cable", "left, above hood release cable"),
        ("above hood release cable, d/s", "left, above hood release cable"),
        ("firewall driver side over the hood cable", "left firewall, above hood release cable"),
        ("behind the driver's kick panel", "behind left kick panel"),
        ("behind kick panel left", "behind left kick panel"),
        ("driver side, behind the left kick panel", "behind left kick panel"),
        ("under the carpet", "below carpet"),
        ("beneath the dash", "below dash"),
        ("up under the dash", "below dash"),
        ("next to the battery", "beside battery"),
        ("near battery", "beside battery"),
        ("by the battery", "beside battery"),
        ("fwd of the strut tower", "in front of strut tower"),
        ("in front of the strut tower", "in front of strut tower"),
        ("in back of the radio", "behind radio"),
        ("through the firewall grommet", "through firewall grommet"),
        ("inside the glove box", "inside glove box"),
        ("in the glove box", "glove box"),
        ("between the battery and the left fender", "between battery and left fender"),
        ("between left fender & battery", "between battery and left fender"),
        ("between the left and right seats", "between left seat and right seat"),
        ("between the seats", "between seat"),
        ("above the brake pedal and the column", "above brake pedal, above steering column"),
        ("above the brake pedal and left of the column", "above brake pedal, left of steering column"),
        ("ignition switch on the steering column", "ignition switch, steering column"),
        ("under-dash connector", "connector, below dash"),
        ("right side above the hood release cable", "right, above hood release cable"),
        ("on the right above the hood release cable", "right, above hood release cable"),
        ("stop lamp switch above brake pedal, left", "left stop lamp switch, above brake pedal"),
    ]);
}

#[test]
fn what_is_said_in_parts_or_twice_is_one() {
    check(&[
        ("fuse box under the dash", "fuse box under dash"),
        ("under-dash fuse box", "fuse box under dash"),
        ("fuse box, driver side, under dash", "left fuse box under dash"),
        ("IP fuse panel", "fuse box under dash"),
        ("dash fuse box", "fuse box under dash"),
        ("fuse box behind the left dash", "fuse box under dash, behind left dash"),
        ("FB in engine bay", "fuse box under hood"),
        ("fuse box under the bonnet", "fuse box under hood"),
        ("engine bay, left, fuse box", "fuse box under hood, left engine bay"),
        ("fuse box in the boot", "fuse box in trunk"),
        ("grommet in the firewall", "firewall grommet"),
        ("strut tower, in the left of the engine bay", "strut tower, left engine bay"),
        ("glove box, dash", "glove box"),
        ("left fender, left inner fender", "left inner fender"),
        ("rear quarter panel", "quarter panel"),
    ]);
}

#[test]
fn words_that_the_lexicon_lacks_are_kept_and_told() {
    let told = |text: &str, expected: &str, words: &[&str]| {
        assert_eq!(lhd(text).to_string(), expected, "{text}");
        assert_eq!(lhd(text).unknown_words(), words, "{text}");
    };
    told("left kick panel", "left kick panel", &[]);
    told("Washer jug", "washer jug", &["washer jug"]);
    told("washer jug, left", "left washer jug", &["washer jug"]);
    told("above the Flux Unit", "above flux unit", &["flux unit"]);
    told("6 in above brake pedal", "6 in, above brake pedal", &["6 in"]);
    told("driver side, 6 in above brake pedal", "left, 6 in, above brake pedal", &["6 in"]);
    told("6\" left of the column", "6\", left of steering column", &["6\""]);
    told("2 in front of the battery", "2, in front of battery", &["2"]);
    told("pin 2 in the connector", "connector, pin 2", &["pin 2"]);
    told("somewhere behind the dash", "somewhere, behind dash", &["somewhere"]);
    told("rusty kick panel by blue box", "kick panel, rusty, beside blue box", &["rusty", "blue box"]);
    told("Ümlaut-Halter", "ümlaut halter", &["ümlaut halter"]);
}

#[test]
fn the_driver_side_follows_the_wheel() {
    let shown =
        |drive| read("driver side kick panel, right of P/S footwell", drive).map(|place| place.to_string());
    assert_eq!(shown(DriveSide::Lhd).as_deref(), Ok("left kick panel, right of right footwell"));
    assert_eq!(shown(DriveSide::Rhd).as_deref(), Ok("right kick panel, right of left footwell"));
    let either = "driver side kick panel, right of passenger side footwell";
    assert_eq!(shown(DriveSide::Either).as_deref(), Ok(either));
    let either = |text| read(text, DriveSide::Either).expect("a place");
    let driver = either("driver side kick panel");
    assert_eq!(driver.relation(&either("left kick panel")), Relation::Unknown);
    assert_eq!(driver.relation(&either("p/s kick panel")), Relation::Different);
    assert_eq!(driver.relation(&either("kick panel")), Relation::FirstFiner);
}

#[test]
fn what_cannot_be_told_is_refused() {
    check_refused(
        Problem::Ambiguous,
        &[
            "left or right kick panel",
            "kick panel or door sill",
            "either side of the column",
            "kick panel?",
            "not the left one",
            "left kick panel, not the right",
            "firewall, no grommet",
            "don't use the left stud",
            "left/right kick panel",
            "left and right kick panels",
            "above left and right kick panel",
            "above kick panel, below kick panel",
            "above",
            "kick panel, behind",
            "behind, left",
            "above and below the pedal",
            "right above the pedal",
            "kick panel right behind the carpet",
            "hand, left",
        ],
    );
}

#[test]
fn what_names_nothing_is_refused() {
    let long = "kick panel ".repeat(1000);
    let blank = " ".repeat(10_000);
    check_refused(
        Problem::Unreadable,
        &[
            "",
            "   ",
            "...",
            ",;:/-",
            "the",
            "a the an",
            "of",
            "at the",
            "🚗",
            "left\u{0}kick",
            "\u{1b}[31mkick panel",
        ],
    );
    check_refused(Problem::Unreadable, &["kick\u{202e}panel", "kick\u{200b}panel", &long, &blank]);
}

#[test]
fn a_refusal_offers_the_readings() {
    let offered =
        |text| read(text, DriveSide::Lhd).map_err(|misread| misread.readings).expect_err("ambiguous");
    assert_eq!(offered("d/s kick panel or glovebox"), ["left kick panel", "glove box"]);
    assert_eq!(offered("right above the pedal"), ["right, above pedal", "above pedal"]);
    assert!(offered("left or right kick panel").is_empty());
    assert!(offered(&"right above ".repeat(80)).is_empty());
}

#[test]
fn pairs_of_places() {
    use Relation::{Different, FirstFiner, Same, SecondFiner, Unknown};
    check_pairs(&[
        ("brake switch", "BPP sw", Same),
        ("kick panel, LH", "driver's kick panel", Same),
        ("above the washer bottle, left inner wing", "left inner fender above washer bottle", Same),
        ("stop lamp switch", "stop lamp switch above the pedal", SecondFiner),
        ("inner fender", "left inner fender", SecondFiner),
        ("left inner fender", "left fender", FirstFiner),
        ("inner fender", "left fender", Unknown),
        ("fuse box", "fuse box under the dash", SecondFiner),
        ("fuse box under dash", "underhood fuse box", Different),
        ("glove box", "dash", FirstFiner),
        ("kick panel", "dash", Unknown),
        ("strut tower", "engine bay", Unknown),
        ("engine bay", "cabin", Different),
        ("engine bay", "glove box", Different),
        ("battery", "engine bay", Unknown),
        ("stop lamp switch", "ignition switch", Different),
        ("left kick panel", "left inner fender", Different),
        ("left kick panel", "right kick panel", Different),
        ("left kick panel", "centre kick panel", Different),
        ("left kick panel", "upper kick panel", Unknown),
        ("upper firewall", "lower firewall", Different),
        ("front bumper", "rear bumper", Different),
        ("inboard frame rail", "outboard frame rail", Different),
        ("left kick panel", "behind right kick panel", Different),
        ("left kick panel", "behind left kick panel", Unknown),
        ("left", "left kick panel", SecondFiner),
        ("left", "right kick panel", Different),
        ("left", "left steering column", Unknown),
        ("left", "right steering column", Unknown),
        ("above brake pedal", "below brake pedal", Different),
        ("above brake pedal", "above steering column", Unknown),
        ("left of column", "right of the column", Different),
        ("inside glove box", "outside glove box", Different),
        ("behind radio", "in front of radio", Different),
        ("firewall above the battery", "firewall below the battery", Different),
        ("firewall above the battery", "firewall beside the radio", Unknown),
        ("d/s above hood release cable", "firewall d/s above bonnet cable", SecondFiner),
        ("d/s above hood release cable", "p/s above hood release cable", Different),
        ("d/s above hood release cable", "above hood release cable", FirstFiner),
        ("fuse box, connector", "connector, grommet", Unknown),
        ("radio, dash end cap", "radio", FirstFiner),
        ("washer jug", "Washer-Jug", Same),
        ("washer jug", "left washer jug", SecondFiner),
        ("washer jug", "left fender", Unknown),
        ("washer jug", "bilge jug", Unknown),
        ("purple kick panel", "tail lamp", Different),
        ("battery tray, bracket", "right inner fender", Different),
        ("battery tray, bracket", "bracket", FirstFiner),
        ("battery tray, bracket", "left inner fender, bracket", Different),
        ("battery tray, right inner fender", "right inner fender, bracket", Unknown),
        ("firewall junction stud", "battery positive terminal", Different),
        // The end cap lies within the dash; the seat leaves open on which side of the vehicle the second place is.
        ("left dash end cap", "right dash, above left seat", Different),
        ("firewall grommet", "grommet", FirstFiner),
        ("firewall grommet", "above hood release cable", Unknown),
        ("left washer jug", "right washer jug", Different),
        ("ground stud", "left kick panel", Unknown),
        ("connector", "grommet", Unknown),
        ("between seats", "between left and right seats", SecondFiner),
    ]);
}

#[test]
fn parts_name_what_was_understood() {
    let parts = lhd("LH inner wing, above the bonnet release cable, flux unit").parts();
    let expected = serde_json::json!({
        "components": ["inner fender"],
        "sides": ["left"],
        "relations": [{ "relation": "above", "of": "hood release cable" }],
        "unknown": ["flux unit"],
    });
    assert_eq!(serde_json::Value::Object(parts), expected);
}

/// A lexicon's number means nothing in another lexicon.
#[test]
fn places_of_two_lexicons_are_same_or_unknown() {
    let other = Lexicon::parse("[[component]]\nname = \"brake pedal\"\n[[component]]\nname = \"horn\"")
        .expect("a lexicon");
    let there = |text| Place::parse(text, &other, DriveSide::Lhd).expect("a place");
    assert_eq!(lhd("brake pedal").relation(&there("brake pedal")), Relation::Same);
    assert_eq!(lhd("brake pedal").relation(&there("horn")), Relation::Unknown);
}

const DRIVES: [DriveSide; 3] = [DriveSide::Lhd, DriveSide::Rhd, DriveSide::Either];

/// The canonical text is read as the same place. Where the wheel was not known, that holds only
/// while it stays so: `driver side` becomes left or right once it is known.
#[track_caller]
fn check_read_again(text: &str, drive: DriveSide) {
    let Ok(place) = read(text, drive) else { return };
    let again = if drive == DriveSide::Either { &DRIVES[2..] } else { &DRIVES[..] };
    for &again in again {
        let second = read(&place.to_string(), again);
        let second = second.unwrap_or_else(|misread| panic!("{text} → {place}: {misread}"));
        assert_eq!(second, place, "{text}");
        assert_eq!(second.parts(), place.parts(), "{text}");
        assert_eq!(second.elements, place.elements, "{text}");
    }
}

fn named(kinds: &[Kind]) -> Vec<&'static str> {
    let concepts = Lexicon::builtin().concepts().map(|(_, concept)| concept);
    concepts.filter(|concept| kinds.contains(&concept.kind())).map(|concept| concept.name()).collect()
}

/// Every pair of sides and every relation with every part: no words run together into another
/// meaning.
#[test]
fn every_pair_of_words_is_read_again() {
    let sides = named(&[Kind::Side]);
    let pairs = sides.iter().flat_map(|a| sides.iter().map(move |b| format!("{a}, {b}, ")));
    let leads: Vec<String> =
        pairs.chain(named(&[Kind::Relation]).iter().map(|name| format!("{name} "))).collect();
    let mut refused = Vec::new();
    for part in named(&[Kind::Component, Kind::Landmark]) {
        for text in leads.iter().map(|lead| format!("{lead}{part}")) {
            match read(&text, DriveSide::Either) {
                Err(misread) if !misread.message.contains("contradicts itself") => refused.push(text),
                _ => check_read_again(&text, DriveSide::Either),
            }
        }
    }
    assert!(refused.is_empty(), "{refused:?}");
}

/// Texts of phrases from the lexicon, joined as people join them, with a few unknown words.
fn phrases() -> impl Strategy<Value = String> {
    let lexicon = Lexicon::builtin();
    let mut known: Vec<String> = Vec::new();
    for (_, concept) in lexicon.concepts() {
        let weight = if matches!(concept.kind(), Kind::Side | Kind::Relation) { 4 } else { 1 };
        (0..weight).for_each(|_| known.extend(concept.phrases().map(str::to_owned)));
    }
    known.extend(["jug", "flux", "hand", "6", "the", "and", "stop", "+", "C201"].map(str::to_owned));
    let join = prop::sample::select(vec![" ", " ", " ", ", ", "-", "/", " the ", " (", "; "]);
    prop::collection::vec((prop::sample::select(known), join), 1..7)
        .prop_map(|words| words.into_iter().flat_map(|(word, join)| [word, join.to_owned()]).collect())
}

fn drives() -> impl Strategy<Value = DriveSide> {
    prop::sample::select(DRIVES.to_vec())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn texts_of_the_lexicon_are_read_again(text in phrases(), drive in drives()) {
        check_read_again(&text, drive);
    }

    #[test]
    fn any_text_is_read_again_or_refused(text in any::<String>(), drive in drives()) {
        check_read_again(&text, drive);
    }

    #[test]
    fn near_misses_are_read_again_or_refused(text in "([a-zA-Z]{1,4}|left|LH|d/s|above|kick panel|A-pillar|'s|[0-9]\"?|[ ,./+&@-]){1,12}") {
        check_read_again(&text, DriveSide::Lhd);
    }

    #[test]
    fn a_relation_seen_from_the_other_side_is_flipped(a in phrases(), b in phrases(), drive in drives()) {
        if let (Ok(a), Ok(b)) = (read(&a, drive), read(&b, drive)) {
            prop_assert_eq!(a.relation(&b), b.relation(&a).flipped());
            prop_assert_eq!(a.relation(&b) == Relation::Same, a == b);
            prop_assert_eq!(a.relation(&a), Relation::Same);
        }
    }

    #[test]
    fn the_order_of_parts_does_not_matter(picked in prop::collection::vec(0usize..60, 1..4)) {
        let components = Lexicon::builtin().concepts().filter(|(_, c)| c.kind() == Kind::Component);
        let names: Vec<String> = components.map(|(_, c)| format!("left {}", c.name())).collect();
        let mut parts: Vec<&str> = picked.iter().map(|&at| names[at].as_str()).collect();
        let forward = lhd(&parts.join(", "));
        parts.reverse();
        prop_assert_eq!(forward, lhd(&parts.join("; ")));
    }
}
