//! The drawing offices of the invented makers: for one generation of one model, every wire, stud and hole.
//! Owns how the things of a vehicle hang together; what a thing is, is `truth`.

use crate::dice::Dice;
use crate::facts::{BLACK, BLUE, FUSES, Fact, HEAVY, HOLES, RED, STUDS, Shade, Wire, palette};
use crate::fleet::{Body, Model};
use crate::places::{self, Place};
use crate::signals::{SIGNALS, Signal};
use crate::truth::{Change, Facts, SEED, Thing, When};

/// Places that are a plug of their own: the cavity needs no connector name there.
const PLUGS: [Place; 4] = [places::STOP_SWITCH, places::HIGH_STOP, places::HOOD_LATCH, places::PARK_BRAKE];

/// Everything that is true of generation `generation` of `model`.
pub fn things(model: &Model, generation: usize) -> Vec<Thing> {
    let mut maker = Maker::new(model, generation);
    let mut list: Vec<Thing> = SIGNALS.iter().enumerate().map(|(i, s)| maker.wire(i, s)).collect();
    list.extend(maker.feeds());
    list.extend(maker.metal());
    list.push(maker.pair());
    list.extend(maker.plugs());
    list.extend(maker.work());
    for thing in &mut list {
        maker.change(thing);
    }
    list
}

/// The drawing office of one model.
struct Maker<'a> {
    model: &'a Model,
    generation: usize,
    colours: Vec<Wire>,
    cavities: Vec<u16>,
    dice: Dice,
    drawn: usize,
}

impl<'a> Maker<'a> {
    fn new(model: &'a Model, generation: usize) -> Self {
        let mut colours = palette();
        Dice::of(SEED, model.make).shuffle(&mut colours);
        let mut cavities: Vec<u16> = (1..=32).collect();
        Dice::of(SEED, model.name).shuffle(&mut cavities);
        let dice = Dice::of(SEED, &format!("{} {} {generation}", model.make, model.name));
        Self { model, generation, colours, cavities, dice, drawn: 0 }
    }

    /// Dice for the thing called `tag`; a thing that the maker carried over into this generation falls as before.
    fn dice_for(&self, tag: &str) -> Dice {
        let name = format!("{} {} {tag}", self.model.make, self.model.name);
        let renewed =
            (1..=self.generation).rev().find(|g| Dice::of(SEED, &format!("{name} renewed {g}")).chance(45));
        Dice::of(SEED, &format!("{name} {}", renewed.unwrap_or(0)))
    }

    fn colour(&mut self, dice: &mut Dice) -> Wire {
        self.drawn += 1;
        // Half of the wires follow the house colours of the maker, the rest are the model's own.
        let offset = if dice.chance(50) { 0 } else { 1 + dice.below(3) * 17 };
        self.colours[(self.drawn * 2 + offset) % self.colours.len()]
    }

    fn connector(&self, place: Place) -> String {
        let number = 100 + Dice::of(SEED, &format!("{} {}", self.model.name, place[0])).below(300);
        match self.model.make {
            "Quillon" | "Ironquay" | "Hathermoor" => format!("C{number}"),
            "Vostrand" | "Pelluna" => format!("X{}", number % 90 + 2),
            "Dravik" => format!("J{}", number % 60 + 1),
            _ => format!("{}-{}", ["B", "D", "M"][number % 3], number % 40 + 1),
        }
    }

    fn tap(&self, index: usize, place: Place, dice: &mut Dice) -> Facts {
        let mut facts = vec![("at", Fact::Place(place))];
        if PLUGS.contains(&place) {
            facts.push(("cavity", Fact::Code(dice.between(1, 4).to_string())));
        } else {
            facts.push(("connector", Fact::Code(self.connector(place))));
            facts.push(("cavity", Fact::Code(self.cavities[index % self.cavities.len()].to_string())));
        }
        facts
    }

