//! The keys of a `[[finish]]`: one table that reads, fills in from the class, writes, compares and explains them.

use super::page::{Page, Read, optional};
use super::value::{Value, shown};
use crate::shop::setup::fault::quoted;
use crate::shop::setup::{AirLimit, Finish, Sheet, write};
use crate::time::{Keeps, Span, SpanRange};
use crate::units::{Celsius, Coverage, GramsPerLitre, Humidity, Money, Q10, Shown, System, Typed};

/// Ten years: no sheet asks for longer, and sums of them stay far from any limit.
pub(super) const LONGEST_WAIT: Span = Span::days(3650);

/// A key of a finish.
pub struct Key {
    pub name: &'static str,
    /// A value as a file gives it.
    pub(crate) example: &'static str,
    /// What it says, for the starting file and for a fault.
    pub(crate) about: &'static str,
    slot: fn(&Finish) -> &dyn Slot,
    pub(super) slot_mut: fn(&mut Finish) -> &mut dyn Slot,
}

macro_rules! keys {
    ($($name:ident = $example:literal, $about:literal;)*) => {
        /// Every key, in the order of the file.
        pub static KEYS: &[Key] = &[$(Key {
            name: stringify!($name),
            example: $example,
            about: $about,
            slot: |finish| &finish.$name,
            slot_mut: |finish| &mut finish.$name,
        }),*];
    };
}

keys! {
    name = "\"house oil\"", "what the shop calls it";
    kind = "\"polymerised drying oil\"", "a finish class; it supplies what is left out below";
    sheet = "{ title = \"maker's technical sheet\", revised = \"2025-04-01\" }",
        "the data sheet the numbers come from; its date, month or year";
    soak = "\"10m..20m\"", "from applying to wiping off, the shortest and the longest";
    recoat = "\"24h..7d\"", "from one coat to the next, the shortest and the longest; \"24h..\" where the tin names no longest";
    cure = "\"21d\"", "to the sheet's food-contact or full-cure time";
    sheet_temp = "23.0", "temperature for which the sheet gives these times, °C";
    min_temp = "10.0", "temperature below which nothing cures, °C";
    max_humidity = "80", "relative humidity above which nothing cures, %";
    q10 = "2.0", "how much faster it cures when 10 °C warmer; left out, a careful value is used";
    coverage = "18.0", "how far a litre goes on sealed wood, m²";
    coverage_bare = "12.0", "how far a litre goes on bare wood, for the first coat, m²";
    voc = "420", "solvent given off by a litre, g";
    air_limit = "{ mg_m3 = 350, basis = \"occupational limit on the sheet, 8 h\" }",
        "the breathing limit, and where it stands";
    lower_flammable = "{ mg_m3 = 45000, basis = \"on the sheet\" }",
        "the lower flammable limit, if the sheet names it";
    use_within = "\"6 months\"", "how long it keeps after opening, or after mixing a two-part finish";
    contains = "[\"walnut\"]", "allergens; [] if the sheet names none, left out if nobody knows";
    self_heating = "true", "whether rags wet with it can catch fire by themselves";
    litre_cost = "38.50", "what a litre costs, in your money";
}

impl Key {
    /// What a fault says could stand there.
    pub(super) fn wanted(&self) -> String {
        format!("{}, as {} = {}", self.about, self.name, self.example)
    }

    /// Its value in a finish, as a person reads it; nothing where there is none.
    pub(crate) fn said(&self, finish: &Finish, units: System) -> Option<String> {
        (self.slot)(finish).said(units)
    }

    /// The same of a value that a class supplies, as the reference writes it.
    pub(crate) fn said_of_class(&self, text: &str, units: System) -> Option<String> {
        let mut finish = Finish::default();
        (self.slot_mut)(&mut finish).supply(text);
        self.said(&finish, units)
    }

    /// Its value in a finish, as TOML; nothing where there is none.
    pub(in crate::shop::setup) fn toml(&self, finish: &Finish, units: System) -> Option<String> {
        (self.slot)(finish).toml(units)
    }
}

