//! Open hours: local wall time by weekday, less the closed days.

/// When the shop is open.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct OpenHours;
