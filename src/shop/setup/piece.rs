//! A piece: what is made.

use schemars::JsonSchema;
use serde::Serialize;

use crate::units::{Money, SquareCentimetres};

/// What is made: wood, size, how many from one blank.
#[derive(Debug, Clone, Default, PartialEq, JsonSchema, Serialize)]
pub struct Piece {
    pub name: String,
    /// The wood, in the shop's words.
    pub wood: Option<String>,
    /// Pieces from one blank, at least 1.
    pub pieces_per_blank: u32,
    /// How its area is known, if it is.
    pub size: Option<Size>,
    /// What a blank costs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub blank_cost: Option<Money>,
}

/// How the area of a piece is known.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub enum Size {
    /// One closed outline from axis to axis: `[height mm, diameter mm]`.
    #[serde(rename = "profile_mm")]
    Profile(Vec<[f64; 2]>),
    /// Measured or reckoned elsewhere.
    #[serde(rename = "area_cm2")]
    Area(SquareCentimetres),
}
