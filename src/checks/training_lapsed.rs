//! See the Markdown beside this file.

use super::courses::{Asks, Of, look};
use super::{Ahead, Check, Findings};
use crate::duty::Duties;
use crate::finding::Level;
use crate::rulebook::Demand;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "training-lapsed",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "People who spray or work without the training that is asked for",
    explain: include_str!("training_lapsed.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    look(&Duties::new(season), found, trainings, Level::Error);
}

fn trainings(demand: &Demand) -> Option<Asks<'_>> {
    match demand {
        Demand::Training { course, months, applicators, entering_within, or, family_exempt, licensed_exempt } => {
            Some(Asks {
                course: *course,
                or,
                months: *months,
                family_exempt: *family_exempt,
                licensed_exempt: *licensed_exempt,
                of: if *applicators { Of::Applicators } else { Of::Workers(*entering_within) },
            })
        }
        _ => None,
    }
}