/// The place of a key's value in a finish.
pub(super) trait Slot {
    /// Takes the file's value.
    fn read<'a>(&mut self, page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<()>;
    /// Takes the class's value; says whether it could.
    fn supply(&mut self, text: &str) -> bool;
    /// The value as TOML; nothing where there is none.
    fn toml(&self, units: System) -> Option<String>;
    /// The value as a person reads it.
    fn said(&self, units: System) -> Option<String>;
}

/// A value that a key can have.
trait Held: Sized {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<Self>;
    /// As the reference writes it; what no class supplies is never written there.
    fn supplied(_: &str) -> Option<Self> {
        None
    }
    fn toml(&self, units: System) -> String;
    fn said(&self, units: System) -> String {
        self.toml(units)
    }
}

impl<T: Held> Slot for T {
    fn read<'a>(&mut self, page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<()> {
        *self = T::read(page, value, wanted)?;
        Ok(())
    }

    fn supply(&mut self, text: &str) -> bool {
        T::supplied(text).map(|value| *self = value).is_some()
    }

    fn toml(&self, units: System) -> Option<String> {
        Some(T::toml(self, units))
    }

    fn said(&self, units: System) -> Option<String> {
        Some(T::said(self, units))
    }
}

impl<T: Held> Slot for Option<T> {
    fn read<'a>(&mut self, page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<()> {
        *self = Some(T::read(page, value, wanted)?);
        Ok(())
    }

    fn supply(&mut self, text: &str) -> bool {
        *self = T::supplied(text);
        self.is_some()
    }

    fn toml(&self, units: System) -> Option<String> {
        self.as_ref().map(|value| value.toml(units))
    }

    fn said(&self, units: System) -> Option<String> {
        self.as_ref().map(|value| value.said(units))
    }
}

impl Held for String {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, _: &str) -> Read<Self> {
        page.name(value).map(str::to_owned)
    }

    fn toml(&self, _: System) -> String {
        write::quoted(self)
    }
}

impl Held for bool {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, _: &str) -> Read<Self> {
        page.flag(value)
    }

    fn supplied(text: &str) -> Option<Self> {
        ["no", "yes"].iter().position(|word| *word == text).map(|at| at == 1)
    }

    fn toml(&self, _: System) -> String {
        self.to_string()
    }
}

macro_rules! held_as_number {
    ($($quantity:ident),*) => {$(
        impl Held for $quantity {
            fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<Self> {
                page.quantity(value, wanted)
            }

            fn supplied(text: &str) -> Option<Self> {
                text.parse::<Typed<Self>>().ok()?.in_shop(System::Metric).ok()
            }

            fn toml(&self, units: System) -> String {
                write::quantity(*self, units)
            }

            fn said(&self, units: System) -> String {
                Shown::new(*self, units).to_string()
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

            fn supplied(text: &str) -> Option<Self> {
                text.parse().ok()
            }

            fn toml(&self, _: System) -> String {
                write::quoted(&self.typed())
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
        let list = page.list(value, wanted)?;
        let mut names = Self::new();
        let mut faulted = None;
        for item in list {
            match page.name(item) {
                Ok(name) if names.iter().any(|known| known == name) => {
                    let found = format!("{} a second time", quoted(name));
                    faulted = Some(page.fault(item.span(), found, "each name once"));
                }
                Ok(name) => names.push(name.to_owned()),
                Err(wrong) => faulted = Some(wrong),
            }
        }
        faulted.map_or(Ok(names), Err)
    }

    fn toml(&self, _: System) -> String {
        write::list(self.iter().map(|name| write::quoted(name)))
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

    fn toml(&self, _: System) -> String {
        let revised = self.revised.map(|date| format!(", revised = \"{date}\""));
        format!("{{ title = {}{} }}", write::quoted(&self.title), revised.unwrap_or_default())
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

    fn toml(&self, _: System) -> String {
        let (mg_m3, basis) = (write::number(self.mg_m3.get()), write::quoted(&self.basis));
        format!("{{ mg_m3 = {mg_m3}, basis = {basis} }}")
    }
}
