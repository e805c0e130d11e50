//! A circuit for a person: in sentences, every figure with what it is compared with.
//!
//! The same as JSON is `json`; what it says is worked out in `circuit`.

mod json;
pub(super) mod words;

use super::page::{Label, Page, capitalised, listed};
use crate::circuit::Kind;
use crate::circuit::answer::{Answer, Refused, SOURCES};
use crate::circuit::choice::Choice;
use crate::circuit::conductor::{Conductor, Series};
use crate::circuit::passage::Opening;
use crate::circuit::path::Return;
use crate::circuit::terminal::{Crimp, crimp, ring};
use crate::circuit::trial::{IN_TIME, Rule, Trial};
use crate::circuit::units::{Seconds, Share};
use crate::schema::Text;
use crate::value::thread::Thread;
pub use json::{answer_json, to_json};
pub(super) use json::{figure, passage_json};
use words::{
    amps, area, celsius, length, mending, millimetres, per_cent, reasons, rule, seconds, volts, watts,
    why_not,
};

/// A circuit as it was asked for, with what goes beside the calculation.
#[derive(Debug)]
pub struct Sheet<'s> {
    /// The calculation.
    pub answer: &'s Answer,
    /// Studs that a ring is wanted for.
    pub studs: &'s [Thread],
    /// What was taken for granted, in words.
    pub assumed: &'s [String],
    /// Whether a person wants to see where the figures come from; JSON always tells.
    pub sources: bool,
    /// The cautions that go with everything.
    pub cautions: &'s [Text],
}

/// The whole sheet.
pub fn sheet(page: &mut Page, sheet: &Sheet<'_>) {
    heading(page, sheet.answer);
    match (sheet.answer.main(), sheet.answer.refused()) {
        (Some(choice), _) => built(page, sheet, choice),
        (None, Some(refused)) => not_built(page, sheet.answer, refused),
        (None, None) => {}
    }
    footing(page, sheet);
}

fn told(page: &mut Page, title: &str, text: &str) {
    page.paragraph(0, &[(Label::Title, title), (Label::Plain, ": "), (Label::Plain, text)]);
}

fn heading(page: &mut Page, answer: &Answer) {
    let request = &answer.request;
    let back = match request.path.by {
        Return::Own => "a conductor of its own",
        Return::Chassis => "the chassis",
    };
    let way = if request.path.back == request.path.out {
        format!("{} and back by {back}", length(request.path.out))
    } else {
        format!("{} and {} back by {back}", length(request.path.out), length(request.path.back))
    };
    let text = format!("{} at {} over {way}", amps(request.current), volts(request.supply));
    page.paragraph(0, &[(Label::Title, &text)]);
    page.gap();
}

fn built(page: &mut Page, sheet: &Sheet<'_>, choice: &Choice) {
    let answer = sheet.answer;
    conductors(page, answer, choice);
    told(page, "What decides", &decision(answer, choice));
    told(page, "Drop", &drop(answer, &choice.trial));
    told(page, "Heat", &heat(answer, &choice.trial));
    told(page, "Protection", &protection(answer, &choice.trial));
    told(page, "Short circuit at the far end", &fault(&choice.trial));
    told(page, "Joints", &joints(sheet, choice));
    passage(page, answer, choice);
}

fn conductors(page: &mut Page, answer: &Answer, choice: &Choice) {
    let main = choice.trial.conductor;
    let size = main.to_string();
    let copper =
        if main.series() == Series::Metric { String::new() } else { format!(" ({})", area(main.area())) };
    let takes = format!("It takes {} of it, and slack.", length(answer.request.path.conductor_length()));
    let rest = match answer.fixed {
        Some(_) => format!("{copper} will do. {takes}{}", thinner(choice)),
        None => format!("{copper}{} {takes}", others(answer, choice)),
    };
    page.paragraph(
        0,
        &[(Label::Title, "Conductor"), (Label::Plain, ": "), (Label::Value, &size), (Label::Plain, &rest)],
    );
}

