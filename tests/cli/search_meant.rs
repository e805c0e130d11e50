//! `search`: what short and careless questions mean. Half of a point's name, a remark word for word, a doubtful colour,
//! units, and what is left out; and that words no note has are told.

use crate::harness::{Run, Shop};

/// Two makers' trucks, with notes that say less of what is asked beside those that say it.
const TRUCKS: &str = "\
make,model,years,point,carries,hot,door,colour,at,stud,rating,basis,by,on,seen,remark
Quillon,Tarn,2016,reverse-lamp,,,,pink/black,left frame rail,,,told,S. Lindqvist,2021-05-02,,
Quillon,Tarn,2016,door-signal,,,driver,grey,left kick panel,,,told,S. Lindqvist,2021-05-02,,
Quillon,Tarn,2016,battery-feed,,,,,right inner fender,M8,,told,S. Lindqvist,2021-05-02,,
Quillon,Tarn,2016,accessory-feed,,,,orange,radio,,,told,S. Lindqvist,2021-05-02,,
Quillon,Tarn,2016,fused-feed,,ignition,,,fuse box under dash,,7.5 A,metered,R. Okafor,2024-03-11,2016,lives while the door is open
Quillon,Tarn,2016,fused-feed,,always,,,fuse box under hood,,30 A,metered,R. Okafor,2024-03-11,2016,beside the battery
Quillon,Tarn,2016,brake-signal,,,,violet/white,stop lamp switch,,,metered,R. Okafor,2024-03-11,2016,
Quillon,Tarn,2016,left-turn,,,,yellow/black,left kick panel,,,told,S. Lindqvist,2021-05-02,,\"blinks, no stop on it\"
Ironquay,Tiller,2018,tow-connector-rear,reverse-lamp,,,green,rear,,,metered,R. Okafor,2024-03-11,2018,
Ironquay,Tiller,2018,tow-connector-rear,brake-signal,,,red,rear,,,metered,R. Okafor,2024-03-11,2018,blinks like the rest
Ironquay,Tiller,2018,high-stop-lamp,,,,white,rear,,,metered,R. Okafor,2024-03-11,2018,the only stop that never blinks
Ironquay,Tiller,2018,ground,,,,,battery,M6,,metered,R. Okafor,2024-03-11,2018,on the door side
Ironquay,Tiller,2018,ground,,,,,right fender,M10,,metered,R. Okafor,2024-03-11,2018,10 mm head
Ironquay,Tiller,2018,ground,,,,,left fender,M6,,told,S. Lindqvist,2021-05-02,,
Ironquay,Tiller,2018,horn,,,,violet/white,steering column,,,told,S. Lindqvist,2021-05-02,,
Ironquay,Long Fenland,2019,panel-removal,,,,,left kick panel,,,inspected,R. Okafor,2023-06-01,2019,\"10 mm socket, three bolts\"
Ironquay,Long Fenland,2019,tow-connector-dash,ground,,,black,left kick panel,,,metered,R. Okafor,2023-06-01,2019,an old alarm hangs off it
Ironquay,Long Fenland,2019,ground,,,,,left kick panel,M6,,metered,R. Okafor,2023-06-01,2019,
Ironquay,Long Fenland,2019,illumination,,,,grey,headlamp switch,,,metered,R. Okafor,2023-06-01,2019,
Ironquay,Long Fenland,2019,fused-feed,,,,,fuse box under dash,,10 A,metered,R. Okafor,2023-06-01,2019,
";

fn ask(question: &str) -> Run {
    Shop::with(&[TRUCKS]).run(&format!("search {question} --limit 50 --json"))
}

/// The notes that were found, best first: `Tarn door-signal`.
fn found(run: &Run) -> Vec<String> {
    let text = |hit: &serde_json::Value, name: &str| hit[name].as_str().unwrap_or_default().to_owned();
    let about = |hit| format!("{} {}", text(hit, "model"), text(hit, "point"));
    run.json().as_array().expect("a list").iter().map(about).collect()
}

fn check_first(question: &str, expected: &str) -> Run {
    let run = ask(question).must_be(0);
    assert_eq!(found(&run)[0], expected, "{question}\n{run}");
    run
}

