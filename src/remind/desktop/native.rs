//! The notices of macOS and Windows. Neither gives one back by number: a notice is shown anew and closed by hand.

use notify_rust::{Notification, Timeout};

use crate::remind::desktop::{Job, Place};

pub(super) struct Service;

impl Service {
    pub(super) fn reach() -> Result<Self, String> {
        Ok(Self)
    }

    pub(super) fn owner(&self) -> &str {
        ""
    }

    pub(super) fn can(&mut self, what: &str) -> bool {
        what == "sound"
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
