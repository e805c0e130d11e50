//! `reconcile`: settle a conflict, or take a decision back.
//!
//! From the words on the command line, or the answers at a terminal, to one decision: shown with what it changes
//! before it is written. What the words mean is read in `reconcile_words`, what notes become worked out in
//! `judge::settle`.

use std::collections::{BTreeMap, BTreeSet};

use super::console::{Console, Failure, Status};
use super::meanwhile::changed;
use super::reconcile_questions;
use super::reconcile_words::{cut, hint, narrowed_to, parts, sides, suggested, suggestion};
use super::target::{Target, target};
use crate::book::{Book, BookError};
use crate::decision::{Becomes, Decision, DecisionId, Kind};
use crate::dispute::Matter;
use crate::judge::bucket::Entry;
use crate::judge::conflict::State;
use crate::judge::decided::is_pending;
use crate::judge::settle::Outcome;
use crate::language::Language;
use crate::note::{NoteId, day_of};
use crate::preview::Difference;
use crate::reconcile::{self, Hand, Outlook, Turn};
use crate::show::decisions as view;
use crate::show::ids::decision_code;
use crate::show::page::Label;
use crate::show::preview::differences as show_differences;
use crate::value::prose::tidy;

const EXAMPLES: &str = "\
What can be decided:
  uphold WHICH    a side (its number) or notes are right; what contradicts them is retired
  narrow WHICH    notes, or those of a side, hold for less: --years, --only
  split 1         accept the first split that `conflicts ID` suggests
  split           each side gets its part: --at-year 2017, --built 2017-09 or --attribute tow.
                  What was seen tells which; else say it: `1=before 2=from`, `1=yes 2=no`
  separate        all sides are right, each of a place of its own
  retire WHICH    notes, or those of a side, do not count any more
  recheck         look when such a vehicle is next in
  reopen          take back what was decided

Nothing is ever deleted: a decision is kept beside the notes, and `reopen` takes it back.";

/// Settle a conflict, or take back what was decided
///
/// Shows what every lookup concerned says before and after, and asks; with --yes it does not ask. Without an action,
/// on a terminal, it shows the sides and asks what to do.
#[derive(Debug, Default, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct Args {
    /// A conflict (c-…), a note (n-…) or, to take it back, a decision (d-…)
    #[arg(value_name = "ID")]
    pub(super) id: String,
    /// What to decide
    #[arg(value_name = "ACTION")]
    pub(super) action: Option<Action>,
    /// Numbers of sides, ids of notes, the number of a suggested split, or parts of a split
    #[arg(value_name = "WHICH")]
    pub(super) which: Vec<String>,
    /// Why; whoever meets it next year will want to know
    #[arg(long, value_name = "REASON")]
    pub(super) because: Option<String>,
    /// Who decides; else BAYBOOK_BY, else the name you are logged in with
    #[arg(long, value_name = "NAME")]
    pub(super) by: Option<String>,
    /// narrow: the model years that stay
    #[arg(long, value_name = "YEARS")]
    pub(super) years: Option<String>,
    /// narrow: the qualifiers that stay, as 'tow=yes; built=2017-09..'
    #[arg(long, value_name = "QUALIFIERS")]
    pub(super) only: Option<String>,
    /// split: the first model year of the later part
    #[arg(long, value_name = "YEAR", group = "cut")]
    pub(super) at_year: Option<String>,
    /// split: the first build month of the later part
    #[arg(long, value_name = "MONTH", group = "cut")]
    pub(super) built: Option<String>,
    /// split: the attribute that tells the sides apart
    #[arg(long, value_name = "NAME", group = "cut")]
    pub(super) attribute: Option<String>,
    /// split: sides or notes that are simply wrong and belong to no part
    #[arg(long, value_name = "WHICH")]
    pub(super) retire: Vec<String>,
    /// Decide although notes would contradict each other that do not now, or still
    #[arg(long)]
    pub(super) even_so: bool,
    /// Do not ask
    #[arg(long)]
    pub(super) yes: bool,
    /// Only show what it would change
    #[arg(long, conflicts_with = "yes")]
    pub(super) dry_run: bool,
}

/// What can be decided.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Action {
    /// These are right
    Uphold,
    /// These hold for less
    Narrow,
    /// Each side gets its part of the vehicles
    Split,
    /// All are right, of different places
    Separate,
    /// These do not count any more
    Retire,
    /// Look when such a vehicle is next in
    Recheck,
    /// Take back what was decided
    Reopen,
}

