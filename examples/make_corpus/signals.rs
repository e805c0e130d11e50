//! The signals of a vehicle: their points, the places where each can be reached, the way each works.
//! Owns that table only; `office` draws the wires from it.

use crate::facts::Fact;
use crate::places::{self, Place};

const POSITIVE: Fact = Fact::Choice(&["positive", "12 V", "+", "switched positive", "12V"]);
const NEGATIVE: Fact = Fact::Choice(&["negative", "ground", "-", "switched ground", "goes to ground"]);
const PULSED: Fact = Fact::Choice(&["pulsed", "PWM", "pulses"]);
const VARYING: Fact = Fact::Choice(&["varying", "dimmed", "varies"]);
const DATA: Fact = Fact::Choice(&["data", "CAN"]);

/// A wire that every vehicle has: where it can be reached, and what it mostly does.
#[derive(Debug)]
pub struct Signal {
    pub point: &'static str,
    pub places: &'static [Place],
    pub likely: Fact,
    pub seldom: Fact,
}

const fn signal(point: &'static str, places: &'static [Place], likely: Fact, seldom: Fact) -> Signal {
    Signal { point, places, likely, seldom }
}

/// All of them, in the order in which cavities are given out.
pub static SIGNALS: &[Signal] = &[
    signal(
        "brake-signal",
        &[places::STOP_SWITCH, places::KICK_LEFT, places::BODY_COMPUTER],
        POSITIVE,
        POSITIVE,
    ),
    signal("park-lamp", &[places::KICK_LEFT, places::TAIL_LEFT, places::LAMP_SWITCH], POSITIVE, PULSED),
    signal("left-turn", &[places::KICK_LEFT, places::TAIL_LEFT, places::BODY_COMPUTER], POSITIVE, POSITIVE),
    signal(
        "right-turn",
        &[places::KICK_RIGHT, places::TAIL_RIGHT, places::BODY_COMPUTER],
        POSITIVE,
        POSITIVE,
    ),
    signal("reverse-lamp", &[places::TAIL_LEFT, places::GEARBOX, places::SILL_LEFT], POSITIVE, POSITIVE),
    signal("illumination", &[places::LAMP_SWITCH, places::RADIO, places::SHIFTER], VARYING, PULSED),
    signal(
        "ignition-feed",
        &[places::KEY_SWITCH, places::BODY_COMPUTER, places::FUSES_DASH],
        POSITIVE,
        POSITIVE,
    ),
    signal("accessory-feed", &[places::RADIO, places::KEY_SWITCH, places::FUSES_DASH], POSITIVE, POSITIVE),
    signal("start-signal", &[places::KEY_SWITCH, places::FUSES_ENGINE], POSITIVE, NEGATIVE),
    signal("door-signal", &[places::KICK_LEFT, places::BODY_COMPUTER, places::SILL_LEFT], NEGATIVE, POSITIVE),
    signal("door-signal", &[places::KICK_RIGHT, places::BODY_COMPUTER], NEGATIVE, POSITIVE),
    signal("hood-switch", &[places::HOOD_LATCH, places::BODY_COMPUTER], NEGATIVE, POSITIVE),
    signal("horn", &[places::HORN_RELAY, places::FUSES_ENGINE, places::COLUMN], NEGATIVE, POSITIVE),
    signal("speed-signal", &[places::CLUSTER, places::RADIO, places::GEARBOX], PULSED, DATA),
    signal("high-stop-lamp", &[places::HIGH_STOP, places::SILL_LEFT], POSITIVE, POSITIVE),
    signal(
        "high-beam",
        &[places::HEADLAMP_LEFT, places::LAMP_SWITCH, places::FUSES_ENGINE],
        POSITIVE,
        NEGATIVE,
    ),
    signal("fog-lamp", &[places::TAIL_LEFT, places::LAMP_SWITCH], POSITIVE, POSITIVE),
    signal("park-brake", &[places::PARK_BRAKE, places::CLUSTER], NEGATIVE, NEGATIVE),
];
