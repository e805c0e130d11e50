//! `jobcard`: one vehicle and one job, what is recorded held against what the job wants, and the note sheet that goes
//! back in.

use insta::assert_snapshot;
use serde_json::Value as Json;

use crate::cast::TARN;
use crate::harness::Shop;

/// What the truck of the cast has beside its wires: a feed, two holes, a way to the rear.
const FITTINGS: &str = "\
make,model,years,only,point,at,stud,rating,hole,grommet,suits,length,avoid,basis,by,on,seen,remark
Quillon,Tarn,2015-2019,,battery-feed,underhood fuse box,M8,60 A,,,,,,metered,R. Okafor,2024-03-11,2016; cab=crew; tow=yes,
Quillon,Tarn,2015-2019,,battery-feed,rear fuse box,M6,15 A,,,,,,metered,M. Haugli,2024-04-02,2016; cab=crew; tow=yes,
Quillon,Tarn,2015-2019,,firewall-pass,left of the brake booster,,,5/8 in,existing,,,,metered,M. Haugli,2024-04-02,2016; cab=crew; tow=yes,
Quillon,Tarn,2015-2019,cab=crew,cable-route,inside the left frame rail,,,,,yes,6.4 m,the exhaust hanger,fitted,R. Okafor,2024-03-11,2016; cab=crew; tow=yes,
Quillon,Tarn,2015-2019,,controller-mount,left of the column,,,,,yes,,,fitted,R. Okafor,2024-03-11,2016; cab=crew; tow=yes,
";

const CREW: &str = "jobcard 2016 quillon tarn crew tow=yes --job brake-control";

fn tarn() -> Shop {
    Shop::with(&[TARN, FITTINGS])
}

/// A shop whose book holds these rows of one vehicle, the 2016 Tarn, after the columns of `columns`.
fn shop_of(columns: &str, rows: &[&str]) -> Shop {
    let mut sheet = format!("make,model,years,point,{columns},basis,by,on,seen\n");
    for row in rows {
        sheet.push_str(&format!("Quillon,Tarn,2016,{row},metered,R. Okafor,2024-03-11,2016\n"));
    }
    Shop::with(&[&sheet])
}

fn card(shop: &Shop, line: &str) -> Json {
    shop.run(&format!("{line} --json")).must_be(0).json()
}

/// The text with its lines joined, however it was broken.
fn joined(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn named<'j>(list: &'j Json, key: &str, name: &str) -> &'j Json {
    let found = list.as_array().expect("a list").iter().find(|one| one[key] == name);
    found.unwrap_or_else(|| panic!("no {name} in {list}"))
}

#[test]
fn a_truck_that_three_hands_know() {
    assert_snapshot!(tarn().run(CREW).must_be(0));
}

#[test]
fn a_vehicle_never_heard_of() {
    assert_snapshot!(tarn().run("jobcard 2027 nonesuch heron --job radio").must_be(0));
}

/// What costs the most time comes first, who signs comes last but for the time that it took.
#[test]
fn the_sections_stand_in_the_order_in_which_they_are_read() {
    let text = tarn().run(CREW).must_be(0).stdout();
    let order = [
        "NOT KNOWN, OR IN DOUBT",
        "BEFORE YOU START",
        "WHAT IS KNOWN",
        "CIRCUITS",
        "WHETHER THE FEED CARRIES IT",
        "THROUGH METAL",
        "HOW THE CABLE RUNS",
        "CUT LIST",
        "PARTS",
        "MEASURE BEFORE CUTTING",
        "MEASURE AFTER CONNECTING",
        "FUNCTION TEST",
        "SIGNED",
        "LABOUR",
    ];
    let mut lines = text.lines();
    for heading in order {
        assert!(lines.any(|line| line == heading), "{heading} is not in its place in\n{text}");
    }
}

/// Every shipped job gives a card, on a vehicle that is known and on one that is not, within 80 columns.
#[test]
fn every_job_has_a_card() {
    let shop = tarn();
    for job in shop.run("jobs --json").must_be(0).json().as_array().expect("a list") {
        for vehicle in ["2016 quillon tarn", "2027 nonesuch heron"] {
            let line = format!("jobcard {vehicle} --job {}", job["job"].as_str().expect("a name"));
            let text = shop.run(&line).must_be(0).stdout();
            assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
            assert!(!text.contains("cannot be built"), "{text}");
        }
    }
}

