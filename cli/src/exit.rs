//! Exit codes.

use std::process::ExitCode;

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// Done.
    Done,
    /// The run worked but a limit is missed.
    LimitMissed,
    /// Bad usage, a bad scenario, or a place that cannot be written to.
    BadInput,
    /// Valid but physically impossible.
    Impossible,
    /// A fault of the program.
    Fault,
}

impl Exit {
    /// The number.
    pub const fn code(self) -> u8 {
        match self {
            Exit::Done => 0,
            Exit::LimitMissed => 1,
            Exit::BadInput => 2,
            Exit::Impossible => 3,
            Exit::Fault => 70,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> ExitCode {
        ExitCode::from(exit.code())
    }
}
