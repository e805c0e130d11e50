//! Commands about words: `points`, `read` and `vin`.

use insta::assert_snapshot;

use crate::cast::TARN;
use crate::harness::Shop;

fn check(line: &str, status: i32) -> String {
    Shop::new().run(line).must_be(status).to_string()
}

#[test]
fn the_catalogue() {
    assert_snapshot!(check("points", 0));
}

#[test]
fn one_point() {
    assert_snapshot!(check("points firewall pass", 0), @r"
    $ baybook points firewall pass
    Firewall pass (firewall-pass)
      A place where a cable gets from the engine bay into the cabin.
      A vehicle has several. Told apart by at. Notes must agree on hole and grommet.
      Also called: firewall, bulkhead, bulkhead pass, firewall hole, firewall
        grommet, pass-through, through the firewall, firewall feed-through, bulkhead
        feed-through
      Fields:
        at  where, place
        hole  hole, in mm
        grommet  grommet, one of existing, fit-new, none
        how  how, prose
        avoid  keep away from, prose
        tool  tool, prose
      Prove it: Lamp on one side, eye on the other. After fitting: pull the cable,
        it must not move on the metal; no water through with a hose on it.
      Caution: Look at both sides before drilling: brake booster, pedal box, heater
        and air-conditioning lines, main harness.
      Caution: A drilled edge is deburred, painted and bushed before the cable goes
        in.
    --- status 0
    ");
    assert_snapshot!(check("points firewall-pass --json", 0), @r#"
    $ baybook points firewall-pass --json
    [
      {
        "about": "A place where a cable gets from the engine bay into the cabin.",
        "aliases": [
          "firewall",
          "bulkhead",
          "bulkhead pass",
          "firewall hole",
          "firewall grommet",
          "pass-through",
          "through the firewall",
          "firewall feed-through",
          "bulkhead feed-through"
        ],
        "answers": "several",
        "cautions": [
          "Look at both sides before drilling: brake booster, pedal box, heater and air-conditioning lines, main harness.",
          "A drilled edge is deburred, painted and bushed before the cable goes in."
        ],
        "check": "Lamp on one side, eye on the other. After fitting: pull the cable, it must not move on the metal; no water through with a hose on it.",
        "fields": [
          {
            "name": "at",
            "title": "where",
            "type": "place"
          },
          {
            "name": "hole",
            "title": "hole",
            "type": "quantity",
            "unit": "mm"
          },
          {
            "choices": [
              "existing",
              "fit-new",
              "none"
            ],
            "name": "grommet",
            "title": "grommet",
            "type": "choice"
          },
          {
            "name": "how",
            "title": "how",
            "type": "prose"
          },
          {
            "name": "avoid",
            "title": "keep away from",
            "type": "prose"
          },
          {
            "name": "tool",
            "title": "tool",
            "type": "prose"
          }
        ],
        "identified_by": [
          "at"
        ],
        "may_share": [],
        "must_agree": [
          "hole",
          "grommet"
        ],
        "point": "firewall-pass",
        "title": "firewall pass"
      }
    ]
    --- status 0
    "#);
    assert_snapshot!(check("points firewal-pass", 2), @r"
    $ baybook points firewal-pass
    --- standard error
    error: 'firewal-pass' is no point of the catalogue
    hint: the nearest is 'firewall-pass'; `baybook points` lists them all
    --- status 2
    ");
}

#[test]
fn a_shop_adds_a_point_of_its_own() {
    let shop = Shop::new();
    shop.write("book/points.toml", "version = 1\n\n[point.winch-feed]\ntitle = \"winch feed\"\nabout = \"Where a winch is fed.\"\nanswers = \"several\"\nfields = [\"at\", \"stud\"]\nidentified_by = [\"at\"]\nmust_agree = [\"stud\"]\ncheck = \"Battery voltage at the stud.\"\n");
    assert_snapshot!(shop.run("points winch-feed"), @r"
    $ baybook points winch-feed
    Winch feed (winch-feed)
      Where a winch is fed.
      A vehicle has several. Told apart by at. Notes must agree on stud.
      Fields:
        at  where, place
        stud  stud, thread
      Prove it: Battery voltage at the stud.
    --- status 0
    ");
    shop.write("winch.csv", "make,model,years,point,at,stud,basis,by,on\nQuillon,Tarn,2016,winch feed,left inner fender,M10,fitted,R. Okafor,2024-03-11\n");
    shop.run("ingest winch.csv").must_be(0);
    shop.run("lookup 2016 tarn -p winch-feed").must_be(0);
    shop.run("check").must_be(0);
}

#[test]
fn how_texts_are_read() {
    assert_snapshot!(check("read colour PPL/WHT 'violet w/ white tracer' 'blk & wht' 'red tag'", 0), @r#"
    $ baybook read colour PPL/WHT 'violet w/ white tracer' 'blk & wht' 'red tag'
    PPL/WHT is read as VT/WH: violet with white tracer
    violet w/ white tracer is read as VT/WH: violet with white tracer
    blk & wht is not read: "blk & wht" may be one wire with a tracer, or more than
      one wire; write the one that is meant: BK/WH; BK; WH
      perhaps BK/WH
      perhaps BK
      perhaps WH
    red tag is not read: "tag" is not part of a wire colour; write a colour such as
      VT/WH, light blue or violet with white tracer
    --- status 0
    "#);
    assert_snapshot!(check("read place 'driver side above the hood release cable' 'left blorple'", 0), @r"
    $ baybook read place 'driver side above the hood release cable' 'left blorple'
    driver side above the hood release cable is read as left, above hood release
      cable
    left blorple is read as left blorple
    --- status 0
    ");
    assert_snapshot!(check("read place 'driver side kick panel' --drive rhd", 0), @r"
    $ baybook read place 'driver side kick panel' --drive rhd
    driver side kick panel is read as right kick panel
    --- status 0
    ");
    assert_snapshot!(check("read thread M8 3/8-16 'a bolt'", 0), @r#"
    $ baybook read thread M8 3/8-16 'a bolt'
    M8 is read as M8
    3/8-16 is read as 3/8-16: 3/8 inch, 16 threads per inch
    a bolt is not read: "a" is not part of a thread; write a thread such as M8,
      M8x1.25, 5/16, 3/8-16 or #10-24
    --- status 0
    "#);
    assert_snapshot!(check("read years 15-19 2015+ -2018 2019-2015", 0), @r#"
    $ baybook read years 15-19 2015+ -2018 2019-2015
    15-19 is read as 2015-2019
    2015+ is read as 2015-: 2015 and later
    -2018 is read as -2018: up to 2018
    2019-2015 is not read: "2019-2015" is reversed; write 2015-2019 if that is meant
      perhaps 2015-2019
    --- status 0
    "#);
    assert_snapshot!(check("read mm '1-3/8\"' '35 mm' 35 -35", 0), @r#"
    $ baybook read mm '1-3/8"' '35 mm' 35 -35
    1-3/8" is read as 34.925 mm: 34.9 mm (1-3/8 in)
    35 mm is read as 35 mm
    35 is not read: “35” has no unit; a length is written with its unit, mm, cm, m,
      in or ft
      perhaps 35 mm
      perhaps 35 in
    -35 is not read: “-35” has no unit; a length is written with its unit, mm, cm,
      m, in or ft
    --- status 0
    "#);
    assert_snapshot!(check("read grommet factory nonsense", 0), @r"
    $ baybook read grommet factory nonsense
    factory is read as existing
    nonsense is not read: 'nonsense' is none of existing, fit-new, none
    --- status 0
    ");
}

#[test]
fn a_vehicle_is_read_with_the_names_of_the_book() {
    assert_snapshot!(Shop::with(&[TARN]).run("read vehicle '2016 qillon tarn crew' 'a bus'"), @r"
    $ baybook read vehicle '2016 qillon tarn crew' 'a bus'
    2016 qillon tarn crew is read as Quillon Tarn; 2016; cab=crew: Quillon Tarn;
      2016, crew cab
    a bus is not read: no vehicle of the book is meant by 'a bus'
    --- status 0
    ");
}

#[test]
fn how_two_texts_relate() {
    for (kind, a, b, expected) in [
        ("colour", "violet/white", "VT/WH", "say the same"),
        ("colour", "violet", "violet/white", "agree, and the second says more"),
        ("colour", "violet, no tracer", "violet/white", "cannot both be true"),
        ("colour", "purple?", "violet", "cannot be told apart"),
        ("mm", "1-3/8\"", "35 mm", "say the same"),
        ("thread", "M8", "5/16-18", "cannot both be true"),
        ("min", "1:30", "90 min", "say the same"),
    ] {
        let told = check(&format!("read {kind} '{a}' --against '{b}'"), 0);
        assert!(told.contains(expected), "{told}");
    }
    assert_snapshot!(check("read colour violet --against VT/WH --json", 0), @r#"
    $ baybook read colour violet --against VT/WH --json
    {"a":"violet","b":"VT/WH","finer":"b","relation":"finer"}
    --- status 0
    "#);
}

#[test]
fn as_json_one_object_a_line() {
    assert_snapshot!(check("read colour PPL/WHT 'blk & wht' --json", 0), @r#"
    $ baybook read colour PPL/WHT 'blk & wht' --json
    {"parts":{"base":"VT","base_plain":"violet","shade":null,"tracers":["WH"]},"plain":"violet with white tracer","problem":null,"readings":[],"text":"PPL/WHT","type":"colour","value":"VT/WH"}
    {"message":"\"blk & wht\" may be one wire with a tracer, or more than one wire; write the one that is meant: BK/WH; BK; WH","parts":{},"problem":"ambiguous","readings":["BK/WH","BK","WH"],"text":"blk & wht","type":"colour","value":null}
    --- status 0
    "#);
}

#[test]
fn texts_from_standard_input_one_a_line() {
    let shop = Shop::new();
    assert_snapshot!(shop.run_on("read A -", "30\r\n30 amps\n"), @r"
    $ baybook read A -
    30 is read as 30 A
    30 amps is read as 30 A
    --- status 0
    ");
    shop.run_on("read A -", b"30\n\xFF\n").must_be(2).must_tell("standard input, line 2: not UTF-8");
}

#[test]
fn a_type_that_does_not_exist() {
    assert_snapshot!(check("read color-of-wire red", 2), @r"
    $ baybook read color-of-wire red
    --- standard error
    error: 'color-of-wire' is no type
    hint: a unit, or one of active, at, avoid, carries, cavity, code, colour,
      connector, door, fixing, fuse, grommet, hole, hot, how, idle, job, length,
      minutes, place, prose, rate, rating, resistance, section, shape, signal, slot,
      stud, suits, thread, tool, torque, vehicle, years
    --- status 2
    ");
}

#[test]
fn vehicle_identification_numbers() {
    // 1M8GDM9AXKP042788 is the worked example of Wikibooks, "Vehicle Identification Numbers (VIN codes)/Check digit".
    assert_snapshot!(check("vin 1M8GDM9AXKP042788", 0), @r"
    $ baybook vin 1M8GDM9AXKP042788
    Check digit:             X, right
    Model year:              1989 or 2019; say --light or --heavy, or look at the
      vehicle
    Manufacturer identifier: 1M8
    Kept in a book:          1M8GDM9A_KP______
    --- status 0
    ");
    assert_snapshot!(check("vin 1M8GDM9AXKP042788 --light --json", 0), @r#"
    $ baybook vin 1M8GDM9AXKP042788 --light --json
    {
      "check_digit": {
        "computed": "X",
        "mandatory": true,
        "right": true
      },
      "manufacturer": "1M8",
      "model_years": [
        1989
      ],
      "pattern": "1M8GDM9A_KP______"
    }
    --- status 0
    "#);
    assert_snapshot!(check("vin 1M8GDM9A1KP042788", 2), @r"
    $ baybook vin 1M8GDM9A1KP042788
    --- standard error
    error: the check digit (position 9) should be X: one character at least was read
      wrongly
    hint: read the number again, from the plate and from the papers
    --- status 2
    ");
    assert_snapshot!(check("vin 9ZZDX4CX3L9014623", 0), @r"
    $ baybook vin 9ZZDX4CX3L9014623
    Check digit:             wrong, 2 would be right
    Model year:              1990 or 2020; say --light or --heavy, or look at the
      vehicle
    Manufacturer identifier: 9ZZ
    Kept in a book:          9ZZDX4CX_L9______
    --- standard error
    note: the check digit (position 9) should be 2: one character at least was read
      wrongly, or the number comes from a place where makers use the position as
      they like
    --- status 0
    ");
    assert_snapshot!(check("vin 1M8GDM9AXKP04278O", 2), @r"
    $ baybook vin 1M8GDM9AXKP04278O
    --- standard error
    error: position 17 of this VIN is O: no VIN has an O or a Q, look for a 0
    --- status 2
    ");
    assert_snapshot!(check("vin 1M8", 2), @r"
    $ baybook vin 1M8
    --- standard error
    error: a VIN has 17 characters, and this has 3
    --- status 2
    ");
}
