//! The lists to cut and to fetch by: metres of each conductor with slack, devices, terminals by size and kind, loom,
//! grommets, and what makes the hole.
//!
//! Which terminal stands at which end is common practice, no source: a ring where the point has a stud, a butt
//! connector at a wire and at the load, two of either at the device.

use super::{Bundle, Circuit, Desk, End, Fits, Used};
use crate::circuit::Kind;
use crate::circuit::ampacity::Insulation;
use crate::circuit::conductor::{Conductor, Series};
use crate::circuit::passage::{Opening, Sleeve, opening_of, passage};
use crate::circuit::path::Return;
use crate::circuit::protection::Device;
use crate::circuit::terminal::{Crimp, crimp};
use crate::circuit::units::{Metres, Share};
use crate::job::{Guard, Known};
use crate::value::thread::Thread;

/// What a cable is cut longer than its run, for bends that a tape does not follow. Common practice, no source.
pub const SLACK: Share = Share(0.1);
/// And at each end of each conductor, to strip and to join it again. Common practice, no source.
pub const SLACK_AT_EACH_END: Metres = Metres(0.15);

/// The stud of most breakers is #10 or M5. Common practice, no source.
const BREAKER_STUD: &str = "#10";
/// The family of fuses that is bolted between two rings.
const BOLTED: &str = "bolted";

/// A conductor to cut, for all circuits that take it.
#[derive(Debug, Clone, PartialEq)]
pub struct Cut {
    /// The conductor.
    pub conductor: Conductor,
    /// The metric one that does in its place; `None` where none is thick enough.
    pub metric: Option<Conductor>,
    /// The one by SAE gauge that does, which has less copper than AWG of that number; `None` where none is thick enough.
    pub sae: Option<Conductor>,
    /// What its insulation is rated for, without which it may not carry so much.
    pub insulation: Insulation,
    /// The circuits, by number in `Card::circuits`.
    pub circuits: Vec<usize>,
    /// How much, with slack, up to the next decimetre.
    pub length: Metres,
    /// Whether a length in it is an estimate.
    pub estimated: bool,
}

/// What a ring goes over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Over<'c> {
    /// A recorded stud.
    Stud(Thread, End<'c>),
    /// The stud of a point, which is not recorded.
    Unmeasured(usize),
    /// The studs of the breaker.
    Breaker(Thread),
    /// The studs of the holder of a bolted fuse.
    Holder,
}

impl Over<'_> {
    /// The stud as far as it is known.
    #[must_use]
    pub fn stud(&self) -> Option<Thread> {
        match self {
            Self::Stud(stud, _) | Self::Breaker(stud) => Some(*stud),
            Self::Unmeasured(_) | Self::Holder => None,
        }
    }
}

/// Something to fetch.
#[derive(Debug, Clone, PartialEq)]
pub enum Part<'c> {
    /// The device of a circuit, by its number in `Card::circuits`; a fuse with its holder.
    Device {
        /// The device.
        device: Device,
        /// The circuit.
        circuit: usize,
    },
    /// Rings of one kind.
    Rings {
        /// How many.
        count: u32,
        /// For which conductor.
        conductor: Conductor,
        /// The metric one that does in its place, where it is another.
        metric: Option<Conductor>,
        /// The barrel.
        crimp: Crimp,
        /// Over what.
        over: Over<'c>,
    },
    /// Butt connectors of one kind.
    Butts {
        /// How many.
        count: u32,
        /// For which conductor.
        conductor: Conductor,
        /// The metric one that does in its place, where it is another.
        metric: Option<Conductor>,
        /// The barrel.
        crimp: Crimp,
    },
    /// Loom of one size.
    Loom(LoomLength),
    /// The grommet of a bundle with its hole; none where the hole that is used has one.
    Grommet {
        /// The bundle, by its number in `Card::bundles`.
        bundle: usize,
        /// The hole for which it is, its bore at least, and what makes the hole.
        opening: Opening,
        /// The note of that hole; `None` where one has to be made.
        recorded: Option<Used<'c>>,
    },
}

/// Loom of one size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoomLength {
    /// Its size.
    pub sleeve: Sleeve,
    /// How much, with slack, up to the next decimetre.
    pub length: Metres,
    /// Whether a length in it is an estimate.
    pub estimated: bool,
}

/// Up to the next decimetre; what is one but for the last bit of a product stays.
fn decimetres(length: Metres) -> Metres {
    Metres((length.0 * 10.0 - 1e-6).ceil() / 10.0)
}

