//! The points that the judged set notes: how people ask for them, where they are found, and what is noted of them.
//!
//! What a place or a colour is called stands in `spot` and `wire`. The other ways to ask are those of the trade, from
//! memory.

use crate::amount::{HOLES, LENGTHS, MINUTES, RATINGS, SECTIONS, STUDS, Size, TORQUES};
use crate::spot::Relation::{Above, Behind, Below, LeftOf, RightOf};
use crate::spot::{self as at, Part, Relation};

/// A part, or somewhere about it.
#[derive(Debug, Clone, Copy)]
pub enum Where {
    Here(&'static Part),
    About(&'static Part, Relation),
}

use Where::{About, Here};

/// One value of a choice: its name, how it is written in a note, how it is asked for.
#[derive(Debug)]
pub struct Choice {
    pub field: &'static str,
    pub name: &'static str,
    pub written: &'static [&'static str],
    pub asked: &'static [&'static str],
}

const fn choice(
    field: &'static str,
    name: &'static str,
    written: &'static [&'static str],
    asked: &'static [&'static str],
) -> Choice {
    Choice { field, name, written, asked }
}

static SIGNALS: [Choice; 2] = [
    choice("signal", "positive", &["positive", "+", "12 V"], &["positive", "12V positive"]),
    choice("signal", "negative", &["negative", "-", "switched ground"], &["negative", "goes to ground"]),
];
static HOT: [Choice; 3] = [
    choice("hot", "always", &["always", "constant", "B+"], &["always hot", "permanent", "unswitched"]),
    choice("hot", "ignition", &["ignition", "IGN", "key on"], &["key on", "run"]),
    choice("hot", "accessory", &["accessory", "ACC"], &["ACC", "accessory"]),
];
static GROMMETS: [Choice; 3] = [
    choice(
        "grommet",
        "existing",
        &["existing", "factory grommet", "yes"],
        &["factory grommet", "existing grommet"],
    ),
    choice("grommet", "none", &["none", "no", "bare hole"], &["no grommet", "bare hole"]),
    choice("grommet", "fit-new", &["fit-new", "new grommet", "needs one"], &["needs grommet", "new grommet"]),
];
static SUITS: [Choice; 3] = [
    choice("suits", "yes", &["yes", "good", "fits"], &["good"]),
    choice("suits", "tight", &["tight", "barely"], &["tight fit", "tight"]),
    choice("suits", "no", &["no", "never", "does not fit"], &["does not fit"]),
];
static FIXINGS: [Choice; 2] = [
    choice("fixing", "clips", &["clips", "push clips", "clips only"], &["clips only", "snaps"]),
    choice("fixing", "screws", &["screws", "screws and clips", "bolts"], &["screws", "bolted"]),
];
static JOBS: [Choice; 4] = [
    choice(
        "job",
        "brake-control",
        &["brake-control", "brake controller"],
        &["brake controller", "controller install"],
    ),
    choice("job", "trailer-lamps", &["trailer-lamps", "trailer wiring"], &["trailer lights", "tow wiring"]),
    choice("job", "camera", &["camera", "rear camera"], &["reversing camera", "camera install"]),
    choice("job", "charge-line", &["charge-line", "charge wire"], &["charge wire", "battery charge line"]),
];
static CARRIES: [Choice; 7] = [
    choice(
        "carries",
        "brake-output",
        &["brake-output", "electric brakes", "EB"],
        &["trailer brakes", "electric brakes"],
    ),
    choice(
        "carries",
        "battery-feed",
        &["battery-feed", "charge line", "12 V"],
        &["charge line", "aux power"],
    ),
    choice("carries", "ground", &["ground", "earth", "return"], &["ground", "earth"]),
    choice(
        "carries",
        "left-turn",
        &["left-turn", "left stop/turn", "LT"],
        &["left indicator", "left turn and stop"],
    ),
    choice(
        "carries",
        "right-turn",
        &["right-turn", "right stop/turn", "RT"],
        &["right indicator", "right turn and stop"],
    ),
    choice("carries", "park-lamp", &["park-lamp", "running lamps", "tail"], &["running lamps", "tail lamps"]),
    choice("carries", "reverse-lamp", &["reverse-lamp", "backup"], &["reverse", "reversing lamps"]),
];

/// A point.
#[derive(Debug)]
pub struct Kind {
    pub name: &'static str,
    pub asked: &'static [&'static str],
    pub places: &'static [Where],
    pub choices: &'static [Choice],
    /// The sizes that may be noted, a list for each field.
    pub sizes: &'static [&'static [Size]],
    pub wire: bool,
    /// The part that it is the wire of, where that goes by the same name.
    pub belongs_to: Option<&'static Part>,
    /// How many instances a model has.
    pub instances: usize,
}

