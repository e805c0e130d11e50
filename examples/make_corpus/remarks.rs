//! What people of the shop write into the last column: what the meter said, what was in the way,
//! whose truck it was. Owns the phrases; `voice` decides how a hand puts them.
//!
//! Slots: {v} battery voltage with the engine off, {run} with it running, {z} a reading of nothing,
//! {d} a small drop, {m} minutes, {who} a colleague, {cust} a customer, {tr} a trailer, {n} a small number.

/// Phrases for what a meter showed at `point`.
pub fn metered(point: &str) -> &'static [&'static str] {
    match point {
        "brake-signal" => &[
            "{z} pedal up, {v} pedal down", "{v} with the pedal, nothing with hazards on", "dead with key off too until the pedal goes down, then {v}",
            "checked with hazards flashing, stays at {z}", "{v} on the brake, key on or off", "pedal down {v}, does not flash with the turn signal",
            "other wire on the same switch drops out with the pedal, not that one", "{run} with engine running and pedal down", "comes up to {v} at the first touch of the pedal",
            "pedal {v} / no pedal {z}", "back-probed it, {v}, steady", "reads {v} braking. cruise still cancels after the tap",
        ],
        "park-lamp" => &["{v} with lamps on park, dimmer makes no difference", "{z} lamps off, {v} on", "follows the lamp switch, not the dimmer", "meter jumps around a bit, about 11 V, looks pulsed on the scope",
            "{v} parks on, key out", "on with auto lamps when I cover the sensor, {v}"],
        "left-turn" | "right-turn" => &["{v} blinking, brake pedal does nothing to it", "blinks with turn and hazards, {v}", "also {v} with the pedal down so it is stop and turn together",
            "flashes {z} to {v}", "turn only, no stop on it", "steady {v} on the brake, blinks over it with the stalk", "blinks {v}, bulb out warning came up so used the powered box"],
        "reverse-lamp" => &["{v} in R, {z} in P and N", "in reverse {v}, key on engine off", "{v} as soon as it goes into R, wheels chocked", "{z} in drive, {v} in reverse", "camera wakes on it, {v}"],
        "illumination" => &["2.1 to {v} over the dimmer", "follows the dimmer, 0 to {v}", "meter reads 3 to 11 V with the wheel, pulsed on the scope", "{v} at full, dims with the rest of the dash",
            "works with parks on only, goes down to 1.8 V", "dims, {z} with lamps off"],
        "ignition-feed" => &["{v} in run, 10.2 V cranking, {z} in acc", "does not drop while cranking", "dead in ACC, live in RUN and START", "{v} key on, goes off right away with the key", "held 9.8 V on the crank", "{run} running, dead key off"],
        "accessory-feed" => &["{v} in acc, out while cranking", "live in ACC and RUN, drops on the crank", "stays on until the door opens, then {z}", "{v} with key in acc", "goes dead ten minutes after key off on this one", "{v} acc, {z} off"],
        "start-signal" => &["{z} in run, 10.4 V cranking", "only while cranking", "10.1 V with the key held over", "goes to ground on the crank, not positive", "pushes up to {v} for a second then hands over to the module"],
        "door-signal" => &["{v} closed, {z} open", "drops to {z} with that door only", "took a minute until the dome faded, then {v}", "rests at {v}, goes to ground when the door opens", "other doors do not move it"],
        "hood-switch" => &["{z} hood open, 5 V closed", "opens the circuit with the hood up", "5.0 V closed, under half an ohm open", "goes to ground hood up", "switch sticks, worked it a few times then {v}"],
        "horn" => &["{v} at rest, {z} on the horn", "grounding it sounds the horn", "goes to ground with the pad pressed, measured at the relay", "{v} on the horn side when it sounds", "took it at the relay and not at the column"],
        "speed-signal" => &["steps 0 to 5 V turning the wheel by hand", "pulses with the wheel, 4 per turn or near it", "0 / 11 V square when rolling", "still stands at 4.9 V parked", "on the scope clean square wave at 30 km/h"],
        "high-stop-lamp" => &["{v} on the pedal, no blink", "steady {v} with hazards and pedal", "{z} pedal up, {v} down", "only stop wire back there that does not blink"],
        "high-beam" => &["{v} on high, {z} on low", "low beam {z}, high beam {v}", "{v} on flash too", "goes to ground on high, {v} on low", "high only. flash to pass works it as well"],
        "fog-lamp" => &["{v} with rear fog on, low beam on", "{z} off, {v} on, drops out with the 13-pin plugged in", "live only with headlamps on"],
        "park-brake" => &["{z} lever up, {v} lever down", "goes to ground when set", "5 V off, {z} set, key on", "first click already pulls it to {z}"],
        "ground" => &["{d} drop with 10 A on it", "0.1 ohm to the battery post", "{d} at the stud with the magnets on full", "cleaned to bare metal, then {d}", "was {d} after I took the paint off, 0.6 before", "0.08 ohm leads taken off", "{d} under load. good one",
            "rust under the ring, brushed it, {d}"],
        "battery-feed" => &["{v} key out, still there after it went to sleep", "hot all the time, {v}", "{v}, {d} drop at 30 A", "live with the key in my pocket for an hour", "{run} with engine running, {d} less at the stud"],
        "fused-feed" => &["{v} on the line side, fuse out", "hot leg is the one nearest the fender", "goes off about {n} minutes after the door", "{v} here with the key as noted", "drops on the crank", "stays up on the crank", "lower leg is the source", "tried it in all key positions"],
        "tow-connector-dash" => &["dead until the relay was fitted, then {v}", "{v} here once the fuse from the glove box bag was put in", "rung out to the rear socket", "checked each line by itself", "{v} on it, {z} with the pedal up", "continuity to the rear plug, 0.3 ohm"],
        "tow-connector-rear" => &["2 A lamp on it, {v}", "{v} at the socket under load", "rung out from the dash plug", "checked with the load board, {d} on the ground", "works with the trailer of {cust}", "{v}, no load. with a bulb 11.9"],
        "data-pair" => &["60 ohm across the pair, asleep", "2.6 V awake, partner 2.4", "61 ohm with the battery off"],
        _ => &["{v}"],
    }
}

