//! `circuit`: what a person is told of a circuit, and of one that cannot be.

use insta::assert_snapshot;

use crate::harness::Shop;

fn check(line: &str, status: i32) -> String {
    Shop::new().run(line).must_be(status).to_string()
}

/// Everything before the cautions, which are the same everywhere.
fn facts(line: &str, status: i32) -> String {
    let told = check(line, status);
    told.split("Before you start").next().expect("a text").to_owned()
}

#[test]
fn brakes_of_two_axles() {
    assert_snapshot!(check(
        "circuit --load '16.3 A' --run '10 ft' --duty intermittent --protection breaker --insulation 105 \
         --stud M8 --stud '#10-32'",
        0
    ));
}

#[test]
fn a_charge_line_through_the_engine_bay() {
    assert_snapshot!(facts(
        "circuit --load '30 A' --run '6 m' --drop '10 %' --return chassis --engine-space --insulation 105 \
         --beside '2 x 10 AWG' --sources",
        0
    ));
}

#[test]
fn as_json() {
    assert_snapshot!(check("circuit --load '55 W' --run '2 m' --stud 3/8 --json", 0));
}

#[test]
fn a_conductor_that_is_there_is_judged() {
    assert_snapshot!(facts("circuit --load '16 A' --run '6 m' --conductor '4 AWG'", 0));
    assert_snapshot!(facts("circuit --load '16 A' --run '6 m' --conductor '2.5 mm2'", 1));
}

#[test]
fn what_cannot_be_built_is_refused_with_what_would_mend_it() {
    assert_snapshot!(facts("circuit --load '200 A' --run '12 m'", 1));
    assert_snapshot!(facts("circuit --load '25 A' --run '3 m' --conductor '14 AWG' --rating '30 A'", 1));
    assert_snapshot!(facts("circuit --load '10 A' --run '3 m' --ambient 85", 1));
    let json = Shop::new().run("circuit --load '200 A' --run '12 m' --json").must_be(1).json();
    assert_eq!(json["possible"], false);
    let mends = json["conductors"][0]["refused"]["mends"].as_array().expect("mends").clone();
    assert!((1..=3).contains(&mends.len()), "{mends:?}");
    assert_eq!(mends[0][0]["change"], "run_m");
}

