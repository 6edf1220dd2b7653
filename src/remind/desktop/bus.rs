//! The notification service of a freedesktop session (Desktop Notifications Specification 1.3), over its bus.
//!
//! Spoken to directly: the library for all desktops gives no way to take back a notice that another run of the program has
//! shown, nor to learn that the service is another than then.

use std::collections::BTreeMap;
use std::future::poll_fn;
use std::pin::Pin;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;
use std::thread;

use zbus::export::futures_core::Stream as _;
use zbus::message::Type;
use zbus::{Connection, Error, MatchRule, Message, MessageStream, Variant, block_on};

use crate::remind::desktop::{Found, Job, Place, Press};
use crate::remind::notice::{Button, Notice, Urgency};

const SERVICE: &str = "org.freedesktop.Notifications";
const OBJECT: &str = "/org/freedesktop/Notifications";
const BUS: &str = "org.freedesktop.DBus";

/// A connection, and who answers at its other end.
pub(super) struct Service {
    bus: Connection,
    owner: String,
    /// What it can do; asked for with the first notice.
    capabilities: Option<Vec<String>>,
    /// Whether buttons are heard.
    heard: bool,
}

/// A connection on which pressed buttons are heard as long as it lasts.
#[derive(Debug, Clone)]
pub(super) struct Ears {
    bus: Connection,
    deaf: Arc<AtomicBool>,
}

impl Ears {
    /// Listens on a thread of its own, which ends with the connection or once nobody asks for presses any more.
    pub(super) fn open(presses: Sender<Press>) -> Result<Self, Error> {
        let bus = block_on(Connection::session())?;
        let id = ask(&bus, "GetId", &())?;
        let rule = MatchRule::builder()
            .msg_type(Type::Signal)
            .interface(SERVICE)
            .member("ActionInvoked")
            .build()?;
        let mut signals = block_on(MessageStream::for_match_rule(rule, &bus, None))?;
        let deaf = Arc::new(AtomicBool::new(false));
        let ears = Self { bus, deaf: Arc::clone(&deaf) };
        let listen = move || {
            while let Some(Ok(signal)) =
                block_on(poll_fn(|context| Pin::new(&mut signals).poll_next(context)))
            {
                if let Some(press) = press(&signal, &id)
                    && presses.send(press).is_err()
                {
                    break;
                }
            }
            deaf.store(true, Ordering::SeqCst);
        };
        thread::Builder::new().name("buttons".to_owned()).spawn(listen)?;
        Ok(ears)
    }

    pub(super) fn deaf(&self) -> bool {
        self.deaf.load(Ordering::SeqCst)
    }
}

/// The button that a signal tells of, if it is one of ours.
fn press(signal: &Message, bus: &str) -> Option<Press> {
    let (id, key): (u32, String) = signal.body().deserialize().ok()?;
    let header = signal.header();
    let owner = format!("{bus} {}", header.sender()?);
    Some(Press { place: Place { id, owner }, button: Button::of_key(&key)? })
}

/// Asks the bus itself.
fn ask<B>(bus: &Connection, method: &str, body: &B) -> Result<String, Error>
where
    B: serde::Serialize + zbus::zvariant::DynamicType,
{
    let path = "/org/freedesktop/DBus";
    block_on(bus.call_method(Some(BUS), path, Some(BUS), method, body))?.body().deserialize()
}

impl Service {
    pub(super) fn reach(ears: Option<Ears>) -> Result<Self, String> {
        let heard = ears.is_some();
        let reach = || {
            let bus = match ears {
                Some(ears) => ears.bus,
                None => block_on(Connection::session())?,
            };
            // A name is unique on its bus alone, and the next session's bus counts from one again.
            let id = ask(&bus, "GetId", &())?;
            // Named on its own it is not started: only a notice is worth that.
            let name = ask(&bus, "GetNameOwner", &SERVICE).unwrap_or_default();
            Ok::<_, Error>((bus, format!("{id} {name}")))
        };
        let (bus, owner) = reach().map_err(|error| error.to_string())?;
        Ok(Self { bus, owner, capabilities: None, heard })
    }

    /// Who it is and what it can do; one that isn't running isn't started for the question.
    pub(super) fn found(&mut self) -> Found {
        let there = !self.owner.ends_with(' ');
        let buttons = there && self.heard && self.can("actions");
        // Only what is shown is heard, and a look shows nothing.
        let sounds = self.capabilities.is_some() && self.can("sound");
        Found { owner: self.owner.clone(), sounds, buttons }
    }

    fn can(&mut self, what: &str) -> bool {
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
        // No button that nobody hears.
        let heard = self.heard && !notice.buttons().is_empty() && self.can("actions");
        let buttons = if heard { notice.buttons() } else { &[] };
        let actions: Vec<&str> =
            buttons.iter().flat_map(|button| [button.key(), button.label()]).collect();
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