/// An estimate until a length is recorded, and what the person tells overrules what is recorded.
#[test]
fn where_the_length_of_a_run_is_from() {
    let shop = tarn();
    let output = |line: &str| named(&card(&shop, line)["circuits"], "name", "output").clone();
    let recorded = output(CREW);
    assert_eq!(
        (&recorded["run_is"], &recorded["asked"]["run_m"]),
        (&Json::from("recorded"), &Json::from(6.4))
    );
    assert!(recorded["run_notes"][0].as_str().is_some_and(|id| id.starts_with("n-")), "{recorded}");
    let told = output(&format!("{CREW} --set output-run=5m"));
    assert_eq!((&told["run_is"], &told["asked"]["run_m"]), (&Json::from("told"), &Json::from(5.0)));
    let other = output("jobcard 2016 quillon tarn regular --job brake-control");
    assert_eq!((&other["run_is"], &other["asked"]["run_m"]), (&Json::from("estimate"), &Json::from(6.0)));
    assert_eq!(other["run_notes"], Json::Null);
}

/// Two hands tell one way differently: the longer one counts, so that the cable reaches.
#[test]
fn of_a_disputed_way_the_longest_counts() {
    let row = |length: &str, by: &str| {
        format!("Quillon,Tarn,2016,cable-route,left frame rail,{length},fitted,{by},2024-03-11,2016\n")
    };
    let head = "make,model,years,point,at,length,basis,by,on,seen\n";
    let shop = Shop::with(&[&format!("{head}{}{}", row("5.2 m", "R. Okafor"), row("6.4 m", "M. Haugli"))]);
    let card = card(&shop, "jobcard 2016 quillon tarn --job charge-line");
    assert_eq!(card["circuits"][0]["asked"]["run_m"], 6.4);
    assert_eq!(named(&card["doubts"], "point", "cable-route")["why"], "disputed");
}

/// A note that cannot be true of a return by the chassis does not cost the card: it is shown, and the estimate stays.
#[test]
fn a_recorded_length_that_cannot_be_is_left_aside() {
    let shop = shop_of("at,length", &["cable-route,left frame rail,16 m"]);
    let card = card(&shop, "jobcard 2016 quillon tarn --job charge-line");
    assert_eq!(card["circuits"][0]["run_is"], "estimate");
    assert_eq!(card["routes"][0]["length_m"], 16.0);
    assert_eq!(card["routes"][0]["circuits"], Json::Array(Vec::new()));
}

#[test]
fn a_feed_that_cannot_carry_the_job_is_flagged_with_the_numbers() {
    let shop = tarn();
    let feeds = card(&shop, CREW)["feeds"].clone();
    let recorded = &named(&feeds, "point", "battery-feed")["recorded"];
    let small = named(recorded, "at", "rear fuse box");
    assert_eq!(small["carries"], false);
    assert_eq!(small["objections"][0]["has_a"], 15.0);
    // 16.4 A at 90 %.
    assert_eq!(small["objections"][0]["wants_a"], 18.22);
    let large = named(recorded, "stud", "M8");
    assert_eq!((&large["carries"], &large["rating_a"]), (&Json::from(true), &Json::from(60.0)));
    let text = joined(&shop.run(CREW).must_be(0).stdout());
    assert!(text.contains("will not do: it is rated 15 A, and 18.2 A are wanted"), "{text}");
    // The circuit begins at the one that carries it.
    assert!(text.contains("From: battery feed, fuse box under hood."), "{text}");
}

/// A circuit ends at the line that it is joined to, and one that is joined to none borrows no colour.
#[test]
fn a_connector_is_met_at_the_line_that_the_circuit_is_joined_to() {
    let rows = [
        "tow-connector-rear,seven-blade,battery-feed,black,rear bumper,4",
        "tow-connector-rear,seven-blade,brake-output,blue,rear bumper,2",
    ];
    let shop = shop_of("shape,carries,colour,at,cavity", &rows);
    let text = joined(&shop.run("jobcard 2016 quillon tarn --job brake-control").must_be(0).stdout());
    assert!(text.contains("To: tow connector at the rear, rear bumper, blue (BU), cavity 2."), "{text}");
    let lamps = card(&shop, "jobcard 2016 quillon tarn --job trailer-lamps");
    assert_eq!(named(&lamps["circuits"], "name", "feed")["to_notes"], Json::Null);
}

