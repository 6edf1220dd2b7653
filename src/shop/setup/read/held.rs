//! The values that keys have: how each kind is read, written and said.

use super::page::{Page, Read, optional};
use super::value::{Value, shown};
use crate::shop::setup::fault::quoted;
use crate::shop::setup::{AirLimit, Sheet, write};
use crate::time::{Keeps, Span, SpanRange};
use crate::units::{Celsius, Coverage, GramsPerLitre, Humidity, Money, Q10, Shown, System};

/// Ten years: no sheet asks for longer, and sums of them stay far from any limit.
pub(super) const LONGEST_WAIT: Span = Span::days(3650);
/// More than a small shop has of anything that has no limit of its own.
const MOST: u32 = 1000;

/// A value that a key can have.
pub(super) trait Held: Sized {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<Self>;
    /// Nothing where there is none.
    fn toml(&self, units: System) -> Option<String>;
    /// As a person reads it.
    fn said(&self, units: System) -> Option<String> {
        self.toml(units)
    }
}

impl<T: Held> Held for Option<T> {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<Self> {
        T::read(page, value, wanted).map(Some)
    }

    fn toml(&self, units: System) -> Option<String> {
        self.as_ref()?.toml(units)
    }

    fn said(&self, units: System) -> Option<String> {
        self.as_ref()?.said(units)
    }
}

impl Held for String {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, _: &str) -> Read<Self> {
        page.name(value).map(str::to_owned)
    }

    fn toml(&self, _: System) -> Option<String> {
        Some(write::quoted(self))
    }
}

/// Text that may be longer than a name.
pub(super) fn text<'a>(
    page: &mut Page<'a>,
    value: &'a Value<'a>,
    wanted: &str,
) -> Read<Option<String>> {
    page.text(value, wanted).map(|text| Some(text.to_owned()))
}

impl Held for u32 {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<Self> {
        page.count(value, wanted, MOST)
    }

    fn toml(&self, _: System) -> Option<String> {
        Some(self.to_string())
    }
}

impl Held for bool {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, _: &str) -> Read<Self> {
        page.flag(value)
    }

    fn toml(&self, _: System) -> Option<String> {
        Some(self.to_string())
    }
}

macro_rules! held_as_number {
    ($($quantity:ident),*) => {$(
        impl Held for $quantity {
            fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<Self> {
                page.quantity(value, wanted)
            }

            fn toml(&self, units: System) -> Option<String> {
                Some(write::quantity(*self, units))
            }

            fn said(&self, units: System) -> Option<String> {
                Some(Shown::new(*self, units).to_string())
            }
        }
    )*};
}
held_as_number!(Celsius, Humidity, Q10, Coverage, GramsPerLitre, Money);

macro_rules! held_as_time {
    ($($time:ident, $fits:expr;)*) => {$(
        impl Held for $time {
            fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<Self> {
                let time = page.parsed(value, wanted)?;
                let fits: fn($time) -> bool = $fits;
                if fits(time) {
                    return Ok(time);
                }
                let wanted = format!("{wanted}; more than nothing, at most 3650d");
                Err(page.fault(value.span(), shown(value), wanted))
            }

            fn toml(&self, _: System) -> Option<String> {
                Some(write::quoted(&self.typed()))
            }
        }
    )*};
}
held_as_time! {
    Span, |time| time > Span::ZERO && time <= LONGEST_WAIT;
    SpanRange, |range| range.max > Span::ZERO && range.longest().unwrap_or(range.min) <= LONGEST_WAIT;
    Keeps, |keeps| !matches!(keeps, Keeps::Months(0) | Keeps::For(Span::ZERO));
}

impl Held for Vec<String> {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<Self> {
        let mut known = Vec::new();
        page.items(value, wanted, |page, item| {
            let name = page.name(item)?;
            if known.contains(&name) {
                let found = format!("{} a second time", quoted(name));
                return Err(page.fault(item.span(), found, "each name once"));
            }
            known.push(name);
            Ok(name.to_owned())
        })
    }

    fn toml(&self, _: System) -> Option<String> {
        Some(write::words(self))
    }
}

impl Held for Sheet {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, _: &str) -> Read<Self> {
        let table = page.table(value, "sheet")?;
        page.only(&table, &["title", "revised"]);
        let title = page
            .required(&table, "title", "title = \"…\", what the data sheet is called")
            .and_then(|value| page.text(value, "the sheet's title"));
        let revised = optional(&table, "revised")
            .map(|value| page.parsed(value, "a date in quotes, as \"2026-03-17\" or \"2026-03\""))
            .transpose();
        Ok(Self { title: title?.to_owned(), revised: revised? })
    }

    fn toml(&self, _: System) -> Option<String> {
        let revised = self.revised.map(|date| format!(", revised = \"{date}\""));
        Some(format!("{{ title = {}{} }}", write::quoted(&self.title), revised.unwrap_or_default()))
    }
}

impl Held for AirLimit {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, _: &str) -> Read<Self> {
        let table = page.table(value, "a limit in air")?;
        page.only(&table, &["mg_m3", "basis"]);
        let mg_m3 = page
            .required(&table, "mg_m3", "mg_m3 = …, the limit in mg/m³")
            .and_then(|value| page.quantity(value, "a concentration in air"));
        let basis = page
            .required(&table, "basis", "basis = \"…\", which limit it is and where it stands")
            .and_then(|value| page.text(value, "which limit it is and where it stands"));
        Ok(Self { mg_m3: mg_m3?, basis: basis?.to_owned() })
    }

    fn toml(&self, _: System) -> Option<String> {
        let (mg_m3, basis) = (write::number(self.mg_m3.get()), write::quoted(&self.basis));
        Some(format!("{{ mg_m3 = {mg_m3}, basis = {basis} }}"))
    }
}
