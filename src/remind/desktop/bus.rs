//! The notification service of a freedesktop session (Desktop Notifications Specification 1.3), over its bus.
//!
//! Spoken to directly: the library for all desktops gives no way to take back a notice that another run of the program has
//! shown, nor to learn that the service is another than then.

use std::collections::BTreeMap;

use zbus::{Connection, Error, Message, Variant, block_on};

use crate::remind::desktop::{Job, Place};
use crate::remind::notice::{Notice, Urgency};

const SERVICE: &str = "org.freedesktop.Notifications";
const OBJECT: &str = "/org/freedesktop/Notifications";
const BUS: &str = "org.freedesktop.DBus";

/// A connection, and who answers at its other end.
pub(super) struct Service {
    bus: Connection,
    owner: String,
    /// What it can do; asked for with the first notice.
    capabilities: Option<Vec<String>>,
}

impl Service {
    pub(super) fn reach() -> Result<Self, String> {
        let reach = async {
            let bus = Connection::session().await?;
            // Named on its own it is not started: only a notice is worth that.
            let ask = |method, body: Option<&'static str>| {
                let bus = bus.clone();
                async move {
                    let path = "/org/freedesktop/DBus";
                    let answer = match body {
                        Some(name) => {
                            bus.call_method(Some(BUS), path, Some(BUS), method, &name).await
                        }
                        None => bus.call_method(Some(BUS), path, Some(BUS), method, &()).await,
                    };
                    answer?.body().deserialize::<String>()
                }
            };
            // A name is unique on its bus alone, and the next session's bus counts from one again.
            let id = ask("GetId", None).await?;
            let name = ask("GetNameOwner", Some(SERVICE)).await.unwrap_or_default();
            Ok::<_, Error>((bus, format!("{id} {name}")))
        };
        let (bus, owner) = block_on(reach).map_err(|error| error.to_string())?;
        Ok(Self { bus, owner, capabilities: None })
    }

    pub(super) fn owner(&self) -> &str {
        &self.owner
    }

    pub(super) fn can(&mut self, what: &str) -> bool {
        if self.capabilities.is_none() {
            let answer = self.call("GetCapabilities", &());
            let capabilities = answer.and_then(|answer| answer.body().deserialize());
            self.capabilities = Some(capabilities.unwrap_or_default());
        }
        self.capabilities.iter().flatten().any(|capability| capability == what)
    }

    pub(super) fn do_job(&mut self, job: &Job) -> Result<Place, String> {
        let done = match job {
            Job::Show { notice, replaces } => self.show(notice, replaces.as_ref()),
            Job::Close(place) if place.owner == self.owner => {
                // One that a person has closed is no longer there to be closed; either way it is gone.
                self.call("CloseNotification", &place.id).ok();
                Ok(place.id)
            }
            Job::Close(place) => Ok(place.id),
        };
        let id = done.map_err(|error| error.to_string())?;
        Ok(Place { id, owner: self.owner.clone() })
    }

    fn show(&mut self, notice: &Notice, replaces: Option<&Place>) -> Result<u32, Error> {
        let body =
            if self.can("body-markup") { escaped(&notice.body) } else { notice.body.clone() };
        // No buttons: an answer would have to be heard by whoever runs then.
        let actions: Vec<&str> = Vec::new();
        let urgency: u8 = match notice.urgency {
            Urgency::Low => 0,
            Urgency::Normal => 1,
            Urgency::Critical => 2,
        };
        // Until it is answered, or as long as the service sees fit.
        let timeout = if notice.kind.stays() { 0_i32 } else { -1 };
        let mut hints: BTreeMap<&str, Variant<'_>> = BTreeMap::new();
        hints.insert("urgency", urgency.into());
        // Some services replace by a tag, whatever became of the id.
        hints.insert("x-dunst-stack-tag", notice.key.as_str().into());
        if let Some(sound) = notice.sound {
            hints.insert("sound-name", sound.name().into());
        }
        let there = replaces.filter(|place| place.owner == self.owner);
        let replaces = there.map_or(0, |place| place.id);
        let words = (notice.summary.as_str(), body.as_str());
        let call = ("tackfree", replaces, "", words.0, words.1, actions, hints, timeout);
        let answer = self.call("Notify", &call)?;
        if there.is_none() && self.owner.ends_with(' ') {
            // It was started by this very call.
            if let Some(name) = answer.header().sender() {
                self.owner.push_str(name.as_str());
            }
        }
        answer.body().deserialize()
    }

    fn call<B>(&self, method: &str, body: &B) -> Result<Message, Error>
    where
        B: serde::Serialize + zbus::zvariant::DynamicType,
    {
        block_on(self.bus.call_method(Some(SERVICE), OBJECT, Some(SERVICE), method, body))
    }
}

/// The body as markup that shows as this very text.
fn escaped(body: &str) -> String {
    body.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markup_in_a_body_shows_as_typed() {
        assert_eq!(escaped("<b>Tom & Ann</b>"), "&lt;b&gt;Tom &amp; Ann&lt;/b&gt;");
    }
}
