//! Air: the solvent a session gives off and the airflow that would dilute it to a limit, health and fire apart.
//!
//! Steady dilution: Q = G · K/limit. An estimate: nothing here says that a room is safe.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::{Grams, GramsPerLitre, Litres, MilligramsPerCubicMetre, Mixing, OutOfRange};

/// Said with every figure.
pub const CAUTION: &str = "An estimate from the sheet's figures for air that mixes as assumed; the maker's data sheet and local \
                           rules govern, and a person qualified to judge decides.";

/// The part of the lower flammable limit that ventilation against fire keeps to: a quarter (practice of industrial ventilation,
/// from memory). Far above any breathing limit.
pub const FIRE_SHARE: f64 = 0.25;

/// Why there is no estimate.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AirError {
    #[error("a session of {hours} h is not possible: expected more than 0 and at most 1000")]
    NoTime {
        /// As given.
        hours: f64,
    },
    /// Not a quantity.
    #[error(transparent)]
    Quantity(#[from] OutOfRange),
}

/// Solvent given off by a volume of finish, g: litres · g/L, all of it taken to evaporate in the session.
pub fn given_off(volume: Litres, voc: GramsPerLitre) -> Result<Grams, OutOfRange> {
    Grams::new(volume.get() * voc.get())
}

/// The airflow that would keep to a limit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Airflow {
    /// m³ an hour.
    pub m3_per_hour: f64,
    /// The limit it was reckoned for.
    pub limit: MilligramsPerCubicMetre,
    /// Where the limit comes from, in the sheet's words.
    pub basis: String,
    /// How unevenly the air was taken to mix.
    pub(crate) mixing: Mixing,
}

/// A limit and where it comes from.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize, Deserialize)]
pub struct Limit {
    pub at: MilligramsPerCubicMetre,
    /// Where it comes from.
    pub basis: String,
}

/// What a session gives off and what air that asks for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Estimate {
    /// Solvent given off.
    pub(crate) given_off: Grams,
    /// Over how many hours.
    pub(crate) hours: f64,
    /// To the breathing limit on the sheet; `None` where the sheet names none.
    pub health: Option<Airflow>,
    /// To a quarter of the lower flammable limit; `None` where the sheet names none.
    pub fire: Option<Airflow>,
    /// What has to be said with it.
    pub caution: String,
}

/// The steady airflow, m³/h, that dilutes `mass` given off over `hours` to `limit`: Q = g/h · 1000 · K/(mg/m³).
///
/// Dilution ventilation as in the industrial-ventilation manuals (formula read on a university page; K 1 to 10 from memory).
pub fn dilution(
    mass: Grams,
    hours: f64,
    limit: MilligramsPerCubicMetre,
    mixing: Mixing,
) -> Result<f64, AirError> {
    if !(hours > 0.0 && hours <= 1000.0) {
        return Err(AirError::NoTime { hours });
    }
    Ok(mass.get() / hours * 1000.0 * mixing.get() / limit.get())
}

/// The estimate for a session: health to the breathing limit, fire to a quarter of the lower flammable limit, never one
/// for the other.
pub fn estimate(
    mass: Grams,
    hours: f64,
    breathing: Option<&Limit>,
    lower_flammable: Option<&Limit>,
    mixing: Mixing,
) -> Result<Estimate, AirError> {
    let flow = |limit: &Limit, share: f64| -> Result<Airflow, AirError> {
        let at = MilligramsPerCubicMetre::new(limit.at.get() * share)?;
        let m3_per_hour = dilution(mass, hours, at, mixing)?;
        Ok(Airflow { m3_per_hour, limit: at, basis: limit.basis.clone(), mixing })
    };
    // Asked for its own sake: without any limit the hours still have to be hours.
    dilution(mass, hours, MilligramsPerCubicMetre::new(1.0)?, mixing)?;
    Ok(Estimate {
        given_off: mass,
        hours,
        health: breathing.map(|limit| flow(limit, 1.0)).transpose()?,
        fire: lower_flammable.map(|limit| flow(limit, FIRE_SHARE)).transpose()?,
        caution: CAUTION.to_owned(),
    })
}
