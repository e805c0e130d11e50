//! A place on the vehicle in the judged set: what it is, how people write it in a note, and how they ask for it.
//!
//! The words are those of the trade on both sides of the Atlantic, from memory; each list is one part, the plainest
//! first.

use crate::dice::Dice;
use crate::need::Level;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    Left,
    Right,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Relation {
    Above,
    Below,
    Behind,
    LeftOf,
    RightOf,
}

/// A part with its names.
#[derive(Debug)]
pub struct Part {
    pub names: &'static [&'static str],
    sided: bool,
}

/// A place: a part, on one side of the vehicle or somewhere about the part.
#[derive(Debug, Clone, Copy)]
pub struct Spot {
    pub part: &'static Part,
    pub side: Option<Side>,
    pub relation: Option<Relation>,
}

const fn part(names: &'static [&'static str]) -> Part {
    Part { names, sided: false }
}

const fn sided(names: &'static [&'static str]) -> Part {
    Part { names, sided: true }
}

macro_rules! parts {
    ($($name:ident = $make:ident $names:expr;)+) => { $(pub static $name: Part = $make(&$names);)+ };
}

parts! {
    BRAKE_SWITCH = part ["stop lamp switch", "brake switch", "BPP sw", "brake pedal switch", "brake light switch", "stop light switch", "brake pedal position switch"];
    KICK = sided ["kick panel", "kickpanel", "kick trim", "cowl side panel"];
    SILL = sided ["door sill", "sill plate", "scuff plate", "sill trim"];
    INNER_FENDER = sided ["inner fender", "inner wing", "fender apron", "inner guard"];
    STRUT_TOWER = sided ["strut tower", "shock tower", "strut turret"];
    HEADLAMP = sided ["headlamp", "headlight", "head lamp"];
    TAIL_LAMP = sided ["tail lamp", "taillight", "rear lamp", "tail light"];
    FRAME_RAIL = sided ["frame rail", "chassis rail", "chassis leg", "frame side rail"];
    QUARTER_TRIM = sided ["quarter trim", "load area side trim", "cargo side trim"];
    A_PILLAR = sided ["A-pillar", "windshield pillar", "windscreen pillar"];
    DOOR_BOOT = sided ["door boot", "door jamb boot", "door gaiter"];
    RELEASE_HANDLE = part ["hood release handle", "bonnet release", "hood release lever", "hood pull"];
    RELEASE_CABLE = part ["hood release cable", "bonnet cable", "hood latch cable"];
    BOOSTER = part ["brake booster", "brake servo", "vacuum booster", "servo"];
    GROMMET = part ["main harness grommet", "firewall grommet", "bulkhead grommet"];
    COLUMN = part ["steering column", "column", "strg column"];
    GLOVE_BOX = part ["glove box", "glovebox", "glove compartment"];
    RADIO = part ["radio", "head unit", "stereo"];
    CLUSTER = part ["instrument cluster", "gauge cluster", "cluster", "gauges"];
    CABIN_FUSES = part ["fuse box under dash", "interior fuse box", "cabin fuse box", "dash fuse panel", "under dash fuse block"];
    HOOD_FUSES = part ["under hood fuse box", "engine bay fuse box", "power distribution box", "fuse box under hood"];
    BATTERY_POSITIVE = part ["battery positive terminal", "battery +", "battery positive post", "positive battery post"];
    JUMP_POST = part ["jump start terminal", "jump post", "remote positive terminal"];
    BATTERY_TRAY = part ["battery tray", "battery box", "battery carrier"];
    LAMP_SWITCH = part ["headlamp switch", "headlight switch", "light switch"];
    KEY_SWITCH = part ["ignition switch", "ign switch", "key switch", "ignition lock"];
    BODY_COMPUTER = part ["body control module", "BCM", "body computer"];
    CLUTCH_BLANK = part ["clutch blank plate", "clutch hole cover", "clutch blanking plate"];
    GAS_PEDAL = part ["accelerator pedal", "gas pedal", "throttle pedal"];
    BOLSTER = part ["knee bolster", "knee panel", "lower dash panel", "hush panel"];
    CONSOLE = part ["centre console", "center console", "floor console"];
    SHIFTER = part ["shifter", "gear lever", "gear selector", "gearstick"];
    HOOD_LATCH = part ["hood latch", "bonnet catch", "hood lock"];
    HORN_RELAY = part ["horn relay", "relay of the horn"];
    HANDBRAKE = part ["parking brake lever", "handbrake", "hand brake lever"];
    HIGH_STOP = part ["high mount stop lamp", "third brake light", "CHMSL"];
    GEARBOX = part ["transmission", "gearbox", "trans"];
    FUEL_TANK = part ["fuel tank", "gas tank", "petrol tank"];
    RAD_SUPPORT = part ["radiator support", "core support", "slam panel"];
    TOW_BAR = part ["hitch receiver", "tow bar", "tow hitch"];
    STEP_PAD = part ["bumper step pad", "step pad", "bumper step"];
    WASHER = part ["washer bottle", "washer fluid reservoir", "screen washer bottle"];
}