impl Action {
    pub(super) fn kind(self) -> Kind {
        Kind::ALL[self as usize]
    }
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let mut book = console.book_there_must_be(&language)?;
    let target = target(&book, &language, &args.id)?;
    target.must_suit(args.action, &args.id)?;
    if is_so_already(&book, &target, args)? {
        return so_already(console);
    }
    let decision = match args.action {
        Some(action) => decide(console, &book, &language, &target, args, action)?,
        None => match decide_by_asking(console, &book, &language, &target, args)? {
            Some(decision) => decision,
            None => {
                nothing_written(console)?;
                return Ok(Status::Done);
            }
        },
    };
    let outlook = reconcile::outlook(&book, &language, &target.buckets, &decision)?;
    let differences = outlook.differences(&target.buckets, &decision, &book.doubt()?);
    let others: Vec<&Turn> = outlook.turns.iter().filter(|turn| !target.means(turn)).collect();
    preview(console, &book, &language, &decision, &outlook, &differences, &others)?;
    refuse_trouble(args, &decision, &outlook)?;
    let written = !args.dry_run && agreed(console, args)?;
    if written {
        match book.decide(&decision, target.model, target.look, &language) {
            Err(error @ BookError::Changed { .. }) => return Err(changed(&book, &language, &target, error)),
            written => drop(written?),
        }
    }
    if console.json {
        console.print_json(&view::outlook_json(
            &language,
            &decision,
            &outlook,
            &differences,
            written,
            book.shown_characters()?,
        ))?;
    } else if written {
        tell(console, &book, &decision)?;
    } else {
        nothing_written(console)?;
    }
    Ok(Status::Done)
}

fn nothing_written(console: &mut Console<'_>) -> Result<(), Failure> {
    console.notice(Label::Aside, "", "nothing was written")
}

/// Whether what is to be decided is so already: then nothing is stored.
fn is_so_already(book: &Book, target: &Target, args: &Args) -> Result<bool, Failure> {
    match args.action {
        Some(Action::Retire) => is_retired_already(book, target, args),
        Some(Action::Recheck) => is_asked_already(book, target),
        _ => Ok(false),
    }
}

/// Whether somebody is asked to look after the same notes already, and has not done so yet.
fn is_asked_already(book: &Book, target: &Target) -> Result<bool, Failure> {
    let wanted = to_recheck(target).into_iter().collect::<BTreeMap<_, _>>();
    let pending = |id: DecisionId| {
        let buckets = target.buckets.iter().map(|(.., bucket)| bucket);
        let of_point = buckets.into_iter().any(|bucket| {
            bucket.decided.iter().any(|decided| decided.id == id && is_pending(bucket, decided))
        });
        let matter = target.dispute.as_ref().map(|dispute| &dispute.matter);
        of_point || matches!(matter, Some(Matter::Cavity { conflict, .. }) if conflict.rechecks.contains(&id))
    };
    let Some((first, _)) = wanted.first_key_value() else { return Ok(false) };
    Ok(book.rulings_about(*first)?.iter().any(|ruling| {
        let about = ruling.decision.about.iter().cloned().collect::<BTreeMap<_, _>>();
        ruling.decision.kind == Kind::Recheck && about == wanted && pending(ruling.id)
    }))
}

fn is_retired_already(book: &Book, target: &Target, args: &Args) -> Result<bool, Failure> {
    let chosen = target.chosen(book, &args.which)?;
    let is_retired = |id: NoteId| {
        let entries = target.buckets.iter().flat_map(|(.., bucket)| &bucket.entries);
        entries.filter(|entry| entry.id == id).any(Entry::is_retired)
    };
    Ok(chosen.iter().all(|at| is_retired(target.case.parties[*at].id)))
}

fn so_already(console: &mut Console<'_>) -> Result<Status, Failure> {
    if console.json {
        console.print_json(&view::nothing_json())?;
    }
    console.notice(
        Label::Aside,
        "",
        "that is so already: nothing was written; `baybook history ID` tells since when",
    )?;
    Ok(Status::Done)
}

/// Asks until an answer makes a decision, or the person would rather leave it.
fn decide_by_asking(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    target: &Target,
    args: &Args,
) -> Result<Option<Decision>, Failure> {
    loop {
        let Some((filled, action)) = reconcile_questions::ask(console, language, args, target)? else {
            return Ok(None);
        };
        match decide(console, book, language, target, &filled, action) {
            Err(failure @ Failure::Misuse { .. }) => drop(console.failed(&failure)),
            decided => return decided.map(Some),
        }
    }
}

fn because(args: &Args) -> Result<String, Failure> {
    let told = tidy(args.because.as_deref().unwrap_or_default()).into_owned();
    if told.is_empty() && !args.dry_run {
        let hint = "--because 'metered again on a 2018, violet/white'";
        return Err(Failure::hinted("a decision needs its reason", hint));
    }
    Ok(told)
}