    fn wire(&mut self, index: usize, signal: &Signal) -> Thing {
        let mut dice = self.dice_for(&format!("{} {index}", signal.point));
        let mut facts = Vec::new();
        if signal.point == "door-signal" {
            let passenger = signal.places[0] == places::KICK_RIGHT;
            facts.push((
                "door",
                Fact::Choice(if passenger {
                    &["passenger", "passenger door"]
                } else {
                    &["driver", "driver door"]
                }),
            ));
        }
        facts.push(("colour", Fact::Wire(self.colour(&mut dice))));
        facts.extend(self.tap(index, signal.places[0], &mut dice));
        if signal.point.ends_with("-feed") {
            facts.push(("rating", Fact::Amps(dice.one_of(&[75, 100, 150, 200]))));
        } else {
            facts.push((
                "signal",
                if dice.chance(85) { signal.likely.clone() } else { signal.seldom.clone() },
            ));
        }
        if dice.chance(60) {
            facts.push(("section", Fact::Gauge(dice.one_of(&[18, 20, 16]))));
        }
        let mut thing = Thing::new(signal.point, facts);
        thing.taps = signal.places[1..].iter().map(|place| self.tap(index, place, &mut dice)).collect();
        thing
    }

    fn feeds(&mut self) -> Vec<Thing> {
        const HOT: [Fact; 3] = [
            Fact::Choice(&["always", "constant", "always hot", "BAT"]),
            Fact::Choice(&["ignition", "IGN", "run", "key on"]),
            Fact::Choice(&["accessory", "ACC"]),
        ];
        let mut list = Vec::new();
        for i in 0..5 {
            let mut dice = self.dice_for(&format!("fused {i}"));
            let place =
                dice.weigh(&[(places::FUSES_DASH, 4), (places::FUSES_ENGINE, 4), (places::FUSES_REAR, 1)]);
            let number = 4 + i * 9 + dice.below(8);
            let slot = if matches!(self.model.make, "Vostrand" | "Ombrel" | "Zephane") {
                format!("F{number}")
            } else {
                number.to_string()
            };
            let form = dice.pick(&[
                Fact::Choice(&["miniature", "mini"]),
                Fact::Choice(&["regular", "standard"]),
                Fact::Choice(&["low-profile", "low profile"]),
                Fact::Choice(&["micro"]),
            ]);
            list.push(Thing::new(
                "fused-feed",
                vec![
                    ("at", Fact::Place(place)),
                    ("slot", Fact::Code(slot)),
                    ("rating", Fact::Amps(dice.one_of(FUSES))),
                    ("hot", dice.pick(&HOT).clone()),
                    ("fuse", form.clone()),
                ],
            ));
        }
        for place in draw(places::FEEDS, 2, &mut self.dice_for("feeds")) {
            let mut dice = self.dice_for(place[0]);
            list.push(Thing::new(
                "battery-feed",
                vec![
                    ("at", Fact::Place(place)),
                    ("stud", Fact::Stud(dice.one_of(&["M6", "M8", "M8", "M10"]))),
                    ("rating", Fact::Amps(dice.one_of(HEAVY))),
                    ("torque", Fact::NewtonMetres(dice.between(8, 14))),
                ],
            ));
        }
        list
    }

    fn metal(&mut self) -> Vec<Thing> {
        let mut list = Vec::new();
        for place in draw(places::GROUNDS, 3, &mut self.dice_for("grounds")) {
            let mut dice = self.dice_for(place[0]);
            let facts = vec![
                ("at", Fact::Place(place)),
                (
                    "stud",
                    Fact::Stud(dice.weigh(&[
                        (STUDS[0], 4),
                        (STUDS[1], 6),
                        (STUDS[2], 1),
                        (STUDS[3], 1),
                        (STUDS[4], 1),
                    ])),
                ),
                ("torque", Fact::NewtonMetres(dice.between(8, 12))),
            ];
            list.push(Thing::new("ground", facts));
        }
        for place in draw(places::PASSES, 2, &mut self.dice_for("passes")) {
            let mut dice = self.dice_for(place[0]);
            let (mm, inch) = dice.one_of(HOLES);
            let grommet = match place[0] {
                "main harness grommet" => Fact::Choice(&["existing", "factory grommet", "yes"]),
                "clutch blank plate" => Fact::Choice(&["existing", "rubber plug", "yes"]),
                _ => dice
                    .pick(&[
                        Fact::Choice(&["none", "no", "no grommet"]),
                        Fact::Choice(&["fit-new", "fit new", "needs one"]),
                    ])
                    .clone(),
            };
            let facts =
                vec![("at", Fact::Place(place)), ("hole", Fact::Hole(mm, inch)), ("grommet", grommet)];
            list.push(Thing::new("firewall-pass", facts));
        }
        list
    }

