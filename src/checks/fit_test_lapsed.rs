//! See the Markdown beside this file.

use super::courses::{Asks, Of, look};
use super::{Ahead, Check, Findings};
use crate::duty::Duties;
use crate::finding::Level;
use crate::journal::Course;
use crate::rulebook::Demand;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "fit-test-lapsed",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "A respirator whose fit was not tested in time",
    explain: include_str!("fit_test_lapsed.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    look(&Duties::new(season), found, fit_tests, Level::Warning);
}

fn fit_tests(demand: &Demand) -> Option<Asks<'_>> {
    match demand {
        Demand::FitTest { months } => Some(Asks {
            course: Course::FitTest,
            or: &[],
            months: *months,
            family_exempt: false,
            licensed_exempt: false,
            of: Of::Applicators,
        }),
        _ => None,
    }
}
