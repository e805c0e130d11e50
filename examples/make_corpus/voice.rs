//! How a hand puts a remark: fills the slots of a phrase, shortens it or runs on, and does not say
//! the same thing over and over. Owns the telling; the phrases are `remarks`.

use std::collections::HashMap;

use crate::dice::Dice;
use crate::hands::{HANDS, Hand, Voice};
use crate::remarks;

/// The memory of what has been written in the last column so far.
#[derive(Debug, Default)]
pub struct Speaker {
    used: HashMap<String, usize>,
}

impl Speaker {
    /// A remark by `hand` on `point`, or none: people leave the column empty as often as not.
    pub fn remark(&mut self, point: &str, basis: &str, hand: &Hand, dice: &mut Dice) -> String {
        if !dice.chance(hand.remarks) {
            return String::new();
        }
        (0..6).find_map(|_| self.attempt(point, basis, hand, dice)).unwrap_or_default()
    }

    fn attempt(&mut self, point: &str, basis: &str, hand: &Hand, dice: &mut Dice) -> Option<String> {
        let phrase = phrase(point, basis, dice)?;
        // The bare reading is short enough to be written again and again; a turn of phrase is not.
        let often = if phrase.len() < 14 { 3 } else { 2 };
        let count = self.used.entry(phrase.to_string()).or_default();
        if *count >= often + usize::from(phrase.contains('{')) * 2 {
            return None;
        }
        *count += 1;
        let mut text = fill(phrase, hand, dice);
        if hand.voice == Voice::Chatty && dice.chance(45) {
            let tail = *dice.pick(remarks::TAILS);
            let seen = self.used.entry(tail.to_string()).or_default();
            *seen += 1;
            if *seen <= 3 {
                let joint = *dice.pick(&[", ", ". ", " - ", "\n"]);
                text = format!("{text}{joint}{}", fill(tail, hand, dice));
            }
        }
        Some(spoken(&text, hand.voice, dice))
    }

    /// A remark to something that was only heard, from `source`.
    pub fn hearsay(&mut self, source: &str, dice: &mut Dice) -> String {
        let phrase = *dice.pick(remarks::TOLD);
        let count = self.used.entry(phrase.to_string()).or_default();
        *count += 1;
        if *count > 9 || dice.chance(12) { String::new() } else { fill_from(phrase, source, dice) }
    }

    /// A remark to something read off a drawing.
    pub fn drawing(&mut self, dice: &mut Dice) -> String {
        let phrase = *dice.pick(remarks::DIAGRAM);
        let count = self.used.entry(phrase.to_string()).or_default();
        *count += 1;
        if *count > 5 { String::new() } else { phrase.replace("{n}", &dice.between(3, 48).to_string()) }
    }
}

fn phrase(point: &str, basis: &str, dice: &mut Dice) -> Option<&'static str> {
    let own = remarks::plain(point);
    let list = match basis {
        "metered" if own.is_empty() || dice.chance(66) => remarks::metered(point),
        "fitted" if point != "labour" && (own.is_empty() || dice.chance(30)) => remarks::FITTED,
        "inspected" if own.is_empty() || dice.chance(35) => remarks::INSPECTED,
        _ => own,
    };
    (!list.is_empty()).then(|| *dice.pick(list))
}

fn fill(phrase: &str, hand: &Hand, dice: &mut Dice) -> String {
    let others: Vec<&str> = HANDS.iter().filter(|h| h.signs[0] != hand.signs[0]).map(|h| h.signs[0]).collect();
    let who = *dice.pick(&others);
    let mut text = fill_from(phrase, who, dice);
    if hand.signs[0] == "M. Haugli" {
        text = comma(&text);
    }
    text
}

fn fill_from(phrase: &str, who: &str, dice: &mut Dice) -> String {
    let surname = who.split_whitespace().last().unwrap_or(who);
    let volts = format!("12.{} V", dice.between(1, 8));
    let zero = *dice.pick(&["0 V", "0 V", "0.0 V", "nothing", "0.02 V"]);
    phrase
        .replace("{v}", &volts)
        .replace("{run}", &format!("1{}.{} V", dice.between(3, 4), dice.between(0, 7)))
        .replace("{z}", zero)
        .replace("{d}", &format!("0.0{} V", dice.between(2, 9)))
        .replace("{m}", &dice.between(20, 90).to_string())
        .replace("{n}", &dice.between(2, 12).to_string())
        .replace("{who}", surname)
        .replace("{cust}", *dice.pick(remarks::CUSTOMERS))
        .replace("{tr}", *dice.pick(remarks::TRAILERS))
        .replace("{mon}", *dice.pick(remarks::MONTHS))
}

/// Some people write a decimal comma.
fn comma(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let digit = |i: usize| chars.get(i).is_some_and(char::is_ascii_digit);
    (0..chars.len()).map(|i| if chars[i] == '.' && i > 0 && digit(i - 1) && digit(i + 1) { ',' } else { chars[i] }).collect()
}

fn spoken(text: &str, voice: Voice, dice: &mut Dice) -> String {
    match voice {
        Voice::Terse => text.to_string(),
        Voice::Sentence | Voice::Chatty => {
            let mut chars = text.chars();
            let first = chars.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
            let stop = if dice.chance(if voice == Voice::Sentence { 75 } else { 35 }) { "." } else { "" };
            format!("{first}{}{stop}", chars.as_str())
        }
    }
}
