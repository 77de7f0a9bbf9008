//! How the command ends: one table of exit codes, in `--help` and here.

use std::process::ExitCode;

/// How a verb ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Done, nothing wrong.
    Done,
    /// Done, and limits were crossed, or bell runs were not made or broken off.
    LimitsCrossed,
    /// Not completed, or people were hurt or lost their pressure, and what there is is written; or the result
    /// could not be written.
    NotCompleted,
    /// What was given cannot be used: arguments, files, names.
    BadInput,
    /// Interrupted by the user.
    Interrupted,
    /// A fault of the program itself.
    Fault,
}

impl Exit {
    /// All ends in the order of their codes.
    pub const ALL: [Exit; 6] = [
        Exit::Done,
        Exit::LimitsCrossed,
        Exit::NotCompleted,
        Exit::BadInput,
        Exit::Interrupted,
        Exit::Fault,
    ];

    /// Its code.
    pub fn code(self) -> u8 {
        match self {
            Exit::Done => 0,
            Exit::LimitsCrossed => 1,
            Exit::NotCompleted => 2,
            Exit::BadInput => 3,
            Exit::Interrupted => 4,
            Exit::Fault => 5,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        ExitCode::from(exit.code())
    }
}

/// The table, as `--help` prints it.
pub const TABLE: &str = "\
Exit codes:
  0  done, nothing wrong
  1  done, but limits were crossed, or bell runs not made or broken off
  2  not completed, or somebody hurt, dead or without pressure; or no result written
  3  bad input: arguments, files or names that cannot be used
  4  interrupted
  5  a fault of the program itself";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_whole() {
        for exit in Exit::ALL {
            assert!(TABLE.contains(&format!("\n  {}  ", exit.code())));
        }
        assert_eq!(TABLE.lines().count(), 1 + Exit::ALL.len());
    }
}
