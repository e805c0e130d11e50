//! Threads as written and what is made of them, as tables; and the laws that hold for every thread.

use std::collections::HashSet;

use proptest::prelude::*;

use super::*;
use crate::value::Problem;

/// Checks lines of `text -> expected`. The expected side is the canonical text; or `? a | b` for an
/// ambiguous text with its readings; or `x a | b` for one outside the series with its neighbours; or
/// `! words` for an unreadable one whose message has the words.
fn check(table: &str) {
    for line in table.lines().map(str::trim).filter(|line| !line.is_empty()) {
        let (text, expected) = line.split_once(" -> ").unwrap_or_else(|| panic!("no arrow in {line:?}"));
        let got = match Thread::parse(text.trim()) {
            Ok(thread) => thread.to_string(),
            Err(misread) => shown(&misread, expected),
        };
        assert_eq!(got, expected.trim(), "read from {:?}", text.trim());
    }
}

fn shown(misread: &Misread, expected: &str) -> String {
    let readings = misread.readings.join(" | ");
    let words = expected.strip_prefix("! ").unwrap_or("nothing was to be refused").trim();
    match misread.problem {
        Problem::Ambiguous => format!("? {readings}").trim().to_owned(),
        Problem::OutOfRange => format!("x {readings}").trim().to_owned(),
        Problem::Unreadable if misread.message.contains(words) => format!("! {words}"),
        _ => misread.message.clone(),
    }
}

fn read(text: &str) -> Thread {
    Thread::parse(text).unwrap_or_else(|misread| panic!("{text:?}: {misread}"))
}

#[test]
fn metric() {
    check(
        "
        M8 -> M8
        m8 -> M8
        m 8 -> M8
        M8.0 -> M8
        M8 stud -> M8
        stud M8 -> M8
        stud: M8 -> M8
        M8 bolt -> M8
        M8 nut -> M8
        M10 screw -> M10
        M8 thread -> M8
        M8x1.25 -> M8x1.25
        M8X1.25 -> M8x1.25
        M8 x 1.25 -> M8x1.25
        M8 x 1.25 mm -> M8x1.25
        M10×1.5 -> M10x1.5
        M10*1.5 -> M10x1.5
        M8-1.25 -> M8x1.25
        M8 – 1.25 -> M8x1.25
        M8 1.25 -> M8x1.25
        M8x1,25 -> M8x1.25
        M6x1.0 -> M6x1
        M6x1 -> M6x1
        M12x1.75 stud -> M12x1.75
        M3,5 -> M3.5
        M3.5x.6 -> M3.5x0.6
        M8 coarse -> M8x1.25
        M8x1.25 coarse -> M8x1.25
        M6 fine -> M6x0.75
        M8 (stud) -> M8
        8 mm stud -> M8
        8mm threaded stud -> M8
        6 mm thread -> M6
        8 mm x 1.25 -> M8x1.25
        ",
    );
}

#[test]
fn inch() {
    check(
        "
        3/8-16 -> 3/8-16
        3/8 - 16 -> 3/8-16
        3/8 x 16 -> 3/8-16
        3/8 16 -> 3/8-16
        5/16 -> 5/16
        5/16 stud -> 5/16
        5/16-18 UNC -> 5/16-18
        5/16 UNC -> 5/16-18
        5/16-24 UNF -> 5/16-24
        1/4 UNF -> 1/4-28
        1/4 UNEF -> 1/4-32
        5/16 coarse thread -> 5/16-18
        5/16-18 tpi -> 5/16-18
        1/4\" -> 1/4
        1/4” -> 1/4
        1/4'' -> 1/4
        1/4 in -> 1/4
        1/4 inch stud -> 1/4
        1/4\"-20 -> 1/4-20
        1/4 in.-20 -> 1/4-20
        ¼ -> 1/4
        ⅜-16 -> 3/8-16
        4/16 -> 1/4
        1/2-13 -> 1/2-13
        1-1/4 -> 1-1/4
        1 1/4 -> 1-1/4
        1¼ -> 1-1/4
        1-1/4-7 -> 1-1/4-7
        1 in -> 1 in
        1 inch bolt -> 1 in
        1-8 -> 1-8
        #10 -> #10
        # 10 -> #10
        No. 10 -> #10
        number 10 -> #10
        #10-24 -> #10-24
        #10 - 32 UNF -> #10-32
        no. 10-32 -> #10-32
        10-32 -> #10-32
        10-24 -> #10-24
        8-32 stud -> #8-32
        6-32 screw -> #6-32
        1-64 -> #1-64
        ",
    );
}

