//! The symbols of the drawing, each around a point on its line, which runs from top to bottom.
//!
//! Fuse, breaker, battery, chassis, terminal, connector, lamp and coil follow IEC 60617 (IEEE 315 has the same or allows
//! them); drawn from memory, since neither standard is public. Metal with its grommet, the tapped wire and the numbers
//! of circuits are in no standard: they are ours.

use maud::{Markup, html};

use super::Whose;
use super::sheet::BESIDE;
use crate::circuit::path::Return;
use crate::job::Looks;
use crate::value::colour::{Colour, Hue, Shade, Tint, Tracers};

/// From the middle of a battery up to where its negative end leaves it.
const BATTERY_TOP: i32 = 17;
/// From the middle of a battery down to its positive plate, where its line begins.
pub(super) const BATTERY_PLATE: i32 = 8;
/// From the line of a battery to the metal that it is grounded to, clear of its plates.
const GROUNDED: i32 = 22;
/// Half of a fuse or a breaker.
pub(super) const HALF_DEVICE: i32 = 15;

/// Strokes with the pen of the drawing.
fn strokes(d: &str) -> Markup {
    html! { path d=(d) {} }
}

/// Paper over what lies beneath.
fn paper(x: i32, y: i32, width: i32, height: i32) -> Markup {
    html! { rect x=(x) y=(y) width=(width) height=(height) fill="#fff" stroke="none" {} }
}

fn ring(x: i32, y: i32) -> Markup {
    html! { circle cx=(x) cy=(y) r="3.5" fill="#fff" {} }
}

/// The number of a circuit, white on black so that it is told from a terminal.
pub(super) fn number(x: i32, y: i32, number: usize) -> Markup {
    html! {
        circle cx=(x) cy=(y) r="10" fill="#000" stroke="none" {}
        text x=(x) y=(y + 4) fill="#fff" stroke="none" text-anchor="middle" font-weight="bold" { (number) }
    }
}

/// Two cells; the longer plate is the positive one, and the negative end goes to metal.
pub(super) fn battery(x: i32, y: i32) -> Markup {
    let (minus, plus) = (x - 5, x - 11);
    let lead = format!("M{x} {} V{} H{}", y - BATTERY_PLATE, y - BATTERY_TOP, x + GROUNDED);
    html! {
        g stroke-width="3.5" { (strokes(&format!("M{minus} {} h10 M{minus} {} h10", y - 8, y + 3))) }
        (strokes(&format!("M{plus} {} h22 M{plus} {} h22", y - 3, y + BATTERY_PLATE)))
        (strokes(&lead))
        (strokes(&format!("M{} {} h7 m-3.5 -3.5 v7", x - 20, y + 16)))
        (chassis(x + GROUNDED, y - BATTERY_TOP, 9))
    }
}

/// A wire of the vehicle that is tapped, in its colour where that is certain. The colour is always written beside it.
pub(super) fn wire(x: i32, y: i32, colour: Option<&Colour>) -> Markup {
    let base = colour.map_or("#fff", |colour| paint(colour.base()));
    let tracers: &[Tint] = match colour.map(Colour::tracers) {
        Some(Tracers::Listed(list)) => list,
        _ => &[],
    };
    let left = x - 20;
    html! {
        rect x=(left) y=(y - 5) width="40" height="10" fill=(base) stroke="none" {}
        @for (at, tracer) in tracers.iter().enumerate() { (stripe(left, y, at, tracers.len(), *tracer)) }
        g stroke-width="1.2" { (strokes(&format!("M{left} {} h40 M{left} {} h40", y - 5, y + 5))) }
        circle cx=(x) cy=(y) r="4" fill="#000" stroke="#fff" stroke-width="1.2" {}
    }
}

/// One tracer: a stripe along the wire.
fn stripe(left: i32, y: i32, at: usize, of: usize, tracer: Tint) -> Markup {
    let place = i32::try_from(2 * at + 1).unwrap_or(1) * 10 / i32::try_from(2 * of).unwrap_or(2);
    html! {
        path d=(format!("M{left} {} h40", y - 5 + place)) stroke=(paint(tracer)) stroke-width="2.5" {}
    }
}

/// What a colour looks like on paper: near enough to be told from its neighbours.
fn paint(tint: Tint) -> &'static str {
    match (tint.hue, tint.shade) {
        (Hue::Black, _) => "#1a1a1a",
        (Hue::Brown, Some(Shade::Light)) => "#b07a4a",
        (Hue::Brown, _) => "#7a4a1e",
        (Hue::Red, _) => "#d01c1c",
        (Hue::Orange, _) => "#f08010",
        (Hue::Yellow, _) => "#f5dc1e",
        (Hue::Green, Some(Shade::Light)) => "#6cc36c",
        (Hue::Green, Some(Shade::Dark)) => "#0d5c2a",
        (Hue::Green, None) => "#1e8c3c",
        (Hue::Blue, Some(Shade::Light)) => "#7ab4ee",
        (Hue::Blue, Some(Shade::Dark)) => "#123a80",
        (Hue::Blue, None) => "#1f5fc4",
        (Hue::Violet, _) => "#7a2fa0",
        (Hue::Grey, Some(Shade::Light)) => "#c4c4c4",
        (Hue::Grey, Some(Shade::Dark)) => "#5a5a5a",
        (Hue::Grey, None) => "#909090",
        (Hue::White, _) => "#ffffff",
        (Hue::Pink, _) => "#f4a0b8",
        (Hue::Gold, _) => "#c8a030",
        (Hue::Turquoise, _) => "#20b4b4",
        (Hue::Silver, _) => "#c8ccd0",
        (Hue::Tan, _) => "#d2b48c",
        (Hue::Beige, _) => "#e8dcc0",
        (Hue::Clear, _) => "#f4f4f4",
    }
}

