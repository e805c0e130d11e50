//! `reconcile` without an action, on a terminal: both sides in view, then a few questions that fill in what the
//! command line left open.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::console::{Console, Failure};
use super::prompt::Question;
use super::reconcile::{Action, Args};
use super::reconcile_words::cut;
use super::target::Target;
use crate::dispute::{Dispute, Matter};
use crate::language::Language;
use crate::show::ids::note_code;
use crate::show::{conflicts, splits};

/// One thing that can be chosen: what a person reads, and the action with its words.
type Choice = (String, Action, Vec<String>);

/// Characters of an id that are shown: as many as need to be typed again in any book of a shop.
const SHOWN: usize = 8;

/// What can be decided about a note that contradicts nothing.
const NOTE_ALONE: [(&str, Action); 3] = [
    ("It claims too much: narrow it", Action::Narrow),
    ("It is wrong: retire it", Action::Retire),
    ("Look when such a vehicle is next in", Action::Recheck),
];

/// Asks what to do; `None` where the person would rather leave it.
pub(super) fn ask(
    console: &mut Console<'_>,
    language: &Language,
    given: &Args,
    target: &Target,
) -> Result<Option<(Args, Action)>, Failure> {
    if console.prompts.is_none() || target.is_decision() {
        let actions = "uphold, narrow, split, separate, retire, recheck or reopen";
        return Err(Failure::hinted("say what to decide", format!("{actions}; `--help` explains them")));
    }
    let choices = match &target.dispute {
        Some(dispute) => {
            let mut page = console.page();
            conflicts::one(&mut page, language, dispute, SHOWN);
            page.gap();
            console.print(page)?;
            choices(language, dispute)
        }
        None => NOTE_ALONE.map(|(told, action)| (told.to_owned(), action, Vec::new())).into(),
    };
    let mut options: Vec<String> = choices.iter().map(|(told, ..)| told.clone()).collect();
    options.push("Leave it as it is".to_owned());
    let chosen = choose(console, "Your decision", &options)?;
    let Some((_, action, which)) = chosen.and_then(|at| choices.get(at)) else { return Ok(None) };
    let mut args = copy(given, *action, which);
    if !more(console, language, target, &mut args)? {
        return Ok(None);
    }
    if args.because.is_none() && !args.dry_run {
        args.because = Some(needed(console, "Why", "", &|_| Ok(()))?);
    }
    if args.by.is_none() {
        let offered = console.hand.clone().unwrap_or_default();
        args.by = Some(needed(console, "Who decides", &offered, &|_| Ok(()))?);
    }
    Ok(Some((args, *action)))
}

fn copy(given: &Args, action: Action, which: &[String]) -> Args {
    Args {
        id: given.id.clone(),
        action: Some(action),
        which: which.to_vec(),
        because: given.because.clone(),
        by: given.by.clone(),
        even_so: given.even_so,
        yes: given.yes,
        dry_run: given.dry_run,
        ..Args::default()
    }
}

fn choices(language: &Language, dispute: &Dispute) -> Vec<Choice> {
    let sides = conflicts::side_titles(language, dispute);
    let mut choices: Vec<Choice> = Vec::new();
    if dispute.state() != crate::judge::conflict::State::Settled {
        for (at, title) in sides.iter().enumerate() {
            let told = format!("Side {} is right: {title}", at + 1);
            choices.push((told, Action::Uphold, vec![(at + 1).to_string()]));
        }
        let plain = [
            ("All are right, on different vehicles: split", Action::Split),
            ("All are right, of different places on one vehicle", Action::Separate),
            ("A note claims too much: narrow it", Action::Narrow),
            ("A note is wrong: retire it", Action::Retire),
            ("Nobody knows: look when such a vehicle is next in", Action::Recheck),
        ];
        choices.extend(plain.map(|(told, action)| (told.to_owned(), action, Vec::new())));
    }
    if dispute.last_ruling().is_some() {
        choices.push(("Take back what was decided".to_owned(), Action::Reopen, Vec::new()));
    }
    choices
}

/// Asks what an action needs beside; `false` where the person would rather leave it.
fn more(
    console: &mut Console<'_>,
    language: &Language,
    target: &Target,
    args: &mut Args,
) -> Result<bool, Failure> {
    match args.action {
        Some(Action::Split) => where_to_split(console, language, target, args),
        Some(Action::Narrow | Action::Retire) => {
            if !target.is_note {
                let notes = notes(target);
                let options: Vec<String> = notes.iter().map(|(told, _)| told.clone()).collect();
                let Some(at) = choose(console, "Which note", &options)? else { return Ok(false) };
                args.which = vec![notes[at].1.clone()];
            }
            if args.action == Some(Action::Narrow) {
                args.years = Some(text(console, "Model years that stay (empty: all of its own)")?);
                args.years = args.years.take().filter(|text| !text.is_empty());
                args.only = Some(text(console, "Qualifiers that stay, as tow=yes (empty: its own)")?);
                args.only = args.only.take().filter(|text| !text.is_empty());
            }
            Ok(true)
        }
        _ => Ok(true),
    }
}

/// How a split is come by.
enum From {
    /// It is suggested, under this number.
    Suggestion(usize),
    Year,
    Built,
    Attribute,
}