const fn signal(name: &'static str, asked: &'static [&'static str], places: &'static [Where]) -> Kind {
    Kind {
        name,
        asked,
        places,
        choices: &SIGNALS,
        sizes: &SIGNAL_SIZES,
        wire: true,
        belongs_to: None,
        instances: 1,
    }
}

static SIGNAL_SIZES: [&[Size]; 1] = [&SECTIONS];

const fn bare(
    name: &'static str,
    asked: &'static [&'static str],
    places: &'static [Where],
    choices: &'static [Choice],
    sizes: &'static [&'static [Size]],
) -> Kind {
    Kind { name, asked, places, choices, sizes, wire: false, belongs_to: None, instances: 1 }
}

impl Kind {
    const fn wired(self) -> Self {
        Self { wire: true, ..self }
    }

    const fn of(self, part: &'static Part) -> Self {
        Self { belongs_to: Some(part), ..self }
    }

    const fn times(self, instances: usize) -> Self {
        Self { instances, ..self }
    }
}

pub static KINDS: [Kind; 25] = [
    signal(
        "brake-signal",
        &["brake signal", "brake wire", "stop signal", "stop lamp wire", "stop wire", "brake light wire"],
        &[Here(&at::BRAKE_SWITCH), Here(&at::BRAKE_SWITCH), Here(&at::KICK), Here(&at::BODY_COMPUTER)],
    ),
    signal(
        "park-lamp",
        &["park lamp", "parking lamp", "running lights", "tail wire", "park light"],
        &[Here(&at::KICK), Here(&at::TAIL_LAMP), Here(&at::LAMP_SWITCH), Here(&at::BODY_COMPUTER)],
    ),
    signal(
        "left-turn",
        &["left turn", "left indicator", "left turn signal", "left blinker", "LH turn"],
        &[Here(&at::SILL), About(&at::COLUMN, Below), Here(&at::BODY_COMPUTER), Here(&at::QUARTER_TRIM)],
    ),
    signal(
        "right-turn",
        &["right turn", "right indicator", "right turn signal", "right blinker", "RH turn"],
        &[Here(&at::SILL), About(&at::COLUMN, Below), Here(&at::BODY_COMPUTER), Here(&at::QUARTER_TRIM)],
    ),
    signal(
        "reverse-lamp",
        &["reverse lamp", "reverse light", "backup light", "reversing lamp", "reverse wire"],
        &[Here(&at::GEARBOX), Here(&at::KICK), Here(&at::TAIL_LAMP), Here(&at::SHIFTER)],
    ),
    signal(
        "illumination",
        &["dash illumination", "dimmer wire", "illumination wire", "dash dimming"],
        &[Here(&at::LAMP_SWITCH), About(&at::CLUSTER, Behind), About(&at::RADIO, Behind)],
    ),
    signal(
        "horn",
        &["horn wire", "horn trigger", "horn signal"],
        &[Here(&at::HORN_RELAY), About(&at::COLUMN, Below), Here(&at::HOOD_FUSES)],
    ),
    signal(
        "start-signal",
        &["start signal", "starter wire", "crank wire", "crank signal"],
        &[Here(&at::KEY_SWITCH), Here(&at::HOOD_FUSES), About(&at::COLUMN, Below)],
    ),
    signal(
        "speed-signal",
        &["speed signal", "vehicle speed", "speed pulse", "VSS", "road speed"],
        &[About(&at::CLUSTER, Behind), About(&at::RADIO, Behind), Here(&at::GEARBOX)],
    ),
    signal(
        "hood-switch",
        &["hood switch", "bonnet switch", "hood pin"],
        &[Here(&at::HOOD_LATCH), Here(&at::STRUT_TOWER), Here(&at::RAD_SUPPORT)],
    ),
    signal(
        "high-stop-lamp",
        &["high stop lamp", "third stop lamp", "centre stop lamp"],
        &[Here(&at::HIGH_STOP), Here(&at::QUARTER_TRIM)],
    )
    .of(&at::HIGH_STOP),
    signal(
        "high-beam",
        &["high beam", "main beam", "high beam signal"],
        &[Here(&at::HEADLAMP), Here(&at::LAMP_SWITCH), Here(&at::HOOD_FUSES)],
    ),
    signal(
        "park-brake",
        &["park brake switch", "handbrake switch", "park brake wire"],
        &[Here(&at::HANDBRAKE), About(&at::CONSOLE, Below), Here(&at::CONSOLE)],
    )
    .of(&at::HANDBRAKE),
    bare(
        "ignition-feed",
        &["ignition feed", "ignition wire", "switched ignition", "key-on feed"],
        &[Here(&at::KEY_SWITCH), Here(&at::CABIN_FUSES), About(&at::COLUMN, Below)],
        &[],
        &[&RATINGS, &SECTIONS],
    )
    .wired(),
    bare(
        "accessory-feed",
        &["accessory feed", "ACC wire", "accessory wire"],
        &[About(&at::RADIO, Behind), Here(&at::CABIN_FUSES), Here(&at::KEY_SWITCH)],
        &[],
        &[&RATINGS, &SECTIONS],
    )
    .wired(),
    bare(
        "ground",
        &["ground", "earth", "ground point", "chassis ground", "earth point"],
        &[
            Here(&at::INNER_FENDER),
            Here(&at::KICK),
            Here(&at::FRAME_RAIL),
            Here(&at::STRUT_TOWER),
            Here(&at::A_PILLAR),
            Here(&at::TAIL_LAMP),
        ],
        &[],
        &[&STUDS, &TORQUES],
    )
    .times(2),
    bare(
        "battery-feed",
        &["battery feed", "constant 12 V", "main feed", "battery power"],
        &[Here(&at::BATTERY_POSITIVE), Here(&at::JUMP_POST), Here(&at::HOOD_FUSES)],
        &[],
        &[&STUDS, &RATINGS, &TORQUES],
    ),
    bare(
        "fused-feed",
        &["fused feed", "fuse tap", "spare fuse slot", "fuse box feed"],
        &[Here(&at::CABIN_FUSES), Here(&at::HOOD_FUSES)],
        &HOT,
        &[&RATINGS],
    )
    .times(2),
    bare(
        "firewall-pass",
        &["firewall pass", "bulkhead pass", "firewall hole", "through the firewall"],
        &[
            About(&at::RELEASE_CABLE, Above),
            About(&at::RELEASE_HANDLE, Above),
            Here(&at::GROMMET),
            About(&at::BOOSTER, LeftOf),
            About(&at::BOOSTER, Below),
            Here(&at::CLUTCH_BLANK),
            About(&at::GLOVE_BOX, Behind),
            About(&at::GAS_PEDAL, Above),
        ],
        &GROMMETS,
        &[&HOLES],
    )
    .times(2),
    bare(
        "controller-mount",
        &["control mount", "controller mount", "brake control mount", "controller position"],
        &[
            About(&at::COLUMN, LeftOf),
            About(&at::COLUMN, RightOf),
            Here(&at::BOLSTER),
            About(&at::LAMP_SWITCH, Below),
            Here(&at::CONSOLE),
        ],
        &SUITS,
        &[],
    ),
    bare(
        "breaker-mount",
        &["breaker mount", "circuit breaker mount", "breaker position"],
        &[
            Here(&at::INNER_FENDER),
            Here(&at::BATTERY_TRAY),
            Here(&at::RAD_SUPPORT),
            Here(&at::STRUT_TOWER),
            About(&at::WASHER, Behind),
        ],
        &SUITS,
        &[],
    ),
    bare(
        "cable-route",
        &["cable route", "wire run", "route to the rear", "cable run"],
        &[Here(&at::FRAME_RAIL), Here(&at::SILL), About(&at::FUEL_TANK, Above), Here(&at::DOOR_BOOT)],
        &SUITS,
        &[&LENGTHS, &SECTIONS],
    ),
    bare(
        "panel-removal",
        &["panel removal", "trim removal", "how the panel comes off"],
        &[
            Here(&at::BOLSTER),
            Here(&at::KICK),
            Here(&at::SILL),
            Here(&at::QUARTER_TRIM),
            Here(&at::GLOVE_BOX),
            Here(&at::A_PILLAR),
            Here(&at::STEP_PAD),
        ],
        &FIXINGS,
        &[&TORQUES],
    ),
    bare("labour", &["labour", "job time", "how long", "labor"], &[], &JOBS, &[&MINUTES]).times(2),
    bare(
        "tow-connector-rear",
        &["trailer connector", "trailer socket", "trailer plug", "rear tow connector"],
        &[Here(&at::TOW_BAR), Here(&at::STEP_PAD), Here(&at::QUARTER_TRIM)],
        &CARRIES,
        &[&RATINGS],
    )
    .wired()
    .times(3),
];
