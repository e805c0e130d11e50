//! How this shop's texts are read: the catalogue of points, the lexicon of places, the vocabulary of
//! vehicle attributes, the side on which the driver sits unless said, and the year that it is.

use std::collections::BTreeSet;

use crate::catalogue::{Catalogue, CatalogueError};
use crate::value::place::DriveSide;
use crate::value::{Misread, Value};
use crate::vehicle::{DEFAULT_DRIVE, DRIVE, ModelYear, OTHER_DRIVE as RHD, Scope, Vehicle, Vocabulary};

/// Everything that decides what a text means.
#[derive(Debug)]
pub struct Language {
    /// Points and fields.
    pub catalogue: Catalogue,
    /// The side that counts where neither note nor question says it.
    pub drive: DriveSide,
    /// The day that it is.
    pub today: jiff::civil::Date,
    fingerprint: String,
}

impl Language {
    /// The built-in language, with a shop's own points laid over (name and text of its file).
    ///
    /// # Errors
    /// The shop's file cannot be used; the message names the place.
    pub fn new(
        own_points: Option<(&str, &str)>,
        drive: DriveSide,
        today: jiff::civil::Date,
    ) -> Result<Self, CatalogueError> {
        let own = own_points.map(|(_, text)| blake3::hash(text.as_bytes()).to_hex()[..16].to_owned());
        Ok(Self {
            fingerprint: format!("{BUILTIN:016x}-{}", own.unwrap_or_default()),
            catalogue: Catalogue::load(own_points)?,
            drive,
            today,
        })
    }

    /// Attributes of vehicles. Read when it is first asked for.
    #[must_use]
    pub fn vocabulary(&self) -> &'static Vocabulary {
        Vocabulary::builtin()
    }

    /// The year that it is.
    #[must_use]
    pub fn year(&self) -> ModelYear {
        ModelYear::new(self.today.year().unsigned_abs())
    }

    /// A scope that names the side on which the driver sits where the shop's usual side is not the one that an
    /// absent qualifier means, and the note did not say it itself.
    #[must_use]
    pub fn with_drive(&self, scope: Scope, said: bool) -> Scope {
        if said || self.drive != DriveSide::Rhd {
            return scope;
        }
        let mut only = scope.only().clone();
        only.insert(DRIVE.to_owned(), BTreeSet::from([RHD.to_owned()]));
        Scope::new(scope.years(), scope.built(), only)
    }

    /// The side on which the driver of every vehicle of a scope sits.
    #[must_use]
    pub fn drive_of(scope: &Scope) -> DriveSide {
        let allowed = scope.allowed(DRIVE);
        let allows = |side: &str| allowed.is_none_or(|values| values.contains(side));
        match (allows(DEFAULT_DRIVE), allows(RHD)) {
            (true, false) => DriveSide::Lhd,
            (false, true) => DriveSide::Rhd,
            _ => DriveSide::Either,
        }
    }

    /// Whether a text names the side on which the driver sits. A side that absence means leaves no trace in what
    /// is read, so the text itself is looked at.
    #[must_use]
    pub fn names_drive(text: &str) -> bool {
        let folded = text.to_lowercase();
        ["drive", "lhd", "rhd"].iter().any(|word| folded.contains(word))
    }

    /// A seen or asked vehicle with the side told that the scope it was seen in, or the shop, takes for granted.
    #[must_use]
    pub fn vehicle_with_drive(&self, vehicle: Vehicle, side: DriveSide, said: bool) -> Vehicle {
        if said || side != DriveSide::Rhd { vehicle } else { vehicle.with(DRIVE, RHD) }
    }

    /// The qualifiers of a scope with the side told even where it is the one that absence means, so that they are
    /// read alike in every book.
    #[must_use]
    pub fn only_in_full(scope: &Scope) -> String {
        let told = scope.only_text();
        if scope.only().contains_key(DRIVE) {
            return told;
        }
        let side = format!("{DRIVE}={DEFAULT_DRIVE}");
        if told.is_empty() { side } else { format!("{told}; {side}") }
    }

    /// What tells this language from another: what is derived from notes depends on it.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        self.fingerprint.clone()
    }

    /// Reads `text` as a value of `field`, the driver sitting on the shop's usual side.
    ///
    /// # Errors
    /// What could not be read, or could be read in more than one way.
    pub fn read(&self, field: usize, text: &str) -> Result<Value, Misread> {
        Value::read(&self.catalogue.fields[field].kind, text, self.drive)
    }
}

/// The built-in catalogue, lexicon and vocabulary in one number, made when the program is compiled.
const BUILTIN: u64 = fnv(
    fnv(
        fnv(0xcbf2_9ce4_8422_2325, include_str!("../schema/points.toml")),
        include_str!("../schema/lexicon.toml"),
    ),
    include_str!("../schema/vehicle.toml"),
);

/// The FNV-1a hash (Fowler, Noll, Vo; 64 bits, parameters of IETF draft-eastlake-fnv): it only has to notice
/// that a file of the program changed.
const fn fnv(mut hash: u64, text: &str) -> u64 {
    let bytes = text.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        hash = (hash ^ bytes[at] as u64).wrapping_mul(0x0100_0000_01b3);
        at += 1;
    }
    hash
}
