//! How a hand puts a remark: fills the slots of a phrase, shortens it or runs on, and does not say
//! the same thing over and over. Owns the telling; the phrases are `remarks`.

use std::collections::HashMap;

use crate::dice::Dice;
use crate::hands::{HANDS, Hand, Voice};
use crate::note::Day;
use crate::remarks::Phrases;

/// What a remark is about.
#[derive(Debug)]
pub struct Told {
    pub point: &'static str,
    pub basis: &'static str,
    /// Looked at where most people look; the phrases about what is in the way fit only there.
    pub usual: bool,
    pub on: Day,
}

/// The memory of what has been written in the last column so far.
#[derive(Debug)]
pub struct Speaker {
    phrases: Phrases,
    used: HashMap<&'static str, usize>,
}

impl Speaker {
    /// A speaker who has said nothing yet.
    pub fn new() -> Self {
        Self { phrases: Phrases::read(), used: HashMap::new() }
    }

    /// How often `phrase` has been said, this time included.
    fn count(&mut self, phrase: &'static str) -> usize {
        let count = self.used.entry(phrase).or_default();
        *count += 1;
        *count
    }

    fn occasion(&mut self, section: &str, dice: &mut Dice) -> (&'static str, usize) {
        let phrase = dice.one_of(self.phrases.of(section));
        (phrase, self.count(phrase))
    }

    /// A remark by `hand`, or none: people leave the column empty as often as not.
    pub fn remark(&mut self, told: &Told, hand: &Hand, dice: &mut Dice) -> String {
        if !dice.chance(hand.remarks) {
            return String::new();
        }
        (0..6).find_map(|_| self.attempt(told, hand, dice)).unwrap_or_default()
    }

    fn attempt(&mut self, told: &Told, hand: &Hand, dice: &mut Dice) -> Option<String> {
        let phrase = self.phrase(told, dice)?;
        // The bare reading is short enough to be written again and again; a turn of phrase is not.
        let often = if phrase.len() < 14 { 3 } else { 2 } + usize::from(phrase.contains('{')) * 2;
        if self.count(phrase) > often {
            return None;
        }
        let mut text = self.fill(phrase, told.on, hand, dice);
        if hand.voice == Voice::Chatty && dice.chance(45) {
            text = self.run_on(&text, told.on, hand, dice);
        }
        let text = spoken(&text, hand.voice, dice);
        // The notebook has numbered pages, and whoever typed it in put the number down now and then.
        let page = hand.signs[0] == "G. Lindqvist" && dice.chance(40);
        Some(if page { format!("p. {}, {text}", dice.between(3, 88)) } else { text })
    }

    fn phrase(&self, told: &Told, dice: &mut Dice) -> Option<&'static str> {
        let plain = self.phrases.of(&format!("{} plain", told.point));
        let own = if told.usual { plain } else { &[] };
        let metered = self.phrases.of(&format!("{} metered", told.point));
        let list = match told.basis {
            "metered" if own.is_empty() || dice.chance(66) => metered,
            "fitted" if told.point != "labour" && (own.is_empty() || dice.chance(30)) => {
                self.phrases.of("fitted")
            }
            "inspected" if own.is_empty() || dice.chance(35) => self.phrases.of("inspected"),
            _ => own,
        };
        (!list.is_empty()).then(|| dice.one_of(list))
    }

    fn run_on(&mut self, text: &str, on: Day, hand: &Hand, dice: &mut Dice) -> String {
        let (tail, count) = self.occasion("tails", dice);
        if count > 3 {
            return text.to_string();
        }
        let joint = dice.one_of(&[", ", ". ", " - ", "\n"]);
        format!("{text}{joint}{}", self.fill(tail, on, hand, dice))
    }

    /// A remark to something that was only heard, from `source`.
    pub fn hearsay(&mut self, source: &str, dice: &mut Dice) -> String {
        let (phrase, count) = self.occasion("told", dice);
        if count > 9 || dice.chance(12) { String::new() } else { self.fill_from(phrase, source, dice) }
    }

    /// A remark of somebody who finds another thing than the sheet of `source` says.
    pub fn surprised(&mut self, source: &str, hand: &Hand, dice: &mut Dice) -> String {
        let (phrase, count) = self.occasion("surprised", dice);
        if count > 3 {
            String::new()
        } else {
            spoken(&self.fill_from(phrase, source, dice), hand.voice, dice)
        }
    }

    /// A remark to something read off a drawing.
    pub fn drawing(&mut self, dice: &mut Dice) -> String {
        let (phrase, count) = self.occasion("diagram", dice);
        if count > 5 { String::new() } else { phrase.replace("{n}", &dice.between(3, 48).to_string()) }
    }

    fn fill(&self, phrase: &str, on: Day, hand: &Hand, dice: &mut Dice) -> String {
        let there = HANDS.iter().filter(|h| h.works_on(on) && h.signs[0] != hand.signs[0]);
        let colleagues: Vec<&str> = there.map(|h| h.signs[0]).collect();
        let colleague = dice.one_of(&colleagues);
        let text = self.fill_from(phrase, colleague, dice);
        if hand.signs[0] == "M. Haugli" { comma(&text) } else { text }
    }

    fn fill_from(&self, phrase: &str, who: &str, dice: &mut Dice) -> String {
        let surname = who.split_whitespace().last().unwrap_or(who);
        let zero = dice.one_of(&["0 V", "0 V", "0.0 V", "nothing", "0.02 V"]);
        let running = dice.one_of(&["13.6 V", "13.8 V", "13.9 V", "14.1 V", "14.2 V", "14.4 V"]);
        let [customer, trailer, month] =
            ["customers", "trailers", "months"].map(|s| dice.one_of(self.phrases.of(s)));
        phrase
            .replace("{v}", &format!("12.{} V", dice.between(1, 8)))
            .replace("{run}", running)
            .replace("{z}", zero)
            .replace("{d}", &format!("0.0{} V", dice.between(2, 9)))
            .replace("{n}", &dice.between(2, 12).to_string())
            .replace("{who}", surname)
            .replace("{cust}", customer)
            .replace("{tr}", trailer)
            .replace("{mon}", month)
    }
}

/// Some people write a decimal comma.
fn comma(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let digit = |i: usize| chars.get(i).is_some_and(char::is_ascii_digit);
    (0..chars.len())
        .map(|i| if chars[i] == '.' && i > 0 && digit(i - 1) && digit(i + 1) { ',' } else { chars[i] })
        .collect()
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