#[test]
fn a_stud_that_no_ring_goes_over_is_flagged() {
    let shop = shop_of("at,stud,rating", &["battery-feed,battery positive post,M16,60 A"]);
    let text = joined(&shop.run("jobcard 2016 quillon tarn --job radio").must_be(0).stdout());
    assert!(text.contains("will not do: no common ring goes over its M16 stud"), "{text}");
}

/// Which it is hangs on the month of manufacture: the longer way counts, and what to look at is told.
#[test]
fn of_ways_that_depend_the_longest_counts() {
    let head = "make,model,years,only,point,at,length,basis,by,on,seen";
    let early = "Quillon,Tarn,2016,built=..2016-03,cable-route,left frame rail,5.2 m,fitted,R. Okafor,2024-03-11,2016; built=2016-01";
    let late = "Quillon,Tarn,2016,built=2016-04..,cable-route,left frame rail,6.4 m,fitted,R. Okafor,2024-03-12,2016; built=2016-08";
    let shop = Shop::with(&[&format!("{head}\n{early}\n{late}\n")]);
    let card = card(&shop, "jobcard 2016 quillon tarn --job charge-line");
    assert_eq!(card["circuits"][0]["asked"]["run_m"], 6.4);
    let doubt = named(&card["doubts"], "point", "cable-route");
    assert_eq!((&doubt["why"], &doubt["depends_on"][0]), (&Json::from("depends"), &Json::from("built")));
}

#[test]
fn a_feed_that_is_live_at_other_times_is_flagged() {
    let rows = ["fused-feed,cabin fuse box,F12,10 A,ignition", "fused-feed,cabin fuse box,F30,10 A,always"];
    let shop = shop_of("at,slot,rating,hot", &rows);
    let feeds = card(&shop, "jobcard 2016 quillon tarn --job dash-camera")["feeds"].clone();
    let recorded = &named(&feeds, "point", "fused-feed")["recorded"];
    let other = named(recorded, "slot", "F12");
    let objection = serde_json::json!({ "field": "hot", "has": "ignition", "wants": "always" });
    assert_eq!(other["objections"][0], objection);
    assert_eq!(named(recorded, "slot", "F30")["carries"], true);
}

/// A trigger lies behind the fuse of the wire that it taps.
#[test]
fn the_recorded_fuse_of_a_feed_is_that_of_the_circuit_behind_it() {
    let shop = shop_of("colour,rating", &["ignition-feed,green/white,7.5 A"]);
    let line = "jobcard 2016 quillon tarn --job battery-charger";
    let enable = |line: &str| named(&card(&shop, line)["circuits"], "name", "enable").clone();
    let recorded = enable(line);
    assert_eq!(recorded["asked"]["rating_a"], 7.5);
    assert!(recorded["rating_notes"].is_array(), "{recorded}");
    let told = enable(&format!("{line} --set ignition-fuse=10"));
    assert_eq!((&told["asked"]["rating_a"], &told["rating_notes"]), (&Json::from(10.0), &Json::Null));
    let parameter = named(&card(&shop, line)["parameters"], "name", "ignition-fuse").clone();
    assert_eq!(
        (&parameter["value"], &parameter["value_is"]),
        (&Json::from("7.5 A"), &Json::from("recorded"))
    );
}

#[test]
fn a_hole_that_is_too_small_for_the_bundle_is_flagged_and_one_that_is_big_enough_is_told() {
    let shop = tarn();
    let bundle = card(&shop, CREW)["bundles"][0].clone();
    assert_eq!((&bundle["conductors"], &bundle["circuits"][1]), (&Json::from(3), &Json::from("output")));
    assert_eq!(named(&bundle["holes"], "grommet", "existing")["fits"], "no");
    assert_eq!(named(&bundle["holes"], "grommet", "none")["fits"], "yes");
    let text = joined(&shop.run(CREW).must_be(0).stdout());
    assert!(text.contains("the hole of 15.9 mm (5/8 in) is too small"), "{text}");
    assert!(text.contains("the hole of 34.9 mm (1-3/8 in) is big enough"), "{text}");
    // The grommet is for the hole which is used, and takes loom of 12.7 mm inside, which is 16.5 mm outside.
    let grommet = named(&card(&shop, CREW)["parts"], "part", "grommet").clone();
    assert_eq!((&grommet["hole_mm"], &grommet["bore_mm"]), (&Json::from(34.92), &Json::from(16.5)));
}

