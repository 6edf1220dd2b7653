//! The notices of macOS and Windows. Neither gives one back by number: a notice is shown again and closed by hand.

use std::convert::Infallible;
use std::sync::mpsc::Sender;

use notify_rust::{Notification, Timeout};

use crate::remind::desktop::{Found, Job, Place, Press};

pub(super) struct Service;

/// There are none: no button comes back from there.
#[derive(Debug, Clone)]
pub(super) struct Ears(Infallible);

impl Ears {
    pub(super) fn open(_: Sender<Press>) -> Result<Self, ()> {
        Err(())
    }

    pub(super) fn deaf(&self) -> bool {
        match self.0 {}
    }
}

impl Service {
    pub(super) fn reach(_: Option<Ears>) -> Result<Self, String> {
        Ok(Self)
    }

    pub(super) fn found(&mut self) -> Found {
        Found { sounds: true, ..Found::default() }
    }

    pub(super) fn do_job(&mut self, job: &Job) -> Result<Place, String> {
        let place = Place { id: 0, owner: String::new() };
        let Job::Show { notice, .. } = job else { return Ok(place) };
        let timeout = if notice.kind.stays() { Timeout::Never } else { Timeout::Default };
        let mut notification = Notification::new();
        notification.appname("tackfree").summary(&notice.summary).body(&notice.body);
        notification.timeout(timeout);
        if notice.sound.is_some() {
            notification.sound_name("Default");
        }
        notification.show().map(|_| place).map_err(|error| error.to_string())
    }
}
