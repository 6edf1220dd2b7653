//! What to lay out for a day.

use crate::report::kit::{KitShown, Task};
use crate::report::today::{Abrading, Day};
use crate::shop::Shop;
use crate::shop::plan::ShopPlan;
use crate::shop::setup::{Step, StepWork};
use crate::time::Viewpoint;

/// What the day's steps need, what is abraded before them included.
pub(super) fn kit(
    shop: &Shop,
    plan: &ShopPlan,
    abrading: &[Abrading],
    day: &Day,
    view: Viewpoint,
) -> Option<KitShown> {
    let of_day = |lot: &str, step: u32, pieces: u32| {
        let planned = plan.steps.iter().find(|planned| planned.lot == lot)?;
        let recipe = shop.recipe_planned(planned)?;
        Some(Task { lot: lot.parse().ok(), recipe, step, pieces })
    };
    let steps = plan.steps.iter().filter(|step| step.start < day.until && step.end > day.from);
    let mut tasks: Vec<Task<'_>> =
        steps.filter_map(|step| of_day(&step.lot, step.step, step.pieces)).collect();
    tasks.extend(abrading.iter().filter_map(|film| {
        let task = of_day(&film.lot, 0, film.pieces)?;
        let rubs = |step: &Step| matches!(step.work, StepWork::Rub { .. });
        let (step, _) = task.recipe.numbered().find(|(_, step)| rubs(step))?;
        Some(Task { step, ..task })
    }));
    let kit = KitShown::new(shop, &tasks, view).ok()?;
    (!kit.strips.is_empty() || !kit.oil.is_empty()).then_some(kit)
}
