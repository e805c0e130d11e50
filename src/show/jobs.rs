//! Jobs for a person: the list, or one with its circuits worked out; and the same as JSON.

use serde_json::{Value as Json, json};

use super::circuit::words;
use super::page::{Label, Page, capitalised, listed};
use super::wired;
use crate::catalogue::Catalogue;
use crate::circuit::choice::Choice;
use crate::job::{Guard, Job, Jobs, Known, Parameter, Settings, When, Worked, shown};

/// One job with everything that is told of it.
#[derive(Debug)]
pub struct One<'j> {
    /// The points that it names.
    pub catalogue: &'j Catalogue,
    /// The job.
    pub job: &'j Job,
    /// Its parameters.
    pub settings: &'j Settings,
    /// Its circuits.
    pub worked: &'j [Worked<'j>],
}

/// The list: a name and what it is, for each job.
pub fn list(page: &mut Page, jobs: &Jobs) {
    for job in &jobs.list {
        let about = format!("  {}. {}", capitalised(&job.title), job.about);
        page.paragraph(0, &[(Label::Title, &job.name), (Label::Plain, about.trim_end())]);
    }
    page.gap();
    page.paragraph(
        0,
        &[(Label::Aside, "`baybook jobs NAME` shows what a job needs to know, its circuits and its checks.")],
    );
}

/// One job in full.
pub fn one(page: &mut Page, one: &One<'_>) {
    let job = one.job;
    page.paragraph(
        0,
        &[
            (Label::Title, &capitalised(&job.title)),
            (Label::Plain, " ("),
            (Label::Value, &job.name),
            (Label::Plain, ")"),
        ],
    );
    page.block(2, &[(Label::Plain, &job.about)]);
    points(page, one, "Must be known: ", &job.must);
    points(page, one, "Good to know: ", &job.may);
    for (at, parameter) in job.parameters.iter().enumerate() {
        parameter_of(page, one, at, parameter);
    }
    for worked in one.worked {
        page.gap();
        circuit(page, one, worked);
    }
    checks(page, job, When::Before, "Measure before cutting");
    checks(page, job, When::After, "Measure after connecting");
    if !job.test.is_empty() {
        page.gap();
        page.paragraph(2, &[(Label::Title, "Function test")]);
    }
    for step in &job.test {
        page.paragraph(2, &[(Label::Plain, "- "), (Label::Plain, step)]);
    }
    page.gap();
    for caution in cautions(one) {
        page.paragraph(2, &[(Label::Weak, "Caution: "), (Label::Plain, caution)]);
    }
}

/// Those of the job, then those that go with everything.
fn cautions<'o>(one: &One<'o>) -> impl Iterator<Item = &'o str> + use<'o> {
    let own = one.job.cautions.iter().map(String::as_str);
    own.chain(one.catalogue.cautions.iter().map(|caution| &**caution))
}

fn checks(page: &mut Page, job: &Job, when: When, title: &str) {
    let mut checks = job.checks.iter().filter(|check| check.when == when).peekable();
    if checks.peek().is_none() {
        return;
    }
    page.gap();
    page.paragraph(2, &[(Label::Title, title)]);
    for check in checks {
        let text = format!("- {}: {}", capitalised(&check.measure), check.expect);
        page.paragraph(2, &[(Label::Plain, &text)]);
    }
}

fn points(page: &mut Page, one: &One<'_>, lead: &str, points: &[usize]) {
    let titles: Vec<String> = points.iter().map(|at| one.catalogue.points[*at].title.to_string()).collect();
    if !titles.is_empty() {
        page.paragraph(2, &[(Label::Aside, lead), (Label::Plain, &listed(&titles, "and"))]);
    }
}

fn parameter_of(page: &mut Page, one: &One<'_>, at: usize, parameter: &Parameter) {
    let value = shown(one.settings.value(at));
    let choices: Vec<String> = parameter.choices.iter().copied().map(shown).collect();
    let allowed = match (choices.is_empty(), parameter.limits.map(|limits| limits.map(shown))) {
        (false, _) => format!(" ({})", listed(&choices, "or")),
        (true, Some([least, most])) => format!(" (from {least} to {most})"),
        (true, None) => String::new(),
    };
    let text = format!("={value}  {}{allowed}", parameter.title);
    page.paragraph(2, &[(Label::Value, &parameter.name), (Label::Plain, &text)]);
}