/// `tarn reverse` used to find a connector of another truck that carries the reverse lamp, `tarn door` a remark on a door.
#[test]
fn a_word_of_the_name_of_a_point_finds_that_point() {
    check_first("tarn reverse", "Tarn reverse-lamp");
    check_first("tarn door", "Tarn door-signal");
    check_first("tarn battery", "Tarn battery-feed");
    check_first("tarn acc", "Tarn accessory-feed");
    check_first("tarn accessory", "Tarn accessory-feed");
    check_first("tarn brake", "Tarn brake-signal");
    // Who names the place means the place, and who names the point in full has named it.
    check_first("ground at the battery", "Tiller ground");
    check_first("tow connector reverse", "Tiller tow-connector-rear");
}

/// Each word counted by itself, so that `stop` as a carried signal outweighed the whole remark.
#[test]
fn a_remark_word_for_word_comes_first() {
    for question in ["blinks, no stop on it", "'\"blinks, no stop on it\"'", "tarn blinks no stop on it"] {
        check_first(question, "Tarn left-turn");
    }
    check_first("never blinks", "Tiller high-stop-lamp");
    let run = Shop::with(&[TRUCKS]).run("search blinks, no stop on it --limit 1 --explain").must_be(0);
    let told = run.stdout().split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("5 words in a row in the remark (+"), "{run}");
}

/// The bracket used to part the tracer from its colour, and the stripe was read as a fuse that is bolted.
#[test]
fn a_colour_with_its_tracer_in_brackets() {
    let run = check_first("tarn 'violet (white stripe)'", "Tarn brake-signal");
    assert!(!run.stderr().contains("was read as"), "{run}");
}

/// `Y/B` used to be a word that nobody wrote.
#[test]
fn codes_that_fit_several_colours_are_told_and_all_looked_for() {
    let run = check_first("Y/B", "Tarn left-turn");
    run.must_tell("\"B\" is used for more than one colour").must_tell("YE/BK; YE/BU; YE/BN");
}

/// `amps` used to be read as lamps, `seven` as seen.
#[test]
fn units_and_numbers_in_words_are_no_slips() {
    for question in ["amps", "twenty amps", "tarn volts", "seven pin power", "tarn seven"] {
        let run = ask(question);
        assert!(!run.stderr().contains("was read as"), "{question}\n{run}");
    }
    check_first("amps", "Tarn fused-feed");
    let run = Shop::with(&[TRUCKS]).run("search tarn seven pin --explain");
    assert!(run.stdout().contains("“seven pin”: pattern seven-round"), "{run}");
}

/// `12.4` used to be the code 124, `7.5` the code 75.
#[test]
fn a_number_with_a_point_is_a_quantity() {
    let run = Shop::with(&[TRUCKS]).run("search 7.5 --explain").must_be(0);
    assert!(run.stdout().contains("rating 7.5 A") && !run.stdout().contains("code 75"), "{run}");
    check_first("7.5", "Tarn fused-feed");
}

/// A size in the remark used to lift the wrong side above the right one.
#[test]
fn the_other_side_speaks_against_a_note() {
    for question in ["10mm left fender", "10mm bolt left fender"] {
        let run = ask(question).must_be(0);
        assert_eq!(run.json()[0]["values"]["at"], "left fender", "{run}");
    }
}

/// `lindqvist 2021` used to find what he wrote in any year, on vehicles of 2021.
#[test]
fn a_year_beside_a_person_is_the_one_in_which_they_wrote() {
    let run = ask("okafor 2023").must_be(0);
    let first: Vec<_> = (0..5).map(|at| run.json()[at]["on"].clone()).collect();
    assert!(first.iter().all(|on| on == "2023-06-01"), "{run}");
    let run = ask("okafor tarn 2016").must_be(0);
    assert_eq!(run.json()[0]["model"], "Tarn", "{run}");
}

/// Only a whole name without its blanks used to be taken apart.
#[test]
fn words_that_are_run_together_are_parted() {
    check_first("dashlight headlampswitch", "Long Fenland illumination");
    let run = ask("spare fuseslot dashfuse box").must_be(0).must_tell("'dashfuse' was read as dash fuse");
    assert_eq!(run.json()[0]["values"]["at"], "fuse box under dash", "{run}");
    check_first("gnd lhkick panel", "Long Fenland ground");
}