#[test]
fn what_may_be_two_threads_is_not_picked() {
    check(
        "
        10 -> ? M10 | #10
        8 -> ? M8 | #8
        1 -> ? M1 | #1 | 1 in
        16 -> ? M16
        10 stud -> ? M10 | #10
        8-1.25 -> ? M8x1.25
        8x1.25 -> ? M8x1.25
        10x32 -> ? #10-32
        10 32 -> ? #10-32
        10/32 -> ? #10-32 | 5/16
        6/32 -> ? #6-32
        8/32 stud -> ? #8-32 | 1/4
        8 mm -> ? M8
        8 mm bolt -> ? M8 | M5
        10 mm nut -> ? M10 | M6
        13 mm nut -> ? M8
        M8 fine -> ? M8x1 | M8x0.75
        M8? -> ? M8
        maybe 5/16 -> ? 5/16
        M8 or M6 -> ? M8 | M6
        M8/M6 -> ? M8 | M6
        M8 and M6 -> ? M8 | M6
        M8 or 5/16 stud -> ? M8 | 5/16
        ",
    );
}

#[test]
fn sizes_and_pitches_outside_the_series() {
    check(
        "
        M9.5 -> x M9 | M10
        M13 -> x M12 | M14
        13 mm stud -> x M12 | M14
        M0 -> x
        M500 -> x
        M99999 -> x
        M8.0001 -> x
        M8x3 -> x M8x1.25 | M8x1 | M8x0.75
        M8 x 30 -> x M8x1.25 | M8x1 | M8x0.75
        M5.5 coarse -> x
        M8x1 coarse -> x
        99/3 -> x
        1/0 -> x
        0/4 -> x
        1.5/4 -> x
        10-5/16 -> x
        1/3 -> x 5/16 | 3/8
        3/16 -> x #8 | #10
        3/8-17 -> x 3/8-16 | 3/8-24 | 3/8-32
        3/8 x 1 -> x 3/8-16 | 3/8-24 | 3/8-32
        5/16-18 UNF -> x 5/16-18 | 5/16-24 | 5/16-32
        #10-25 -> x #10-24 | #10-32
        #7 -> x
        #10.5 -> x
        100 -> x
        8 in -> x
        ",
    );
}

#[test]
fn what_is_no_thread() {
    check(
        "
        bolt -> ! names no size
        M -> ! \"m\" is not part
        not M8 -> ! \"not\" is not part
        M8 red -> ! \"red\" is not part
        M8x -> ! announces a pitch
        3/8- -> ! announces a pitch
        M8x1.25x30 -> ! \"x\" is not part
        M8 1.25 30 -> ! a length is not part
        2x M8 -> ! announces a pitch
        -M8 -> ! \"-\" is not part
        M-8 -> ! \"m\" is not part
        M8 inch -> ! not in inches
        #10 mm -> ! has no unit
        5/16 mm -> ! fractions are of an inch
        eight -> ! \"eight\" is not part
        M∞ -> ! \"m\" is not part
        ",
    );
    for text in ["", "  ", "M8\0", "M\n8", &"M8 ".repeat(4000)] {
        assert_eq!(
            Thread::parse(text).map_err(|misread| misread.problem),
            Err(Problem::Unreadable),
            "{text:?}"
        );
    }
}

#[test]
fn relations() {
    use Relation::{Different, Same, SecondFiner};
    for (a, b, expected) in [
        ("M8", "m 8", Same),
        ("M8x1.25", "M8-1.25", Same),
        ("5/16-18 UNC", "5/16-18", Same),
        ("M8", "M8x1.25", SecondFiner),
        ("5/16", "5/16-18", SecondFiner),
        ("M8x1.25", "M8x1", Different),
        ("M8", "M6", Different),
        ("M8", "5/16", Different),
        ("M5", "#10", Different),
        ("#10", "5/16", Different),
        ("#10-24", "#10-32", Different),
        ("M8x1.25", "M10", Different),
    ] {
        assert_eq!(read(a).relation(&read(b)), expected, "{a} against {b}");
        assert_eq!(read(b).relation(&read(a)), expected.flipped(), "{b} against {a}");
    }
}