fn by(args: &Args, console: &Console<'_>) -> Result<String, Failure> {
    let told = args.by.as_deref().or(console.hand.as_deref()).unwrap_or_default();
    let person = crate::note::Person::new(told)
        .ok_or_else(|| Failure::hinted("a decision needs to say who made it", "--by 'R. Okafor'"))?;
    Ok(person.name().to_owned())
}

/// Ends where something is said that the action has no use for: it was meant otherwise.
fn must_fit(args: &Args, action: Action) -> Result<(), Failure> {
    use Action as A;
    let cut = args.at_year.is_some() || args.built.is_some() || args.attribute.is_some();
    let said = [
        ("WHICH", !args.which.is_empty(), !matches!(action, A::Recheck | A::Reopen)),
        ("--years and --only", args.years.is_some() || args.only.is_some(), action == A::Narrow),
        ("--at-year, --built and --attribute", cut, action == A::Split),
        ("--retire", !args.retire.is_empty(), action == A::Split),
    ];
    match said.into_iter().find(|(_, said, fits)| *said && !fits) {
        Some((what, ..)) => {
            let told = format!("{} has no use for {what}", action.kind().word());
            Err(Failure::hinted(told, "`baybook reconcile --help` says what each action takes"))
        }
        None => Ok(()),
    }
}

/// The decision that the words ask for.
fn decide(
    console: &Console<'_>,
    book: &Book,
    language: &Language,
    target: &Target,
    args: &Args,
    action: Action,
) -> Result<Decision, Failure> {
    must_fit(args, action)?;
    let (because, by) = (because(args)?, by(args, console)?);
    let hand = Hand { by: &by, day: day_of(console.today), because: &because };
    if action == Action::Reopen {
        return Ok(reconcile::draft_reopening(hand, &target.standing(book)?));
    }
    target.must_be_open_for(action.kind(), book)?;
    let outcome = outcome(book, language, target, args, action)?;
    Ok(reconcile::draft(book, action.kind(), hand, outcome)?)
}

fn outcome(
    book: &Book,
    language: &Language,
    target: &Target,
    args: &Args,
    action: Action,
) -> Result<Outcome, Failure> {
    let case = &target.case;
    let chosen = || target.chosen(book, &args.which);
    let found = match action {
        Action::Uphold => case.uphold(&chosen()?),
        Action::Retire => Ok(case.retire(&chosen()?)),
        Action::Narrow => {
            let (to, names_drive) = narrowed_to(args, language)?;
            case.narrow(&chosen()?, &to, names_drive)
        }
        Action::Separate => {
            let sides = sides(target, &args.which)?;
            let apart = case.separate(&sides);
            if args.even_so { apart } else { apart.and_then(|apart| case.are_apart(&sides).map(|()| apart)) }
        }
        Action::Recheck | Action::Reopen => Ok(to_recheck(target)),
        Action::Split => {
            let retired =
                if args.retire.is_empty() { BTreeSet::new() } else { target.chosen(book, &args.retire)? };
            match suggested(args) {
                Some(number) => case.accept(&suggestion(target, number)?, &retired),
                None => case.split(&cut(args, language)?, &parts(&args.which)?, &retired),
            }
        }
    };
    found.map_err(|unsettled| {
        let hint = hint(&unsettled, action);
        match hint {
            Some(hint) => Failure::hinted(unsettled.to_string(), hint),
            None => Failure::misuse(unsettled.to_string()),
        }
    })
}

/// The notes to be looked after: all of a conflict; where it is settled, the one that is meant.
fn to_recheck(target: &Target) -> Outcome {
    let settled = target.dispute.as_ref().is_some_and(|dispute| dispute.state() == State::Settled);
    match target.note {
        Some(note) if settled => vec![(note, Becomes::Kept)],
        _ => target.case.recheck(),
    }
}

/// Kinds of vehicles whose lookups are shown before the rest is only counted.
const LISTED: usize = 16;

/// Shows what would come of it.
fn preview(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    decision: &Decision,
    outlook: &Outlook,
    differences: &[Difference],
    others: &[&Turn],
) -> Result<(), Failure> {
    if console.json {
        return Ok(());
    }
    let shown = book.shown_characters()?;
    let mut page = console.page();
    let why = match decision.because.as_str() {
        "" => String::new(),
        because => format!(": “{because}”"),
    };
    let told = format!("{}, by {}{why}", decision.kind.word(), decision.by);
    page.paragraph(0, &[(Label::Title, "This decision: "), (Label::Plain, &told)]);
    view::outcomes(&mut page, language, decision, shown, 2);
    page.gap();
    show_differences(&mut page, language, differences, LISTED);
    view::turns(&mut page, language, others, shown);
    view::contradicting(&mut page, "Still contradict each other: ", &outlook.left, shown);
    view::contradicting(&mut page, "Would contradict each other: ", &outlook.new, shown);
    console.print(page)
}

