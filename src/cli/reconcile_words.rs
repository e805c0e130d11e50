//! What the words behind an action of `reconcile` mean: cuts and their parts, suggestions, sides, what is left of a
//! scope; and what to say where something cannot be. What notes become of it is worked out in `judge::settle`.

use std::collections::{BTreeMap, BTreeSet};

use super::console::Failure;
use super::reconcile::{Action, Args};
use super::target::Target;
use crate::dispute::Dispute;
use crate::judge::pattern::split::Split;
use crate::judge::settle::{Cut, Unsettled};
use crate::language::Language;
use crate::value::Misread;
use crate::vehicle::built::Built;
use crate::vehicle::{ModelYear, Scope};

pub(super) fn hint(unsettled: &Unsettled, action: Action) -> Option<&'static str> {
    use Unsettled as U;
    match unsettled {
        U::NoSide(..) | U::Stranger(_) => Some("`baybook conflicts ID` shows the sides and their notes"),
        U::SeenOutside(..) | U::NothingLeft(..) if action == Action::Split => {
            Some("another cut, or --retire that note if it is simply wrong")
        }
        U::SeenOutside(..) => Some("retire the note if it is wrong about that vehicle"),
        U::NoPart(_) => {
            Some("say it: `1=before 2=from`, `1=yes 2=no`; or --retire a side that is simply wrong")
        }
        U::Broken(..) | U::SamePart(..) => {
            Some("another cut; `baybook conflicts ID` shows who saw what on which vehicle")
        }
        U::NoPlace(..) | U::SamePlace(..) => Some(
            "first `baybook add` where each is, with its own `at=`; or uphold, retire or split; --even-so separates all the same",
        ),
        U::AgainstItself(..) => {
            Some("uphold the side that is right; where each is, `split` or `separate` them")
        }
        U::OneSide => Some("uphold or retire settles what has one side"),
        _ => None,
    }
}

pub(super) fn narrowed_to(args: &Args, language: &Language) -> Result<(Scope, bool), Failure> {
    let (years, only) = (args.years.as_deref(), args.only.as_deref());
    if years.is_none() && only.is_none() {
        return Err(Failure::hinted("say to what it is narrowed", "--years 2015-2016, --only 'tow=yes'"));
    }
    let only = only.unwrap_or_default();
    let scope = Scope::parse(years.unwrap_or("all years"), only, language.vocabulary(), language.year())
        .map_err(|misread| Failure::misuse(misread.message))?;
    Ok((scope, Language::names_drive(only)))
}

pub(super) fn cut(args: &Args, language: &Language) -> Result<Cut, Failure> {
    let misread = |misread: Misread| Failure::misuse(misread.message);
    match (&args.at_year, &args.built, &args.attribute) {
        (Some(year), ..) => ModelYear::parse(year, language.year()).map(Cut::Year).map_err(misread),
        (_, Some(month), _) => {
            let built = Built::parse(month, language.year()).map_err(misread)?;
            let month = built.from().filter(|from| built.to().is_none_or(|to| to == *from));
            month.map(Cut::Built).ok_or_else(|| Failure::hinted("a cut is one month", "--built 2017-09"))
        }
        (.., Some(name)) => language
            .vocabulary()
            .read_name(name)
            .map(|found| Cut::Attribute(found.name.to_string()))
            .map_err(misread),
        _ => Err(Failure::hinted(
            "say where to split",
            "--at-year 2017, --built 2017-09 or --attribute tow; or the number of a suggestion of `conflicts ID`",
        )),
    }
}

/// The number of the suggested split that is to be accepted: a number alone, and no other cut.
pub(super) fn suggested(args: &Args) -> Option<usize> {
    let cut = args.at_year.is_some() || args.built.is_some() || args.attribute.is_some();
    match args.which.as_slice() {
        [word] if !cut => word.parse().ok(),
        _ => None,
    }
}

pub(super) fn suggestion(target: &Target, number: usize) -> Result<Split, Failure> {
    let reckoning = target.dispute.as_ref().and_then(Dispute::reckoning);
    let mut splits = reckoning.map_or_else(Vec::new, |reckoning| reckoning.splits);
    if (1..=splits.len()).contains(&number) {
        return Ok(splits.swap_remove(number - 1));
    }
    let told = match splits.len() {
        0 => "nothing that was seen suggests a split here".to_owned(),
        1 => format!("there is no suggestion {number}; there is one alone"),
        count => format!("there is no suggestion {number}; they are 1 to {count}"),
    };
    Err(Failure::hinted(
        told,
        "`baybook conflicts ID` lists them; --at-year, --built and --attribute cut elsewhere",
    ))
}

/// The parts of sides that are told: `1=before`.
pub(super) fn parts(which: &[String]) -> Result<BTreeMap<usize, String>, Failure> {
    let read = |word: &String| {
        let (side, part) = word.split_once('=')?;
        Some((side.trim().parse().ok()?, part.trim().to_owned()))
    };
    let wrong = |word: &String| {
        let hint = "write `1=before 2=from` or `1=yes 2=no`; a number alone accepts a suggestion, without another cut";
        Failure::hinted(format!("'{word}' is no part of a side"), hint)
    };
    which.iter().map(|word| read(word).ok_or_else(|| wrong(word))).collect()
}

pub(super) fn sides(target: &Target, which: &[String]) -> Result<BTreeSet<usize>, Failure> {
    if which.is_empty() {
        return Ok((1..=target.case.sides).collect());
    }
    let wrong = |word: &String| Failure::hinted(format!("'{word}' is no side"), "write its number, as 1 2");
    which.iter().map(|word| word.parse().map_err(|_| wrong(word))).collect()
}