/// Common practice, no source: what every shop fits for two axles of trailer brakes and for a charge line.
#[test]
fn practice() {
    let shop = tarn();
    let brakes = card(&shop, CREW);
    let rating = |card: &Json| named(&card["parts"], "part", "breaker")["rating_a"].clone();
    assert_eq!(rating(&brakes), 20.0);
    let line = card(&shop, "jobcard 2016 quillon tarn crew --job charge-line");
    assert_eq!(rating(&line), 40.0);
    let of_brakes = ["feed", "output"].map(|name| named(&brakes["circuits"], "name", name));
    for circuit in of_brakes.into_iter().chain([&line["circuits"][0]]) {
        let chosen = named(&circuit["conductors"], "series", "awg");
        assert!(["10 AWG", "12 AWG"].contains(&chosen["size"].as_str().expect("a size")), "{chosen}");
        assert_eq!(chosen["crimp"], "yellow");
    }
    assert!(brakes["bundles"][0]["passage"]["opening"]["hole_mm"].as_f64().expect("a hole") <= 34.925);
    // Over what, how many, and which ring: large ones at both ends of the feed, small ones between.
    let parts = brakes["parts"].as_array().expect("a list").iter();
    let rings: Vec<String> = parts
        .filter(|part| part["part"] == "ring")
        .map(|ring| {
            let over = [&ring["over"]["point"], &ring["over"]["device"]];
            let over = over.iter().find_map(|over| over.as_str()).expect("a place");
            format!("{over}: {} × {}", ring["count"], ring["ring"])
        })
        .collect();
    let large = r#"["5/16","M8"]"#;
    let expected = [
        format!("battery-feed: 1 × {large}"),
        r##"breaker: 2 × ["#10","M5"]"##.to_owned(),
        format!("ground: 1 × {large}"),
        // None is recorded at the rear.
        "ground: 1 × null".to_owned(),
    ];
    assert_eq!(rings, expected);
    let text = joined(&shop.run(CREW).must_be(0).stdout());
    assert!(text.contains("which is not recorded: usually 5/16 to 3/8 or M8 to M10, measure"), "{text}");
}

/// 10 % and 0.15 m at each end: of 3 m out and back 6.6 m and 0.6 m, of 6.4 m out 7.04 m and 0.3 m.
#[test]
fn the_cut_list_adds_slack() {
    let cut = card(&tarn(), CREW)["cut"].clone();
    let length = |circuit: &str| {
        let of = |cut: &&Json| cut["circuits"].as_array().expect("names").contains(&Json::from(circuit));
        let found = cut.as_array().expect("a list").iter().find(of).expect("a cut");
        (found["length_m"].as_f64().expect("metres"), found["estimated"].as_bool().expect("a truth"))
    };
    assert_eq!(length("feed"), (7.2, true));
    assert_eq!(length("output"), (7.4, false));
}

#[test]
fn labour_is_the_median_of_what_it_took_with_its_spread() {
    let labour = card(&tarn(), CREW)["labour"].clone();
    let told = [&labour["median"], &labour["low"], &labour["high"], &labour["notes"]];
    assert_eq!(told, [&Json::from("90 min"), &Json::from("90 min"), &Json::from("120 min"), &Json::from(3)]);
    assert_eq!(card(&tarn(), "jobcard 2016 quillon tarn --job radio")["labour"], Json::Null);
}

/// What the book says may have been typed by anybody.
#[test]
fn hostile_words_are_made_harmless() {
    let head = "make,model,years,point,at,length,avoid,basis,by,on,seen";
    let row = "Quillon,Tarn,2016,cable-route,left frame rail,6 m,\"\u{1b}[31m<b>=1+1\",fitted,R. Okafor,2024-03-11,2016";
    let shop = Shop::with(&[&format!("{head}\n{row}\n")]);
    for line in ["", " --json"] {
        let text =
            shop.run(&format!("jobcard 2016 quillon tarn --job charge-line{line}")).must_be(0).stdout();
        assert!(text.contains("<b>=1+1") && !text.contains('\u{1b}'), "{text}");
    }
}

