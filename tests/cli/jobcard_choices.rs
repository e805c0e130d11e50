//! `jobcard`: what it chooses among what is recorded (feeds, grounds, times), what it withholds, where its figures are
//! from, and the lines that wait for a hand.

use serde_json::Value as Json;

use crate::harness::{Run, Shop};

/// A shop whose book holds these rows of the 2016 Tarn, after the columns of `columns`.
fn shop_of(columns: &str, rows: &[&str]) -> Shop {
    let mut sheet = format!("make,model,years,point,{columns},basis,by,on,seen\n");
    for row in rows {
        sheet.push_str(&format!("Quillon,Tarn,2016,{row},metered,R. Okafor,2024-03-11,2016\n"));
    }
    Shop::with(&[&sheet])
}

fn run(shop: &Shop, job: &str) -> Run {
    shop.run(&format!("jobcard 2016 quillon tarn --job {job}"))
}

fn card(shop: &Shop, job: &str) -> Json {
    run(shop, &format!("{job} --json")).json()
}

fn text(shop: &Shop, job: &str) -> String {
    run(shop, job).stdout().split_whitespace().collect::<Vec<_>>().join(" ")
}

fn named<'j>(list: &'j Json, key: &str, name: &str) -> &'j Json {
    let found = list.as_array().expect("a list").iter().find(|one| one[key] == name);
    found.unwrap_or_else(|| panic!("no {name} in {list}"))
}

/// The stud of the ground of a circuit, by the notes that the card names there.
fn stud_of_ground<'j>(card: &'j Json, circuit: &str) -> Option<&'j str> {
    let notes = &named(&card["circuits"], "name", circuit)["ground_notes"];
    let ground = named(&card["points"], "point", "ground");
    let answers = ground["answers"].as_array().expect("answers").iter();
    let mut used = answers.filter(|answer| answer["notes"] == *notes);
    used.next().map(|answer| answer["values"]["stud"].as_str().expect("a stud"))
}

const GROUNDS: [&str; 4] = [
    "ground,left kick panel,M5",
    "ground,left frame rail,M7",
    "ground,left inner fender,M8",
    "ground,trunk floor,M10",
];

/// The control in front is not grounded at the trunk, nor the trailer at the fender, in whatever order they were noted;
/// a rail that may be anywhere is neither.
#[test]
fn a_ground_is_chosen_where_the_load_is() {
    for turn in 0..GROUNDS.len() {
        let mut rows = GROUNDS;
        rows.rotate_left(turn);
        let card = card(&shop_of("at,stud", &rows), "brake-control");
        let studs = ["feed", "output", "signal"].map(|circuit| stud_of_ground(&card, circuit));
        assert_eq!(studs, [Some("M8"), Some("M10"), Some("M8")], "{rows:?}");
    }
}

/// A ground at the other end of the vehicle is the wrong one, however well it is known.
#[test]
fn no_ground_is_taken_from_the_other_end() {
    let shop = shop_of("at,stud", &["ground,trunk floor,M10"]);
    let brakes = card(&shop, "brake-control");
    assert_eq!((stud_of_ground(&brakes, "feed"), stud_of_ground(&brakes, "output")), (None, Some("M10")));
    let text = text(&shop, "brake-control");
    assert!(text.contains("by a conductor of its own; choose a ground near its source"), "{text}");
    assert!(text.contains("over the stud of the ground, which is not recorded"), "{text}");
}

/// A circuit that cannot be built has nothing to fetch and nothing to measure, and neither has the one that lies behind
/// its breaker; the one behind a fuse of the vehicle is built.
#[test]
fn a_circuit_that_cannot_be_built_withholds_those_behind_it() {
    let shop = Shop::new();
    let line = "jobcard 2016 quillon tarn --job brake-control --set feed-run=100m --set brakes=8";
    let card = shop.run(&format!("{line} --json")).must_be(1).json();
    let waits = ["feed", "output", "signal"]
        .map(|name| named(&card["circuits"], "name", name)["waits_for"].as_str().map(str::to_owned));
    assert_eq!(waits, [None, Some("feed".to_owned()), None]);
    let of = |list: &str| card[list].as_array().expect("a list").clone();
    let cut: Vec<Json> = of("cut").iter().map(|cut| cut["circuits"].clone()).collect();
    assert_eq!(cut, [serde_json::json!(["signal"])]);
    let parts = of("parts");
    assert!(parts.iter().all(|part| part["part"] != "breaker" && part["part"] != "grommet"), "{parts:?}");
    assert!(of("readings").iter().all(|reading| reading["circuit"].is_null()), "{:?}", of("readings"));
    let run = shop.run(line).must_be(1);
    let text = run.stdout().split_whitespace().collect::<Vec<_>>().join(" ");
    for told in [
        "Feed of the control: it cannot be built, so it is in no list",
        "Brake output to the rear: it cannot be built, so it is in no list",
        "It lies behind the feed of the control, which cannot be built.",
    ] {
        assert!(text.contains(told), "{told}: {text}");
    }
}

