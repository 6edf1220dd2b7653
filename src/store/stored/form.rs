//! How a stored struct and a noun of the shop are made of each other, field by field.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::shop::LotName;
use crate::time::partial::PartialDate;
use crate::time::{Instant, Keeps, OpenHours, Span, SpanRange, Zone};
use crate::units::{
    Celsius, Coverage, GramsPerLitre, Humidity, Litres, MilligramsPerCubicMetre, Money, Q10,
    SquareCentimetres, WoodMoisture,
};

/// The stored form of a noun.
pub(super) trait Stored<N>: Sized {
    fn keep(noun: &N) -> Self;
    fn back(self) -> N;
}

/// Values that are stored as they are typed: a text, a number, a moment.
macro_rules! as_typed {
    ($($value:ty),+ $(,)?) => {
        $(impl Stored<Self> for $value {
            fn keep(noun: &Self) -> Self {
                noun.clone()
            }

            fn back(self) -> Self {
                self
            }
        })+
    };
}

as_typed!(
    String,
    bool,
    u32,
    u64,
    i64,
    f64,
    NaiveDate,
    Instant,
    LotName,
    PartialDate,
    Keeps,
    OpenHours,
    Span,
    SpanRange,
    Zone,
    Celsius,
    Coverage,
    GramsPerLitre,
    Humidity,
    Litres,
    MilligramsPerCubicMetre,
    Money,
    Q10,
    SquareCentimetres,
    WoodMoisture,
    [f64; 2],
);

impl<N, S: Stored<N>> Stored<Option<N>> for Option<S> {
    fn keep(noun: &Option<N>) -> Self {
        noun.as_ref().map(S::keep)
    }

    fn back(self) -> Option<N> {
        self.map(S::back)
    }
}

impl<N, S: Stored<N>> Stored<Vec<N>> for Vec<S> {
    fn keep(noun: &Vec<N>) -> Self {
        noun.iter().map(S::keep).collect()
    }

    fn back(self) -> Vec<N> {
        self.into_iter().map(S::back).collect()
    }
}

impl<N, S: Stored<N>> Stored<Box<N>> for Box<S> {
    fn keep(noun: &Box<N>) -> Self {
        Self::new(S::keep(noun))
    }

    fn back(self) -> Box<N> {
        Box::new((*self).back())
    }
}

impl<N, S: Stored<N>> Stored<BTreeMap<String, N>> for BTreeMap<String, S> {
    fn keep(noun: &BTreeMap<String, N>) -> Self {
        noun.iter().map(|(name, value)| (name.clone(), S::keep(value))).collect()
    }

    fn back(self) -> BTreeMap<String, N> {
        self.into_iter().map(|(name, value)| (name, value.back())).collect()
    }
}

impl<A, B, S: Stored<A>, T: Stored<B>> Stored<(A, B)> for (S, T) {
    fn keep((a, b): &(A, B)) -> Self {
        (S::keep(a), T::keep(b))
    }

    fn back(self) -> (A, B) {
        (self.0.back(), self.1.back())
    }
}

/// A stored struct or enum beside the noun it is made of. Its fields and variants are called as the noun's are; where the
/// noun was renamed, `serde(rename)` says what they are called on disk.
macro_rules! stored {
    ($(#[$on:meta])* struct $name:ident of $place:ident::$noun:ident {
        $($(#[$at:meta])* $field:ident: $kind:ty),+ $(,)?
    }) => {
        #[derive(Serialize, Deserialize)]
        $(#[$on])*
        pub(super) struct $name {
            $($(#[$at])* $field: $kind,)+
        }

        impl Stored<$place::$noun> for $name {
            fn keep(noun: &$place::$noun) -> Self {
                Self { $($field: Stored::keep(&noun.$field),)+ }
            }

            fn back(self) -> $place::$noun {
                $place::$noun { $($field: self.$field.back(),)+ }
            }
        }
    };
    ($(#[$on:meta])* enum $name:ident of $place:ident::$noun:ident {
        $($(#[$at:meta])* $variant:ident $(($one:ident: $of:ty))?
            $({ $($(#[$of_field:meta])* $field:ident: $kind:ty),+ })?),+ $(,)?
    }) => {
        #[derive(Serialize, Deserialize)]
        $(#[$on])*
        pub(super) enum $name {
            $($(#[$at])* $variant $(($of))? $({ $($(#[$of_field])* $field: $kind),+ })?,)+
        }

        impl Stored<$place::$noun> for $name {
            fn keep(noun: &$place::$noun) -> Self {
                match noun {
                    $($place::$noun::$variant $(($one))? $({ $($field),+ })? => {
                        Self::$variant $((Stored::keep($one)))?
                            $({ $($field: Stored::keep($field)),+ })?
                    })+
                }
            }

            fn back(self) -> $place::$noun {
                match self {
                    $(Self::$variant $(($one))? $({ $($field),+ })? => {
                        $place::$noun::$variant $(($one.back()))? $({ $($field: $field.back()),+ })?
                    })+
                }
            }
        }
    };
}

pub(super) use stored;
