//! Where everything of a drawing goes: rows from top to bottom, a lane for each line that runs down beside them.
//!
//! The circuits into one load stand below each other, and their lanes run side by side until they meet in it: that is a
//! sheet, which no printer cuts. A circuit that begins at that load goes on in the sheet below. What a sheet is made
//! of is `sheet`'s business, how a row looks `figure`'s.

use super::super::page::capitalised;
use super::letters::LINE;
use super::sheet::{BESIDE, EDGE, FIRST, Line, Mark, Row, Sheet, Strand, lines_of};
use super::told::told;
use super::{Circuit, Label, Origin, Plan, Protection, Whose, symbol};
use crate::circuit::Kind;
use crate::circuit::path::Return;
use crate::job::Looks;

/// From lane to lane, where there is room.
const PITCH: i32 = 40;
/// The narrowest that texts are set, whatever the number of lanes.
const NARROWEST: i32 = 150;
/// Between two rows.
const GAP: i32 = 6;

/// Lays a plan out, a sheet for each load; each begins where the one above ends.
pub(super) fn lay_out(plan: &Plan, width: i32) -> Vec<Sheet<'_>> {
    let loads = loads_in_order(plan);
    let mut sheets = Vec::new();
    let mut above = None;
    for (at, load) in loads.iter().enumerate() {
        let pen = Pen { above, ..Pen::of(plan, width) };
        sheets.push(pen.load(load, loads.get(at + 1).copied()));
        above = Some(*load);
    }
    sheets
}

/// The names of the loads: one that a circuit begins at stands just before what that circuit feeds.
fn loads_in_order(plan: &Plan) -> Vec<&str> {
    let mut order = Vec::new();
    for circuit in &plan.circuits {
        if !matches!(circuit.origin, Origin::Load(_)) {
            with_followers(plan, &circuit.load.name, &mut order);
        }
    }
    // Loads that only feed each other in a ring: drawn all the same.
    for circuit in &plan.circuits {
        with_followers(plan, &circuit.load.name, &mut order);
    }
    order
}

fn with_followers<'p>(plan: &'p Plan, name: &'p str, order: &mut Vec<&'p str>) {
    if order.contains(&name) {
        return;
    }
    order.push(name);
    for circuit in &plan.circuits {
        if begins_at(circuit, name) {
            with_followers(plan, &circuit.load.name, order);
        }
    }
}

fn begins_at(circuit: &Circuit, load: &str) -> bool {
    matches!(&circuit.origin, Origin::Load(from) if from == load)
}

struct Pen<'p> {
    plan: &'p Plan,
    sheet: Sheet<'p>,
    y: i32,
    pitch: i32,
    /// The load of the sheet above, until a circuit has gone on from it.
    above: Option<&'p str>,
}

/// A line that has begun and not yet arrived.
struct Open {
    x: i32,
    top: i32,
    back_top: Option<i32>,
    broken: bool,
}

impl<'p> Pen<'p> {
    fn of(plan: &'p Plan, width: i32) -> Self {
        let into = |name: &str| plan.circuits.iter().filter(|circuit| circuit.load.name == name).count();
        let most = plan.circuits.iter().map(|circuit| into(&circuit.load.name)).max().unwrap_or(1);
        let lanes = i32::try_from(most).unwrap_or(i32::MAX);
        let room = (width - EDGE - NARROWEST - FIRST) / lanes.max(1);
        let sheet = Sheet { width, ..Sheet::default() };
        Self { plan, sheet, y: 4, pitch: PITCH.min(room), above: None }
    }

    fn x(&self, lane: usize) -> i32 {
        FIRST + i32::try_from(lane).unwrap_or_default() * self.pitch
    }

    /// Right of a lane and what is drawn around it.
    fn text_x(&self, x: i32) -> i32 {
        x + self.pitch.max(PITCH) - 6
    }