/// Asks for a suggested split, the best first, or for another cut. A guess is never the first to be chosen.
fn where_to_split(
    console: &mut Console<'_>,
    language: &Language,
    target: &Target,
    args: &mut Args,
) -> Result<bool, Failure> {
    let mut options: Vec<(String, From)> = vec![
        ("By a model year".to_owned(), From::Year),
        ("By a build date".to_owned(), From::Built),
        ("By an attribute".to_owned(), From::Attribute),
    ];
    let dispute = target.dispute.as_ref();
    if let Some((Matter::Value { layout, .. }, Some(reckoning))) =
        dispute.map(|dispute| (&dispute.matter, dispute.reckoning()))
    {
        let titles = splits::titles(language, layout, &reckoning).into_iter().enumerate();
        let (guesses, seen): (Vec<_>, Vec<_>) = titles
            .map(|(at, title)| (title, From::Suggestion(at + 1)))
            .partition(|(_, from)| matches!(from, From::Suggestion(at) if reckoning.splits[at - 1].guess));
        options = seen.into_iter().chain(options).chain(guesses).collect();
    }
    let told: Vec<String> = options.iter().map(|(told, _)| told.clone()).collect();
    let Some(chosen) = choose(console, "What tells them apart", &told)? else { return Ok(false) };
    let (asked, fill): (_, fn(&mut Args, String)) = match options[chosen].1 {
        From::Suggestion(number) => {
            args.which = vec![number.to_string()];
            return Ok(true);
        }
        From::Year => ("First model year of the later part", |args, text| args.at_year = Some(text)),
        From::Built => {
            ("First build month of the later part, as 2017-09", |args, text| args.built = Some(text))
        }
        From::Attribute => ("The attribute, as tow, cab or trim", |args, text| args.attribute = Some(text)),
    };
    let is_a_cut = |text: &str| {
        let mut alone = Args::default();
        fill(&mut alone, text.to_owned());
        match cut(&alone, language) {
            Err(Failure::Misuse { message, .. }) => Err(message),
            _ => Ok(()),
        }
    };
    fill(args, needed(console, asked, "", &is_a_cut)?);
    Ok(true)
}

/// The notes of a conflict: what a person reads, and the id.
fn notes(target: &Target) -> Vec<(String, String)> {
    let Some(dispute) = &target.dispute else { return Vec::new() };
    let told = |at: usize| {
        let party = &target.case.parties[at];
        let sides: Vec<String> = party.sides.iter().map(|side| (side + 1).to_string()).collect();
        let who = who(dispute, party.id).unwrap_or_default();
        format!("{} of side {}{who}", note_code(party.id, SHOWN), sides.join(" and "))
    };
    (0..target.case.parties.len()).map(|at| (told(at), target.case.parties[at].id.to_string())).collect()
}

fn who(dispute: &Dispute, id: crate::note::NoteId) -> Option<String> {
    let Matter::Value { bucket, .. } = &dispute.matter else { return None };
    let entry = bucket.entries.iter().find(|entry| entry.id == id)?;
    let day = crate::note::date_text(entry.on);
    Some(format!(", {}, {day}, {}", bucket.people[entry.person as usize], entry.basis.word()))
}

/// Characters before an option, and one that stays free: a line that breaks is drawn twice.
const BESIDE: usize = 4;

fn choose(console: &mut Console<'_>, question: &str, options: &[String]) -> Result<Option<usize>, Failure> {
    let width = console.width.saturating_sub(BESIDE);
    let short: Vec<String> = options.iter().map(|option| shortened(option, width)).collect();
    console.prompts.as_mut().map_or(Ok(None), |prompts| prompts.choose(question, &short))
}

/// A text on one line of this many columns.
fn shortened(text: &str, width: usize) -> String {
    if text.width() <= width {
        return text.to_owned();
    }
    let mut short = String::new();
    for character in text.chars() {
        if short.width() + character.width().unwrap_or_default() + 1 > width {
            break;
        }
        short.push(character);
    }
    format!("{}…", short.trim_end())
}

/// A line that may be empty.
fn text(console: &mut Console<'_>, prompt: &str) -> Result<String, Failure> {
    let Some(prompts) = console.prompts.as_mut() else { return Ok(String::new()) };
    let question = Question { prompt: prompt.to_owned(), optional: true, ..Question::default() };
    prompts.line(&question, &|_| Ok(()))
}

/// A line that says something, and against which `check` has nothing.
fn needed(
    console: &mut Console<'_>,
    prompt: &str,
    offered: &str,
    check: &dyn Fn(&str) -> Result<(), String>,
) -> Result<String, Failure> {
    let Some(prompts) = console.prompts.as_mut() else { return Ok(String::new()) };
    let question = Question { prompt: prompt.to_owned(), default: offered.to_owned(), ..Question::default() };
    let says = |text: &str| match text.trim() {
        "" => Err("say it in a few words".to_owned()),
        text => check(text),
    };
    prompts.line(&question, &says)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_option_stays_on_its_line() {
        for (text, short) in [
            ("Side 1 is right", "Side 1 is right"),
            ("Side 1 is right: violet", "Side 1 is right:…"),
            ("Side 1 is right:  violet", "Side 1 is right:…"),
        ] {
            assert_eq!(shortened(text, 18), short);
            assert!(shortened(text, 18).width() <= 18);
        }
    }
}
