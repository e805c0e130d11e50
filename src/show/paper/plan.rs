//! What the drawing of a job card shows: the circuits of the card, described as `drawing` wants them.
//!
//! Short words for each symbol; the whole of it, with its notes, stands in the sections beside the drawing.

use crate::card::{Card, Circuit, End, Used};
use crate::circuit::choice::Choice;
use crate::circuit::path::Return;
use crate::job::{Guard, JobCircuit, Known};
use crate::judge::grade::Grade;
use crate::show::circuit::words;
use crate::show::drawing::{self, Cable, Label, Load, Origin, Plan, Protection, Whose};
use crate::show::ids::note_code;
use crate::show::page::capitalised;
use crate::show::sentence::{plain as in_words, sentence};
use crate::show::wired;
use crate::value::colour::Colour;

/// What is told beside the symbol of a place; measurements and words stand in the facts.
const BESIDE_A_PLACE: [&str; 8] = ["colour", "at", "connector", "cavity", "slot", "stud", "hole", "grommet"];

/// The circuits of a card.
pub(super) fn plan(card: &Card<'_>) -> Plan {
    let circuits = card.circuits.iter().map(|circuit| of_circuit(card, circuit)).collect();
    Plan { title: format!("Circuits of the job: {}", card.job.title), circuits }
}

fn of_circuit(card: &Card<'_>, circuit: &Circuit<'_>) -> drawing::Circuit {
    let of = circuit.worked.circuit;
    let choice = circuit.worked.built();
    drawing::Circuit {
        title: of.title.clone(),
        origin: origin(card, circuit),
        protection: choice.and_then(|choice| protection(card, circuit, choice)),
        relay: of.relay.map(|at| Label::new("Relay contact", vec![format!("closed by circuit {}", at + 1)])),
        cable: cable(card, circuit, choice),
        passes: circuit.through.iter().map(|end| place(card, end, Some("where"))).collect(),
        load: load(card, circuit, choice),
        back: of.by,
        ground: ground(card, circuit),
    }
}

/// A circuit that begins where another one of the job ends begins at its load.
fn origin(card: &Card<'_>, circuit: &Circuit<'_>) -> Origin {
    let of = circuit.worked.circuit;
    let before = card.job.circuits.iter().find(|other| other.to == of.from && other.name != of.name);
    if let Some(before) = before {
        return Origin::Load(load_name(card, before));
    }
    let has = |field: &str| {
        card.language
            .catalogue
            .field(field)
            .is_some_and(|field| card.language.catalogue.points[of.from].fields.contains(&field))
    };
    let label = place(card, &circuit.from, Some("found at"));
    if has("stud") {
        Origin::Battery(label)
    } else if has("slot") {
        Origin::Slot(label)
    } else {
        Origin::Wire(label, circuit.from.used.and_then(|used| colour(card, &used)))
    }
}

/// A colour that is certain enough to be drawn.
fn colour(card: &Card<'_>, used: &Used<'_>) -> Option<Colour> {
    let sure = matches!(used.found.judged.grade, Grade::Proven | Grade::Backed) && used.surely();
    Colour::parse(&used.text(card.language, "colour").filter(|_| sure)?).ok()
}

/// What is known of a place in few words; `lead` stands before a line to write on where nothing is.
fn place(card: &Card<'_>, end: &End<'_>, lead: Option<&str>) -> Label {
    let head = capitalised(card.title(end.point));
    let Some(used) = end.used else {
        let write = lead.map(str::to_owned);
        return Label { head, lines: vec!["not known".to_owned()], write };
    };
    let catalogue = &card.language.catalogue;
    let mut values = used.found.values_of(used.answer, card.language);
    values.retain(|(field, _)| BESIDE_A_PLACE.contains(&&*catalogue.fields[*field].name));
    let mut lines = vec![sentence(card.language, &values)];
    lines.extend(doubt(&used));
    Label::new(head, lines)
}

/// Where an answer is, in words.
fn at_in_words(card: &Card<'_>, used: &Used<'_>) -> Option<String> {
    let field = card.language.catalogue.field("at")?;
    Some(in_words(card.language, field, &used.text(card.language, "at")?))
}

/// What has to be known of an answer before it is relied on.
fn doubt(used: &Used<'_>) -> Option<String> {
    match used.grade() {
        Grade::Disputed => Some("DISPUTED: meter first".to_owned()),
        _ if !used.surely() => Some("only on some such vehicles: look first".to_owned()),
        Grade::Thin => Some("thin: prove it first".to_owned()),
        Grade::Proven | Grade::Backed | Grade::Between | Grade::Blank => None,
    }
}