/// The slot at which the feed of a dash camera begins, on a card with these slots.
fn slot(rows: &[&str]) -> String {
    let card = card(&shop_of("at,slot,rating,hot", rows), "dash-camera");
    let recorded = named(&card["feeds"], "point", "fused-feed")["recorded"].clone();
    let notes = &named(&card["circuits"], "name", "feed")["from_notes"];
    let used = recorded.as_array().expect("places").iter().find(|place| place["notes"] == *notes);
    used.expect("a place")["slot"].as_str().expect("a slot").to_owned()
}

/// The camera wants 1.25 A of a slot that is always hot: neither one that sleeps with the ignition nor one that is too
/// small is taken while another is there.
#[test]
fn a_feed_is_chosen_by_its_hours_and_its_rating() {
    let (sleeps, small, fit) = (
        "fused-feed,cabin fuse box,F1,10 A,ignition",
        "fused-feed,cabin fuse box,F2,1 A,always",
        "fused-feed,cabin fuse box,F3,10 A,always",
    );
    for rows in [[sleeps, small, fit], [fit, sleeps, small], [small, fit, sleeps]] {
        assert_eq!(slot(&rows), "F3", "{rows:?}");
    }
}

/// One slot is told always hot and hot with the ignition: it is flagged, and another one is taken; where there is no
/// other one it is taken, flagged.
#[test]
fn a_slot_that_is_told_live_at_two_times_is_flagged_and_comes_last() {
    let both = ["fused-feed,cabin fuse box,F1,10 A,always", "fused-feed,cabin fuse box,F1,10 A,ignition"];
    let other = "fused-feed,cabin fuse box,F9,10 A,always";
    assert_eq!(slot(&[both[0], both[1], other]), "F9");
    assert_eq!(slot(&[other, both[1], both[0]]), "F9");
    let shop = shop_of("at,slot,rating,hot", &both);
    assert_eq!(slot(&both), "F1");
    let text = text(&shop, "dash-camera");
    let told = "notes say always hot and hot with ignition: meter it in every key position";
    assert!(text.contains(&format!("Fuse box under dash, slot F1: {told}")), "{text}");
    let feeds = card(&shop, "dash-camera")["feeds"].clone();
    let recorded = &named(&feeds, "point", "fused-feed")["recorded"];
    let always = named(recorded, "hot", "always");
    assert_eq!(
        (&always["told_otherwise"], &always["carries"]),
        (&serde_json::json!(["ignition"]), &Json::from(false))
    );
}

/// Four read 10 A at one slot and a fifth 15 A: likely as it is, it is disputed, and one that nobody disputes is taken.
#[test]
fn a_feed_in_doubt_is_chosen_last() {
    let head = "make,model,years,point,at,slot,rating,hot,basis,by,on,seen";
    let mut sheet = format!("{head}\n");
    let hands = ["R. Okafor", "M. Haugli", "S. Lindqvist", "D. Pruett"];
    let seen = ["cab=crew; tow=yes", "cab=crew; tow=no", "cab=regular; tow=yes", "cab=regular; tow=no"];
    for (hand, seen) in hands.iter().zip(seen) {
        let row = format!("10 A,always,metered,{hand},2024-03-11,2016; {seen}");
        sheet.push_str(&format!("Quillon,Tarn,2016,fused-feed,cabin fuse box,F1,{row}\n"));
    }
    for row in [
        "F1,15 A,always,inspected,K. Nilsen,2024-03-12,2016",
        "F2,10 A,always,inspected,K. Nilsen,2024-03-12,2016",
    ] {
        sheet.push_str(&format!("Quillon,Tarn,2016,fused-feed,cabin fuse box,{row}\n"));
    }
    let shop = Shop::with(&[&sheet]);
    let likeliest = named(&card(&shop, "dash-camera")["points"], "point", "fused-feed")["answers"][0].clone();
    assert_eq!(
        (&likeliest["values"]["slot"], &likeliest["grade"]),
        (&Json::from("F1"), &Json::from("disputed"))
    );
    let text = text(&shop, "dash-camera");
    assert!(text.contains("From: fused feed, fuse box under dash, slot F2."), "{text}");
}

/// Every reading waits for a number and every signature for a name and a day.
#[test]
fn there_is_a_line_for_every_reading_and_every_signature() {
    let shop = Shop::new();
    for job in shop.run("jobs --json").must_be(0).json().as_array().expect("a list") {
        let job = job["job"].as_str().expect("a name");
        let card = card(&shop, job);
        let text = run(&shop, job).stdout();
        let lines = |like: &str| text.lines().filter(|line| line.trim_start().starts_with(like)).count();
        assert_eq!(lines("read: ____"), card["readings"].as_array().expect("a list").len(), "{job}: {text}");
        let signed = text.split("\nSIGNED\n").nth(1).expect("the sign-off").split("\nLABOUR\n").next();
        let signed: Vec<&str> = signed.unwrap_or_default().trim().lines().collect();
        assert_eq!(signed.len(), 8, "{job}: {signed:?}");
        for pair in signed.chunks(2) {
            let [what, line] = pair else { panic!("{pair:?}") };
            assert!(!what.contains('_') && what.len() > 10, "{what}");
            let waits = ["name ____", "date ____"].iter().all(|part| line.contains(part));
            assert!(waits, "{line}");
        }
    }
}

