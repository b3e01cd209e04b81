//! See the Markdown beside this file.

use super::asked::ROUNDS;
use super::rounds::{every_words, line, with_rain};
use super::{Ahead, Check, Findings, say, scene};
use crate::finding::Level;
use crate::season::{NextDue, Season, Taken};
use crate::syntax::EntryWord;

pub(super) const CHECK: Check = Check {
    code: "rounds-missed",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "Fewer rounds than the program has",
    explain: include_str!("rounds_missed.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, ROUNDS, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    // A record that could not be read may be the one that is missing here.
    if season.lost(EntryWord::Spray) || season.lost(EntryWord::Observe) {
        return;
    }
    let Some(today) = season.as_of.or_else(|| season.journal.days.iter().map(|day| day.at.day).max()) else { return };
    for run in &season.runs {
        let program = season.journal.program(run.program);
        let Some(rounds) = program.rounds else { continue };
        let (fewest, done) = (rounds.value.0 as usize, run.steps.len());
        // Where a program does not say when it begins, a stray spray of its mix is not taken for a second season of it.
        let is_a_run =
            run.anchor.is_some() || run.number == 0 && program.start.is_none() || done > 1 && program.start.is_none();
        if done >= fewest || !is_a_run {
            continue;
        }
        let last = run.steps.last();
        let next = match last {
            Some(last) => season.next_due(run, last.day),
            None => run.first_due().map(|due| NextDue { due, rained: None }),
        };
        let Some(NextDue { due, rained }) = next.filter(|next| next.due.last < today) else { continue };
        // Rounds are to end with a day that the program names.
        if program.until.is_some_and(|until| due.first > until.value) {
            continue;
        }
        let block = scene::block(season, run.block);
        let name = &program.named.name;
        let (sprayed, skipped) = (run.rounds.len(), done - run.rounds.len());
        let had = match (sprayed, skipped) {
            (0, 0) => format!("no round of {name}"),
            (sprayed, 0) => format!("{} of at least {fewest} of {name}", scene::count(sprayed, "round")),
            (sprayed, skipped) => {
                format!("{} of {name} and {skipped} skipped, of at least {fewest}", scene::count(sprayed, "round"))
            }
        };
        let window = match due.first == due.last {
            true => format!("on {}", say::day(due.last)),
            false => format!("from {} to {}", say::day(due.first), say::day(due.last)),
        };
        let headline = format!("{block} had {had}; round {} was due {window}", done + 1);
        let mut finding = found.finding(program.named.span, headline).label(rounds.span, "rounds set here");
        if let Some(last) = last {
            finding = finding.label(line(season, last.taken), format!("round {done} here"));
            if let Some(every) = program.every {
                let was = if matches!(last.taken, Taken::Skipped(_)) { "was skipped" } else { "was" };
                finding = finding.working(format!(
                    "round {done} {was} on {}; the program has {}",
                    say::day(last.day),
                    every_words(every.value)
                ));
            }
            finding = with_rain(season, finding, rained);
        } else if let Some((day, span)) = run.anchor {
            finding = finding
                .label(span, "counted from here")
                .working(format!("it begins on {}; a first round is taken as due within three days", say::day(day)));
        }
        let as_of = if season.as_of.is_some() { "today is" } else { "the last page of the journal is" };
        found.add(
            finding
                .working(format!("{as_of} {}", say::day(today)))
                .help("if the program was ended on purpose, accept this in the program with the reason; if a round was not written down, write it down")
                .source("the program is your own; how much give it has is common practice, no source"),
        );
    }
}
