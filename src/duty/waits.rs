//! Waits before the harvest that adopted rulebooks ask for, as they fall on the blocks of a season.

use chrono::Days;

use super::{Asked, Duties, about_block, concerned};
use crate::journal::BlockId;
use crate::rulebook::Demand;
use crate::season::{Clearance, Moment, RuleWait};

/// Of which classes, and how many days: where the edible part does not touch the soil, and where it does.
#[derive(Clone, Copy, Debug)]
pub struct DaysToHarvest<'s> {
    /// Names or classes of the materials, in lower case.
    pub classes: &'s [String],
    /// Days where the edible part does not touch the soil.
    pub days: u32,
    /// Days where it does.
    pub touching_soil: u32,
}

/// The days that a demand keeps a material from the harvest, if that is what it asks for.
pub fn days_to_harvest(demand: &Demand) -> Option<DaysToHarvest<'_>> {
    match demand {
        Demand::DaysToHarvest { classes, days, touching_soil } => {
            Some(DaysToHarvest { classes, days: *days, touching_soil: *touching_soil })
        }
        _ => None,
    }
}

/// Who may enter which block, and what may be picked, at a moment: by the intervals of the journal and by the rulebooks
/// that the farm has adopted. Days are counted on the calendar, the day of the spray being day 0.
pub fn clearance(duties: &Duties<'_>, moment: Moment) -> Clearance {
    Clearance::new(duties.season, moment, rule_waits(duties))
}

/// What gives the waits that rulebooks ask for after a spray on a block, counted from an end.
pub fn rule_waits<'d>(duties: &'d Duties<'d>) -> impl Fn(usize, Moment, BlockId) -> Vec<RuleWait> + 'd {
    let rules: Vec<_> = duties.of_kind(days_to_harvest).collect();
    move |at, end, block| waits(duties, &rules, at, end, block)
}

fn waits(
    duties: &Duties<'_>,
    rules: &[(Asked<'_>, DaysToHarvest<'_>)],
    at: usize,
    end: Moment,
    block: BlockId,
) -> Vec<RuleWait> {
    let season = duties.season;
    let (facts, here) = (&season.sprays[at], season.journal.block(block));
    let contact = here.soil_contact.map(|contact| contact.value);
    let mut found = Vec::new();
    for (asked, wait) in rules {
        let when = &asked.rule.when;
        let meant = |material| {
            let is = |class: &String| season.journal.material(material).is(class);
            wait.classes.iter().any(is) && concerned(season, material, when)
        };
        if !about_block(season, here, when) || !asked.holds_for(season, facts) {
            continue;
        }
        for dose in facts.doses.iter().filter(|dose| meant(dose.material)) {
            let after = |days: u32, if_touching_soil: bool| {
                let day = end.local.date().checked_add_days(Days::new(u64::from(days)))?;
                let until = season.zone.start_of(day).max(end);
                Some(RuleWait { until, material: dose.material, cited: asked.cited(), if_touching_soil })
            };
            let surely = if contact == Some(true) { wait.days.max(wait.touching_soil) } else { wait.days };
            found.extend(after(surely, false));
            if contact.is_none() {
                found.extend(after(wait.touching_soil, true));
            }
        }
    }
    found
}