    /// The circuits into one load, and the load; `below` is the load of the next sheet.
    fn load(mut self, name: &'p str, below: Option<&str>) -> Sheet<'p> {
        let plan = self.plan;
        let mut into: Vec<(usize, &Circuit)> =
            plan.circuits.iter().enumerate().filter(|(_, circuit)| circuit.load.name == name).collect();
        // What goes on from the load above keeps its lane.
        into.sort_by_key(|(_, circuit)| !self.goes_on(circuit));
        let mut open = Vec::new();
        for (lane, (number, circuit)) in into.iter().enumerate() {
            open.push(self.circuit(*number, circuit, self.x(lane)));
            self.above = None;
        }
        let circuits: Vec<&Circuit> = into.iter().map(|(_, circuit)| *circuit).collect();
        let follower = plan
            .circuits
            .iter()
            .find(|circuit| Some(circuit.load.name.as_str()) == below && begins_at(circuit, name));
        let bottom = self.arrive(name, &circuits, &open, follower.is_some());
        if let Some(follower) = follower {
            self.leave(follower, bottom);
        }
        self.sheet.height = self.y;
        self.sheet
    }

    fn goes_on(&self, circuit: &Circuit) -> bool {
        self.above.is_some_and(|above| begins_at(circuit, above))
    }

    /// From the lower edge of the load into the sheet below.
    fn leave(&mut self, circuit: &Circuit, bottom: i32) {
        let broken = !circuit.cable.possible;
        self.strand(FIRST, bottom, self.y, broken);
        if circuit.back == Return::Own {
            self.strand(FIRST + BESIDE, bottom, self.y, broken);
        }
    }

    fn circuit(&mut self, number: usize, circuit: &'p Circuit, x: i32) -> Open {
        // The upper edge of the sheet, where the line comes in.
        let begun = self.goes_on(circuit).then_some(0);
        let title = Label::new(capitalised(&circuit.title), Vec::new());
        self.row(Mark::Number(number + 1), x, &title);
        self.sheet.told.push(told(number, circuit));
        let vehicles = circuit.protection.as_ref().filter(|it| it.whose == Whose::Vehicle);
        let fused_at = vehicles.map(|protection| self.protection(protection, x) - symbol::HALF_DEVICE);
        let top = match begun {
            Some(bottom) => bottom,
            None => self.origin(circuit, x),
        };
        if let Some(protection) = circuit.protection.as_ref().filter(|it| it.whose != Whose::Vehicle) {
            self.protection(protection, x);
        }
        let back_top = self.back(circuit, begun, x);
        if let Some(relay) = &circuit.relay {
            self.row(Mark::Contact, x, relay);
        }
        self.row(Mark::Nothing, x, &circuit.cable.label);
        for pass in &circuit.passes {
            self.row(Mark::Metal(circuit.back), x, pass);
        }
        Open { x, top: fused_at.unwrap_or(top), back_top, broken: !circuit.cable.possible }
    }

    /// The row where a circuit begins; where its line does.
    fn origin(&mut self, circuit: &'p Circuit, x: i32) -> i32 {
        let named;
        let (mark, label) = match &circuit.origin {
            Origin::Battery(label) => (Mark::Battery, label),
            Origin::Wire(label, colour) => (Mark::Wire(colour.as_ref()), label),
            Origin::Slot(label) => (Mark::Slot, label),
            Origin::Load(name) => {
                named = Label::new(format!("From the {name}"), Vec::new());
                (Mark::Terminal, &named)
            }
        };
        let plate = if matches!(mark, Mark::Battery) { symbol::BATTERY_PLATE } else { 0 };
        self.row(mark, x, label) + plate
    }

    /// Where the line back ends at metal, of a circuit that has one; one that goes on from a load begins its own there.
    fn back(&mut self, circuit: &'p Circuit, begun: Option<i32>, x: i32) -> Option<i32> {
        match (circuit.back, begun) {
            (Return::Chassis, _) => None,
            (Return::Own, Some(bottom)) => Some(bottom),
            (Return::Own, None) => Some(self.row(Mark::Back, x, &circuit.ground)),
        }
    }

    fn protection(&mut self, protection: &'p Protection, x: i32) -> i32 {
        let mark = match (protection.whose, protection.kind) {
            (Whose::Earlier, _) => Mark::Nothing,
            (whose, Kind::Fuse) => Mark::Fuse(whose),
            (whose, Kind::Breaker) => Mark::Breaker(whose),
        };
        self.row(mark, x, &protection.label)
    }

    /// The load, and the way back from it by the metal; its lower edge. Below it a line goes `on`.
    fn arrive(&mut self, name: &'p str, circuits: &[&'p Circuit], open: &[Open], on: bool) -> i32 {
        let Some(first) = circuits.first() else { return self.y };
        let looks = first.load.looks;
        if looks == Looks::Connector {
            self.y += 8;
        }
        let top = self.y;
        let entries: Vec<i32> = open
            .iter()
            .flat_map(|line| [Some(line.x), line.back_top.map(|_| line.x + BESIDE)])
            .flatten()
            .collect();
        let lines = circuits.iter().flat_map(|circuit| circuit.load.lines.iter().cloned()).collect();
        let label = Label::new(capitalised(name), lines);
        self.frame(looks, Mark::Load { looks, entries, on }, &label);
        let bottom = self.y - GAP;
        for line in open {
            self.strand(line.x, line.top, top, line.broken);
            if let Some(back_top) = line.back_top {
                self.strand(line.x + BESIDE, back_top, top, line.broken);
            }
        }
        if circuits.iter().all(|circuit| circuit.back == Return::Chassis) {
            let x = if on { self.x(1) } else { self.x(0) };
            let at = self.row(Mark::Ground, x, &first.ground);
            self.strand(x, bottom, at, false);
        }
        self.y += GAP;
        bottom
    }

    fn strand(&mut self, x: i32, top: i32, bottom: i32, broken: bool) {
        self.sheet.strands.push(Strand { x, top, bottom, broken });
    }

    /// Adds a row; its middle.
    fn row(&mut self, mark: Mark<'p>, x: i32, label: &Label) -> i32 {
        let text_x = self.text_x(x);
        let text = lines_of(label, self.sheet.width - EDGE - text_x);
        self.place(mark, x, text_x, text, 0)
    }

    /// A row within a frame.
    fn frame(&mut self, looks: Looks, mark: Mark<'p>, label: &Label) -> i32 {
        let text_x = FIRST - 8;
        let room = self.sheet.width - EDGE - text_x - symbol::load_width(looks);
        self.place(mark, FIRST, text_x, lines_of(label, room), 12)
    }

    fn place(&mut self, mark: Mark<'p>, x: i32, text_x: i32, text: Vec<Line>, within: i32) -> i32 {
        let lines = i32::try_from(text.len()).unwrap_or(i32::MAX / LINE);
        let height = mark.height().max(lines * LINE + within);
        let row = Row { mark, x, top: self.y, height, text_x, text };
        let middle = row.middle();
        self.sheet.rows.push(row);
        self.y += height + GAP;
        middle
    }
}
