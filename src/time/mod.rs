//! Instants, elapsed spans, open hours, and the reading and writing of times as people type and say them.
//!
//! Instants are UTC; rests are elapsed time; open hours are local wall time. Nothing here asks the clock but `clock`.

/// What serde keeps as the text that a person types.
macro_rules! as_text {
    ($kind:ty, |$value:ident| $typed:expr) => {
        impl TryFrom<String> for $kind {
            type Error = <Self as std::str::FromStr>::Err;

            fn try_from(text: String) -> Result<Self, Self::Error> {
                text.parse()
            }
        }

        impl From<$kind> for String {
            fn from($value: $kind) -> Self {
                $typed
            }
        }
    };
}
pub(crate) use as_text;

pub mod clock;
pub(crate) mod closed;
pub(crate) mod hours;
pub(crate) mod keeps;
pub mod local;
pub(crate) mod partial;
pub(crate) mod span;
pub(crate) mod stamp;
pub mod typed;
pub mod words;

pub use closed::ClosedDays;
pub use hours::{HoursError, OpenHours, Stretch};
pub use keeps::Keeps;
pub use local::{Reading, first_instant_of, local_date};
pub(crate) use partial::PartialDate;
pub use span::{Span, SpanError, SpanRange};
pub(crate) use stamp::{Stamp, Viewpoint};
pub use typed::{TypedError, read_date, read_moment};

/// A moment, UTC, whole seconds in everything the ledger holds.
pub type Instant = chrono::DateTime<chrono::Utc>;

/// The shop's time zone, from the IANA data that chrono-tz embeds.
pub type Zone = chrono_tz::Tz;