impl Part {
    /// The part itself, on a side where it has one.
    pub fn here(&'static self, dice: &mut Dice) -> Spot {
        let side = self.sided.then(|| dice.one_of(&[Side::Left, Side::Left, Side::Right]));
        Spot { part: self, side, relation: None }
    }

    /// Somewhere about it.
    pub const fn about(&'static self, relation: Relation) -> Spot {
        Spot { part: self, side: None, relation: Some(relation) }
    }
}

impl Spot {
    /// The same without what a hurried writer leaves out.
    pub fn coarser(self) -> Option<Self> {
        match (self.side, self.relation) {
            (None, None) => None,
            _ => Some(Self { part: self.part, side: None, relation: None }),
        }
    }

    /// How far a note of this place means the one that is asked for.
    pub fn level(self, asked: Self) -> Level {
        let both = |a: bool, b: bool| if a && b { Level::Touches } else { Level::Near };
        if !std::ptr::eq(self.part, asked.part) {
            return Level::Other;
        }
        let side = match self.side == asked.side {
            true => Level::Same,
            false => both(self.side.is_some(), asked.side.is_some()),
        };
        match self.relation == asked.relation {
            true => side,
            false => side.min(both(self.relation.is_some(), asked.relation.is_some())),
        }
    }

    /// In words; `rhd` tells on which side the driver sits.
    pub fn written(self, rhd: bool, dice: &mut Dice) -> String {
        let name = dice.one_of(self.part.names);
        self.with(name, rhd, dice)
    }

    /// In words other than these, where there are any.
    pub fn asked(self, known: &str, rhd: bool, dice: &mut Dice) -> String {
        let others: Vec<&str> =
            self.part.names.iter().filter(|name| !known.contains(**name)).copied().collect();
        let name = if others.is_empty() { self.part.names[0] } else { dice.one_of(&others) };
        self.with(name, rhd, dice)
    }

    fn with(self, name: &str, rhd: bool, dice: &mut Dice) -> String {
        let article = if dice.happens(0.3) { "the " } else { "" };
        match (self.side, self.relation) {
            (Some(side), _) => format!("{} {name}", side.written(rhd, dice)),
            (None, Some(relation)) => format!("{} {article}{name}", relation.written(dice)),
            (None, None) => name.to_owned(),
        }
    }
}

impl Side {
    fn written(self, rhd: bool, dice: &mut Dice) -> &'static str {
        match (self, (self == Self::Right) == rhd) {
            (Self::Left, true) => dice.one_of(&["left", "LH", "driver side", "driver"]),
            (Self::Left, false) => dice.one_of(&["left", "LH", "passenger side"]),
            (Self::Right, true) => dice.one_of(&["right", "RH", "driver side", "driver"]),
            (Self::Right, false) => dice.one_of(&["right", "RH", "passenger side"]),
        }
    }
}

impl Relation {
    fn written(self, dice: &mut Dice) -> &'static str {
        dice.one_of(match self {
            Self::Above => &["above", "over", "just above"],
            Self::Below => &["below", "under", "beneath"],
            Self::Behind => &["behind", "in back of", "behind"],
            Self::LeftOf => &["left of", "to the left of"],
            Self::RightOf => &["right of", "to the right of"],
        })
    }
}
