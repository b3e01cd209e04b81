//! See the Markdown beside this file.

use chrono::NaiveDate;

use super::asked::RECORD;
use super::{Ahead, Check, Findings, When, ruled, say, scene, written};
use crate::duty::{Asked, Duties, concerned};
use crate::finding::Level;
use crate::journal::MaterialId;
use crate::rulebook::Demand;
use crate::season::{By, Season, SprayFacts};
use crate::syntax::EntryWord;
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "input-not-approved",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "An input used while it was not approved",
    explain: include_str!("input_not_approved.md"),
    run,
};

/// An approval of one material.
#[derive(Clone, Copy)]
struct Approved {
    /// The first day.
    from: NaiveDate,
    /// Its first line.
    line: Span,
    /// The last day of this approval and of all before it; the end of the calendar where one has none.
    until: NaiveDate,
    /// Where that last day stands.
    until_span: Option<Span>,
}

fn approved_input(demand: &Demand) -> Option<()> {
    matches!(demand, Demand::ApprovedInput).then_some(())
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let rules: Vec<Asked<'_>> = Duties::new(season).of_kind(approved_input).map(|(asked, ())| asked).collect();
    // A record that could not be read may be the approval that is missing here.
    if rules.is_empty() || season.lost(EntryWord::Approve) {
        return;
    }
    if season.journal.approvals.is_empty() {
        return none_at_all(season, found, &rules);
    }
    let approvals = by_material(season);
    let by = By { any: &[EntryWord::Approve], ..RECORD };
    let used = found.in_sprays(season, by, |at, facts| {
        let mut used: Vec<(MaterialId, usize, (usize, usize, Asked<'_>))> = Vec::new();
        let day = facts.spray(season.journal).at.day;
        let mut holding: Option<Option<&Asked<'_>>> = None;
        for (place, dose) in facts.doses.iter().enumerate() {
            let before = earlier(&approvals[dose.material.index()], day);
            if before.is_some_and(|last| day <= last.until) {
                continue;
            }
            let rule = *holding.get_or_insert_with(|| rules.iter().find(|asked| asked.holds_for(season, facts)));
            if let Some(asked) = rule.filter(|asked| concerned(season, dose.material, &asked.rule.when)) {
                used.push((dose.material, at, (at, place, *asked)));
            }
        }
        used
    });
    for ((at, place, asked), more) in ruled::firsts(used) {
        let facts = &season.sprays[at];
        report(season, found, facts, place, &approvals[facts.doses[place].material.index()], &asked, more);
    }
}

/// The approvals of each material, in the order of their days.
fn by_material(season: &Season<'_>) -> Vec<Vec<Approved>> {
    let mut lists: Vec<Vec<Approved>> = vec![Vec::new(); season.journal.materials.len()];
    for approval in &season.journal.approvals {
        let approved = Approved {
            from: approval.at.day,
            line: approval.at.line,
            until: approval.until.map_or(NaiveDate::MAX, |until| until.value),
            until_span: approval.until.map(|until| until.span),
        };
        scene::ids(&approval.materials).for_each(|id| lists[id.index()].push(approved));
    }
    for list in &mut lists {
        list.sort_by_key(|approved| (approved.from, approved.until));
        let mut longest: Option<Approved> = None;
        for approved in list {
            match longest.filter(|longest| longest.until > approved.until) {
                Some(longest) => (approved.until, approved.until_span) = (longest.until, longest.until_span),
                None => longest = Some(*approved),
            }
        }
    }
    lists
}

/// The last approval that began on a day or before.
fn earlier(approvals: &[Approved], day: NaiveDate) -> Option<&Approved> {
    approvals[..approvals.partition_point(|approved| approved.from <= day)].last()
}

fn report(
    season: &Season<'_>,
    found: &mut Findings,
    facts: &SprayFacts,
    place: usize,
    approvals: &[Approved],
    asked: &Asked<'_>,
    more: usize,
) {
    let spray = facts.spray(season.journal);
    let (dose, day) = (&facts.doses[place], spray.at.day);
    let name = say::material(season, dose.material);
    let used = format!("{name} went on {} on {}", ruled::place(season, facts, asked), say::day(day));
    let next = approvals.iter().find(|approved| approved.from > day);
    let (headline, label) = match (earlier(approvals, day), next) {
        (Some(last), next) => {
            let days = scene::days(scene::between(last.until, day));
            let again = next.map_or(String::new(), |next| format!(" and began again on {}", say::day(next.from)));
            (
                format!("{used}, {days} after its approval ended on {}{again}", say::day(last.until)),
                Some((last.until_span.unwrap_or(last.line), "approved until here")),
            )
        }
        (None, Some(next)) => {
            let days = scene::days(scene::between(day, next.from));
            (
                format!("{used}, {days} before it was approved on {}", say::day(next.from)),
                Some((next.line, "approved here")),
            )
        }
        (None, None) => (format!("{used}, and no `approve` entry names it"), None),
    };
    let mut finding = found.finding(written::place(spray, dose), headline).here(format!("{name} is in here"));
    match label {
        Some((span, words)) => finding = finding.label(span, words),
        None => finding = finding.label(season.journal.material(dose.material).named.span, "the material"),
    }
    finding = finding.help(
        "if it was approved in time, write down that approval on the page of its day; if not, tell the certifier before the crop is sold as certified",
    );
    found.add(ruled::more(ruled::by(finding, asked), more, "spray"));
}

/// A farm that has not written down any approval hears of it once for each rulebook.
fn none_at_all(season: &Season<'_>, found: &mut Findings, rules: &[Asked<'_>]) {
    for asked in rules {
        let concerned = |facts: &SprayFacts| {
            let mut materials = facts.doses.iter().map(|dose| dose.material);
            materials.any(|id| concerned(season, id, &asked.rule.when))
        };
        let first = season.sprays.iter().find(|facts| concerned(facts) && asked.holds_for(season, facts));
        let Some(facts) = first else { continue };
        let headline = format!(
            "{} asks that every input is approved before it is used, and the journal has no `approve` entry",
            asked.adoption.book.name
        );
        let mut finding = found
            .finding(asked.adoption.adopted.name.span, headline)
            .label(facts.spray(season.journal).at.line, "first use of inputs")
            .help("write an `approve` entry on the day of each approval, with the materials and who approved them");
        finding.level = Level::Warning;
        found.add(ruled::by(finding, asked));
    }
}
