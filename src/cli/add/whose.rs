//! Whose note it is: a name like that of somebody whom the book knows, and a vehicle that the same hand may have noted
//! in other words. Both are asked once, or told where nobody can be asked.

use super::form::Form;
use crate::cli::console::{Console, Failure};
use crate::cli::prompt::Prompts;
use crate::foresee::Foreseen;
use crate::intake::Column;
use crate::intake::spelling::like_person;
use crate::language::Language;
use crate::show::ids::note_code;
use crate::show::page::Label;
use crate::vehicle::Vehicle;

/// What was asked already.
#[derive(Debug, Default)]
pub(super) struct Asked {
    name: bool,
    vehicles: Vec<usize>,
}

/// Asks, or tells, what is not clear of the hand and its vehicle; whether the form is another now. `others` are the
/// people of the book where the hand is none of them.
///
/// # Errors
/// The questions were broken off.
pub(super) fn settle(
    form: &mut Form,
    asked: &mut Asked,
    console: &mut Console<'_>,
    (language, others): (&Language, &[String]),
    seen: &Foreseen,
    prompts: &mut Option<&mut dyn Prompts>,
) -> Result<bool, Failure> {
    let changed = name(form, asked, console, others, seen, prompts)?;
    Ok(vehicle(form, asked, console, language, seen, prompts)? || changed)
}

fn name(
    form: &mut Form,
    asked: &mut Asked,
    console: &mut Console<'_>,
    others: &[String],
    seen: &Foreseen,
    prompts: &mut Option<&mut dyn Prompts>,
) -> Result<bool, Failure> {
    let Some(known) = like_person(&seen.note.by, others).filter(|_| !asked.name) else { return Ok(false) };
    asked.name = true;
    let text =
        format!("{} is new to the book, which knows {known}: two names count as two people", seen.note.by);
    console.notice(Label::Weak, "careful: ", &text)?;
    let Some(prompts) = prompts else { return Ok(false) };
    let same = prompts.yes(&format!("Is it {known}?"), true)?;
    if same {
        form.set(Column::By, known);
    }
    Ok(same)
}

fn vehicle(
    form: &mut Form,
    asked: &mut Asked,
    console: &mut Console<'_>,
    language: &Language,
    seen: &Foreseen,
    prompts: &mut Option<&mut dyn Prompts>,
) -> Result<bool, Failure> {
    let own = &seen.bucket.entries[seen.entry];
    for at in &seen.perhaps_same {
        let earlier = &seen.bucket.entries[*at];
        let Some(vehicle) = seen.bucket.seen(earlier).filter(|_| !asked.vehicles.contains(at)) else {
            continue;
        };
        // Of one vehicle on two days the later counts, or they do not speak of the same for sure.
        if earlier.seen == own.seen && earlier.on != own.on {
            continue;
        }
        asked.vehicles.push(*at);
        let id = note_code(earlier.id, seen.shown);
        let told = vehicle.describe(language.vocabulary());
        let text = format!("{id} is yours, too, says something else and was seen on a {told}");
        if earlier.seen == own.seen {
            console.notice(Label::Weak, "careful: ", &format!("{text}. {}", of_one_day(&id)))?;
            continue;
        }
        let Some(prompts) = prompts else {
            let hint =
                format!("{text}: if that is this vehicle, name it in the same words, {}", in_words(vehicle));
            console.notice(Label::Weak, "careful: ", &hint)?;
            continue;
        };
        console.notice(Label::Weak, "careful: ", &text)?;
        if prompts.yes("Is it the same vehicle?", false)? {
            form.set(Column::Seen, &vehicle.to_string());
            asked.vehicles.retain(|other| other != at);
            return Ok(true);
        }
    }
    Ok(false)
}

/// Of two notes of one day neither is the later, so that neither replaces the other.
fn of_one_day(id: &str) -> String {
    format!("Both are of one day, so neither replaces the other: `baybook reconcile {id} retire` ends it")
}

/// A vehicle as words for `add`.
fn in_words(vehicle: &Vehicle) -> String {
    format!("'{}'", vehicle.to_string().replace("; ", " "))
}