#[test]
fn words_and_parts() {
    let parts = |text: &str| Value::Object(read(text).parts());
    assert_eq!(read("M8x1.25").plain(), "M8, pitch 1.25 mm");
    assert_eq!(read("M8").plain(), "M8");
    assert_eq!(read("5/16-18").plain(), "5/16 inch, 18 threads per inch");
    assert_eq!(read("#10").plain(), "number 10");
    assert_eq!(
        parts("M8x1.25"),
        json!({"system": "metric", "size": "M8", "diameter_mm": 8.0, "pitch_mm": 1.25, "threads_per_inch": null})
    );
    // 5/16 in is 7.9375 mm and #10 is 0.190 in; an inch is 25.4 mm.
    assert_eq!(
        parts("5/16"),
        json!({"system": "inch", "size": "5/16", "diameter_mm": 7.938, "pitch_mm": null, "threads_per_inch": null})
    );
    assert_eq!(
        parts("#10-24"),
        json!({"system": "inch", "size": "#10", "diameter_mm": 4.826, "pitch_mm": null, "threads_per_inch": 24})
    );
}

/// Every thread of both series, with and without its pitches.
fn all_threads() -> Vec<Thread> {
    let metric = (0..=64_000).step_by(100).map(Micrometres);
    let metric = metric.filter_map(|diameter| Some((diameter, series::metric_pitches(diameter)?))).flat_map(
        |(diameter, pitches)| {
            let pitches = pitches.into_iter().map(Some).chain([None]);
            pitches.map(move |pitch| Thread(Form::Metric { diameter, pitch }))
        },
    );
    let sizes = (0..=255).flat_map(|count| [InchSize::Number(count), InchSize::Sixteenths(count)]);
    let inch =
        sizes.filter_map(|size| Some((size, series::inch_counts(size)?))).flat_map(|(size, counts)| {
            let counts = counts.into_iter().map(Some).chain([None]);
            counts.map(move |per_inch| Thread(Form::Inch { size, per_inch }))
        });
    metric.chain(inch).collect()
}

#[test]
fn every_canonical_text_reads_back() {
    let threads = all_threads();
    let texts: HashSet<String> = threads.iter().map(ToString::to_string).collect();
    assert!(threads.len() > 250, "{}", threads.len());
    assert_eq!(texts.len(), threads.len());
    for thread in threads {
        assert_eq!(Thread::parse(&thread.to_string()), Ok(thread), "{thread}");
    }
}

fn any_thread() -> impl Strategy<Value = Thread> {
    prop::sample::select(all_threads())
}

fn any_jumble() -> impl Strategy<Value = String> {
    let pieces = [
        "M", "8", "10", "32", "1", "/", "-", "x", "#", "1.25", " ", "mm", "in", "\"", "stud", "bolt", "UNC",
        "fine", "or", "?", "¼", ",",
    ];
    prop::collection::vec(prop::sample::select(pieces.to_vec()), 0..10).prop_map(|pieces| pieces.concat())
}

proptest! {
    #[test]
    fn a_thread_is_the_same_as_itself(thread in any_thread()) {
        prop_assert_eq!(thread.relation(&thread), Relation::Same);
    }

    #[test]
    fn relation_is_the_same_from_both_sides(a in any_thread(), b in any_thread()) {
        prop_assert_eq!(a.relation(&b), b.relation(&a).flipped());
        prop_assert_eq!(a.relation(&b) == Relation::Same, a == b);
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

fn sound(text: &str) {
    match Thread::parse(text) {
        Ok(thread) => assert_eq!(read(&thread.to_string()), thread),
        Err(misread) => {
            assert!(!misread.message.is_empty() && !misread.message.chars().any(char::is_control));
            for reading in misread.readings {
                assert_eq!(read(&reading).to_string(), reading, "offered for {text:?}");
            }
        }
    }
}