/// Only words of names as the lexicon writes them used to be mended, and only beside well-spelt ones.
#[test]
fn slips_in_the_other_word_for_a_thing_and_in_two_words_together() {
    check_first("headlght switch", "Long Fenland illumination").must_tell("'headlght' was read as headlight");
    check_first("brae swich tarn", "Tarn brake-signal").must_tell("'brae' was read as brake");
}

/// `long` used to be taken for a slip of another word, because the name has a second one.
#[test]
fn a_word_of_a_name_is_no_slip_where_the_other_is_one() {
    let run =
        check_first("ground long fenlnd", "Long Fenland ground").must_tell("'fenlnd' was read as fenland");
    assert!(!run.stderr().contains("'long'"), "{run}");
}

/// What a vehicle can have used to be looked for nowhere else.
#[test]
fn a_word_for_what_a_vehicle_has_finds_remarks() {
    check_first("old alarm", "Long Fenland tow-connector-dash");
}

/// The pattern, or what is carried, used to be lost in the name of the connector.
#[test]
fn what_is_carried_counts_beside_the_connector() {
    check_first("ground brake controller plug", "Long Fenland tow-connector-dash");
    check_first("trailer plug reverse", "Tiller tow-connector-rear");
    check_first("stop trailer plug", "Tiller tow-connector-rear");
}

/// `ten` used to be a word.
#[test]
fn numbers_may_be_written_out() {
    check_first("ten amp fuse", "Long Fenland fused-feed");
}

/// `not tarn` used to put the Tarns first.
#[test]
fn a_vehicle_that_is_denied_is_left_out() {
    for question in
        ["not tarn violet white", "violet white, not the quillon tarn", "violet white not quillon"]
    {
        let run = check_first(question, "Tiller horn");
        assert!(found(&run).iter().all(|about| !about.starts_with("Tarn")), "{question}\n{run}");
    }
    check_first("tarn not at the battery", "Tarn fused-feed")
        .must_tell("the 'not' before 'at the battery' is passed over");
}

/// Only `--explain` used to tell them.
#[test]
fn words_that_no_note_has_are_told() {
    ask("violet zzzzqqq").must_be(0).must_tell("no note has “zzzzqqq”");
    assert_eq!(ask("violet zzzzqqq zzzzqqq").stderr().matches("zzzzqqq").count(), 1);
    assert_eq!(ask("tarn violet").must_be(0).stderr(), "");
}

/// Three readings of one place used to go by one label, and one slip was told as often as it was written.
#[test]
fn nothing_is_told_twice() {
    let run = Shop::with(&[TRUCKS]).run("search 10mm bolt left fender --explain").must_be(0);
    assert_eq!(run.stdout().matches("“bolt left fender”").count(), 1, "{run}");
    let run = ask("vilet vilet vilet").must_be(0);
    assert_eq!(run.stderr().matches("'vilet' was read as violet").count(), 1, "{run}");
    let run = ask(&"tarn switch ".repeat(20)).must_be(0);
    assert!(!run.stderr().contains("was read as"), "{run}");
}

/// A side of it is told by every note, by few questions.
#[test]
fn a_part_of_which_two_points_are_called_means_both() {
    check_first("turn signal", "Tarn left-turn");
    check_first("indicator tarn", "Tarn left-turn");
}

#[test]
fn another_form_of_a_word_or_a_name_is_read_as_it() {
    check_first("blinked rear red", "Tiller tow-connector-rear").must_tell("'blinked' was read as blink");
    check_first("tarns left turn", "Tarn left-turn").must_tell("'tarns' was read as tarn");
    check_first("fenl illumination", "Long Fenland illumination").must_tell("'fenl' was read as fenland");
    assert!(!ask("bolt").stderr().contains("was read as"), "what notes have in two forms is a word");
}

#[test]
fn the_words_of_the_trade_for_what_is_always_hot() {
    for words in ["hot all the time", "at all times", "always hot"] {
        let run = ask(&format!("tarn fuse box {words}")).must_be(0);
        assert_eq!(run.json()[0]["values"]["hot"], "always", "{words}\n{run}");
    }
}

#[test]
fn what_a_note_lacks_is_told() {
    let run = Shop::with(&[TRUCKS]).run("search violet reverse --limit 1").must_be(0);
    assert!(run.stdout().contains("Nothing of “violet”."), "{run}");
}
