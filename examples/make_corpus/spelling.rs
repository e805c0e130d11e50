//! How a fact of the world looks once a hand has written it into a cell. Owns the spellings; the
//! facts are `facts`, the habits `hands`.

use crate::dice::Dice;
use crate::facts::{Fact, Hue, Shade, Wire};
use crate::hands::{Colours, Hand, Years};

/// The cell for `fact` in the column `field` as `hand` writes it.
pub fn cell(field: &str, fact: &Fact, hand: &Hand, dice: &mut Dice) -> String {
    match fact {
        Fact::Wire(wire) => {
            let style = dice.weigh(hand.colours);
            colour(*wire, style, hand.american, dice)
        }
        Fact::Place(names) | Fact::Choice(names) => {
            let plain = if dice.chance(hand.formal) { 0 } else { dice.below(names.len()) };
            names[plain].to_string()
        }
        Fact::Code(code) => code.clone(),
        Fact::Amps(tenths) => amps(*tenths, dice),
        Fact::Stud(thread) => (*thread).to_string(),
        Fact::Hole(mm, inch) => hole(*mm, inch, hand, dice),
        Fact::Metres(tenths) => length(*tenths, field, hand, dice),
        Fact::Minutes(minutes) => time(*minutes, dice),
        Fact::NewtonMetres(nm) if dice.chance(hand.metric) => format!("{nm} {}", dice.pick(&["Nm", "N·m"])),
        // 1 lb-ft is 1.3558 N·m.
        Fact::NewtonMetres(nm) => format!("{} lb-ft", (u32::from(*nm) * 1000 + 678) / 1356),
        Fact::Gauge(awg) => gauge(*awg, hand, dice),
        Fact::Prose(words) => (*words).to_string(),
    }
}

/// A colour in one of the ways people write it.
pub fn colour(wire: Wire, style: Colours, american: bool, dice: &mut Dice) -> String {
    let base = shaded(wire.shade, hue(wire.base, style, american, dice), style);
    let Some(tracer) = wire.tracer else { return base };
    let tracer = hue(tracer, style, american, dice);
    match style {
        Colours::Slash | Colours::Caps | Colours::Small | Colours::Iec => format!("{base}/{tracer}"),
        Colours::Dash => format!("{base}-{tracer}"),
        Colours::Wordy => dice
            .pick(&[
                format!("{base} with {tracer} tracer"),
                format!("{base} with a {tracer} stripe"),
                format!("{base} with {tracer} stripe"),
            ])
            .clone(),
        Colours::Short => dice
            .pick(&[
                format!("{base} w/ {tracer} tracer"),
                format!("{base} w/ {tracer} stripe"),
                format!("{base} w/ {tracer}"),
            ])
            .clone(),
    }
}

fn hue(hue: &Hue, style: Colours, american: bool, dice: &mut Dice) -> String {
    match style {
        Colours::Iec => hue.iec.to_string(),
        Colours::Caps | Colours::Dash => (dice.one_of(hue.caps)).to_string(),
        Colours::Small => hue.small.to_string(),
        _ if american && hue.word == "violet" => "purple".to_string(),
        _ if american && hue.word == "grey" => "gray".to_string(),
        _ => hue.word.to_string(),
    }
}

fn shaded(shade: Shade, base: String, style: Colours) -> String {
    let (light, dark) = match style {
        Colours::Caps | Colours::Dash => ("LT", "DK"),
        Colours::Small => ("lt", "dk"),
        _ => ("light", "dark"),
    };
    match shade {
        Shade::Plain => base,
        Shade::Light => format!("{light} {base}"),
        Shade::Dark => format!("{dark} {base}"),
    }
}

fn amps(tenths: u16, dice: &mut Dice) -> String {
    let number = if tenths.is_multiple_of(10) {
        (tenths / 10).to_string()
    } else {
        format!("{}.{}", tenths / 10, tenths % 10)
    };
    match dice.below(3) {
        0 => number,
        1 => format!("{number} A"),
        _ => format!("{number}A"),
    }
}

fn hole(mm: u16, inch: &str, hand: &Hand, dice: &mut Dice) -> String {
    match (dice.chance(hand.metric), dice.below(3)) {
        (true, 0) => format!("{mm}mm"),
        (true, _) => format!("{mm} mm"),
        (false, 0) => format!("{inch}\""),
        (false, _) => format!("{inch} in"),
    }
}

fn length(tenths: u16, field: &str, hand: &Hand, dice: &mut Dice) -> String {
    // Nobody pulls a cable twice the same.
    let tenths = if field == "length" { tenths + dice.between(0, 3) } else { tenths };
    if dice.chance(hand.metric) {
        return format!("{}.{} m", tenths / 10, tenths % 10);
    }
    let feet = (u32::from(tenths) * 1000 + 1524) / 3048;
    format!("{feet} {}", dice.pick(&["ft", "ft", "feet"]))
}

fn time(minutes: u16, dice: &mut Dice) -> String {
    match dice.below(5) {
        0 => format!("{minutes} min"),
        1 if minutes >= 60 => format!("{}:{:02}", minutes / 60, minutes % 60),
        2 if minutes >= 60 => format!("{}h{:02}", minutes / 60, minutes % 60),
        _ => minutes.to_string(),
    }
}

fn gauge(awg: u16, hand: &Hand, dice: &mut Dice) -> String {
    // Nearest metric size that is sold; where none lies within the tolerance of the field the AWG number stays.
    let metric = match awg {
        20 => Some("0.5"),
        _ => None,
    };
    match metric {
        Some(size) if dice.chance(hand.metric) => format!("{size} mm²"),
        _ => format!("{awg} AWG"),
    }
}

/// A year range as `style` has it; an open end where `last` is `None`.
pub fn years(first: u16, last: Option<u16>, style: Years, dice: &mut Dice) -> String {
    match last {
        None => format!("{first}{}", dice.pick(&["-", "+", "-up"])),
        Some(last) if last == first => match style {
            Years::Short => dice.pick(&[format!("{first}"), format!("'{:02}", first % 100)]).clone(),
            _ => first.to_string(),
        },
        Some(last) => match style {
            Years::Full => format!("{first}-{last}"),
            Years::Short => format!("{:02}-{:02}", first % 100, last % 100),
            Years::Half => format!("{first}-{:02}", last % 100),
        },
    }
}
