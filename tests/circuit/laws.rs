//! What must hold for every circuit: nothing that makes it harder makes the conductor thinner or the drop smaller,
//! units do not matter, and what is said to mend a circuit does.

use baybook::circuit::Kind;
use baybook::circuit::ampacity::Insulation;
use baybook::circuit::choice::{choose, judge};
use baybook::circuit::conductor::{Conductor, Series};
use baybook::circuit::mend::{Mend, mends};
use baybook::circuit::path::{Path, Return};
use baybook::circuit::protection::Duty;
use baybook::circuit::request::{Allowed, Asked, Load, Request};
use baybook::circuit::trial::{IN_TIME, Trial};
use baybook::circuit::units::{Amps, Celsius, Metres, Share, Volts};
use baybook::circuit::written;
use proptest::prelude::*;

use crate::shop::{asked, surroundings};

/// Circuits of every kind, most of which can be built.
fn any_circuit() -> impl Strategy<Value = Asked> {
    let electrics = (0.05..200.0_f64, prop_oneof![Just(12.0), Just(24.0), 6.0..48.0_f64], 0.5..20.0_f64);
    let ways = (0.2..30.0_f64, 0.2..12.0_f64, any::<bool>());
    let places = (0_usize..7, -20.0..90.0_f64, any::<bool>(), 1..30_u32);
    let kinds = (any::<bool>(), any::<bool>());
    (electrics, ways, places, kinds).prop_map(|(electrics, ways, places, kinds)| {
        let (load, supply, drop) = electrics;
        let (out, back, own) = ways;
        let (column, ambient, engine_space, bundled) = places;
        let insulation = Insulation::columns().nth(column).and_then(Insulation::rated).expect("a column");
        let by = if own { Return::Own } else { Return::Chassis };
        Asked {
            load: Load::Current(Amps(load)),
            supply: Volts(supply),
            allowed: Allowed::Part(Share(drop / 100.0)),
            duty: if kinds.0 { Duty::Continuous } else { Duty::Intermittent },
            path: Path { out: Metres(out), back: Metres(back), by },
            surroundings: baybook::circuit::ampacity::Surroundings {
                insulation,
                ambient: Celsius(ambient),
                engine_space,
                bundled,
            },
            kind: if kinds.1 { Kind::Fuse } else { Kind::Breaker },
            ..asked()
        }
    })
}

fn any_series() -> impl Strategy<Value = Series> {
    prop::sample::select(Series::ALL.to_vec())
}

/// One way of making a circuit harder.
#[derive(Debug, Clone, Copy)]
enum Harder {
    Load(f64),
    Run(f64),
    Return(f64),
    Hotter(f64),
    Tighter(u32),
    EngineSpace,
    LessDrop(f64),
}

fn any_harder() -> impl Strategy<Value = Harder> {
    prop_oneof![
        (1.0..2.0_f64).prop_map(Harder::Load),
        (1.0..2.0_f64).prop_map(Harder::Run),
        (1.0..2.0_f64).prop_map(Harder::Return),
        (0.0..40.0_f64).prop_map(Harder::Hotter),
        (0..30_u32).prop_map(Harder::Tighter),
        Just(Harder::EngineSpace),
        (0.3..1.0_f64).prop_map(Harder::LessDrop),
    ]
}

impl Harder {
    fn on(self, mut asked: Asked) -> Asked {
        match self {
            Self::Load(times) => {
                if let Load::Current(amps) = asked.load {
                    asked.load = Load::Current(amps * times);
                }
            }
            Self::Run(times) => asked.path.out = asked.path.out * times,
            Self::Return(times) => asked.path.back = asked.path.back * times,
            Self::Hotter(degrees) => asked.surroundings.ambient.0 += degrees,
            Self::Tighter(more) => asked.surroundings.bundled += more,
            Self::EngineSpace => asked.surroundings.engine_space = true,
            Self::LessDrop(times) => {
                if let Allowed::Part(share) = asked.allowed {
                    asked.allowed = Allowed::Part(Share(share.0 * times));
                }
            }
        }
        // A chassis of any length: that it ends somewhere is tested with the bad input.
        asked.vehicle = Metres(30.0);
        asked
    }

    /// Whether the drop in one conductor depends on it; how much may be lost changes nothing in what is.
    fn is_felt_by_the_drop(self) -> bool {
        !matches!(self, Self::LessDrop(_))
    }
}

fn checked(asked: Asked) -> Request {
    asked.checked().expect("a circuit that makes sense")
}