/// The conductors to cut, in the order of the circuits; those that cannot be built take none.
pub(super) fn cuts(circuits: &[Circuit<'_>]) -> Vec<Cut> {
    let mut cuts: Vec<Cut> = Vec::new();
    for (at, circuit) in circuits.iter().enumerate() {
        let answer = &circuit.worked.answer;
        let Some(choice) = circuit.worked.built() else { continue };
        let (conductor, path) = (choice.trial.conductor, answer.request.path);
        let [metric, sae] = [Series::Metric, Series::Sae]
            .map(|series| answer.of(series).map(|choice| choice.trial.conductor));
        let ends = SLACK_AT_EACH_END * (2.0 * f64::from(path.conductors()));
        let length = path.conductor_length() * (1.0 + SLACK.0) + ends;
        let estimated = circuit.worked.run == Known::Estimate;
        let insulation = answer.request.surroundings.insulation;
        let same = |cut: &&mut Cut| {
            (cut.conductor, cut.metric, cut.sae, cut.insulation) == (conductor, metric, sae, insulation)
        };
        match cuts.iter_mut().find(same) {
            Some(cut) => {
                cut.circuits.push(at);
                cut.length = cut.length + length;
                cut.estimated |= estimated;
            }
            None => {
                let circuits = vec![at];
                cuts.push(Cut { conductor, metric, sae, insulation, circuits, length, estimated });
            }
        }
    }
    cuts.iter_mut().for_each(|cut| cut.length = decimetres(cut.length));
    cuts
}

impl<'c> Desk<'c> {
    /// Everything else, devices first.
    pub(super) fn parts(&self, circuits: &[Circuit<'c>], bundles: &[Bundle<'c>]) -> Vec<Part<'c>> {
        let mut list = List::default();
        let alone = circuits.iter().all(|circuit| circuit.worked.circuit.by == Return::Chassis);
        for (at, circuit) in circuits.iter().enumerate() {
            let Some(choice) = circuit.worked.built() else { continue };
            let metric = circuit.worked.metric().map(|metric| metric.trial.conductor);
            let wire = Wire { conductor: choice.trial.conductor, metric };
            self.start(&mut list, circuit, wire);
            if let (Guard::Own(kind), Some(device)) = (&circuit.worked.circuit.guard, choice.trial.device) {
                list.devices.push(Part::Device { device, circuit: at });
                list.at_device(*kind, device, wire);
            }
            list.butt(1, wire);
            // One lead of the load to a ground: of each circuit that returns by its own or drives something, or where
            // there is none, of the first.
            let own = circuit.worked.circuit.by == Return::Own;
            if own {
                list.butt(1, wire);
            }
            if own || circuit.drives() || (alone && at == 0) {
                self.ground(&mut list, circuit, wire);
            }
        }
        let looms = looms(circuits, bundles);
        let grommets = bundles.iter().enumerate().filter_map(|(at, bundle)| grommet(at, bundle));
        list.devices
            .into_iter()
            .chain(list.terminals)
            .chain(looms.into_iter().map(Part::Loom))
            .chain(grommets)
            .collect()
    }

    /// Where a circuit begins: over the stud of a feed, else at a wire.
    fn start(&self, list: &mut List<'c>, circuit: &Circuit<'c>, wire: Wire) {
        if self.has_field(circuit.from.point, "stud") {
            list.ring(1, wire, self.over(circuit.from));
        } else {
            list.butt(1, wire);
        }
    }

    fn ground(&self, list: &mut List<'c>, circuit: &Circuit<'c>, wire: Wire) {
        if let Some(ground) = circuit.ground {
            list.ring(1, wire, self.over(ground));
        }
    }

    fn over(&self, end: End<'c>) -> Over<'c> {
        let stud = end.used.and_then(|used| used.stud(self.language));
        stud.map_or(Over::Unmeasured(end.point), |stud| Over::Stud(stud, end))
    }
}

/// A conductor with the metric one that does in its place.
#[derive(Clone, Copy)]
struct Wire {
    conductor: Conductor,
    metric: Option<Conductor>,
}

impl Wire {
    fn rings(self, count: u32, over: Over<'_>) -> Part<'_> {
        let Self { conductor, metric } = self;
        Part::Rings { count, conductor, metric, crimp: crimp(conductor), over }
    }

    fn butts<'c>(self, count: u32) -> Part<'c> {
        let Self { conductor, metric } = self;
        Part::Butts { count, conductor, metric, crimp: crimp(conductor) }
    }
}

/// Devices and terminals as they are counted.
#[derive(Default)]
struct List<'c> {
    devices: Vec<Part<'c>>,
    terminals: Vec<Part<'c>>,
}

impl<'c> List<'c> {
    /// Both ends of a device.
    fn at_device(&mut self, kind: Kind, device: Device, wire: Wire) {
        match (kind, Thread::parse(BREAKER_STUD)) {
            (Kind::Breaker, Ok(stud)) => self.ring(2, wire, Over::Breaker(stud)),
            (Kind::Fuse, _) if device.family() == BOLTED => self.ring(2, wire, Over::Holder),
            _ => self.butt(2, wire),
        }
    }

    fn ring(&mut self, more: u32, of: Wire, at: Over<'c>) {
        for part in &mut self.terminals {
            if let Part::Rings { count, conductor, metric, over, .. } = part
                && (*conductor, *metric, *over) == (of.conductor, of.metric, at)
            {
                *count += more;
                return;
            }
        }
        self.terminals.push(of.rings(more, at));
    }

    fn butt(&mut self, more: u32, of: Wire) {
        for part in &mut self.terminals {
            if let Part::Butts { count, conductor, metric, .. } = part
                && (*conductor, *metric) == (of.conductor, of.metric)
            {
                *count += more;
                return;
            }
        }
        self.terminals.push(of.butts(more));
    }
}

/// The grommet for the hole that is used where that is wide enough, else for the smallest hole that would be.
fn grommet<'c>(at: usize, bundle: &Bundle<'c>) -> Option<Part<'c>> {
    if bundle.circuits.is_empty() {
        return None;
    }
    let wide_enough = bundle.chosen().filter(|hole| hole.fits == Fits::Yes);
    let thick = bundle.passage.loom?.outside;
    let (opening, recorded) = match wide_enough {
        Some(hole) if hole.grommet.as_deref() == Some("existing") => return None,
        // A grommet of another hole would fall out of this one, and nothing makes a hole that is there.
        Some(hole) => (Opening { saw: None, step: None, ..opening_of(hole.size?, thick) }, Some(hole.used)),
        None => (Opening { bore: thick, ..bundle.passage.opening? }, None),
    };
    Some(Part::Grommet { bundle: at, opening, recorded })
}

