//! Common practice, no source: circuits as every shop builds them come out as every shop builds them. A check of the
//! whole, not of a digit. The currents of trailer brakes are those of a general article; no standard gives them.

use baybook::catalogue::Catalogue;
use baybook::circuit::Kind;
use baybook::circuit::choice::Choice;
use baybook::circuit::conductor::{Conductor, Series};
use baybook::circuit::passage::passage;
use baybook::circuit::terminal::{Crimp, crimp, ring};
use baybook::circuit::units::{Amps, Millimetres};
use baybook::job::Jobs;
use baybook::value::thread::Thread;

use crate::reference::{Row, assert_near, table};
use crate::shop::awg;

/// A circuit of a built-in job, with its parameters set.
fn built(job: &str, circuit: &str, set: &[(&str, &str)]) -> Choice {
    let catalogue = Catalogue::load(None).expect("the built-in catalogue");
    let jobs = Jobs::load(&catalogue, None).expect("the built-in jobs");
    let job = jobs.by_words(job).expect("the job");
    let mut settings = job.defaults();
    for (name, value) in set {
        job.set(&mut settings, name, value).expect("a parameter");
    }
    let worked = job.work(&settings).expect("circuits that make sense");
    let found = worked.iter().find(|worked| worked.circuit.name == circuit).expect("the circuit");
    found.answer.of(Series::Awg).expect("a circuit that can be built").clone()
}

/// The feed of a brake control for so many brakes.
fn brakes(count: u32) -> Choice {
    built("brake-control", "feed", &[("brakes", &count.to_string())])
}

fn charge_line() -> Choice {
    built("charge-line", "line", &[])
}

fn is_ten_or_twelve(conductor: Conductor) -> bool {
    [awg("10"), awg("12")].contains(&conductor)
}

/// The article gives the most that 2, 4 and 6 brakes draw; the figure for 8 is proportional to them.
#[test]
fn brakes_draw_what_the_article_says_and_take_the_next_breaker() {
    let expected = [(2, 10.0), (4, 20.0), (6, 30.0), (8, 40.0)];
    let rows = table("electric_trailer_brake.csv");
    for (count, rating) in expected {
        let large = |row: &&Row| row.text("drum_in") == "10-12" && row.number("brakes") == f64::from(count);
        let feed = brakes(count).trial;
        let drawn = rows.iter().find(large).expect("a row").number("amps_max");
        assert_near(feed.request().current.0, drawn, 0.01, "brakes of 10 to 12 in");
        assert_eq!(feed.device.expect("a breaker").rating(), Amps(rating), "{count} brakes");
        let small = rows.iter().filter(|row| row.text("brakes") == count.to_string());
        for row in small.filter(|row| row.text("drum_in") == "7") {
            assert!(row.number("amps_max") < drawn, "smaller brakes draw less: the job is on the safe side");
        }
    }
}

#[test]
fn two_axles_of_brakes_take_a_20_ampere_breaker() {
    for circuit in ["feed", "output"] {
        let two_axles = built("brake-control", circuit, &[]).trial;
        assert_eq!(two_axles.device.expect("a breaker").rating(), Amps(20.0));
        assert_eq!(two_axles.device.expect("a breaker").kind(), Kind::Breaker);
        assert!(is_ten_or_twelve(two_axles.conductor), "{circuit}: {}", two_axles.conductor);
        assert_eq!(crimp(two_axles.conductor), Crimp::Insulated("yellow"));
    }
}

#[test]
fn a_40_ampere_breaker_protects_a_charge_line() {
    let line = charge_line();
    assert_eq!(line.trial.device.expect("a breaker").rating(), Amps(40.0));
    assert!(is_ten_or_twelve(line.trial.conductor), "{}", line.trial.conductor);
    assert_eq!(crimp(line.trial.conductor), Crimp::Insulated("yellow"));
}

/// The four conductors of both runs in their loom.
#[test]
fn both_runs_pass_a_35_millimetre_hole() {
    let four = [brakes(4), charge_line()].map(|choice| choice.trial.conductor.outside());
    let found = passage(&[four[0], four[0], four[1], four[1]]);
    let opening = found.opening.expect("a grommet");
    assert!(opening.hole <= Millimetres(34.925), "{opening:?}");
}

#[test]
fn small_rings_on_breaker_studs_and_large_ones_on_battery_and_ground_studs() {
    let over = |stud: &str| ring(Thread::parse(stud).expect("a thread").diameter()).expect("a ring");
    assert_eq!(over("#10-32"), ["#10", "M5"]);
    assert_eq!(over("M8"), ["5/16", "M8"]);
    assert_eq!(over("3/8-16"), ["3/8", "M10"]);
}