/// The area that was chosen; endless where nothing is thick enough.
fn chosen(request: &Request, series: Series) -> f64 {
    choose(request, series).map_or(f64::INFINITY, |choice| choice.trial.conductor.area().0)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn what_is_harder_never_takes_a_thinner_conductor(
        easy in any_circuit(), harder in any_harder(), series in any_series()
    ) {
        let hard = harder.on(easy);
        let (before, after) = (chosen(&checked(easy), series), chosen(&checked(hard), series));
        prop_assert!(after >= before, "{harder:?}: {before} mm² before, {after} mm² after");
    }

    #[test]
    fn what_is_harder_never_has_a_smaller_drop_in_the_same_conductor(
        easy in any_circuit(), harder in any_harder(), series in any_series(), at in 0_usize..13
    ) {
        prop_assume!(harder.is_felt_by_the_drop());
        let conductor = series.sizes().nth(at).expect("a size");
        let drop = |asked| Trial::of(&checked(asked), conductor).drop();
        let (before, after) = (drop(easy), drop(harder.on(easy)));
        prop_assert!(after.0 >= before.0 * (1.0 - 1e-12), "{harder:?}: {before:?} before, {after:?} after");
    }

    /// What is chosen keeps every rule, and the next thinner size breaks one; the rule that decided allows no less.
    #[test]
    fn the_choice_is_the_smallest(asked in any_circuit(), series in any_series()) {
        let request = checked(asked);
        let Ok(choice) = choose(&request, series) else { return Ok(()) };
        let conductor = choice.trial.conductor;
        prop_assert!(choice.trial.broken().is_empty());
        for thinner in series.sizes().filter(|size| size.is_thinner_than(conductor)) {
            prop_assert!(!Trial::of(&request, thinner).broken().is_empty(), "{thinner} would do");
        }
        let decides = choice.allows.iter().find(|(rule, _)| *rule == choice.decides).expect("the rule").1;
        prop_assert_eq!(decides, conductor);
        prop_assert!(choice.allows.iter().all(|(_, allowed)| !conductor.is_thinner_than(*allowed)));
        prop_assert_eq!(judge(&request, conductor).map(|judged| judged.trial), Ok(choice.trial));
    }

    /// The figures of one conductor agree among themselves.
    #[test]
    fn the_figures_agree(asked in any_circuit(), series in any_series()) {
        let request = checked(asked);
        let Ok(choice) = choose(&request, series) else { return Ok(()) };
        let trial = choice.trial;
        prop_assert!(trial.drop() <= request.allowed);
        prop_assert!((trial.left().0 + trial.drop().0 - request.supply.0).abs() < 1e-9);
        prop_assert!((trial.loss().0 - trial.drop().0 * request.current.0).abs() < 1e-9);
        prop_assert!(trial.temperature <= request.surroundings.insulation.column());
        let device = trial.device.expect("a device").rating();
        prop_assert!(request.current <= trial.ampacity && device <= trial.ampacity);
        prop_assert!(request.current.0 <= device.0 * 0.9 + 1e-9);
        prop_assert!(trial.let_through().expect("it opens") <= trial.withstand);
        prop_assert!(trial.opens.expect("it opens") <= IN_TIME && trial.opens <= Some(trial.survives()));
    }

    /// Every way that is offered is enough.
    #[test]
    fn what_is_said_to_mend_does(asked in any_circuit(), series in any_series(), at in 0_usize..13) {
        let request = checked(asked);
        let fixed = series.sizes().nth(at).expect("a size");
        if let Err(refusal) = choose(&request, series) {
            for way in mends(&request, series, None, &refusal) {
                let (request, _) = mended(request, None, &way);
                prop_assert!(choose(&request, series).is_ok(), "{way:?}");
            }
        }
        if let Err(refusal) = judge(&request, fixed) {
            let offered = mends(&request, series, Some(fixed), &refusal);
            prop_assert!(offered.len() <= 3);
            for way in offered {
                let (request, fixed) = mended(request, Some(fixed), &way);
                prop_assert!(judge(&request, fixed.expect("a conductor")).is_ok(), "{way:?}");
            }
        }
    }

    /// An inch is 25.4 mm, whichever way a run is written.
    #[test]
    fn inches_are_as_good_as_metres(inches in 10..1100_u32, gauge in prop::bool::ANY) {
        let by = |text: String| {
            let length = written::length(&text).expect("a length");
            let mut asked = asked();
            asked.path = Path { out: length, back: length, by: Return::Own };
            let series = if gauge { Series::Awg } else { Series::Metric };
            choose(&checked(asked), series).map(|choice| (choice.trial.conductor, choice.decides))
        };
        let metric = by(format!("{} m", f64::from(inches) * 0.0254));
        prop_assert_eq!(by(format!("{inches} in")).ok(), metric.as_ref().ok().copied());
        prop_assert_eq!(by(format!("{} ft {} in", inches / 12, inches % 12)).ok(), metric.ok());
    }
}

fn mended(request: Request, fixed: Option<Conductor>, way: &[Mend]) -> (Request, Option<Conductor>) {
    way.iter().fold((request, fixed), |(request, fixed), change| change.on(request, fixed))
}

/// Watts at a voltage are the amperes that they come to.
#[test]
fn watts_are_as_good_as_amperes() {
    let by = |load| checked(Asked { load, surroundings: surroundings(80.0, 30.0), ..asked() });
    assert_eq!(by(Load::Power(baybook::circuit::units::Watts(60.0))), by(Load::Current(Amps(5.0))));
}