/// A slot of a fuse box.
pub(super) fn slot(x: i32, y: i32) -> Markup {
    html! {
        rect x=(x - 13) y=(y - 9) width="26" height="18" rx="2" fill="#fff" stroke-dasharray="4 3" {}
        (ring(x, y))
    }
}

/// Where a line goes on from something that is drawn elsewhere.
pub(super) fn terminal(x: i32, y: i32) -> Markup {
    ring(x, y)
}

/// A rectangle that the line runs through. One that the vehicle has hangs on a terminal of the vehicle.
pub(super) fn fuse(x: i32, y: i32, whose: Whose) -> Markup {
    html! {
        rect x=(x - 6) y=(y - 10) width="12" height="20" fill="none" {}
        @if whose == Whose::Vehicle { (ring(x, y - HALF_DEVICE)) }
    }
}

/// A contact with the cross of a circuit breaker on its fixed side.
pub(super) fn breaker(x: i32, y: i32, whose: Whose) -> Markup {
    html! {
        (paper(x - 3, y - 9, 6, 18))
        (strokes(&format!("M{} {} l8 8 m0 -8 l-8 8", x - 4, y - 13)))
        (strokes(&format!("M{x} {} L{} {}", y + 10, x - 10, y - 8)))
        @if whose == Whose::Vehicle { (ring(x, y - HALF_DEVICE - 3)) }
    }
}

/// A contact that a coil closes.
pub(super) fn contact_of_relay(x: i32, y: i32) -> Markup {
    html! {
        (paper(x - 3, y - 9, 6, 18))
        (strokes(&format!("M{x} {} v-3 M{x} {} L{} {}", y - 9, y + 10, x - 10, y - 8)))
    }
}

/// A sheet of metal, cut, with a grommet around what passes it.
pub(super) fn metal(x: i32, y: i32, back: Return) -> Markup {
    let (wide, beyond) = if back == Return::Own { (BESIDE, 15) } else { (0, 20) };
    let (left, right) = (x - 20, x + wide + beyond);
    let hatches: String = (left..right - 6).step_by(6).map(|at| format!("M{at} {} l7 -8", y + 4)).collect();
    html! {
        g stroke-width="1" { (strokes(&hatches)) }
        (strokes(&format!("M{left} {} H{right} M{left} {} H{right}", y - 4, y + 4)))
        (paper(x - 7, y - 6, wide + 14, 12))
        (strokes(&format!("M{x} {} v12", y - 6)))
        @if wide > 0 { (strokes(&format!("M{} {} v12", x + wide, y - 6))) }
        @for side in [x - 8, x + wide + 8] {
            rect x=(side - 2) y=(y - 7) width="4" height="14" rx="2" fill="#000" stroke="none" {}
        }
    }
}

/// The frame of the vehicle, on a lead of this length.
pub(super) fn chassis(x: i32, y: i32, lead: i32) -> Markup {
    let at = y + lead;
    strokes(&format!(
        "M{x} {y} V{at} M{} {at} h16 M{} {at} l-4 6 M{x} {at} l-4 6 M{} {at} l-4 6",
        x - 8,
        x - 7,
        x + 7
    ))
}

/// The same above its line, where a line back ends.
pub(super) fn chassis_above(x: i32, y: i32) -> Markup {
    strokes(&format!("M{} {y} h16 M{} {y} l4 -6 M{x} {y} l4 -6 M{} {y} l4 -6", x - 8, x - 7, x + 7))
}

/// The frame of a load, across a drawing of this width.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    pub(super) width: i32,
    pub(super) top: i32,
    pub(super) height: i32,
}

/// A load in its frame, with a terminal or a contact for each line that enters.
pub(super) fn load(looks: Looks, entries: &[i32], on: Option<i32>, frame: Frame) -> Markup {
    let Frame { width, top, height } = frame;
    let (right, middle) = (width - 26, top + height / 2);
    html! {
        rect x="4" y=(top) width=(width - 8) height=(height) rx="4" fill="#fff" stroke-width="1.6" {}
        @for x in entries {
            @if looks == Looks::Connector { (contact(*x, top)) } @else { (ring(*x, top)) }
        }
        @if let Some(x) = on { (ring(x, top + height)) }
        @match looks {
            Looks::Lamp => {
                circle cx=(right) cy=(middle) r="10" fill="#fff" {}
                (strokes(&format!("M{} {} l14 14 m0 -14 l-14 14", right - 7, middle - 7)))
            }
            Looks::Coil => {
                rect x=(right - 12) y=(middle - 6) width="24" height="12" fill="#fff" {}
                (strokes(&format!("M{right} {} v-7 M{right} {} v7", middle - 6, middle + 6)))
            }
            Looks::Device | Looks::Connector => {}
        }
    }
}

/// A pin in its socket.
fn contact(x: i32, y: i32) -> Markup {
    html! {
        (paper(x - 6, y - 9, 12, 11))
        (strokes(&format!("M{} {} a6 6 0 0 0 12 0 M{x} {} v-2", x - 6, y - 8, y)))
        g stroke-width="4" { (strokes(&format!("M{x} {} v8", y - 12))) }
    }
}

/// What a load's symbol takes at the right of its frame.
pub(super) fn load_width(looks: Looks) -> i32 {
    match looks {
        Looks::Lamp | Looks::Coil => 40,
        Looks::Device | Looks::Connector => 4,
    }
}
