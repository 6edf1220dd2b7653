//! The one place that asks the time.

use std::time::{SystemTime, UNIX_EPOCH};

use crate::time::Instant;
use crate::time::typed::{TypedError, read_rfc3339};

/// How long a person has been waiting for something. It never decides the answer, only what is said
/// meanwhile.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stopwatch(std::time::Instant);

impl Stopwatch {
    /// Starts now.
    #[expect(clippy::disallowed_methods, reason = "the one place that asks the time")]
    pub(crate) fn start() -> Self {
        Self(std::time::Instant::now())
    }

    /// Seconds since then.
    pub(crate) fn seconds(&self) -> f64 {
        self.0.elapsed().as_secs_f64()
    }
}

/// Why there is no now.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ClockError {
    #[error("TACKFREE_NOW: {0}")]
    Overridden(#[from] TypedError),
    #[error(
        "the computer's clock stands before 1970 or past the calendar: set it right, or set TACKFREE_NOW"
    )]
    Unset,
}

/// The present moment, cut to the second; or, for tests and rehearsals, what `TACKFREE_NOW` says, an RFC 3339 moment
/// with its offset, which the command line passes in.
#[expect(clippy::disallowed_methods, reason = "the one place that asks the time")]
pub fn now(overridden: Option<&str>) -> Result<Instant, ClockError> {
    if let Some(text) = overridden {
        return Ok(read_rfc3339(text)?);
    }
    let since_1970 = SystemTime::now().duration_since(UNIX_EPOCH).map_err(|_| ClockError::Unset)?;
    i64::try_from(since_1970.as_secs())
        .ok()
        .and_then(|seconds| Instant::from_timestamp(seconds, 0))
        .ok_or(ClockError::Unset)
}