    fn pair(&mut self) -> Thing {
        let mut dice = self.dice_for("data-pair");
        let mut facts = vec![
            ("at", Fact::Place(places::GATEWAY)),
            ("connector", Fact::Code(self.connector(places::GATEWAY))),
        ];
        facts.push(("colour", Fact::Wire(self.colour(&mut dice))));
        // The high line of the standard diagnostic connector is contact 6 (ISO 15031-3; from memory).
        facts.push(("cavity", Fact::Code("6".to_string())));
        Thing::new("data-pair", facts)
    }

    fn plugs(&mut self) -> Vec<Thing> {
        const DASH: [&[&str]; 5] = [
            &["brake-output", "brake output", "brake out"],
            &["brake-signal", "stop", "brake signal"],
            &["battery-feed", "battery", "BAT"],
            &["ground", "gnd", "ground"],
            &["illumination", "illum"],
        ];
        const REAR: [&[&str]; 6] = [
            &["left-turn", "left", "LT"],
            &["right-turn", "right", "RT"],
            &["park-lamp", "running", "tail"],
            &["brake-output", "electric brakes", "brake output"],
            &["battery-feed", "charge", "battery"],
            &["reverse-lamp", "reverse", "backup"],
        ];
        let mut list = Vec::new();
        if self.model.body != Body::Car {
            for (i, carries) in DASH.into_iter().enumerate() {
                list.push(self.line("tow-connector-dash", carries, places::DASH_PLUG, i));
            }
        }
        for (i, carries) in REAR.into_iter().enumerate() {
            let place = if i % 2 == 0 { places::REAR_PLUG } else { places::REAR_HARNESS };
            list.push(self.line("tow-connector-rear", carries, place, i));
        }
        list
    }