/// Whether less than the given conductor would be enough.
fn thinner(choice: &Choice) -> String {
    let least = choice.allows.iter().find(|(rule, _)| *rule == choice.decides).map(|(_, size)| *size);
    match least {
        Some(least) if least.is_thinner_than(choice.trial.conductor) => {
            format!(" {least} would be enough.")
        }
        _ => String::new(),
    }
}

fn others(answer: &Answer, choice: &Choice) -> String {
    let mut text = String::new();
    if choice.trial.conductor.series() != Series::Metric {
        match answer.of(Series::Metric) {
            Some(metric) => text.push_str(&format!(", or {} (metric, class 5).", metric.trial.conductor)),
            None => text.push_str(". No metric size is thick enough."),
        }
    }
    match answer.of(Series::Sae) {
        Some(sae) if sae.trial.conductor.gauge() == choice.trial.conductor.gauge() => {
            let has = area(sae.trial.area());
            text.push_str(&format!(" SAE cable of this gauge has less copper ({has}) and will do too."));
        }
        Some(sae) => {
            let sae = sae.trial.conductor;
            text.push_str(&format!(" SAE cable has less copper: there take {sae} ({}).", area(sae.area())));
        }
        None => text.push_str(" No SAE cable is thick enough: it has less copper than its gauge says."),
    }
    text
}

fn decision(answer: &Answer, choice: &Choice) -> String {
    let trial = &choice.trial;
    let thinnest = trial.conductor.series().sizes().next() == Some(trial.conductor);
    if thinnest && answer.fixed.is_none() {
        return "no rule; this is the thinnest that is chosen here.".to_owned();
    }
    let mut text = format!("{}.", rule(choice.decides));
    if let Some((next, size)) = choice.next {
        let asks = if size == trial.conductor {
            "which asks for the same size".to_owned()
        } else {
            format!("which would allow {size}")
        };
        let margin = words::number(trial.margin(next).0, 2);
        text.push_str(&format!(
            " Next is {}, {asks}; {} has {margin} times what it needs.",
            rule(next),
            trial.conductor
        ));
    }
    for (size, rules) in rest(answer, choice) {
        text.push_str(&format!(" {} would allow {size}.", capitalised(&listed(&rules, "and"))));
    }
    text
}

/// The other rules, those that allow the same size together, the most demanding first.
fn rest(answer: &Answer, choice: &Choice) -> Vec<(Conductor, Vec<String>)> {
    let mut rest: Vec<(Conductor, Vec<String>)> = Vec::new();
    let told = |of: Rule| of == choice.decides || choice.next.is_some_and(|(next, _)| next == of);
    let idle = |of: Rule| of == Rule::Minimum && answer.request.minimum.is_none();
    for (of, size) in choice.allows.iter().filter(|(of, _)| !told(*of) && !idle(*of)) {
        match rest.iter_mut().find(|(same, _)| same == size) {
            Some((_, rules)) => rules.push(rule(*of).to_owned()),
            None => rest.push((*size, vec![rule(*of).to_owned()])),
        }
    }
    rest.sort_by(|(a, _), (b, _)| b.area().0.total_cmp(&a.area().0));
    rest
}

fn drop(answer: &Answer, trial: &Trial) -> String {
    let request = &answer.request;
    let share = |drop| per_cent(Share(drop / request.supply));
    let metric = answer.of(Series::Metric).filter(|metric| metric.trial.conductor != trial.conductor);
    let metric = metric.filter(|metric| volts(metric.trial.drop()) != volts(trial.drop()));
    let metric = metric.map_or(String::new(), |metric| {
        format!("; with {} {}", metric.trial.conductor, volts(metric.trial.drop()))
    });
    format!(
        "{} ({}) of the {} allowed, {} out and {} back{metric}. {} are left for the load; {} warm the cable. \
         Fuse, switch and joints take theirs besides.",
        volts(trial.drop()),
        share(trial.drop()),
        volts(request.allowed),
        volts(trial.drop_out),
        volts(trial.drop_back),
        volts(trial.left()),
        watts(trial.loss()),
    )
}

