//! The columns of a rota's table, by which it is written and read.

/// A column of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Column {
    /// Initials.
    Diver,
    /// Sealed in, on the ship's clock.
    Leave,
    /// Sealed to the trunk again, on the ship's clock.
    Return,
    /// `diver` or `bellman`.
    Role,
    /// The bell's name.
    Bell,
    /// Depth of the work.
    Depth,
    /// Spans in the water as clock times, or their length.
    InWater,
    /// Tasks with the time in the water for each.
    Tasks,
}

impl Column {
    /// All, in the order in which they are written.
    pub const ALL: [Column; 8] = [
        Column::Diver,
        Column::Leave,
        Column::Return,
        Column::Role,
        Column::Bell,
        Column::Depth,
        Column::InWater,
        Column::Tasks,
    ];
    /// Those that must be there.
    pub const NEEDED: [Column; 4] = [Column::Diver, Column::Leave, Column::Return, Column::Role];

    /// The head of the column.
    pub fn head(self) -> &'static str {
        match self {
            Column::Diver => "diver",
            Column::Leave => "leave",
            Column::Return => "return",
            Column::Role => "role",
            Column::Bell => "bell",
            Column::Depth => "depth",
            Column::InWater => "in water",
            Column::Tasks => "tasks",
        }
    }
}
