//! The times a person types: `--at` when it happened, `--now` for which moment to look.

use chrono::NaiveDate;
use clap::Args;

use crate::cli::Error;
use crate::time::{Instant, Viewpoint, Zone, read_date, read_moment};

/// When it happened.
#[derive(Debug, Clone, Args)]
pub(crate) struct At {
    /// When it happened, if not now: "09:40", "yesterday 16:00", "2026-03-04 09:40", "20m ago"
    #[arg(long, value_name = "TIME")]
    pub(crate) at: Option<String>,
}

/// For which moment to look.
#[derive(Debug, Clone, Args)]
pub(crate) struct Now {
    /// Show it as it will look, or looked, at another time: "tomorrow 08:30", "in 2h", "2026-03-04 09:40"
    #[arg(long, value_name = "TIME")]
    pub(crate) now: Option<String>,
}

impl At {
    pub(crate) fn read(&self, now: Instant, zone: Zone) -> Result<Instant, Error> {
        read("--at", self.at.as_deref(), now, zone)
    }
}

impl Now {
    pub(crate) fn read(&self, now: Instant, zone: Zone) -> Result<Instant, Error> {
        read("--now", self.now.as_deref(), now, zone)
    }
}

/// The date that an option is given.
pub(crate) fn date(option: &str, text: &str, view: Viewpoint) -> Result<NaiveDate, Error> {
    read_date(text, view.now, view.zone).map_err(|error| {
        Error::usage(format!("{option}: {error}"), format!("give {option} as 2026-03-27"))
    })
}

fn read(option: &str, text: Option<&str>, now: Instant, zone: Zone) -> Result<Instant, Error> {
    let Some(text) = text else { return Ok(now) };
    read_moment(text, now, zone).map_err(|error| {
        let next =
            format!("give {option} as \"09:40\", \"yesterday 16:00\" or \"2026-03-04 09:40\"");
        Error::usage(format!("{option}: {error}"), next)
    })
}