fn heat(answer: &Answer, trial: &Trial) -> String {
    let surroundings = &answer.request.surroundings;
    let rise = trial.temperature - surroundings.ambient();
    let mut text = format!(
        "{} °C are left between the {} around it and what its insulation is rated for; this load warms it by about \
         {} °C. It may carry {} there",
        words::number(surroundings.allowance().0, 3),
        celsius(surroundings.ambient()),
        words::number(rise.0.round(), 3),
        amps(trial.ampacity),
    );
    let table = surroundings.table(trial.conductor);
    if trial.ampacity < table {
        let mut factors = Vec::new();
        if surroundings.heat().0 < 1.0 {
            factors.push(format!("{} for heat", words::number(surroundings.heat().0, 2)));
        }
        if surroundings.bundling().0 < 1.0 {
            factors.push(format!(
                "{} for {} conductors bundled",
                surroundings.bundling().0,
                surroundings.bundled
            ));
        }
        text.push_str(&format!(": {} of the table, times {}", amps(table), factors.join(" and ")));
    }
    text.push('.');
    if surroundings.bundling().0 < 1.0 {
        text.push_str(
            " Counting the bundle below 50 V is a conservative choice of ours; no regulation asks for it.",
        );
    }
    text
}

fn protection(answer: &Answer, trial: &Trial) -> String {
    let Some(device) = trial.device else { return "none".to_owned() };
    let request = &answer.request;
    let colour = device.colour().map_or(String::new(), |colour| format!(", {colour}"));
    let loaded = per_cent(Share(request.current / device.rating()));
    let most = per_cent(request.duty.share());
    let mut text = format!(
        "{} {}{colour}{}, at the source. The {} load is {loaded} of it, and {most} is the most.",
        amps(device.rating()),
        device.title(),
        classes(device.kind()),
        request.duty.word(),
    );
    if request.rating.is_none() {
        text.push_str(&other_kind(answer, trial));
    }
    if device.kind() == Kind::Breaker {
        text.push_str(
            " Type I (resets by itself) only behind another protection. Its times are typical ones: look at the \
             maker's curve.",
        );
    }
    text
}

pub(super) fn classes(kind: Kind) -> String {
    match kind.classes() {
        [] => String::new(),
        classes => {
            let classes: Vec<String> = classes.iter().map(|&class| class.to_owned()).collect();
            format!(" ({}: stays open until the power is off, or is reset by hand)", listed(&classes, "or"))
        }
    }
}

/// Whether a breaker would do in the place of a fuse, or the other way round.
fn other_kind(answer: &Answer, trial: &Trial) -> String {
    let other = answer.with_the_other_kind(trial.conductor);
    let Some(device) = other.device else { return String::new() };
    let called = format!("a {} {}", amps(device.rating()), device.title());
    match other.broken().first() {
        None => format!(" {} would do in its place.", capitalised(&called)),
        Some(rule) => {
            format!(" {} would not do in its place: {}.", capitalised(&called), why_not(&other, *rule))
        }
    }
}

fn fault(trial: &Trial) -> String {
    let within = match trial.opens {
        Some(time) if time < Seconds(0.1) => "in less than 0.1 s".to_owned(),
        Some(time) => format!("within {}", seconds(time)),
        None => "never".to_owned(),
    };
    let limit = if trial.survives() < IN_TIME {
        format!("which the conductor survives for {}", seconds(trial.survives()))
    } else {
        format!("which the conductor survives for more than the {} that are allowed", seconds(IN_TIME))
    };
    let device = trial.device.map_or("device", |device| device.title());
    format!("draws about {} from a weak battery, {limit}. The {device} opens it {within}.", amps(trial.fault))
}

