//! The season summary of a farm.

use serde::Serialize;

use super::assumed;
use super::book::Book;
use super::cautions::cautions;
use super::elements::{Elements, elements};
use super::findings::FindingView;
use super::flowering::{BudSet, bud_sets};
use super::harvests::{self, BlockHarvest, Pick};
use super::head::Head;
use super::limits::{LimitUsed, season_caps, tank_limits};
use super::observations::{Seen, observations};
use super::opening::{Opening, opening};
use super::picture::{Picture, pictures};
use super::rounds::{self, RunView};
use super::series::{self, Plot};
use super::shed::{self, DayWeather, Delivery, RigCare, Shelf};
use super::totals::{self, MaterialTotal};
use crate::finding::Level;

/// The season summary of a farm.
#[derive(Clone, Debug, Serialize)]
pub struct Summary {
    /// Top and foot.
    pub head: Head,
    /// What comes first.
    pub opening: Opening,
    /// Blocks by weeks, a calendar year each.
    pub pictures: Vec<Picture>,
    /// Materials and where they went.
    pub totals: Vec<MaterialTotal>,
    /// Elements by block.
    pub elements: Elements,
    /// Season caps.
    pub season_caps: Vec<LimitUsed>,
    /// Limits on tanks, with the strongest tank.
    pub tank_limits: Vec<LimitUsed>,
    /// Programs.
    pub runs: Vec<RunView>,
    /// Rounds off the plan.
    pub off_plan: Vec<FindingView>,
    /// Observations.
    pub seen: Vec<Seen>,
    /// Rows of measurements.
    pub plots: Vec<Plot>,
    /// Sprays while flower buds were set.
    pub bud_sets: Vec<BudSet>,
    /// Picks.
    pub picks: Vec<Pick>,
    /// Picks by block.
    pub harvests: Vec<BlockHarvest>,
    /// Sprayers measured and cleaned.
    pub rig_care: Vec<RigCare>,
    /// Deliveries.
    pub deliveries: Vec<Delivery>,
    /// Counts of the shelf, and what left it unused.
    pub shelf: Vec<Shelf>,
    /// The days' weather.
    pub weather: Vec<DayWeather>,
    /// Whether that is much, and folded on a screen.
    pub weather_folded: bool,
    /// Findings that stand, notes left out.
    pub open: Vec<FindingView>,
    /// Findings that the journal accepts, with its reasons.
    pub accepted: Vec<FindingView>,
    /// What was taken as so.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// The season summary of a book.
pub fn summary(book: &Book<'_>) -> Summary {
    let rows = series::series(book);
    let tally = totals::tally(book);
    let elements = elements(book, &tally);
    let findings = |wanted: &dyn Fn(&crate::finding::Finding) -> bool| {
        let shown = book.findings.iter().filter(|finding| wanted(finding));
        shown.map(|finding| FindingView::new(book, finding)).collect()
    };
    let weather = shed::weather_days(book);
    Summary {
        head: Head::new(book),
        opening: opening(book, &rows),
        pictures: pictures(book),
        totals: totals::totals(book, &tally),
        season_caps: season_caps(book),
        tank_limits: tank_limits(book),
        runs: rounds::runs(book),
        off_plan: rounds::off_plan(book),
        seen: observations(book),
        plots: series::plots(book, &rows),
        bud_sets: bud_sets(book),
        picks: harvests::picks(book),
        harvests: harvests::by_block(book),
        rig_care: shed::rig_care(book),
        deliveries: shed::deliveries(book),
        shelf: shed::shelf(book),
        weather_folded: weather.len() > 10,
        weather,
        open: findings(&|finding| finding.accepted.is_none() && finding.level != Level::Note),
        accepted: findings(&|finding| finding.accepted.is_some()),
        assumed: assumed::of_summary(book, &elements),
        elements,
        cautions: cautions(book),
    }
}