/// Phrases that need no meter.
pub fn plain(point: &str) -> &'static [&'static str] {
    match point {
        "brake-signal" => &["top of the pedal, grey plug, lie on your back", "two whites on the same plug, not those", "wire is thin, use the small tap", "goes round behind the pedal bracket before you see it", "plug faces up, mirror helps",
            "easier from the kick panel if the seat is in the way", "nearest to the door of the four", "need the small hands for this one"],
        "park-lamp" => &["same wire feeds both sides here", "left and right come together at the kick panel", "taped into the big bundle", "there is a spare cavity beside it"],
        "left-turn" | "right-turn" => &["lamp module behind it complains about any load", "harness taped to the inner body, pull the lamp", "separate amber on this body", "one bulb does both back there", "two pulls of tape off and you see it"],
        "reverse-lamp" => &["runs under the sill with the fuel pump wires", "one of two that look alike, other is fuel level", "shop towel over the sill, sharp edge", "goes to the mirror too"],
        "illumination" => &["only one with a dimmer on this dash", "thin wire, do not strip it, use the tap", "lights the shifter too", "there is one more of the same colour at the radio, not that one"],
        "ignition-feed" => &["thick one", "relay only, do not hang a load on it", "second thick one from the top", "plug with the lock slide"],
        "accessory-feed" => &["radio plug, bottom row", "shares the fuse with the lighter", "fine for a display, not for a charger", "lighter socket is on this too"],
        "start-signal" => &["brake pedal must be down or it does nothing", "thick, next to the ignition one", "cut side toward the switch"],
        "door-signal" => &["bundle runs under the sill plate, stay out of the yellow one", "thin wire near the front of the plug", "tailgate has its own", "watch the yellow sleeve right beside it"],
        "hood-switch" => &["two pin plug on the latch, full of mud", "closed switch with the hood shut, the other way round from the usual", "latch has two of them on the alarm cars"],
        "horn" => &["relay clicks, follow that", "left the column alone, airbag", "two horns, one wire"],
        "speed-signal" => &["radio plug has it, saves the cluster", "not the ABS ones", "for the meter in a taxi, worked"],
        "high-stop-lamp" => &["behind the headliner edge, clips", "take the lamp out, two screws", "longest way round but the cleanest"],
        "high-beam" => &["plug behind the lamp, washer bottle out of the way", "trigger only", "relay socket is easier to reach than the lamp"],
        "fog-lamp" => &["needed for pin 2", "only one fog lamp, driver side", "car counts the bulb, so use the converter"],
        "park-brake" => &["console side cover off, then you see it", "single wire on the switch"],
        "ground" => &["scrape the paint", "good stud, three on it already", "bolt was loose from factory", "bring a star washer", "grease it after, salt gets there", "nut seizes, oil first", "stay off the seat belt bolt next to it", "plenty of room", "use this before the one by the headlamp", "room for one more ring"],
        "battery-feed" => &["cap clips off toward the fender", "breaker goes right beside it", "room for one ring only", "long stud, second nut fits on top", "mind the sensor on the negative side", "cover has to be trimmed"],
        "fused-feed" => &["empty from factory, has the terminals in", "map on the lid is wrong by one row", "spare, nothing goes dead with it out", "belongs to the trailer module", "lid map calls it aux", "needs the small add-a-leg", "seat heater on the cars that have it", "second row from the bottom"],
        "firewall-pass" => &["flat spot, nothing behind it but insulation", "pilot hole first and look", "tape the drill at 20 mm, harness right behind", "drop light in the footwell shows it", "carpet pad glued, cut a flap", "grommet has a nipple, cut the tip and go", "two skins here, long bit", "step drill, deburr, paint", "fish it with a coat hanger from the inside",
            "sealed with the black stuff after", "wiper cowl does not need to come off", "mind the heater hose", "easiest I have found on these", "room for the 4 core and a bit more"],
        "controller-mount" => &["hand falls on it, knee does not", "short screws, wiring right behind", "{cust} is tall, hit his knee", "level enough for the sensor kind", "ash tray gone, fits there", "airbag mark on the panel so not this one", "bracket bent 20 degrees", "clears the tilt column at its lowest", "can be read from the seat", "passenger can reach it too, customer asked for that"],
        "breaker-mount" => &["stays dry", "two self tappers, nothing behind", "hand's width from the post", "gets spray from the wheel, went elsewhere", "bracket from the scrap box", "heat from the exhaust side, no", "factory holes there already", "studs facing out so the boot fits"],
        "cable-route" => &["loom all the way, tied every hand and a half", "exhaust on the other side", "goes over the axle with the brake line, tie it to the line bracket not the line", "spare wheel has to come down", "two bulkheads, grommets both", "mind the tank strap", "came out 30 cm short with the stock kit", "factory loom has clips with room in them", "goat track but it works", "shield over the muffler, keep off"],
        "panel-removal" => &["do not pull at the corner, it cracks", "one clip always stays in the metal", "trim tool, cold day, be gentle", "hood release handle stays on it, two bolts", "connector behind, unplug before you pull away", "screw hidden under the little round cap", "lower edge first", "cracked one in {mon}, told the customer", "goes back with a thump", "pedal side first"],
        "tow-connector-dash" => &["plug hangs loose above the pedals, taped back", "kit lead from the glove box fits", "taped to the harness, look behind the brace", "no plug where the book says, it was up on the brace", "four wires and a blank"],
        "tow-connector-rear" => &["green fur in the socket, cleaned", "harness plug behind the bumper, no cutting", "socket cap broken, replaced", "seal it", "bracket rusted off, tied up"],
        "data-pair" => &["partner is the other one of the twist", "twisted with its partner, keep it so", "listen only"],
        "labour" => &["alone", "with the bed cap on, slow", "two of us", "{cust} waited", "most of it the panel", "had to do the ground twice", "second one this week, goes quicker", "without the test drive", "rust", "snow melting off it on my neck", "with the factory plug, easy", "rain, tarp over the back", "included chasing a blown fuse", "including the coffee, honestly"],
        _ => &[],
    }
}

