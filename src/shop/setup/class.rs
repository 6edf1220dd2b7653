//! The finish classes of the reference, as far as they supply what a setup leaves out.

use std::str::FromStr;

use crate::reference::{
    self,
    finishes::{FinishClass, Supplied},
};
use crate::shop::setup::Finish;
use crate::shop::setup::finish::{ClassValues, Classes};

/// Every class of the reference under each of its names.
pub fn of_reference() -> Classes {
    let mut classes = Classes::new();
    for class in reference::classes() {
        let values = values(class);
        for name in std::iter::once(&class.kind).chain(&class.also) {
            classes.insert(name.clone(), values.clone());
        }
    }
    classes
}

fn values(class: &FinishClass) -> ClassValues {
    ClassValues {
        soak: read(&class.soak),
        recoat: read(&class.recoat),
        cure: read(&class.cure),
        at: Some(given(&class.at)),
        lowest: Some(given(&class.lowest)),
        dampest: Some(given(&class.dampest)),
        q10: Some(given(&class.q10)),
        spread: Some(given(&class.spread)),
        spread_bare: Some(given(&class.spread_bare)),
        keeps: read(&class.keeps),
        contains: known(&class.contains),
        self_heating: known(&class.self_heating),
        // What a class gives off, and the limit for it, is for the maker's sheet alone to say.
        voc: None,
        air_limit: None,
    }
}

fn given<T: Copy>(supplied: &Supplied<T>) -> (T, String) {
    (supplied.value, supplied.mark.clone())
}

fn known<T: Clone>(supplied: &Supplied<Option<T>>) -> Option<(T, String)> {
    Some((supplied.value.clone()?, supplied.mark.clone()))
}

/// The reference writes times as a setup file does; a test reads every one of them.
fn read<T: FromStr>(supplied: &Supplied<String>) -> Option<(T, String)> {
    Some((supplied.value.parse().ok()?, supplied.mark.clone()))
}

impl Finish {
    /// The class of the reference it belongs to.
    pub fn class(&self) -> Option<&'static FinishClass> {
        reference::class(self.kind.as_deref()?)
    }

    /// How the value under a key of the setup file is marked where the class supplied it, in short: "common practice".
    pub fn marked(&self, key: &str) -> Option<&str> {
        self.from_class.get(key)?.split([',', ';']).next().map(str::trim)
    }

    /// Whether anything in it cures; `None` where no class says.
    pub fn hardens(&self) -> Option<bool> {
        self.class().map(|class| class.hardens.value)
    }
}
