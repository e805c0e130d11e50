//! A circuit of a drawing in a sentence, for those who do not see it.

use super::{Cable, Circuit, Label, Load, Origin};
use crate::circuit::path::Return;

/// A circuit in a sentence.
pub(super) fn told(number: usize, circuit: &Circuit) -> String {
    let Circuit { title, origin, protection, relay, cable, passes, load, back, ground } = circuit;
    let from = match origin {
        Origin::Battery(label) | Origin::Wire(label, _) | Origin::Slot(label) => spoken(label),
        Origin::Load(name) => name.clone(),
    };
    let mut parts = vec![format!("from {from}")];
    parts.extend(protection.iter().map(|protection| spoken(&protection.label)));
    parts.extend(relay.iter().map(spoken));
    parts.push(spoken(&cable.label));
    parts.extend(passes.iter().map(spoken));
    let Load { name, lines, .. } = load;
    parts.push(format!("to {name}{}", lines.iter().map(|line| format!(", {line}")).collect::<String>()));
    parts.push(match back {
        Return::Own => "back by a conductor of its own".to_owned(),
        Return::Chassis => format!("back by the chassis: {}", spoken(ground)),
    });
    let Cable { possible, .. } = cable;
    let broken = if *possible { "" } else { " It cannot be built so." };
    format!("Circuit {}, {title}: {}.{broken}", number + 1, parts.join("; "))
}

fn spoken(label: &Label) -> String {
    std::iter::once(&label.head)
        .chain(&label.lines)
        .filter(|text| !text.is_empty())
        .cloned()
        .collect::<Vec<_>>()
        .join(", ")
}
