//! The cells of one row, by what their columns are. What they mean is the desk's business.

/// What a column of a sheet is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Column {
    /// The maker.
    Make,
    /// The model.
    Model,
    /// The model years.
    Years,
    /// The qualifiers.
    Only,
    /// The point.
    Point,
    /// How the writer knows.
    Basis,
    /// Who.
    By,
    /// When.
    On,
    /// The vehicle looked at.
    Seen,
    /// What else there is to say.
    Remark,
    /// Why a row was refused before; ignored.
    Reason,
    /// Why a row was laid out to be filled in; ignored.
    Asked,
    /// A field of the catalogue, by number.
    Field(usize),
}

impl Column {
    /// The place of a column that every sheet may have; none for a field.
    fn place(self) -> Option<usize> {
        match self {
            Self::Make => Some(0),
            Self::Model => Some(1),
            Self::Years => Some(2),
            Self::Only => Some(3),
            Self::Point => Some(4),
            Self::Basis => Some(5),
            Self::By => Some(6),
            Self::On => Some(7),
            Self::Seen => Some(8),
            Self::Remark => Some(9),
            Self::Reason => Some(10),
            Self::Asked => Some(11),
            Self::Field(_) => None,
        }
    }
}

/// One row: texts by column, empty ones left out.
#[derive(Debug, Default)]
pub struct Cells<'r> {
    fixed: [&'r str; 12],
    fields: Vec<(usize, &'r str)>,
}

impl<'r> Cells<'r> {
    /// Empties the row for the next.
    pub fn clear(&mut self) {
        self.fixed = [""; 12];
        self.fields.clear();
    }

    /// Adds a cell; one without text is as if it were not there.
    pub fn push(&mut self, column: Column, text: &'r str) {
        let text = trimmed(text);
        if text.is_empty() {
            return;
        }
        match (column, column.place()) {
            (Column::Field(field), _) => self.fields.push((field, text)),
            (_, Some(place)) if self.fixed[place].is_empty() => self.fixed[place] = text,
            _ => {}
        }
    }

    /// The text of a column, or nothing.
    #[must_use]
    pub fn get(&self, column: Column) -> &'r str {
        match column {
            Column::Field(field) => {
                self.fields.iter().find(|(found, _)| *found == field).map_or("", |(_, text)| text)
            }
            fixed => fixed.place().map_or("", |place| self.fixed[place]),
        }
    }

    /// The fields that are filled in, with their texts.
    pub(super) fn fields(&self) -> &[(usize, &'r str)] {
        &self.fields
    }
}

/// Most cells have nothing around them, which their first and last byte tell.
fn trimmed(text: &str) -> &str {
    match text.as_bytes() {
        [] => text,
        [first, .., last] if first.is_ascii_graphic() && last.is_ascii_graphic() => text,
        _ => text.trim(),
    }
}
