//! The thinnest conductor of a series that keeps every rule, and which rule decided.

use super::conductor::{Conductor, Series};
use super::request::Request;
use super::trial::{Rule, Trial};

/// What was chosen, and why not less.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// The conductor with all its figures.
    pub trial: Trial,
    /// The thinnest that each rule alone would allow.
    pub allows: Vec<(Rule, Conductor)>,
    /// The rule that asks for the most.
    pub decides: Rule,
    /// The rule that asks for the most after it, and what it would allow.
    pub next: Option<(Rule, Conductor)>,
}

/// Why there is none: the best that there is, and the rules that even it breaks.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// The conductor that was looked at last: the one that was given, or the thickest.
    pub trial: Trial,
    /// What it breaks.
    pub broken: Vec<Rule>,
}

/// The thinnest conductor of a series that keeps every rule.
///
/// # Errors
/// None does.
pub fn choose(request: &Request, series: Series) -> Result<Choice, Box<Refusal>> {
    let trials: Vec<Trial> = series.sizes().map(|size| Trial::of(request, size)).collect();
    if let Some(trial) = trials.iter().find(|trial| trial.broken().is_empty()) {
        return Ok(choice(*trial, &trials));
    }
    let fewest = trials.iter().rev().min_by_key(|trial| trial.broken().len());
    match fewest {
        Some(trial) => Err(Box::new(Refusal { trial: *trial, broken: trial.broken() })),
        None => unreachable!("every series has sizes"),
    }
}

/// A conductor that is given, judged.
///
/// # Errors
/// It breaks a rule.
pub fn judge(request: &Request, conductor: Conductor) -> Result<Choice, Box<Refusal>> {
    let trial = Trial::of(request, conductor);
    let broken = trial.broken();
    if !broken.is_empty() {
        return Err(Box::new(Refusal { trial, broken }));
    }
    let trials: Vec<Trial> = conductor.series().sizes().map(|size| Trial::of(request, size)).collect();
    Ok(choice(trial, &trials))
}

fn choice(trial: Trial, trials: &[Trial]) -> Choice {
    let smallest = |rule: Rule| trials.iter().find(|trial| trial.keeps(rule)).map(|trial| trial.conductor);
    let allows: Vec<(Rule, Conductor)> =
        Rule::ALL.into_iter().filter_map(|rule| Some((rule, smallest(rule)?))).collect();
    let mut order = allows.clone();
    // Of two rules that ask for the same size the one that it keeps by less.
    order.sort_by(|(rule_a, a), (rule_b, b)| {
        let area = b.area().0.total_cmp(&a.area().0);
        area.then(trial.margin(*rule_a).0.total_cmp(&trial.margin(*rule_b).0))
    });
    let decides = order.first().map_or(Rule::Minimum, |(rule, _)| *rule);
    let next = order.iter().skip(1).find(|(rule, _)| *rule != Rule::Minimum).copied();
    Choice { trial, allows, decides, next }
}
