//! Rules for a coat: a rack to dry on, and a can that is open, of that finish, and within its time.

use crate::shop::Can;
use crate::shop::Shop;
use crate::shop::entry::{CoatLaid, SubjectKind};
use crate::shop::lot::Lot;
use crate::shop::refusal::Refusal;
use crate::shop::rules::lot::Use;
use crate::shop::rules::{Objections, in_order};
use crate::shop::setup::Step;
use crate::time::Instant;

impl Shop {
    /// A lot stands on a drying rack from its first coat on.
    pub(super) fn coat_objections(
        &self,
        lot: &Lot,
        step: u32,
        asked: &Step,
        rack: Option<&str>,
        at: Instant,
    ) -> Objections {
        let Some(rack) = rack else {
            if asked.coat().is_some() && lot.rack().is_none() {
                return Err(self.no_rack(&lot.name, &asked.name(), lot.pieces, Use::Dry, at));
            }
            return Ok(Vec::new());
        };
        self.has_room(rack, lot.pieces, at, Some(&lot.name))?;
        let coats_left = lot.recipe.last_coat().is_some_and(|last| step <= last);
        if !coats_left {
            return Ok(Vec::new());
        }
        Ok(self.wrong_rack(&lot.name, lot.pieces, rack, Use::Dry, at).into_iter().collect())
    }

    pub(super) fn can_objections(
        &self,
        asked: &Step,
        coat: Option<&CoatLaid>,
        at: Instant,
    ) -> Objections {
        let (Some(finish), Some(coat)) = (asked.coat(), coat) else { return Ok(Vec::new()) };
        let Some(name) = &coat.can else {
            return Ok(vec![Refusal::NoCan { finish: finish.to_owned() }]);
        };
        let can = self.known_can(name)?;
        if can.emptied.is_some_and(|emptied| emptied <= at) {
            return Err(Refusal::Over { what: SubjectKind::Can, name: name.clone() });
        }
        in_order(&format!("can {name}"), at, can.opened)?;
        let mut objections = Vec::new();
        if can.finish != finish {
            let (can, holds) = (name.clone(), can.finish.clone());
            objections.push(Refusal::CanOfOther { can, holds, wanted: finish.to_owned() });
        }
        if let Some(kept_until) = can.keeps_until(self.needs_setup()?).filter(|until| at > *until) {
            objections.push(Refusal::CanPast { can: name.clone(), kept_until });
        }
        Ok(objections)
    }

    /// The can to take for a coat when none is named: the only open one of that finish.
    pub fn only_can(&self, finish: &str) -> Result<Option<&Can>, Refusal> {
        let open: Vec<&Can> = self
            .cans
            .values()
            .filter(|can| can.finish == finish && can.emptied.is_none())
            .collect();
        match open[..] {
            [] => Ok(None),
            [can] => Ok(Some(can)),
            _ => Err(Refusal::WhichCan {
                finish: finish.to_owned(),
                cans: open.iter().map(|can| can.name.clone()).collect(),
            }),
        }
    }
}
