//! A plan is what the shop follows from now on.

use super::{Entry, EntryId, Happened, Objections, Shop, Subject, SubjectKind, When};
use crate::shop::count::Count;
use crate::shop::plan::ShopPlan;

#[derive(Debug, Clone, PartialEq)]
pub struct PlanKept {
    pub plan: Box<ShopPlan>,
}

impl Happened for PlanKept {
    const WORD: &'static str = "plan keep";

    fn subjects(&self, id: EntryId) -> Vec<Subject> {
        vec![Subject::new(SubjectKind::Plan, id)]
    }

    fn objections(&self, shop: &Shop, _: When) -> Objections {
        shop.needs_setup().map(|_| Vec::new())
    }

    fn apply(&self, shop: &mut Shop, _: &Entry) {
        shop.kept = Some((*self.plan).clone());
    }

    fn said(&self, _: &Shop) -> String {
        format!("{} planned", Count(self.plan.steps.len() as u64, "step"))
    }
}
