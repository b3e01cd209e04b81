//! A tank that is about to be filled for a spray that stands in a journal: what is found, what is warned of, and how strong
//! it is.

use chrono::NaiveDate;

use super::{OF_PICKS, Picks, Verdict, dilute, of_other_rows, picks, verdict_of_record};
use crate::checks;
use crate::finding::Finding;
use crate::journal::Journal;
use crate::plan::batches_in_the_way;
use crate::quantity::{Exact, show};
use crate::rulebook::Shelf;
use crate::season::{Season, SprayFacts};
use crate::text::{Sources, SourcesError, Span};
use crate::{Farm, compile_farm, with_text};

/// The verdict on a spray of a journal, and the picks that are still to be laid beside it. `findings` are what all checks
/// find.
pub fn judge_record(season: &Season<'_>, findings: &[Finding], facts: &SprayFacts) -> (Verdict, Picks) {
    let spray = facts.spray(season.journal);
    let mut verdict = verdict_of_record(findings, spray.at.entry, mix_entry(season.journal, facts));
    // The spray itself would be a use of no batch.
    verdict.batches = batches(season, season.journal, facts, spray.at.day.pred_opt().unwrap_or(spray.at.day));
    (verdict, picks(season, facts))
}

/// The entry of the mix of a spray.
pub fn mix_entry(journal: &Journal, facts: &SprayFacts) -> Option<Span> {
    Some(journal.mix(facts.spray(journal).mix?.mix.id?).named.entry)
}

/// Lays the picks that are expected beside the job, and adds what is found there.
///
/// # Errors
/// [`SourcesError::TooLarge`] where the texts are larger than a run can hold.
pub fn judge_picks(
    sources: &mut Sources,
    farm: Farm<'_>,
    shelf: &Shelf,
    as_of: NaiveDate,
    picks: &Picks,
    job: Span,
    verdict: &mut Verdict,
) -> Result<(), SourcesError> {
    if picks.text.is_empty() {
        return Ok(());
    }
    let (files, added) = with_text(sources, farm.files, "expected picks", picks.text.clone())?;
    let journal = compile_farm(sources, Farm { files: &files, missing: farm.missing });
    let season = Season::new(&journal, sources, Some(as_of)).with_shelf(shelf);
    let found = checks::run_some(&season, |check| check.code == OF_PICKS);
    verdict.with_picks(picks, found, sources.get(added).span(), job);
    Ok(())
}

/// What is wrong with the batches at hand, by the shelf at the end of a day, a sentence each; nothing where the job names
/// the batch that it takes, which a check looks at.
pub fn batches(before: &Season<'_>, journal: &Journal, facts: &SprayFacts, shelf: NaiveDate) -> Vec<String> {
    let spray = facts.spray(journal);
    if !spray.batches.is_empty() {
        return Vec::new();
    }
    let doses = facts.doses.iter().map(|dose| (dose.material, dose.expected.or(dose.amount())));
    let found = batches_in_the_way(before, doses, spray.at.day, shelf);
    found.into_iter().map(|conflict| conflict.headline).collect()
}

/// How strong a spray is beside what dilute spraying of the same ground would take.
#[derive(Clone, Debug, Default)]
pub struct Strength {
    /// The arithmetic, a sentence each; nothing where it is not known.
    pub said: Vec<String>,
    /// That the amounts are for another strength.
    pub off: Option<String>,
}

/// How strong a spray is.
pub fn strength(season: &Season<'_>, facts: &SprayFacts) -> Strength {
    let told = || {
        let dilute = dilute(season, facts)?;
        let volume = facts.finished?;
        let times = dilute.volume.ratio(volume)?;
        let asked = facts.spray(season.journal).concentrate.map_or(Exact::ONE, |times| times.value);
        let mut said = dilute.said;
        said.push(format!("{} dilute / {} = {} times.", show(dilute.volume), show(volume), times.figures(3)));
        let off = times.div(asked)?.sub(Exact::ONE)?.abs() > Exact::new(5, 100)?;
        let reckoned = if asked == Exact::ONE {
            "the amounts are those of dilute spray".to_string()
        } else {
            format!("the amounts are for {} times", asked.figures(3))
        };
        let off = off.then(|| {
            format!(
                "dilute spray of this ground would be {}; {} is {} times as concentrated, and {reckoned} (a `concentrate` \
                 says otherwise, if label and plan allow it)",
                show(dilute.volume),
                show(volume),
                times.figures(3),
            )
        });
        Some(Strength { said, off })
    };
    told().unwrap_or_default()
}

/// What a mix sheet warns of, a sentence each.
pub fn warned_of(season: &Season<'_>, facts: &SprayFacts, off: Option<String>, verdict: &Verdict) -> Vec<String> {
    let warnings = off.into_iter().chain(of_other_rows(season, facts));
    let warnings = warnings.chain(verdict.warnings.iter().map(|finding| finding.headline.clone()));
    warnings.chain(verdict.batches.iter().cloned()).collect()
}