/// Loom: around each bundle as far as its shortest circuit goes, and around each circuit by itself on the rest of its
/// way, where that leads past the engine, through metal or along a recorded route.
fn looms(circuits: &[Circuit<'_>], bundles: &[Bundle<'_>]) -> Vec<LoomLength> {
    let mut looms: Vec<LoomLength> = Vec::new();
    let mut add = |sleeve: Option<Sleeve>, length: Metres, estimated: bool| {
        let Some(sleeve) = sleeve.filter(|_| length > Metres(0.0)) else { return };
        match looms.iter_mut().find(|loom| loom.sleeve == sleeve) {
            Some(loom) => {
                loom.length = loom.length + length;
                loom.estimated |= estimated;
            }
            None => looms.push(LoomLength { sleeve, length, estimated }),
        }
    };
    let run = |at: usize| circuits[at].worked.answer.request.path.out;
    let estimated = |at: usize| circuits[at].worked.run == Known::Estimate;
    // How far it lies in the loom of its bundle, and whether that is an estimate.
    let mut shared = vec![(Metres(0.0), false); circuits.len()];
    for bundle in bundles {
        let shortest = bundle.circuits.iter().copied().min_by(|a, b| run(*a).0.total_cmp(&run(*b).0));
        let Some(shortest) = shortest else { continue };
        add(bundle.passage.loom, run(shortest), estimated(shortest));
        bundle.circuits.iter().for_each(|at| shared[*at] = (run(shortest), estimated(shortest)));
    }
    for (at, circuit) in circuits.iter().enumerate() {
        let of = circuit.worked.circuit;
        let sheathed = of.engine_space || of.along.is_some() || of.through.is_some();
        let Some(choice) = circuit.worked.built().filter(|_| sheathed) else { continue };
        let count = circuit.worked.answer.request.path.conductors();
        let outsides: Vec<_> = (0..count).map(|_| choice.trial.conductor.outside()).collect();
        let (beside, guessed) = shared[at];
        add(passage(&outsides).loom, run(at) - beside, estimated(at) || guessed);
    }
    looms.iter_mut().for_each(|loom| loom.length = decimetres(loom.length * (1.0 + SLACK.0)));
    looms
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_is_told_up_to_the_next_decimetre() {
        let told = |metres: f64| decimetres(Metres(metres)).0;
        assert_eq!([7.2, 7.200_000_1, 7.21, 0.01].map(told), [7.2, 7.2, 7.3, 0.1]);
        // 3 m out and back with slack, as a product of floating numbers.
        assert_eq!(told(6.0 * (1.0 + SLACK.0) + SLACK_AT_EACH_END.0 * 4.0), 7.2);
    }
}
