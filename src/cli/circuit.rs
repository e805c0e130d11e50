//! `circuit`: from load and run to conductor, protection, joints and hole. The arguments become one checked request
//! here; everything else is worked out in `circuit`.

use super::console::{Console, Failure, Status};
use crate::circuit::Kind;
use crate::circuit::ampacity::{ENGINE_SPACE, Insulation, Surroundings};
use crate::circuit::answer::answer;
use crate::circuit::path::{Path, Return};
use crate::circuit::protection::{Device, Duty};
use crate::circuit::request::{
    Asked, Input, LONGEST_VEHICLE, Load, Request, USUAL_AMBIENT, USUAL_DROP, USUAL_INSULATION, USUAL_SUPPLY,
    Unfit,
};
use crate::circuit::units::{Amps, Celsius, Millimetres, Ohms};
use crate::circuit::written::{self, Beside};
use crate::show::circuit as view;
use crate::show::wired;
use crate::value::Misread;
use crate::value::thread::Thread;

/// Conductor, drop, protection, joints and hole for one circuit
///
/// `baybook circuit --load '16 A' --run '6 m'`. Quantities are written as on a tape or a label: `16 A`, `55 W`, `6 m`,
/// `19 ft 8 in`, `0.4 V`, `3 %`, `12 AWG`, `4 mm2`. With --conductor that conductor is judged. Status 1 where the
/// circuit cannot be built.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// What the load draws: `16 A`, or its power at the supply voltage: `55 W`
    #[arg(long, value_name = "AMPERES", allow_hyphen_values = true)]
    load: String,
    /// One way, from the source to the load: `6 m`, `19 ft 8 in`
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    run: String,
    /// The voltage at the source [default: 12 V]
    #[arg(long, value_name = "VOLTS", allow_hyphen_values = true)]
    supply: Option<String>,
    /// What may be lost out and back: `3 %` for what must work well, `10 %` for the rest, `0.4 V` [default: 3 %]
    #[arg(long, value_name = "DROP", allow_hyphen_values = true)]
    drop: Option<String>,
    /// How long the load runs
    #[arg(long, value_enum, default_value_t = DutyWord::Continuous)]
    duty: DutyWord,
    /// How the current comes back
    #[arg(long, value_enum, default_value_t = ReturnWord::Own)]
    r#return: ReturnWord,
    /// The way back, where it is not as long as the run
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    return_run: Option<String>,
    /// How long the vehicle is: no chassis returns further [default: 12 m, the longest of a motor vehicle]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    vehicle_length: Option<String>,
    /// What the insulation is rated for, °C [default: 80, as general-purpose cable]
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    insulation: Option<String>,
    /// How warm it is around the conductor, °C; `104 F` is Fahrenheit [default: 30, in the engine space 50]
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    ambient: Option<String>,
    /// Some of it lies beside the engine
    #[arg(long)]
    engine_space: bool,
    /// Conductors that carry current in one bundle, these counted [default: these and those of --beside]
    #[arg(long, value_name = "COUNT", allow_hyphen_values = true)]
    bundled: Option<String>,
    /// What else passes the same hole: `16 AWG`, `3 x 2.5 mm2`, or a cable by its outside, `7 mm`; can be repeated
    #[arg(long, value_name = "CONDUCTOR", allow_hyphen_values = true)]
    beside: Vec<String>,
    /// Judge this conductor: `12 AWG`, `12 SAE`, `4 mm2`
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    conductor: Option<String>,
    /// No thinner than this, as a standard or an instruction has it
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    minimum: Option<String>,
    /// What protects it
    #[arg(long, value_enum, default_value_t = KindWord::Fuse)]
    protection: KindWord,
    /// The rating of a fuse or breaker that is there already
    #[arg(long, value_name = "AMPERES", allow_hyphen_values = true)]
    rating: Option<String>,
    /// A stud that it is bolted to: `M8`, `3/8`, `#10-32`; can be repeated
    #[arg(long, value_name = "THREAD", allow_hyphen_values = true)]
    stud: Vec<String>,
    /// Tell where the figures come from
    #[arg(long)]
    sources: bool,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum DutyWord {
    /// Minutes at a time or longer: the device is loaded to 80 % at most
    Continuous,
    /// In bursts, as brakes and horns: to 90 %
    Intermittent,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum ReturnWord {
    /// By a conductor of the same size
    Own,
    /// By the body or frame
    Chassis,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum KindWord {
    /// A fuse
    Fuse,
    /// A circuit breaker
    Breaker,
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let studs =
        args.stud.iter().map(|text| read("stud", text, Thread::parse)).collect::<Result<Vec<_>, _>>()?;
    let beside = args.beside.iter().map(|text| read("beside", text, written::beside));
    let beside: Vec<Beside> = beside.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect();
    let request = request(args, &beside)?;
    let fixed = optional("conductor", &args.conductor, written::conductor)?;
    let outsides: Vec<Millimetres> = beside.iter().map(|one| one.outside).collect();
    let found = answer(request, fixed, outsides);
    let assumed = assumed(args, &request);
    let cautions = console.language()?.catalogue.cautions;
    let sheet = view::Sheet {
        answer: &found,
        studs: &studs,
        assumed: &assumed,
        sources: args.sources,
        cautions: &cautions,
    };
    if console.json {
        console.print_json(&view::to_json(&sheet))?;
    } else {
        let mut page = console.page();
        view::sheet(&mut page, &sheet);
        console.print(page)?;
    }
    Ok(if found.main().is_some() { Status::Done } else { Status::Nothing })
}

/// Reads the text of a flag; what it cannot be is told with the flag, and with what it may have meant.
fn read<T>(flag: &str, text: &str, reader: impl Fn(&str) -> Result<T, Misread>) -> Result<T, Failure> {
    reader(text).map_err(|misread| {
        let message = format!("--{flag}: {}", misread.message);
        match misread.readings.as_slice() {
            [] => Failure::misuse(message),
            readings => {
                let offered: Vec<String> = readings.iter().map(|it| format!("--{flag} '{it}'")).collect();
                Failure::hinted(message, format!("perhaps {}", offered.join(" or ")))
            }
        }
    })
}

/// As `read`, for a flag that need not be given.
fn optional<T>(
    flag: &str,
    text: &Option<String>,
    reader: impl Fn(&str) -> Result<T, Misread>,
) -> Result<Option<T>, Failure> {
    text.as_deref().map(|text| read(flag, text, reader)).transpose()
}

fn request(args: &Args, beside: &[Beside]) -> Result<Request, Failure> {
    let path = path(args)?;
    let vehicle = optional("vehicle-length", &args.vehicle_length, written::length)?;
    let asked = Asked {
        load: read("load", &args.load, written::load)?,
        supply: optional("supply", &args.supply, written::voltage)?.unwrap_or(USUAL_SUPPLY),
        allowed: optional("drop", &args.drop, written::allowed)?.unwrap_or(USUAL_DROP),
        duty: match args.duty {
            DutyWord::Continuous => Duty::Continuous,
            DutyWord::Intermittent => Duty::Intermittent,
        },
        path,
        upstream: Ohms(0.0),
        vehicle: vehicle.unwrap_or(LONGEST_VEHICLE),
        surroundings: surroundings(args, path, beside)?,
        kind: kind(args),
        rating: rating(args)?,
        minimum: optional("minimum", &args.minimum, written::conductor)?,
    };
    asked.checked().map_err(|unfit| told(&unfit))
}

fn told(unfit: &Unfit) -> Failure {
    let flag = match unfit.input {
        Input::Load => "load",
        Input::Supply => "supply",
        Input::Drop => "drop",
        Input::Run => "run",
        Input::ReturnRun => "return-run",
        Input::Vehicle => "vehicle-length",
        Input::Ambient => "ambient",
        Input::Bundled => "bundled",
    };
    Failure::hinted(format!("--{flag}: {}", unfit.message), unfit.right.clone())
}

fn path(args: &Args) -> Result<Path, Failure> {
    let out = read("run", &args.run, written::length)?;
    let back = optional("return-run", &args.return_run, written::length)?;
    let by = match args.r#return {
        ReturnWord::Own => Return::Own,
        ReturnWord::Chassis => Return::Chassis,
    };
    Ok(Path { out, back: back.unwrap_or(out), by })
}

fn surroundings(args: &Args, path: Path, beside: &[Beside]) -> Result<Surroundings, Failure> {
    let rated = optional("insulation", &args.insulation, written::temperature)?.unwrap_or(USUAL_INSULATION);
    let usable = rated >= Celsius(0.0) && rated <= Celsius(250.0);
    let insulation = Insulation::rated(rated).filter(|_| usable).ok_or_else(|| {
        let columns: Vec<String> = Insulation::columns().map(|column| column.0.to_string()).collect();
        Failure::hinted(
            format!("--insulation: no conductor for vehicles is rated for {} °C", rated.0),
            format!("the table has {} °C; a rating between two uses the lower", columns.join(", ")),
        )
    })?;
    let usual = if args.engine_space { ENGINE_SPACE } else { USUAL_AMBIENT };
    let ambient = optional("ambient", &args.ambient, written::temperature)?;
    Ok(Surroundings {
        insulation,
        ambient: ambient.unwrap_or(usual),
        engine_space: args.engine_space,
        bundled: bundled(args, path, beside)?,
    })
}

fn bundled(args: &Args, path: Path, beside: &[Beside]) -> Result<u32, Failure> {
    let own = path.conductors();
    let Some(text) = &args.bundled else {
        let others = beside.iter().filter(|one| one.carries).count();
        return Ok(own + u32::try_from(others).unwrap_or(u32::MAX));
    };
    let right = || format!("a count from {own}, the conductors of this circuit itself, to 100");
    match text.trim().parse::<u32>() {
        Ok(count) if count >= own => Ok(count),
        Ok(count) => Err(Failure::hinted(
            format!("--bundled: {count} is fewer than the {own} of this circuit itself"),
            right(),
        )),
        Err(_) => Err(Failure::hinted(format!("--bundled: '{text}' is no count of conductors"), right())),
    }
}

fn kind(args: &Args) -> Kind {
    match args.protection {
        KindWord::Fuse => Kind::Fuse,
        KindWord::Breaker => Kind::Breaker,
    }
}

fn rating(args: &Args) -> Result<Option<Amps>, Failure> {
    let Some(text) = &args.rating else { return Ok(None) };
    let rating = read("rating", text, written::current)?;
    if Device::rated(kind(args), rating).is_some() {
        return Ok(Some(rating));
    }
    let word = kind(args).word();
    let hint = match Device::least(kind(args), rating) {
        Some(next) => format!("the next larger is {} A", next.rating().0),
        None => format!("the largest is {} A", Device::largest(kind(args)).0),
    };
    Err(Failure::hinted(format!("--rating: there is no {word} of {} A", rating.0), hint))
}

/// What the answer rests on without having been told.
fn assumed(args: &Args, request: &Request) -> Vec<String> {
    let place = &request.surroundings;
    let engine = if args.engine_space { ", which engine bays exceed near the engine" } else { "" };
    let column = place.insulation.column();
    let watts = matches!(written::load(&args.load), Ok(Load::Power(_)));
    [
        (args.supply.is_none(), format!("{} V", request.supply.0)),
        (args.drop.is_none(), "a drop of 3 %".to_owned()),
        (args.ambient.is_none(), format!("{} °C around it{engine}", place.ambient().0)),
        (args.insulation.is_none(), format!("insulation for {} °C", column.0)),
        (place.insulation.rating() > column, format!("the column of {} °C for this insulation", column.0)),
        (request.path.by == Return::Chassis, format!("{}: measure the ground under load", wired::chassis())),
        (
            watts,
            "the watts at the supply voltage; what holds its power draws more as the voltage falls"
                .to_owned(),
        ),
    ]
    .into_iter()
    .filter_map(|(holds, said)| holds.then_some(said))
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flag_is_named_with_what_it_may_mean() {
        let failure = read("run", "6", written::length).expect_err("a bare length");
        let Failure::Misuse { message, hint } = failure else { panic!("{failure:?}") };
        assert!(message.starts_with("--run: “6” has no unit"), "{message}");
        assert_eq!(hint.as_deref(), Some("perhaps --run '6 m' or --run '6 ft'"));
    }
}