    fn line(
        &mut self,
        point: &'static str,
        carries: &'static [&'static str],
        place: Place,
        index: usize,
    ) -> Thing {
        let mut dice = self.dice_for(&format!("{point} {}", carries[0]));
        let mut facts = Vec::new();
        let (mut carries, mut cavity) = (carries, index + 1);
        if point == "tow-connector-rear" {
            let thirteen = matches!(self.model.make, "Vostrand" | "Ombrel" | "Pelluna");
            facts.push(("shape", Fact::Choice(if thirteen { THIRTEEN_PIN } else { SEVEN_BLADE })));
            // A 13-pin socket has no contact for electric brakes; the rear fog lamp sits in it instead.
            carries = if thirteen && carries[0] == "brake-output" { FOG } else { carries };
            cavity = contact(carries[0], thirteen);
        }
        facts.push(("carries", Fact::Choice(carries)));
        let house = self.colour(&mut dice);
        // Trailer wiring keeps to the habits of the trade more than the rest of the harness does.
        let base = match carries[0] {
            "ground" => Some(&BLACK),
            "brake-output" | "fog-lamp" => Some(&BLUE),
            "battery-feed" => Some(&RED),
            _ => None,
        };
        let usual =
            base.filter(|_| dice.chance(75)).map(|base| Wire { shade: Shade::Plain, base, tracer: None });
        facts.push(("colour", Fact::Wire(usual.unwrap_or(house))));
        facts.push(("at", Fact::Place(place)));
        facts.push(("cavity", Fact::Code(cavity.to_string())));
        Thing { needs_tow: true, ..Thing::new(point, facts) }
    }

    fn work(&mut self) -> Vec<Thing> {
        const YES: Fact = Fact::Choice(&["yes", "good", "ok"]);
        const TIGHT: Fact = Fact::Choice(&["tight", "just"]);
        const NO: Fact = Fact::Choice(&["no", "not here"]);
        let suits = [YES, YES, YES, TIGHT, NO];
        let mut list = Vec::new();
        for (point, choice) in [("controller-mount", places::CONTROLS), ("breaker-mount", places::BREAKERS)] {
            for place in draw(choice, 2, &mut self.dice_for(point)) {
                let verdict = self.dice_for(&format!("{point} {}", place[0])).pick(&suits).clone();
                list.push(Thing::new(point, vec![("at", Fact::Place(place)), ("suits", verdict)]));
            }
        }
        for place in draw(places::ROUTES, 2, &mut self.dice_for("routes")) {
            let length = self.dice_for(place[0]).between(46, 68);
            let facts = vec![
                ("at", Fact::Place(place)),
                ("suits", YES),
                ("length", Fact::Metres(length)),
                ("section", Fact::Gauge(10)),
            ];
            list.push(Thing::new("cable-route", facts));
        }
        list.extend(
            draw(places::PANELS, 4, &mut self.dice_for("panels")).into_iter().map(|place| self.panel(place)),
        );
        list
    }

    fn panel(&self, place: Place) -> Thing {
        let mut dice = self.dice_for(place[0]);
        let screwed = dice.chance(55);
        let fixing = if screwed {
            Fact::Choice(&["screws", "screws and clips"])
        } else {
            Fact::Choice(&["clips", "clips only"])
        };
        let how = if screwed {
            dice.pick(&[
                "two screws along the bottom then pull",
                "screw behind the small cover",
                "4 screws, slides down",
                "3 screws, lift off the top hooks",
            ])
        } else {
            dice.pick(&[
                "pull toward you from the rear edge",
                "start at the bottom",
                "unclip from the top, 5 clips",
                "straight back, firm pull",
            ])
        };
        let tool = if screwed {
            dice.pick(&["7 mm socket", "10 mm socket", "cross-head no. 2", "8 mm deep"])
        } else {
            dice.pick(&["trim wedge", "plastic wedge", "hand only"])
        };
        Thing::new(
            "panel-removal",
            vec![
                ("at", Fact::Place(place)),
                ("fixing", fixing),
                ("how", Fact::Prose(how)),
                ("tool", Fact::Prose(tool)),
            ],
        )
    }

    /// Some things change inside the generation: by year, by an attribute, or in the middle of a year.
    fn change(&mut self, thing: &mut Thing) {
        const CHANGING: [&str; 6] = ["colour", "rating", "stud", "length", "hole", "none"];
        let Some(field) = CHANGING.into_iter().find(|f| thing.facts.iter().any(|(name, _)| name == f)) else {
            return;
        };
        if thing.point == "cable-route" && self.model.body == Body::Pickup {
            thing.change = Some(self.to(When::Has("cab", "crew"), field, thing));
        } else if self.dice.chance(30) {
            let when = self.when(thing.point);
            thing.change = Some(self.to(when, field, thing));
        }
    }

    fn to(&mut self, when: When, field: &'static str, thing: &Thing) -> Change {
        let spare = self.colours[(self.drawn * 2 + 31) % self.colours.len()];
        self.drawn += 1;
        let old = thing
            .facts
            .iter()
            .find(|(name, _)| *name == field)
            .map_or(Fact::Minutes(0), |(_, fact)| fact.clone());
        Change { when, field, fact: old.other(spare, &mut self.dice) }
    }

    fn when(&mut self, point: &str) -> When {
        let first = self.model.generations[self.generation];
        let year = first + self.dice.between(2, 4);
        let attribute = match point {
            "brake-signal" | "tow-connector-dash" | "left-turn" | "right-turn" | "battery-feed" => {
                When::Has("tow", "yes")
            }
            "park-lamp" | "reverse-lamp" | "high-stop-lamp" | "high-beam" | "fog-lamp" => {
                When::Has("lamps", "led")
            }
            "ignition-feed" | "accessory-feed" | "start-signal" => When::Has("start", "push-button"),
            "ground" | "fused-feed" => When::Has("fuel", "diesel"),
            _ => When::Has("trim", "LX"),
        };
        let month = self.dice.between(1, 4);
        self.dice.weigh(&[(When::FromYear(year), 45), (attribute, 35), (When::FromBuilt(year, month), 20)])
    }
}

const SEVEN_BLADE: &[&str] = &["seven-blade", "7-blade", "7-way blade", "7 blade"];
const THIRTEEN_PIN: &[&str] = &["thirteen-pin", "13-pin", "13 pin"];
const FOG: &[&str] = &["fog-lamp", "fog", "rear fog"];

/// The contact that carries a function: 13-pin after ISO 11446:2012; the 7-way blade after common
/// practice (called SAE J2863, which was not seen).
fn contact(carries: &str, thirteen: bool) -> usize {
    match (carries, thirteen) {
        ("left-turn", true) => 1,
        ("fog-lamp", _) => 2,
        ("right-turn", true) => 4,
        ("park-lamp", true) => 7,
        ("reverse-lamp", true) => 8,
        ("battery-feed", true) => 9,
        ("brake-output", _) => 2,
        ("park-lamp", false) => 3,
        ("battery-feed", false) => 4,
        ("left-turn", false) => 5,
        ("right-turn", false) => 6,
        _ => 7,
    }
}

fn draw(places: &'static [Place], count: usize, dice: &mut Dice) -> Vec<Place> {
    let mut list = places.to_vec();
    dice.shuffle(&mut list);
    list.truncate(count);
    list
}
