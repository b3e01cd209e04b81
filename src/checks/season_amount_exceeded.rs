//! See the Markdown beside this file.

use super::season_cap::{Exceeded, look};
use super::season_count_exceeded::{SHOWN, block, of, others, source};
use super::{Ahead, Check, Findings, When, say, written};
use crate::finding::{Finding, Level};
use crate::journal::CapAmount;
use crate::quantity::{Amount, Exact, Per, show, show_apart};
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "season-amount-exceeded",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "More of a material or element in a season than allowed",
    explain: include_str!("season_amount_exceeded.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    look(season, found, false, |found, exceeded| finding(season, &exceeded, found));
}

fn finding(season: &Season<'_>, exceeded: &Exceeded<'_, '_>, found: &Findings) -> Option<Finding> {
    let (last, earlier) = exceeded.entries.split_last()?;
    let facts = &season.sprays[last.spray];
    let spray = facts.spray(season.journal);
    let block = block(season, exceeded);
    let CapAmount::PerArea(most, ground) = exceeded.cap.cap.most else { return None };
    let (per, unit) = (Per::counted(ground).ok()?, most.unit);
    let (sum, most) = show_apart(Amount::new(exceeded.sum, unit), most);
    let (year, day) = (exceeded.year, say::day(spray.at.day));
    let of = of(season, exceeded).map(|of| format!(" of {of}")).unwrap_or_default();
    let whose = exceeded.cap.whose;
    let part = |value: Exact| show(Amount::new(value, unit));
    let mut finding = found
        .finding(
            written::place(spray, &facts.doses[last.dose]),
            format!("the spray of {day} takes {block} to {sum}{of} {per} in {year}; the limit of {whose} is {most}"),
        )
        .here(format!("{} {per} more", part(last.value)))
        .label(exceeded.cap.cap.span, "limit set here");
    for entry in earlier.iter().take(SHOWN) {
        let spray = season.sprays[entry.spray].spray(season.journal);
        finding = finding.label(spray.at.line, format!("{}: {} {per}", say::day(spray.at.day), part(entry.value)));
    }
    if let Some(before) = exceeded.sum.sub(last.value) {
        let more = earlier.len().saturating_sub(SHOWN);
        let rest = if more > 0 { format!(" (and {})", others(more)) } else { String::new() };
        finding = finding.working(format!("{} before{rest} + {} here = {sum} {per}", part(before), part(last.value)));
    }
    let excess = exceeded.sum.sub(exceeded_most(exceeded)?)?;
    Some(
        finding
            .working(format!("{sum} - {most} = {} {per} too much", part(excess)))
            .working(match exceeded.row {
                None => "added up by block and calendar year; each amount is spread over the whole block",
                Some(_) => {
                    "added up row by row and by calendar year; each amount is spread over the rows that it was for"
                }
            })
            .source(source(season, exceeded)),
    )
}

fn exceeded_most(exceeded: &Exceeded<'_, '_>) -> Option<Exact> {
    match exceeded.cap.cap.most {
        CapAmount::PerArea(most, _) => Some(most.value),
        CapAmount::Sprays(_) => None,
    }
}