fn refuse_trouble(args: &Args, decision: &Decision, outlook: &Outlook) -> Result<(), Failure> {
    let pair = |pairs: &[(NoteId, NoteId)]| {
        pairs.first().map(|(a, b)| format!("{a} against {b}")).unwrap_or_default()
    };
    let is_kept = |note| decision.becomes(note) == Some(&Becomes::Kept);
    let is_about = |note| decision.becomes(note).is_some();
    // What its notes contradict beside each other is a conflict of its own.
    let within: Vec<(NoteId, NoteId)> =
        outlook.left.iter().copied().filter(|(a, b)| is_about(*a) && is_about(*b)).collect();
    let trouble = match decision.kind {
        Kind::Reopen => None,
        _ if !outlook.new.is_empty() => Some(format!("it would open a new conflict, {}", pair(&outlook.new))),
        Kind::Uphold if outlook.left.iter().any(|(a, b)| is_kept(*a) && is_kept(*b)) => {
            Some(format!("what is to be upheld contradicts itself, {}", pair(&outlook.left)))
        }
        Kind::Split if !within.is_empty() => {
            Some(format!("it would leave notes that contradict each other, {}", pair(&within)))
        }
        _ => None,
    };
    match trouble {
        Some(trouble) if !args.even_so => {
            Err(Failure::hinted(format!("{trouble}; nothing was written"), "--even-so decides all the same"))
        }
        _ => Ok(()),
    }
}

fn agreed(console: &mut Console<'_>, args: &Args) -> Result<bool, Failure> {
    if args.yes {
        return Ok(true);
    }
    match &mut console.prompts {
        Some(prompts) => prompts.yes("Write this decision?", false),
        None => Err(Failure::hinted(
            "nothing was written: there is no terminal to ask on",
            "--yes writes without asking, --dry-run only shows",
        )),
    }
}

fn tell(console: &mut Console<'_>, book: &Book, decision: &Decision) -> Result<(), Failure> {
    let code = decision_code(decision.id(), book.shown_characters()?);
    let back = format!(". `baybook reconcile {code} reopen` takes it back.");
    let back = if decision.kind == Kind::Reopen { "." } else { back.as_str() };
    let mut page = console.page();
    page.paragraph(0, &[(Label::Sure, "Decided: "), (Label::Id, &code), (Label::Plain, back)]);
    console.print(page)
}

impl Target {
    /// Ends where a decision is meant, and something else is to be done than taking it back.
    fn must_suit(&self, action: Option<Action>, written: &str) -> Result<(), Failure> {
        match action {
            Some(action) if action != Action::Reopen && self.is_decision() => Err(Failure::hinted(
                format!("'{written}' is a decision, and a decision can only be reopened"),
                format!("`baybook reconcile {written} reopen` takes it back"),
            )),
            _ => Ok(()),
        }
    }

    /// Whether this is the conflict that was meant, and not only one of the note that was.
    fn means(&self, turn: &Turn) -> bool {
        let own = self.dispute.as_ref().filter(|_| !self.is_note);
        own.is_some_and(|own| {
            own.anchor == turn.anchor && matches!(own.matter, Matter::Cavity { .. }) == turn.is_cavity
        })
    }

    /// Ends where the conflict is settled, or waits for a recheck already.
    fn must_be_open_for(&self, kind: Kind, book: &Book) -> Result<(), Failure> {
        let Some(dispute) = &self.dispute else { return Ok(()) };
        let settled = match dispute.state() {
            State::Settled => !self.is_note,
            State::Recheck => kind == Kind::Recheck,
            State::Open => false,
        };
        if !settled {
            return Ok(());
        }
        let (what, by) = (dispute.state().word(), dispute.last_ruling());
        let by = by.map(|ruling| (ruling, &ruling.decision));
        let shown = book.shown_characters()?;
        let told = by.map_or_else(String::new, |(ruling, last)| {
            let (code, day) = (decision_code(ruling.id, shown), crate::note::date_text(last.day));
            format!(": {code}, {day}, {}: “{}”", last.by, last.because)
        });
        let what = if what == "recheck" { "waits for a recheck" } else { "is settled" };
        Err(Failure::hinted(format!("this conflict {what} already{told}"), "`reopen` takes that back first"))
    }
}
