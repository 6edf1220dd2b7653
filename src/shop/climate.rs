//! Readings of a room's climate, and which room a lot stood in when.

use crate::craft::cure::Reading;
use crate::shop::Shop;
use crate::shop::lot::Lot;
use crate::time::Instant;
use crate::units::{Celsius, Humidity};

/// What a room's log says of one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoomReading {
    pub at: Instant,
    /// How warm the air was.
    pub temp: Celsius,
    /// How damp, if it was read.
    pub humidity: Option<Humidity>,
    /// How warm the pieces were, if it was measured.
    pub surface: Option<Celsius>,
}

impl From<RoomReading> for Reading {
    fn from(reading: RoomReading) -> Self {
        Self { at: reading.at, temp: reading.temp, humidity: reading.humidity }
    }
}

/// Where a lot stood for a while.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stay {
    /// The room; none where it stood on no rack and never had.
    pub room: Option<String>,
    pub from: Instant,
    /// Until when; none is still.
    pub until: Option<Instant>,
}

impl Shop {
    /// The room of a rack.
    pub fn room_of(&self, rack: &str) -> Option<&str> {
        self.setup.as_ref()?.rack(rack).map(|rack| rack.room.as_str())
    }

    /// The rooms a lot has stood in since `since`, in order of time. Off the racks it is taken to stay in the room it was
    /// last in.
    pub fn stays(&self, lot: &Lot, since: Instant) -> Vec<Stay> {
        let mut stays: Vec<Stay> = Vec::new();
        let mut room: Option<String> = None;
        for standing in &lot.standing {
            let here = standing.rack.as_deref().and_then(|rack| self.room_of(rack));
            room = here.map(str::to_owned).or(room);
            if standing.from <= since {
                stays = vec![Stay { room: room.clone(), from: since, until: None }];
            } else if stays.last().is_none_or(|stay| stay.room != room) {
                if let Some(stay) = stays.last_mut() {
                    stay.until = Some(standing.from);
                }
                let from = if stays.is_empty() { since } else { standing.from };
                stays.push(Stay { room: room.clone(), from, until: None });
            }
        }
        if stays.is_empty() {
            stays.push(Stay { room, from: since, until: None });
        }
        stays
    }

    /// A room's readings in order of time; none where it has no log.
    pub fn readings(&self, room: Option<&str>) -> Vec<Reading> {
        let log = room.and_then(|room| self.climate.get(room));
        log.map_or_else(Vec::new, |log| log.iter().copied().map(Reading::from).collect())
    }
}
