//! A circuit as JSON; the shape is written down in DEVELOPERS.md. Numbers have four significant digits.

use serde_json::{Map, Value as Json, json};

use super::{Sheet, words};
use crate::circuit::answer::{Answer, Outcome, Refused, SOURCES};
use crate::circuit::choice::Choice;
use crate::circuit::mend::Mend;
use crate::circuit::passage::Passage;
use crate::circuit::protection::Device;
use crate::circuit::request::Request;
use crate::circuit::terminal::{crimp, ring};
use crate::circuit::trial::{Rule, Trial};

/// The whole sheet.
#[must_use]
pub fn to_json(sheet: &Sheet<'_>) -> Json {
    let rings: Vec<Json> = sheet
        .studs
        .iter()
        .map(|stud| json!({ "stud": stud.to_string(), "ring": ring(stud.diameter()) }))
        .collect();
    let mut json = answer_json(sheet.answer);
    json["rings"] = json!(rings);
    json["assumed"] = json!(sheet.assumed);
    json["sources"] = json!(SOURCES);
    json["cautions"] = json!(sheet.cautions);
    json
}

/// The calculation alone.
#[must_use]
pub fn answer_json(answer: &Answer) -> Json {
    json!({
        "asked": asked(answer),
        "possible": answer.main().is_some(),
        "conductors": answer.outcomes.iter().map(|found| outcome(answer, found)).collect::<Vec<_>>(),
        "conductor_m": figure(answer.request.path.conductor_length().0),
        "passage": answer.main().map(|choice| passage_json(&answer.passage(choice.trial.conductor))),
    })
}

/// Four significant digits; nothing where a number has no end.
pub(in crate::show) fn figure(number: f64) -> Json {
    if !number.is_finite() {
        return Json::Null;
    }
    words::number(number, 4).parse::<f64>().map_or(Json::Null, Json::from)
}

fn asked(answer: &Answer) -> Json {
    let Request { current, supply, allowed, duty, path, upstream, surroundings, kind, rating, minimum } =
        &answer.request;
    json!({
        "current_a": figure(current.0),
        "supply_v": figure(supply.0),
        "allowed_drop_v": figure(allowed.0),
        "duty": duty.word(),
        "run_m": figure(path.out.0),
        "return": path.by.word(),
        "return_run_m": figure(path.back.0),
        "upstream_ohm": figure(upstream.0),
        "insulation_c": figure(surroundings.insulation.rating().0),
        "insulation_column_c": figure(surroundings.insulation.column().0),
        "ambient_c": figure(surroundings.ambient().0),
        "engine_space": surroundings.engine_space,
        "bundled": surroundings.bundled,
        "protection": kind.word(),
        "rating_a": rating.map(|rating| figure(rating.0)),
        "minimum": minimum.map(|minimum| minimum.to_string()),
        "conductor": answer.fixed.map(|conductor| conductor.to_string()),
    })
}

fn outcome(answer: &Answer, outcome: &Outcome) -> Json {
    match &outcome.found {
        Ok(choice) => chosen(answer, choice),
        Err(refused) => json!({ "series": outcome.series.word(), "refused": refusal(answer, refused) }),
    }
}

fn chosen(answer: &Answer, choice: &Choice) -> Json {
    let trial = &choice.trial;
    let allows: Map<String, Json> =
        choice.allows.iter().map(|(rule, size)| (rule.word().to_owned(), json!(size.to_string()))).collect();
    let mut json = figures(answer, trial);
    json["decides"] = json!(choice.decides.word());
    json["next"] =
        json!(choice.next.map(|(rule, size)| json!({ "rule": rule.word(), "allows": size.to_string() })));
    json["allows"] = Json::Object(allows);
    json
}

fn figures(answer: &Answer, trial: &Trial) -> Json {
    let conductor = trial.conductor;
    let surroundings = &answer.request.surroundings;
    let margins: Map<String, Json> =
        Rule::ALL.iter().map(|rule| (rule.word().to_owned(), figure(trial.margin(*rule).0))).collect();
    json!({
        "series": conductor.series().word(),
        "size": conductor.to_string(),
        "area_mm2": figure(conductor.area().0),
        "drop_v": figure(trial.drop().0),
        "drop_out_v": figure(trial.drop_out.0),
        "drop_back_v": figure(trial.drop_back.0),
        "left_v": figure(trial.left().0),
        "loss_w": figure(trial.loss().0),
        "temperature_c": figure(trial.temperature.0),
        "rise_allowed_k": figure(surroundings.allowance().0),
        "ampacity_a": figure(trial.ampacity.0),
        "table_ampacity_a": figure(surroundings.table(conductor).0),
        "heat_factor": figure(surroundings.heat().0),
        "bundle_factor": figure(surroundings.bundling().0),
        "protection": trial.device.map(|found| device(&found)),
        "fault_a": figure(trial.fault.0),
        "must_open_within_s": figure(trial.must_open().0),
        "opens_within_s": trial.opens.map(|time| figure(time.0)),
        "let_through_a2s": trial.let_through().map(|heat| figure(heat.0)),
        "withstand_a2s": figure(trial.withstand.0),
        "crimp": crimp(conductor).word(),
        "margins": margins,
    })
}

fn device(device: &Device) -> Json {
    json!({
        "kind": device.kind().word(),
        "family": device.family(),
        "rating_a": figure(device.rating().0),
        "colour": device.colour(),
        "classes": device.kind().classes(),
    })
}

fn refusal(answer: &Answer, refused: &Refused) -> Json {
    let trial = &refused.refusal.trial;
    let reasons: Vec<Json> = refused
        .refusal
        .broken
        .iter()
        .map(|rule| json!({ "rule": rule.word(), "why": words::why_not(trial, *rule) }))
        .collect();
    json!({
        "tried": figures(answer, trial),
        "broken": reasons,
        "mends": refused.mends.iter().map(|way| way.iter().map(|change| mend(*change)).collect()).collect::<Vec<Json>>(),
    })
}

fn mend(mend: Mend) -> Json {
    let (change, to) = match mend {
        Mend::Conductor(conductor) => ("conductor", json!(conductor.to_string())),
        Mend::Device(found) => ("rating_a", figure(found.rating().0)),
        Mend::Fuse => ("protection", json!("fuse")),
        Mend::Drop(share) => ("drop_percent", figure(share.0 * 100.0)),
        Mend::Run(out) => ("run_m", figure(out.0)),
        Mend::Load(amps) => ("load_a", figure(amps.0)),
        Mend::Insulation(insulation) => ("insulation_c", figure(insulation.rating().0)),
        Mend::ClearOfEngine => ("engine_space", json!(false)),
        Mend::Ambient(at) => ("ambient_c", figure(at.0)),
        Mend::Bundled(count) => ("bundled", json!(count)),
        Mend::OwnReturn => ("return", json!("own")),
    };
    json!({ "change": change, "to": to, "says": words::mend(mend) })
}

pub(in crate::show) fn passage_json(passage: &Passage) -> Json {
    json!({
        "bundle_mm": figure(passage.bundle.0),
        "loom": passage.loom.map(|loom| json!({ "inside_mm": figure(loom.inside.0), "outside_mm": figure(loom.outside.0) })),
        "opening": passage.opening.map(|opening| json!({
            "bore_mm": figure(opening.bore.0),
            "hole_mm": figure(opening.hole.0),
            "saw_mm": opening.saw.map(|saw| figure(saw.0)),
            "step_drill_mm": opening.step.map(|step| figure(step.0)),
            "edge_mm": figure(opening.edge.0),
        })),
    })
}
