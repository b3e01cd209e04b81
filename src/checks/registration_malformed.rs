//! See the Markdown beside this file.

use super::asked::RECORD;
use super::{Ahead, Check, Findings, ruled, say};
use crate::duty::{Asked, Duties, concerned};
use crate::finding::Level;
use crate::journal::MaterialId;
use crate::rulebook::Demand;
use crate::season::{Season, SprayFacts};

pub(super) const CHECK: Check = Check {
    code: "registration-malformed",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "A registration number that is not formed as a rulebook says",
    explain: include_str!("registration_malformed.md"),
    run,
};

/// The fewest groups of digits, and the most.
fn form(demand: &Demand) -> Option<(usize, usize)> {
    match demand {
        Demand::RegistrationForm { groups } => Some(*groups),
        _ => None,
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let rules: Vec<(Asked<'_>, (usize, usize))> = Duties::new(season).of_kind(form).collect();
    if rules.is_empty() {
        return;
    }
    let journal = season.journal;
    let malformed = |id: MaterialId, (asked, groups): &(Asked<'_>, (usize, usize))| {
        let number = journal.material(id).registration.map(|at| season.words(at));
        number.is_some_and(|number| !is_formed(number, *groups)) && concerned(season, id, &asked.rule.when)
    };
    let suspects: Vec<bool> =
        (0..journal.materials.len()).map(|at| rules.iter().any(|rule| malformed(MaterialId::at(at), rule))).collect();
    let used = found.in_sprays(season, RECORD, |_, facts| {
        let materials = facts.doses.iter().map(|dose| dose.material).filter(|id| suspects[id.index()]);
        let used = materials.filter_map(|id| {
            let rule = rules.iter().find(|rule| malformed(id, rule) && rule.0.holds_for(season, facts))?;
            Some((facts, id, rule))
        });
        used.collect::<Vec<_>>()
    });
    let mut told: Vec<MaterialId> = Vec::new();
    for (facts, id, (asked, groups)) in used {
        if !told.contains(&id) {
            told.push(id);
            report(season, found, facts, id, asked, *groups);
        }
    }
}

/// Whether a number of so many groups of digits with hyphens between stands in some words: `EPA Reg. No. 99999-12`.
fn is_formed(words: &str, (fewest, most): (usize, usize)) -> bool {
    let is_hyphen = |sign: char| matches!(sign, '-' | '\u{2010}' | '\u{2011}' | '\u{2013}');
    let between = |sign: char| sign.is_whitespace() || matches!(sign, '.' | ',' | ';' | ':' | '#' | '(' | ')');
    words.split(between).any(|token| {
        let mut groups = 0;
        let digits = token.split(is_hyphen).all(|group| {
            groups += 1;
            !group.is_empty() && group.bytes().all(|byte| byte.is_ascii_digit())
        });
        digits && (fewest..=most).contains(&groups)
    })
}

fn report(
    season: &Season<'_>,
    found: &mut Findings,
    facts: &SprayFacts,
    id: MaterialId,
    asked: &Asked<'_>,
    (fewest, most): (usize, usize),
) {
    let Some(at) = season.journal.material(id).registration else { return };
    let groups = match most.saturating_sub(fewest) {
        0 => fewest.to_string(),
        1 => format!("{fewest} or {most}"),
        _ => format!("{fewest} to {most}"),
    };
    let headline = format!(
        "the registration number of {} is written {}, which is not {groups} groups of digits with hyphens between",
        say::material(season, id),
        season.words(at)
    );
    let spray = facts.spray(season.journal);
    let finding = found.finding(at, headline).label(spray.at.line, "first used here").help(
        "copy the registration number from the label; other numbers on it, such as that of the plant where it was made, are not meant",
    );
    found.add(ruled::by(finding, asked));
}