/// Phrases for a thing only looked at.
pub const INSPECTED: &[&str] = &["seen only, panel was off for another job", "looked, did not meter", "was in there for the heater, noted it", "not measured", "saw it while doing the radio", "had the lamp out anyway",
    "saw it, no time to meter", "from underneath with a torch", "by eye", "no meter on me", "noticed it during the inspection", "photo on the shop tablet"];

/// Phrases for a thing that was connected and worked.
pub const FITTED: &[&str] = &["connected here, works", "fitted and road tested", "used it, trailer of {cust} works", "tapped here, all good with {tr}", "on it since, no come-back", "done, test drive fine", "soldered and taped",
    "connected, {tr} brakes fine", "worked first time", "fitted, {cust} happy", "crimped and heat shrink", "put the load on, fine"];

/// Phrases for word of mouth.
pub const TOLD: &[&str] = &["{who} says", "told by {who}", "heard it at the parts counter", "a driver told me, he did his own", "from {who}, not looked", "over the phone from the other shop", "{cust} says so",
    "{who} remembers it so", "said at lunch", "second hand", "the man from the body shop says", "not checked by us", "as {who} had it", "from the chap who sold it"];

/// Phrases for a wiring diagram.
pub const DIAGRAM: &[&str] = &["wiring diagram, stop lamp page", "from the maker's diagram", "diagram sheet {n}", "book diagram, not seen on a vehicle", "printed diagram in the red folder", "maker's diagram, supplement for the facelift",
    "diagram, body builder's book", "drawing says so", "from the diagram, page torn, colour readable", "exterior lamps diagram", "diagram on the shop tablet"];

/// Tails of a person who likes to write.
pub const TAILS: &[&str] = &["took me longer to find than to fit", "ask {who} before you cut", "same on the one {cust} has", "{who} had it different, check", "nice clean truck for once", "mouse nest in there", "would do it again the same way",
    "previous owner had scotch taps all over", "seat out, much easier", "torch and mirror", "not as easy as it looks", "photo in the folder", "mind your knuckles", "rained the whole day", "customer wanted it by noon", "second time on this model",
    "there is a service bulletin about the plug corroding", "need to make a drawing of this one day", "had to move the washer bottle", "old tap from somebody else beside it, removed", "hazards on while you look", "check the far side first"];

/// Customers, all invented.
pub const CUSTOMERS: &[&str] = &["the quarry", "the feed mill", "Mrs. Ebbing", "the pony club", "the boat yard", "the ferry crew", "old Tamsin", "the school bus man", "the bee keeper", "the tree surgeons", "the fish market", "the council", "the vet",
    "the stone mason", "the caravan site", "the band", "the orchard people", "the lime kiln"];

/// Trailers.
pub const TRAILERS: &[&str] = &["the horse trailer", "a tandem dump", "the boat trailer", "a caravan", "the stock trailer", "a single axle box", "the plant trailer", "a tipper", "the car dolly", "their flatbed"];

/// Months, as said.
pub const MONTHS: &[&str] = &["January", "February", "March", "May", "October", "November"];