/// Times of other vehicles of the model are told as what they are, and the sheet asks for that of this one.
#[test]
fn labour_of_other_vehicles_is_marked() {
    let head = "make,model,years,point,job,minutes,basis,by,on,seen";
    let other = "Quillon,Tarn,2011-2013,labour,radio,50 min,fitted,R. Okafor,2024-03-11,2012";
    let more = "Quillon,Tarn,2009,labour,radio,70 min,fitted,R. Okafor,2024-03-12,2009";
    let job = "Quillon,Tarn,2011-2013,labour,camera,500 min,fitted,R. Okafor,2024-03-11,2012";
    let shop = Shop::with(&[&format!("{head}\n{other}\n{more}\n{job}\n")]);
    let labour = card(&shop, "radio")["labour"].clone();
    let told = [&labour["median"], &labour["low"], &labour["high"], &labour["for_this"]];
    let expected = ["60 min", "50 min", "70 min"].map(Json::from);
    assert_eq!(told[..3], expected.iter().collect::<Vec<_>>());
    assert_eq!(*told[3], false);
    let text = text(&shop, "radio");
    assert!(
        text.contains("LABOUR Not for yours, but for 2009 and 2011-2013: median 60 min of 2 notes"),
        "{text}"
    );
    run(&shop, "radio --note-sheet found.csv").must_be(0);
    assert!(
        shop.read("found.csv").contains("labour,\"no time of this job is recorded"),
        "{}",
        shop.read("found.csv")
    );
}

/// Where a load, a length that nobody measured and a fuse are from stands on the card of every job.
#[test]
fn every_load_and_every_estimate_has_its_source() {
    let shop = Shop::new();
    for job in shop.run("jobs --json").must_be(0).json().as_array().expect("a list") {
        let name = job["job"].as_str().expect("a name");
        let card = card(&shop, name);
        let text = text(&shop, name);
        let figures = text.split("WHERE THE FIGURES ARE FROM ").nth(1).expect("the section");
        for circuit in card["circuits"].as_array().expect("circuits") {
            let current = circuit["asked"]["current_a"].as_f64().expect("a current");
            let current = format!(" {} A", (current * 100.0).round() / 100.0);
            let short =
                format!(" {:.1} A", current.trim().trim_end_matches(" A").parse::<f64>().expect("a number"));
            assert!(figures.contains(&current) || figures.contains(&short), "{name}: {current} in {figures}");
        }
        for parameter in card["parameters"].as_array().expect("parameters") {
            let counts = parameter["value"].as_str().expect("a value").parse::<u32>().is_ok();
            let is_fuse = parameter["name"].as_str().is_some_and(|name| name.ends_with("-fuse"));
            let source = parameter["source"].as_str().expect("a source");
            assert!(counts || is_fuse || figures.contains(source), "{name}: {source} in {figures}");
        }
    }
    let brakes = text(&shop, "brake-control");
    assert!(
        brakes.contains("16.4 A: 4 trailer brakes × 4.1 A (half of the 8.2 A that two brakes"),
        "{brakes}"
    );
    let told = text(&shop, "radio --set amps=15A");
    assert!(told.contains("15 A: current while sending, of its maker, 15 A (as told)"), "{told}");
}

/// The signal goes from the pedal to the rear of the vehicle, along the recorded way where there is one.
#[test]
fn the_signal_of_trailer_lamps_reaches_the_rear() {
    let shop = shop_of("at,length", &["cable-route,left frame rail,5.4 m"]);
    let signal = named(&card(&shop, "trailer-lamps")["circuits"], "name", "signal").clone();
    assert_eq!((&signal["run_is"], &signal["asked"]["run_m"]), (&Json::from("recorded"), &Json::from(5.4)));
    let unknown = named(&card(&Shop::new(), "trailer-lamps")["circuits"], "name", "signal").clone();
    assert_eq!((&unknown["run_is"], &unknown["asked"]["run_m"]), (&Json::from("estimate"), &Json::from(6.0)));
}

/// Who reads about one wire, or cuts the cable, reads there what is in doubt, and not only at the head of the card.
#[test]
fn what_is_in_doubt_is_told_where_it_is_read() {
    let rows = ["left-turn,GN,C212,14,,", "park-lamp,BN,C212,14,,", "cable-route,,,,left frame rail,6 m"];
    let shop = shop_of("colour,connector,cavity,at,length", &rows);
    shop.write("other.csv", "make,model,years,point,at,length,basis,by,on,seen\nQuillon,Tarn,2016,cable-route,left frame rail,8 m,fitted,M. Haugli,2024-04-01,2016\n");
    shop.run("ingest other.csv").must_be(0);
    let told = text(&shop, "trailer-lamps");
    let noted = "cavity 14 of connector C212 is noted for park lamps and left turn. Meter before you cut.";
    assert_eq!(told.matches(noted).count(), 2, "{told}");
    let cut = told.split("CUT LIST").nth(1).expect("a cut list");
    assert!(cut.contains("the length is disputed: measure first"), "{cut}");
}