/// The same of a length.
fn doubt_of_length(used: &Used<'_>) -> Option<&'static str> {
    match used.grade() {
        Grade::Disputed => Some("DISPUTED: measure; "),
        _ if !used.surely() => Some("only on some such vehicles: measure; "),
        Grade::Thin => Some("thin: measure; "),
        Grade::Proven | Grade::Backed | Grade::Between | Grade::Blank => None,
    }
}

fn protection(card: &Card<'_>, circuit: &Circuit<'_>, choice: &Choice) -> Option<Protection> {
    let device = choice.trial.device?;
    let called = wired::device(device);
    let (whose, label) = match &circuit.worked.circuit.guard {
        Guard::Own(_) => (Whose::Own, own(card, circuit, choice)),
        Guard::Behind(at) => {
            (Whose::Earlier, Label::new("", vec![format!("behind the {called} of circuit {}", at + 1)]))
        }
        Guard::Vehicle(_) => {
            let known =
                if circuit.rating_from.is_some() { "as recorded" } else { "not looked at yet: read it" };
            (Whose::Vehicle, Label::new(format!("The vehicle's {called}"), vec![known.to_owned()]))
        }
    };
    Some(Protection { kind: device.kind(), whose, label })
}

/// A device that is fitted, and where.
fn own(card: &Card<'_>, circuit: &Circuit<'_>, choice: &Choice) -> Label {
    let device = choice.trial.device;
    let colour =
        device.and_then(|device| device.colour()).map_or(String::new(), |colour| format!(", {colour}"));
    let head = device.map_or(String::new(), |device| format!("{}{colour}", wired::device(device)));
    // 33 CFR 183.455, as in the general cautions of the catalogue.
    let near = "within 180 mm (7 in) of where it begins".to_owned();
    let elsewhere = circuit.at.filter(|end| end.point != circuit.from.point);
    let at = elsewhere.map(|end| {
        let told = end.used.and_then(|used| at_in_words(card, &used));
        format!("{}: {}", card.title(end.point), told.unwrap_or_else(|| "not known".to_owned()))
    });
    Label::new(head, std::iter::once(near).chain(at).collect())
}

fn cable(card: &Card<'_>, circuit: &Circuit<'_>, choice: Option<&Choice>) -> Cable {
    let Some(choice) = choice else {
        let (reasons, _) = wired::refusal(card.job, &circuit.worked);
        return Cable { label: Label::new("It cannot be built", reasons), possible: false };
    };
    let request = &circuit.worked.answer.request;
    let recorded = circuit.length_from.and_then(|used| Some((used, used.notes().next()?)));
    let run = match (circuit.worked.run, recorded) {
        (Known::Recorded, Some((used, note))) => {
            let doubt = doubt_of_length(&used).unwrap_or_default();
            format!("{doubt}as recorded, {}", note_code(note, card.found.shown))
        }
        (Known::Recorded, None) => "as recorded".to_owned(),
        (Known::Estimate, _) => "an estimate: measure".to_owned(),
        (Known::Told, _) => "as told".to_owned(),
    };
    let conductors = match request.path.by {
        Return::Own => "two conductors, ",
        Return::Chassis => "",
    };
    let lines = vec![
        format!("{}, {run}", words::length(request.path.out)),
        format!("{conductors}{}", wired::terminals(&circuit.worked, choice)),
    ];
    let head = wired::size(&circuit.worked, choice);
    Cable { label: Label { head, lines, write: Some("colour as laid".to_owned()) }, possible: true }
}

fn load(card: &Card<'_>, circuit: &Circuit<'_>, choice: Option<&Choice>) -> Load {
    let of = circuit.worked.circuit;
    let flows = words::amps(circuit.worked.answer.request.current);
    let left = choice.map_or(String::new(), |choice| {
        format!(
            ", {} of {} lost on the way",
            words::volts(choice.trial.drop()),
            words::volts(choice.trial.request().supply)
        )
    });
    let lines = vec![format!("{}: {flows}{left}", capitalised(&of.title))];
    Load { name: load_name(card, of), looks: of.looks, lines }
}

/// What a circuit feeds, in words.
fn load_name(card: &Card<'_>, circuit: &JobCircuit) -> String {
    circuit.feeds.clone().unwrap_or_else(|| card.title(circuit.to).to_owned())
}

/// Where the current comes back to.
fn ground(card: &Card<'_>, circuit: &Circuit<'_>) -> Label {
    match circuit.ground {
        None => Label::new("Ground", Vec::new()),
        Some(end) if end.used.is_some() => place(card, &end, None),
        Some(end) => {
            let lines =
                vec![format!("none recorded there: choose one {}", wired::near(circuit.worked.circuit))];
            Label { head: capitalised(card.title(end.point)), lines, write: Some("found at".to_owned()) }
        }
    }
}