/// Units are a way of writing: 19 ft 8-1/4 in are 6.00075 m.
#[test]
fn feet_and_metres_say_the_same() {
    let sizes = |run: &str| {
        let json = Shop::new().run(&format!("circuit --load '9 A' --run '{run}' --json")).must_be(0).json();
        let sizes = json["conductors"].as_array().expect("conductors").iter();
        sizes.map(|one| one["size"].as_str().expect("a size").to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(sizes("6 m"), sizes("600 cm"));
    assert_eq!(sizes("6.0 m"), sizes("236.22 in"));
    assert_eq!(sizes("6.096 m"), sizes("20 ft"));
    assert_eq!(sizes("20 ft"), sizes("240\""));
}

/// The cautions stand below every circuit, possible or not.
#[test]
fn the_cautions_are_always_there() {
    let shop = Shop::new();
    for (line, status) in [("circuit --load 5 --run '2 m'", 0), ("circuit --load 300 --run '20 m'", 1)] {
        let text = shop.run(line).must_be(status).stdout();
        assert!(text.contains("Disconnect the battery"), "{text}");
        let json = shop.run(&format!("{line} --json")).must_be(status).json();
        assert!(json["cautions"].as_array().is_some_and(|cautions| cautions.len() >= 5));
    }
}

#[test]
fn nothing_is_wider_than_the_terminal() {
    let text = Shop::new().run("circuit --load '16 A' --run '6 m' --sources").must_be(0).stdout();
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
}

/// Each with the flag, what was read, and what would be right.
#[test]
fn bad_input() {
    let cases = [
        ("--load 0 --run '6 m'", "--load: a load of 0 A is not believed", "a load from 0.01 A to 500 A"),
        ("--load '-5 A' --run '6 m'", "--load: “-5 A” is negative", ""),
        ("--load '-5 W' --run '6 m'", "--load: a load of -5 W is not believed", "or its power, such as 55 W"),
        ("--load 'inf A' --run '6 m'", "--load: “inf A” is not a number", ""),
        ("--load 'inf W' --run '6 m'", "--load: “inf” is no number of watts", ""),
        ("--load NaN --run '6 m'", "--load: “NaN” is not a number", ""),
        ("--load 1e9 --run '6 m'", "--load:", ""),
        ("--load 900 --run '6 m'", "--load: a load of 900 A is not believed", "from 0.01 A to 500 A"),
        ("--load '12 V' --run '6 m'", "--load: “V” is the unit of a voltage", ""),
        ("--load '10-15 A' --run '6 m'", "--load: “10-15 A” is more than one number", ""),
        ("--load 16 --run 6", "--run: “6” has no unit", "perhaps --run '6 m' or --run '6 ft'"),
        ("--load 16 --run '0 m'", "--run: 0 m is not believed", "it is from 0.05 m to 100 m"),
        ("--load 16 --run '900 m'", "--run: “900 m” is beyond 100 m", ""),
        (
            "--load 16 --run '6 m' --drop '100 %'",
            "--drop: a drop of 100 % leaves the load less than half",
            "3 %",
        ),
        (
            "--load 16 --run '6 m' --drop 0",
            "--drop: a drop of 0 V would take a conductor without resistance",
            "3 %",
        ),
        (
            "--load 16 --run '6 m' --drop 3",
            "--drop: '3' may be volts or per cent of the supply",
            "3 % or 3 V",
        ),
        ("--load 16 --run '6 m' --drop '-3 %'", "--drop: a drop of -3 %", "above 0"),
        (
            "--load 16 --run '6 m' --drop '12 V'",
            "--drop: a drop of 12 V leaves the load less than half",
            "3 %",
        ),
        ("--load 16 --run '6 m' --supply 0", "--supply: 0 V is not believed", "it is from 5 V to 50 V"),
        ("--load 16 --run '6 m' --supply '50 V'", "--supply: 50 V is not below 50 V", "such as 12 V"),
        ("--load 16 --run '6 m' --supply '230 V'", "--supply: 230 V is not believed", ""),
        ("--load 16 --run '6 m' --supply '-12 V'", "--supply: -12 V is not believed", ""),
        (
            "--load 16 --run '6 m' --ambient 900",
            "--ambient: 900 °C is not believed",
            "it is from -60 °C to 200 °C",
        ),
        ("--load 16 --run '6 m' --ambient hot", "--ambient: “hot” is no number of degrees", ""),
        (
            "--load 16 --run '6 m' --insulation 40",
            "--insulation: no conductor for vehicles is rated for 40 °C",
            "60, 75",
        ),
        (
            "--load 16 --run '6 m' --bundled 0",
            "--bundled: 0 is fewer than the 2 of this circuit itself",
            "a count",
        ),
        ("--load 16 --run '6 m' --bundled 101", "--bundled: 101 is not believed", "it is from 1 to 100"),
        ("--load 16 --run '6 m' --bundled many", "--bundled: 'many' is no count", "a count"),
        (
            "--load 16 --run '6 m' --conductor '22 AWG'",
            "--conductor: “22 AWG” is no size that the tables have",
            "",
        ),
        (
            "--load 16 --run '6 m' --conductor '2.7 mm2'",
            "--conductor: “2.7 mm2” is no size that the tables have",
            "",
        ),
        ("--load 16 --run '6 m' --minimum thick", "--minimum:", ""),
        (
            "--load 16 --run '6 m' --rating 17",
            "--rating: there is no fuse of 17 A",
            "the next larger is 20 A",
        ),
        ("--load 16 --run '6 m' --stud 10", "--stud:", "perhaps --stud 'M10' or --stud '#10'"),
        ("--load 16 --run '6 m' --beside '0 x 16 AWG'", "--beside: “0 x 16 AWG” is not between 1 and 60", ""),
        (
            "--load 16 --run '13 m' --return chassis",
            "--return-run: a return of 13 m through the chassis is longer than the vehicle of 12 m",
            "the vehicle's length",
        ),
        (
            "--load 16 --run '6 m' --return chassis --vehicle-length '5.2 m'",
            "--return-run: a return of 6 m through the chassis is longer than the vehicle of 5.2 m",
            "give the length of the return through the metal",
        ),
        ("--load 16 --run '6 m' --vehicle-length '400 mm'", "--vehicle-length: 0.4 m is not believed", ""),
        ("--load 16 --run '6 m' --duty sometimes", "invalid value 'sometimes' for '--duty", "continuous"),
        ("--run '6 m'", "--load", ""),
    ];
    let shop = Shop::new();
    for (flags, told, right) in cases {
        let run = shop.run(&format!("circuit {flags}")).must_be(2).must_tell(told).must_tell(right);
        assert_eq!(run.stdout(), "", "{flags}");
    }
}

/// The return can be shorter than the run, which goes round corners.
#[test]
fn a_return_through_the_metal_is_as_long_as_the_metal() {
    let shop = Shop::new();
    let line = "circuit --load 16 --run '6 m' --return chassis --vehicle-length '5.2 m' --return-run '4.5 m'";
    shop.run(line).must_be(0);
}
