//! Air: what a session gives off and the airflow that asks for. Nothing here says that a room is safe.

use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::air::{
    AirError, Airflow, CAUTION, Estimate, FIRE_SHARE, Limit, estimate, given_off,
};
use crate::report::{Page, Report, Tone};
use crate::shop::setup::{AirLimit, Finish};
use crate::time::Viewpoint;
use crate::units::{CubicMetresPerHour, Litres, MilligramsPerCubicMetre, Mixing, Shown, figures};

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct AirShown {
    /// Each finish by itself.
    pub(crate) sessions: Vec<Session>,
    /// Hours it takes.
    pub(crate) hours: f64,
    /// Where the hours come from: given, hands' time of the coats, assumed.
    pub(crate) hours_from: &'static str,
    /// How unevenly the air was taken to mix.
    pub(crate) mixing: f64,
    /// Whether that was given or is common practice.
    pub(crate) mixing_given: bool,
    /// What has to be said with it.
    pub(crate) caution: &'static str,
}

/// What is laid on of one finish.
#[derive(Debug, Clone)]
pub(crate) struct Laid<'a> {
    pub(crate) finish: &'a Finish,
    /// The lots, if they are lots.
    pub(crate) lots: Vec<String>,
    /// How much, as far as that is known.
    pub(crate) litres: Option<Litres>,
    /// Why some of it is not known.
    pub(crate) unknown: Vec<String>,
}

/// One finish.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Session {
    pub(crate) finish: String,
    pub(crate) lots: Vec<String>,
    /// How much of it, as far as that is known.
    pub(crate) litres: Option<Shown<Litres>>,
    /// What it gives off, g/L, by the setup.
    pub(crate) voc_g_per_l: Option<f64>,
    /// Grams given off; null where that is not known.
    pub(crate) given_off_g: Option<f64>,
    /// Airflow to the breathing limit.
    pub(crate) health: Option<Flow>,
    /// Airflow to a quarter of the lower flammable limit.
    pub(crate) fire: Option<Flow>,
    /// What is missing, and for what.
    pub(crate) missing: Vec<String>,
}

/// An airflow with the limit it keeps to.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Flow {
    pub(crate) m3_per_hour: Shown<CubicMetresPerHour>,
    /// The limit.
    pub(crate) limit_mg_m3: Shown<MilligramsPerCubicMetre>,
    /// Where the limit comes from.
    pub(crate) basis: String,
}

impl AirShown {
    pub(crate) fn new(
        laid: &[Laid<'_>],
        hours: (f64, &'static str),
        mixing: Option<Mixing>,
        view: Viewpoint,
    ) -> Result<Self, AirError> {
        let mixes = mixing.unwrap_or(Mixing::COMMON_PRACTICE);
        let sessions = laid.iter().map(|laid| Session::new(laid, hours.0, mixes, view));
        Ok(Self {
            sessions: sessions.collect::<Result<_, _>>()?,
            hours: hours.0,
            hours_from: hours.1,
            mixing: mixes.get(),
            mixing_given: mixing.is_some(),
            caution: CAUTION,
        })
    }
}

impl Session {
    fn new(laid: &Laid<'_>, hours: f64, mixing: Mixing, view: Viewpoint) -> Result<Self, AirError> {
        let finish = laid.finish;
        let mut missing = laid.unknown.clone();
        if finish.voc.is_none() {
            missing.push(format!(
                "what {} gives off is not known: no voc in the setup (g/L, from the maker's sheet)",
                finish.name
            ));
        }
        let mass = match (laid.litres.filter(|_| laid.unknown.is_empty()), finish.voc) {
            (Some(litres), Some(voc)) => Some(given_off(litres, voc)?),
            _ => None,
        };
        let limit = |limit: &AirLimit| Limit { at: limit.mg_m3, basis: limit.basis.clone() };
        let (breathing, flammable) =
            (finish.air_limit.as_ref().map(limit), finish.lower_flammable.as_ref().map(limit));
        let estimate =
            mass.map(|mass| estimate(mass, hours, breathing.as_ref(), flammable.as_ref(), mixing));
        let estimate = estimate.transpose()?;
        if breathing.is_none() {
            missing.push(format!("health: no air_limit for {} in the setup", finish.name));
        }
        if flammable.is_none() {
            missing.push(format!("fire: no lower_flammable for {} in the setup", finish.name));
        }
        let flow = |flow: fn(&Estimate) -> Option<&Airflow>| {
            let flow = estimate.as_ref().and_then(flow)?;
            Some(Flow {
                m3_per_hour: view.known(flow.m3_per_hour)?,
                limit_mg_m3: view.shown(flow.limit),
                basis: flow.basis.clone(),
            })
        };
        Ok(Self {
            finish: finish.name.clone(),
            lots: laid.lots.clone(),
            litres: laid.litres.map(|litres| view.shown(litres)),
            voc_g_per_l: finish.voc.map(crate::units::GramsPerLitre::get),
            given_off_g: mass.map(crate::units::Grams::get),
            health: flow(|estimate| estimate.health.as_ref()),
            fire: flow(|estimate| estimate.fire.as_ref()),
            missing,
        })
    }

    fn text(&self, page: &mut Page) {
        let lots = if self.lots.is_empty() {
            String::new()
        } else {
            format!(" on {}", self.lots.join(", "))
        };
        let amount =
            self.litres.map_or_else(|| "an unknown amount".to_owned(), |litres| litres.to_string());
        page.heading(Tone::Strong, &format!("{}  {amount}{lots}", self.finish));
        match (self.given_off_g, self.voc_g_per_l) {
            (Some(grams), Some(voc)) => page.item(format!(
                "about {} g of solvent given off ({voc} g/L on the sheet)",
                figures(grams)
            )),
            _ => page.under("solvent given off: not known"),
        }
        let flows = [
            ("health", &self.health, String::new()),
            (
                "fire",
                &self.fire,
                format!("{:.0} % of the lower flammable limit, ", FIRE_SHARE * 100.0),
            ),
        ];
        for (what, flow, share) in flows {
            if let Some(flow) = flow {
                page.item(format!(
                    "{what}: about {}, to {} ({share}{})",
                    flow.m3_per_hour, flow.limit_mg_m3, flow.basis
                ));
            }
        }
        for missing in &self.missing {
            page.item(format!("missing: {missing}"));
        }
    }
}

/// "1.5 h", below an hour "24 min".
fn duration(hours: f64) -> String {
    if hours < 1.0 {
        format!("{} min", figures(hours * 60.0).trim_end_matches(".0"))
    } else {
        format!("{} h", (hours * 100.0).round() / 100.0)
    }
}

impl Report for AirShown {
    fn text(&self, page: &mut Page) {
        for (number, session) in self.sessions.iter().enumerate() {
            if number > 0 {
                page.gap();
            }
            session.text(page);
        }
        page.gap();
        if self.sessions.len() > 1 {
            page.hang("Laid on in one session, their airflows add up.");
        }
        let practice = if self.mixing_given { "" } else { ", common practice" };
        page.hang(format!(
                "Over {} ({}); taking all of the solvent to evaporate in that time; mixing factor {}{practice}.",
                duration(self.hours),
                self.hours_from,
                self.mixing
            ),
        );
        if self.sessions.iter().any(|session| session.fire.is_some()) {
            page.hang("Health and fire are reckoned apart: air enough against fire is far from enough to breathe.",
            );
        }
        page.hang(self.caution);
    }
}