fn joints(sheet: &Sheet<'_>, choice: &Choice) -> String {
    let conductor = choice.trial.conductor;
    let mut text = match crimp(conductor) {
        Crimp::Insulated(colour) => format!("{colour} butt connectors and rings for {conductor}."),
        Crimp::Bare => format!("bare lugs and splices for {conductor}, with heat-shrink tubing over them."),
        Crimp::Nothing => format!("no common barrel holds {conductor}: take the next size."),
    };
    for stud in sheet.studs {
        match ring(stud.diameter()) {
            Some([inch, metric]) => {
                text.push_str(&format!(" On the {stud} stud a ring for {inch} or {metric}."))
            }
            None => text.push_str(&format!(" No common ring goes over the {stud} stud.")),
        }
    }
    if sheet.studs.is_empty() {
        text.push_str(
            " Studs of small breakers are often #10 or M5; those of large ones, batteries and grounds are 5/16 to 3/8 \
             or M8 to M10: measure.",
        );
    }
    text
}

fn passage(page: &mut Page, answer: &Answer, choice: &Choice) {
    let found = answer.passage(choice.trial.conductor);
    let mut text = format!("the bundle is about {} mm thick", words::number(found.bundle.0, 3));
    match (found.loom, found.opening) {
        (Some(loom), Some(opening)) => text.push_str(&format!(
            "; loom {}, grommet with a bore of {}, hole {}{}. Keep the middle of the hole {} mm from any edge, bend or \
             other hole.",
            millimetres(loom.inside),
            millimetres(opening.bore),
            millimetres(opening.hole),
            tools(&opening),
            words::number(opening.edge.0.ceil(), 3),
        )),
        (Some(loom), None) => {
            text.push_str(&format!("; loom {}, and no common grommet is so wide.", millimetres(loom.inside)));
        }
        _ => text.push_str(", and no common loom is so wide."),
    }
    text.push_str(" Diameters are of catalogues: measure the cable, and look at the grommet's sheet.");
    told(page, "Through metal", &text);
}

/// What makes the hole: the next size up that there is.
pub(super) fn tools(opening: &Opening) -> String {
    let saw = opening.saw.map(|saw| {
        if saw == opening.hole {
            "a hole saw of that size".to_owned()
        } else {
            format!("a {} hole saw", millimetres(saw))
        }
    });
    let step = opening.step.map(|step| format!("a step drill to {}", millimetres(step)));
    let tools: Vec<String> = saw.into_iter().chain(step).collect();
    if tools.is_empty() { String::new() } else { format!(" by {}", listed(&tools, "or")) }
}

fn not_built(page: &mut Page, answer: &Answer, refused: &Refused) {
    let trial = &refused.refusal.trial;
    let size = trial.conductor.to_string();
    let lead = match answer.fixed {
        Some(_) => format!("{size} will not do."),
        None => "This circuit cannot be built.".to_owned(),
    };
    page.paragraph(0, &[(Label::Alarm, &lead)]);
    for reason in reasons(trial, &refused.refusal.broken) {
        page.paragraph(2, &[(Label::Plain, &reason)]);
    }
    page.gap();
    if refused.mends.is_empty() {
        let advice =
            "No one or two changes mend it: a smaller load, a shorter run and a cooler place together may.";
        page.paragraph(0, &[(Label::Plain, advice)]);
        return;
    }
    page.paragraph(0, &[(Label::Title, "What would mend it; one of these is enough")]);
    for way in &refused.mends {
        page.paragraph(0, &[(Label::Plain, "- "), (Label::Plain, &mending(way))]);
    }
}

fn footing(page: &mut Page, sheet: &Sheet<'_>) {
    page.gap();
    if !sheet.assumed.is_empty() {
        told(page, "Taken for granted", &format!("{}.", sheet.assumed.join("; ")));
    }
    if sheet.sources {
        page.paragraph(0, &[(Label::Title, "Figures from")]);
        for source in SOURCES {
            page.paragraph(0, &[(Label::Plain, "- "), (Label::Plain, source)]);
        }
    }
    page.gap();
    page.paragraph(0, &[(Label::Title, "Before you start")]);
    for caution in sheet.cautions {
        page.paragraph(0, &[(Label::Plain, "- "), (Label::Plain, caution)]);
    }
}
