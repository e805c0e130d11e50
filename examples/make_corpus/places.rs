//! Places on a vehicle as people of the shop write them. Each list is one place: first the full
//! words, then what is scribbled in a hurry. Owns spellings only.

/// One place with its spellings; the first is the plainest.
pub type Place = &'static [&'static str];

pub const STOP_SWITCH: Place =
    &["stop lamp switch", "brake switch", "BPP sw", "brake pedal switch", "stop lamp sw"];
pub const KICK_LEFT: Place =
    &["driver kick panel", "LH kick panel", "left kick panel", "driver side kick panel"];
pub const KICK_RIGHT: Place =
    &["passenger kick panel", "RH kick panel", "right kick panel", "passenger side kick panel"];
pub const BODY_COMPUTER: Place = &["body control module", "BCM", "body computer"];
pub const KEY_SWITCH: Place = &["ignition switch", "ign switch", "ignition switch harness"];
pub const COLUMN: Place = &["below the steering column", "under the column", "below column"];
pub const LAMP_SWITCH: Place = &["headlamp switch", "headlight switch", "behind the headlamp switch"];
pub const CLUSTER: Place = &["instrument cluster", "behind the cluster", "cluster"];
pub const RADIO: Place = &["behind the radio", "radio", "at the radio"];
pub const TAIL_LEFT: Place = &["left tail lamp", "LH tail lamp", "LH taillight", "driver side tail lamp"];
pub const TAIL_RIGHT: Place =
    &["right tail lamp", "RH tail lamp", "RH taillight", "passenger side tail lamp"];
pub const HIGH_STOP: Place = &["high mount stop lamp", "third brake light", "centre high stop lamp"];
pub const SILL_LEFT: Place = &["driver sill", "driver door sill", "LH sill", "left sill"];
pub const SHIFTER: Place = &["shifter", "gear lever", "at the shifter"];
pub const GEARBOX: Place = &["transmission connector", "transmission plug", "gearbox connector"];
pub const HOOD_LATCH: Place = &["hood latch", "bonnet latch", "at the hood latch"];
pub const HORN_RELAY: Place = &["horn relay", "horn relay socket"];
pub const HEADLAMP_LEFT: Place = &["left headlamp", "LH headlamp", "behind left headlamp", "driver headlamp"];
pub const PARK_BRAKE: Place =
    &["park brake lever", "parking brake lever", "hand brake lever", "park brake pedal"];
pub const GATEWAY: Place = &["diagnostic connector", "diagnostic plug", "diag connector"];

pub const FUSES_ENGINE: Place =
    &["underhood fuse box", "under hood fuse box", "engine bay fuse box", "fuse box under hood"];
pub const FUSES_DASH: Place =
    &["dash fuse box", "fuse box left end of dash", "interior fuse box", "dash fuse panel"];
pub const FUSES_REAR: Place = &["rear fuse box", "fuse box left quarter trim"];

pub const GROUNDS: &[Place] = &[
    &[
        "left inner fender",
        "LH inner fender",
        "driver side inner fender",
        "left inner fender above washer bottle",
    ],
    &[
        "right inner fender",
        "RH inner fender",
        "passenger side inner fender",
        "RH inner fender behind battery tray",
    ],
    &["driver kick panel", "LH kick panel", "left kick panel"],
    &["left frame rail above the hitch", "LH frame rail above hitch", "left frame rail, above hitch"],
    &["radiator support", "rad support", "radiator support left side"],
    &["firewall left of the brake booster", "firewall, left of booster"],
    &["behind the glove box", "behind the glovebox"],
    &["left rear quarter panel", "LH quarter panel", "left quarter panel"],
    &["right frame rail", "RH frame rail", "frame rail passenger side"],
    &["below the battery tray", "under battery tray", "below battery tray"],
];

pub const FEEDS: &[Place] = &[
    &["battery positive post", "battery +", "battery positive"],
    &["underhood fuse box", "UHFB", "engine bay fuse box", "under hood fuse box"],
    &["distribution stud right inner fender", "RH inner fender distribution stud"],
    &["firewall junction stud", "junction stud on firewall"],
    &["rear fuse box", "fuse box left quarter trim"],
];

pub const PASSES: &[Place] = &[
    &[
        "above the hood release cable",
        "driver side above the hood release cable",
        "above hood release cable",
        "LH above hood release cable",
    ],
    &["main harness grommet", "through main harness grommet", "in the main harness grommet"],
    &["left of the brake booster", "outboard of the booster", "left of booster"],
    &["below the brake booster", "under brake booster", "below booster"],
    &["clutch blank plate", "clutch pedal blank", "clutch blank"],
    &["behind the glove box", "passenger side behind the glove box", "behind glove box"],
    &["above the accelerator pedal", "above gas pedal", "above accel pedal"],
];

pub const ROUTES: &[Place] = &[
    &["inside the left frame rail", "inside LH frame rail", "inside left frame rail"],
    &["along the right frame rail", "RH frame rail", "right frame rail"],
    &["under the driver sill trim", "driver sill", "LH sill", "under left sill trim"],
    &["above the fuel tank", "over fuel tank", "above fuel tank"],
    &["along the left sill", "left sill"],
];

pub const CONTROLS: &[Place] = &[
    &["left of the steering column", "left of column", "dash left of the steering column"],
    &["right of the steering column", "right of column", "dash right of column"],
    &["driver knee panel", "knee panel", "knee bolster"],
    &["left side of the centre console", "center console left side", "console left side"],
    &["below the headlamp switch", "under the headlight switch", "below lamp switch"],
];

pub const BREAKERS: &[Place] = &[
    &["left inner fender", "LH inner fender", "driver side inner fender"],
    &["right inner fender", "RH inner fender beside battery", "passenger side inner fender"],
    &["battery tray", "battery tray bracket", "on the battery tray"],
    &["radiator support", "rad support", "radiator support beside battery"],
    &["firewall", "on the firewall"],
];

pub const PANELS: &[Place] = &[
    &["driver knee panel", "knee panel", "knee bolster", "driver knee bolster"],
    &["driver kick panel", "LH kick panel", "left kick panel"],
    &["driver sill trim", "LH sill trim", "left sill trim", "driver sill plate"],
    &["left end cap of the dash", "dash end cap LH", "left dash end cap"],
    &["cluster bezel", "instrument bezel", "cluster surround"],
    &["radio bezel", "radio surround", "centre stack bezel"],
    &["left quarter trim", "LH quarter trim", "driver side quarter trim"],
    &["glove box", "glovebox"],
    &["left tail lamp", "LH tail lamp", "LH taillight"],
    &["rear bumper step pad", "bumper step pad"],
];

pub const DASH_PLUG: Place = &[
    "under the dash left of the column",
    "under dash left of column",
    "above the driver kick panel",
    "under dash, driver side",
];
pub const REAR_PLUG: Place =
    &["rear bumper left of the plate", "rear bumper, left of plate", "rear bumper", "above the hitch"];
pub const REAR_HARNESS: Place = &["left quarter trim", "LH quarter trim", "behind left quarter trim"];