/// The card tells which words it did not understand, and lists the vehicles between which words do not decide.
#[test]
fn words_are_read_as_for_a_lookup() {
    let shop = tarn();
    shop.run("jobcard 2016 quillon tarn flurb --job radio").must_be(0).must_tell("not understood: 'flurb'");
    shop.write("more.csv", TARN.replace("Quillon", "Dravik"));
    shop.run("ingest more.csv").must_be(0);
    shop.run("jobcard 2016 tarn --job radio").must_be(1).must_tell("Dravik Tarn or Quillon Tarn");
    let new = card(&shop, "jobcard 2016 quillon heron crew --job radio");
    let attributes = serde_json::json!({ "cab": "crew" });
    assert_eq!(
        (&new["vehicle"]["model"], &new["vehicle"]["attributes"]),
        (&Json::from("Heron"), &attributes)
    );
    assert_eq!((&new["vehicle"]["make"], &new["known_model"]), (&Json::from("Quillon"), &Json::from(false)));
}

/// Fills cells of the row of a point in `found.csv`.
fn fill(shop: &Shop, point: &str, cells: &[(&str, &str)]) {
    let mut reader = csv::Reader::from_path(shop.path("found.csv")).expect("the sheet");
    let head = reader.headers().expect("a header").clone();
    let mut writer = csv::Writer::from_path(shop.path("filled.csv")).expect("a sheet");
    writer.write_record(&head).expect("a header");
    for row in reader.records() {
        let row = row.expect("a row");
        let mine = row.get(4) == Some(point);
        let cell = |(name, old): (&str, &str)| {
            let new = cells.iter().find(|(column, _)| mine && *column == name);
            new.map_or(old, |(_, text)| text).to_owned()
        };
        writer.write_record(head.iter().zip(row.iter()).map(cell)).expect("a row");
    }
    writer.flush().expect("written");
    std::fs::rename(shop.path("filled.csv"), shop.path("found.csv")).expect("renamed");
}

/// From the card to a sheet, filled in by hand, and back into the book.
#[test]
fn the_note_sheet_goes_round() {
    let shop = tarn();
    let line = format!("{CREW} --note-sheet found.csv");
    shop.run(&line).must_be(0).must_tell("Note sheet: found.csv,");
    let sheet = shop.read("found.csv");
    assert!(sheet.starts_with("make,model,years,only,point,asked because,"), "{sheet}");
    let began = |point: &str| format!("Quillon,Tarn,2016,cab=crew; tow=yes,{point},");
    let lacking = ["tow-connector-rear", "breaker-mount", "illumination"];
    assert!(lacking.iter().all(|point| sheet.contains(&began(point))), "{sheet}");
    assert!(!sheet.contains(&began("firewall-pass")), "what is proven is not asked for\n{sheet}");
    // Nothing is filled in: nothing goes in, and nothing is wrong.
    shop.run("ingest found.csv").must_be(0).must_tell("rows, of which none is filled in");
    // A second card does not write over what somebody filled in.
    shop.run(&line).must_be(2).must_tell("found.csv is there already, and may hold what somebody wrote");
    let cells = [("colour", "OG/BK"), ("at", "headlamp switch"), ("basis", "metered"), ("by", "K. Nilsen")];
    fill(&shop, "illumination", &cells);
    let loaded = joined(&shop.run("ingest found.csv").must_be(0).stdout());
    assert!(loaded.contains("1 row, 1 new") && loaded.contains("rows not filled in, passed by"), "{loaded}");
    let known = shop.run("lookup 2016 quillon tarn crew tow=yes -p illumination").must_be(0).stdout();
    assert!(joined(&known).contains("Dash illumination: backed Orange with black tracer (OG/BK)"), "{known}");
    let again = joined(&shop.run(CREW).must_be(0).stdout());
    assert!(again.contains("Dash illumination: backed"), "{again}");
}