fn circuit(page: &mut Page, one: &One<'_>, worked: &Worked<'_>) {
    let circuit = worked.circuit;
    let request = &worked.answer.request;
    let title = |at: usize| &*one.catalogue.points[at].title;
    let guess = if worked.run == Known::Estimate { ", an estimate" } else { "" };
    let way = format!(
        ": from the {} to the {}, {} over {}{guess}, back by {}",
        title(circuit.from),
        title(circuit.to),
        words::amps(request.current),
        words::length(request.path.out),
        wired::back(request.path.by),
    );
    page.paragraph(2, &[(Label::Title, &capitalised(&circuit.title)), (Label::Plain, &way)]);
    match worked.built() {
        Some(choice) => built(page, one, worked, choice),
        None => not_built(page, one, worked),
    }
}

fn built(page: &mut Page, one: &One<'_>, worked: &Worked<'_>, choice: &Choice) {
    let text = format!(
        ", {}, {}; {}. {} {}",
        wired::insulation(worked),
        wired::terminals(worked, choice),
        wired::guard(one.catalogue, one.job, worked, choice),
        wired::loses(worked, choice),
        wired::granted(worked),
    );
    page.paragraph(4, &[(Label::Value, &wired::size(worked, choice)), (Label::Plain, &text)]);
}

fn not_built(page: &mut Page, one: &One<'_>, worked: &Worked<'_>) {
    let (reasons, ways) = wired::refusal(one.job, worked);
    page.paragraph(4, &[(Label::Alarm, "It cannot be built.")]);
    for reason in &reasons {
        page.paragraph(4, &[(Label::Plain, reason)]);
    }
    for way in &ways {
        page.paragraph(4, &[(Label::Plain, "- "), (Label::Plain, way)]);
    }
}

/// The list as JSON, without circuits.
#[must_use]
pub fn list_json(jobs: &Jobs, catalogue: &Catalogue) -> Json {
    Json::Array(jobs.list.iter().map(|job| job_json(job, catalogue, &job.defaults())).collect())
}

/// One job as JSON, with its circuits.
#[must_use]
pub fn one_json(one: &One<'_>) -> Json {
    let mut json = job_json(one.job, one.catalogue, one.settings);
    let circuit = |worked| circuit_json(one.catalogue, one.job, worked);
    json["circuits"] = Json::Array(one.worked.iter().map(circuit).collect());
    json["cautions"] = json!(cautions(one).collect::<Vec<_>>());
    json
}

fn job_json(job: &Job, catalogue: &Catalogue, settings: &Settings) -> Json {
    let names =
        |points: &[usize]| points.iter().map(|at| catalogue.points[*at].name.clone()).collect::<Vec<_>>();
    let checks: Vec<Json> = job
        .checks
        .iter()
        .map(|check| json!({ "when": check.when.word(), "measure": check.measure, "expect": check.expect }))
        .collect();
    json!({
        "job": job.name,
        "title": job.title,
        "about": job.about,
        "must": names(&job.must),
        "may": names(&job.may),
        "parameters": parameters_json(job, settings),
        "circuits": job.circuits.iter().map(|circuit| circuit.name.clone()).collect::<Vec<_>>(),
        "checks": checks,
        "test": job.test,
        "cautions": job.cautions,
    })
}

/// The parameters of a job as JSON, with where each value is from.
pub(super) fn parameters_json(job: &Job, settings: &Settings) -> Json {
    let parameters = job.parameters.iter().enumerate().map(|(at, parameter)| {
        json!({
            "name": parameter.name,
            "title": parameter.title,
            "value": shown(settings.value(at)),
            "value_is": settings.known(at).word(),
            "default": shown(parameter.default),
            "choices": parameter.choices.iter().copied().map(shown).collect::<Vec<_>>(),
            "limits": parameter.limits.map(|limits| limits.map(shown)),
            "source": parameter.source,
        })
    });
    parameters.collect()
}

/// A circuit of a job as JSON.
pub(super) fn circuit_json(catalogue: &Catalogue, job: &Job, worked: &Worked<'_>) -> Json {
    let circuit = worked.circuit;
    let point = |at: usize| catalogue.points[at].name.clone();
    let guard = match &circuit.guard {
        Guard::Own(_) => "own".to_owned(),
        Guard::Behind(at) => job.circuits[*at].name.clone(),
        Guard::Vehicle(_) => "vehicle".to_owned(),
    };
    let mut json = super::circuit::answer_json(&worked.answer);
    json["name"] = json!(circuit.name);
    json["title"] = json!(circuit.title);
    json["from"] = json!(point(circuit.from));
    json["to"] = json!(point(circuit.to));
    json["at"] = json!(circuit.at.map(point));
    json["protected_by"] = json!(guard);
    json["through"] = json!(circuit.through.map(point));
    json["along"] = json!(circuit.along.map(point));
    json["hot"] = json!(circuit.hot);
    json["load_source"] = json!(circuit.load_source);
    json["run_is"] = json!(worked.run.word());
    json["waits_for"] = json!(worked.waits.map(|at| &job.circuits[at].name));
    json
}
