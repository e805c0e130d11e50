//! Common practice, no source: circuits as every shop builds them come out as every shop builds them. A check of the
//! whole, not of a digit. The currents of trailer brakes are those of a general article; no standard gives them.

use baybook::circuit::Kind;
use baybook::circuit::choice::{Choice, choose};
use baybook::circuit::conductor::{Conductor, Series};
use baybook::circuit::passage::passage;
use baybook::circuit::path::{Path, Return};
use baybook::circuit::protection::Duty;
use baybook::circuit::request::{Allowed, Asked, Load};
use baybook::circuit::terminal::{Crimp, crimp, ring};
use baybook::circuit::units::{Amps, Millimetres, Share};
use baybook::value::thread::Thread;

use crate::reference::table;
use crate::shop::{awg, path, request};

fn breaker(change: impl Fn(&mut Asked)) -> Choice {
    let request = request(|asked| {
        asked.kind = Kind::Breaker;
        change(asked);
    });
    choose(&request, Series::Awg).expect("a circuit that can be built")
}

/// Battery to the dash of a pickup and to the brakes: what the controller feed carries at most.
fn brakes(current: f64) -> Choice {
    breaker(|asked| {
        asked.load = Load::Current(Amps(current));
        asked.duty = Duty::Intermittent;
        asked.path = path(3.0);
    })
}

/// From the battery to the rear of a pickup, back by its frame, at 10 %: what a charge line may lose.
fn charge_line() -> Choice {
    breaker(|asked| {
        asked.load = Load::Current(Amps(30.0));
        asked.allowed = Allowed::Part(Share(0.1));
        asked.path = Path { by: Return::Chassis, ..path(6.0) };
    })
}

fn is_ten_or_twelve(conductor: Conductor) -> bool {
    [awg("10"), awg("12")].contains(&conductor)
}

#[test]
fn two_axles_of_brakes_take_a_20_ampere_breaker() {
    let expected = [(2, 10.0), (4, 20.0), (6, 30.0), (8, 40.0)];
    for row in table("electric_trailer_brake.csv").iter().filter(|row| row.text("drum_in") == "10-12") {
        let count = row.number("brakes") as i32;
        let rating = brakes(row.number("amps_max")).trial.device.expect("a breaker").rating();
        let wanted = expected.iter().find(|(brakes, _)| *brakes == count).expect("a count").1;
        assert_eq!(rating, Amps(wanted), "{count} brakes");
    }
    let two_axles = brakes(16.3);
    assert!(is_ten_or_twelve(two_axles.trial.conductor), "{}", two_axles.trial.conductor);
    assert_eq!(crimp(two_axles.trial.conductor), Crimp::Insulated("yellow"));
}

/// Smaller drums draw less: the article's rows for 7 in never ask for more than those for 10 to 12 in.
#[test]
fn smaller_brakes_never_take_a_larger_breaker() {
    let rows = table("electric_trailer_brake.csv");
    let rating = |drum: &str, count: &str| {
        let row = rows.iter().find(|row| row.text("drum_in") == drum && row.text("brakes") == count);
        brakes(row.expect("a row").number("amps_max")).trial.device.expect("a breaker").rating()
    };
    for count in ["2", "4", "6", "8"] {
        assert!(rating("7", count) <= rating("10-12", count), "{count}");
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
    let four = [brakes(16.3), charge_line()].map(|choice| choice.trial.conductor.outside());
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