/// A name and a basis drawn down the whole column say nothing yet; a value without them is told, and nothing is lost.
#[test]
fn a_sheet_that_was_filled_in_carelessly() {
    let shop = tarn();
    shop.run(&format!("{CREW} --note-sheet found.csv")).must_be(0);
    fill(&shop, "illumination", &[("basis", "metered"), ("by", "K. Nilsen")]);
    shop.run("ingest found.csv").must_be(0).must_tell("of which none is filled in");
    fill(&shop, "breaker-mount", &[("at", "battery tray")]);
    let refused = shop.run("ingest found.csv").must_be(2);
    let refused = refused.must_tell("basis: how the writer knows is missing");
    refused.must_tell("by: who wrote it is missing");
    fill(&shop, "breaker-mount", &[("basis", "inspected"), ("by", "K. Nilsen"), ("remark", "tight")]);
    shop.run("ingest found.csv").must_be(0);
    let known = shop.run("lookup 2016 quillon tarn crew tow=yes -p breaker-mount").must_be(0).stdout();
    assert!(known.contains("“tight” (K. Nilsen, 2025-06-01)"), "{known}");
}

/// Only rows that were laid out are passed by: one of an ordinary sheet has to say something.
#[test]
fn an_empty_row_of_an_ordinary_sheet_is_refused_as_before() {
    let head = "make,model,years,point,at,basis,by,on";
    let shop = Shop::new();
    let row = "Quillon,Tarn,2016,ground,,metered,R. Okafor,2024-03-11";
    shop.write("a.csv", format!("{head}\n{row}\n"));
    shop.run("ingest a.csv").must_be(2).must_tell("the note says nothing");
    shop.write("b.csv", format!("{head},asked because\n{row},\n"));
    shop.run("ingest b.csv").must_be(2).must_tell("the note says nothing");
    let laid_out = format!("{head},asked because\nQuillon,Tarn,2016,ground,,,,,blank\n");
    let report = shop.run_on("ingest - --json", laid_out).must_be(0).json();
    assert_eq!(
        (&report["files"][0]["read"], &report["files"][0]["unfilled"]),
        (&Json::from(0), &Json::from(1))
    );
}

/// The sheet of a vehicle that the book has never heard of makes it known.
#[test]
fn a_new_vehicle_becomes_known_by_its_sheet() {
    let shop = Shop::new();
    shop.run("jobcard 2025 nonesuch heron --job radio --note-sheet found.csv").must_be(0);
    let cells = [("at", "left inner fender"), ("stud", "M8"), ("basis", "fitted"), ("by", "K. Nilsen")];
    fill(&shop, "ground", &cells);
    shop.run("ingest found.csv").must_be(0);
    let card = card(&shop, "jobcard 2025 nonesuch heron --job radio");
    assert_eq!(
        (&card["known_model"], &card["points"][0]["point"]),
        (&Json::from(true), &Json::from("ground"))
    );
}

#[test]
fn bad_input() {
    let shop = tarn();
    let cases = [
        ("jobcard 2016 quillon tarn --job spoiler", 2, "'spoiler' is no job"),
        ("jobcard 2016 quillon tarn --job radio --set volts=3", 2, "has no parameter 'volts'"),
        ("jobcard 2016 quillon tarn --job radio --set amps=1000", 2, "1000 A is not believed"),
        (
            "jobcard 2016 quillon tarn --job radio --set feed-run=300m",
            2,
            "beyond 100 m, the most that is believed",
        ),
        (
            "jobcard 2016 quillon tarn --job charge-line --set line-run=13m",
            2,
            "longer than the vehicle of 12 m",
        ),
        ("jobcard nonesuch --job radio", 2, "no model of the book is called 'nonesuch'"),
        ("jobcard quillon --job radio", 2, "which model is it?"),
        ("jobcard 2035 nonesuch heron --job radio", 2, "more than two years from now"),
        ("jobcard 2016 quillon tarn", 2, "--job <JOB>"),
        ("jobcard --job radio", 2, "<VEHICLE>"),
        ("jobcard quillon tarn --job radio --note-sheet x.csv", 2, "a note sheet is of one model year"),
        ("jobcard 2016 quillon tarn --job radio --note-sheet book", 2, "book is a folder"),
        ("jobcard 2016 quillon tarn --job radio --note-sheet no/x.csv", 2, "no/x.csv: there is no folder no"),
    ];
    for (line, status, told) in cases {
        let run = shop.run(line).must_be(status).must_tell(told);
        assert_eq!(run.stdout(), "", "{run}");
    }
}
