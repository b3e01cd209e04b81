//! `foliary mix-sheet`: what goes into the tank, judged before it is filled.

use chrono::NaiveDate;
use clap::{Args, ValueEnum};

use super::choice::unknown;
use super::colours::Colours;
use super::given::Given;
use super::mix_sheet_text::in_terminal;
use super::past::histories;
use super::which::{Opened, Which};
use super::{CLEAN, FOUND, Failure, print};
use crate::checks;
use crate::documents::{Book, Language, MixJob, Scope, mix_sheet};
use crate::files::LoadError;
use crate::finding::Finding;
use crate::job::{
    self, Asked, Line, Strength, Verdict, batches, judge_picks, judge_record, mix_entry, strength, verdict_of_job,
};
use crate::journal::{BlockId, Journal, MixId, ProgramId, RigId, WaterId};
use crate::report::{Format, Options, render};
use crate::season::{Season, SprayFacts};
use crate::text::{Sources, SourcesError, escape_hidden};
use crate::{Farm, compile_farm, with_text};

/// Print a mix sheet: what goes into each load of the tank.
///
/// The job is written in the journal's own words, beside the journal, and
/// judged by the same checks as what was done. No sheet is printed while an
/// error is open, in the journal or in the job.
///
/// Exit code 0: printed; 1: not printed, because findings at error level are
/// open; 2: not printed, because something is missing.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct MixSheet {
    #[command(flatten)]
    which: Which,
    /// The block, by its name; give it again for more. Without it, the
    /// program's blocks.
    #[arg(long = "block", value_name = "NAME")]
    blocks: Vec<String>,
    /// Which rows, as `1 to 9, 12`, `odd`, `alternate`.
    #[arg(long, value_name = "ROWS")]
    rows: Option<String>,
    /// The mix, by its name.
    #[arg(long, value_name = "NAME", conflicts_with = "program")]
    mix: Option<String>,
    /// The program whose round it is, by its name.
    #[arg(long, value_name = "NAME")]
    program: Option<String>,
    /// The sprayer, by its name.
    #[arg(long, value_name = "NAME")]
    rig: Option<String>,
    /// The sprayer's setup, in words.
    #[arg(long, value_name = "WORDS")]
    setup: Option<String>,
    /// How much finished spray: `60 gal`, or `75 gal per acre`.
    ///
    /// Without it: the program's volume, or else the sprayer's calibration in
    /// force times the area, or else what it takes to wet the trees.
    #[arg(long, value_name = "VOLUME")]
    volume: Option<String>,
    /// The area treated, all blocks together, where it is not the rows' share.
    #[arg(long, value_name = "AREA")]
    area: Option<String>,
    /// So many times as strong as dilute spray.
    ///
    /// The mix's rates per volume are for dilute spray, and count so often.
    #[arg(long, value_name = "TIMES")]
    concentrate: Option<String>,
    /// What goes in besides the mix, as `soap 1 fl oz per gal`; repeatable.
    #[arg(long = "put", value_name = "WHAT")]
    puts: Vec<String>,
    /// The water, by its name.
    #[arg(long, value_name = "NAME")]
    water: Option<String>,
    /// The day of the job; today without it.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    on: Option<NaiveDate>,
    /// Take the job from a spray that the journal has on that day.
    #[arg(long, conflicts_with_all = [
        "rows", "mix", "program", "rig", "setup", "volume", "area", "concentrate", "puts", "water",
    ])]
    written: bool,
    /// Which languages the sheet's own words are in.
    #[arg(long, value_enum, default_value_t = Tongue::Both, value_name = "LANGUAGE")]
    language: Tongue,
    /// Print only the entry that the job becomes, to paste into the journal.
    #[arg(long)]
    record: bool,
    #[command(flatten)]
    given: Given,
}

const EXAMPLES: &str = "\
Examples:
  The sheet for a program's next round:
    foliary mix-sheet --as-of 2026-05-20 --on 2026-05-23 \\
      --program pear-leaves

  To print:
    foliary mix-sheet --as-of 2026-05-20 --on 2026-05-23 \\
      --program pear-leaves --out sheet.html

  Only the entry that the job becomes:
    foliary mix-sheet --as-of 2026-05-20 --on 2026-05-23 \\
      --program pear-leaves --record";

/// A language, for the command line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Tongue {
    /// English and Spanish, side by side.
    Both,
    /// English.
    En,
    /// Spanish.
    Es,
}

impl MixSheet {
    pub(super) fn run(self, colours: Colours) -> Result<u8, Failure> {
        let (opened, at) = self.which.open_one()?;
        let histories = histories(&opened.loaded, &opened.journals, true);
        let Opened { mut loaded, journals, .. } = opened;
        let journal = &journals[at];
        let today = self.which.today(journal);
        let day = self.on.unwrap_or(today);
        let (files, missing) = (loaded.farms[at].files.clone(), loaded.farms[at].missing.clone());
        let shelf = loaded.farms[at].shelf.clone();
        let farm = Farm { files: &files, missing: &missing };
        // A page that holds the job may lie ahead.
        let as_of = if self.written { today.max(day) } else { today };
        let findings = {
            let season =
                Season::new(journal, &loaded.sources, Some(as_of)).with_shelf(&shelf).with_history(&histories[at]);
            checks::run(&season)
        };
        if self.written {
            let (picks, entry, mut verdict) = {
                let season = Season::new(journal, &loaded.sources, Some(as_of)).with_shelf(&shelf);
                let facts = self.written(&season, day)?;
                let (verdict, picks) = judge_record(&season, &findings, facts);
                (picks, facts.spray(journal).at.entry, verdict)
            };
            judge_picks(&mut loaded.sources, farm, &shelf, as_of, &picks, entry, &mut verdict).map_err(too_large)?;
            let season =
                Season::new(journal, &loaded.sources, Some(as_of)).with_shelf(&shelf).with_history(&histories[at]);
            let facts = self.written(&season, day)?;
            let strength = strength(&season, facts);
            if !verdict.stops.is_empty() {
                return refuse(&verdict.stops, &loaded.sources, colours);
            }
            return self.sheet(&season, &findings, &files, facts, strength, &verdict);
        }
        let asked = self.asked(journal, day)?;
        // A draft without a volume: by the journal's own rules it says how much ground the job is for.
        let draft = job::text(&Season::new(journal, &loaded.sources, Some(today)), &asked, None);
        let (with_draft, draft_file) = with_text(&mut loaded.sources, &files, "job", draft).map_err(too_large)?;
        let draft_journal = compile_farm(&loaded.sources, Farm { files: &with_draft, missing: &missing });
        let draft_season = Season::new(&draft_journal, &loaded.sources, Some(today)).with_shelf(&shelf);
        let draft_facts = job::spray_in(&draft_season, draft_file)
            .ok_or_else(|| Failure::Other("the job could not be understood".to_string()))?;
        let program = asked.program.map(|program| journal.program(program));
        let rig = asked.rig.or_else(|| program?.rig?.id);
        let planned = job::planned(&draft_season, draft_facts, self.volume.as_deref(), program, rig);
        let planned = match planned {
            Ok(planned) => planned,
            Err(words) => {
                // A line that could not be read may be why.
                let entry = draft_facts.spray(&draft_journal).at.entry;
                let found = checks::run_some(&draft_season, |check| check.ahead.judges_job());
                let mut verdict = verdict_of_job(&[], found, entry, None);
                verdict.stops.retain(|finding| finding.labels.iter().any(|label| entry.covers(label.span)));
                if verdict.stops.is_empty() {
                    return Err(Failure::Other(escape_hidden(&words).into_owned()));
                }
                return refuse(&verdict.stops, &loaded.sources, colours);
            }
        };
        let text = job::text(&Season::new(journal, &loaded.sources, Some(today)), &asked, Some(planned.volume));
        let (all, job_file) = with_text(&mut loaded.sources, &files, "job", text).map_err(too_large)?;
        let with_job = compile_farm(&loaded.sources, Farm { files: &all, missing: &missing });
        let not_understood = || Failure::Other("the job could not be understood".to_string());
        let (picks, entry, mut verdict) = {
            let season = Season::new(&with_job, &loaded.sources, Some(today.max(day))).with_shelf(&shelf);
            let facts = job::spray_in(&season, job_file).ok_or_else(not_understood)?;
            let entry = facts.spray(&with_job).at.entry;
            let found = checks::run_some(&season, |check| check.ahead.judges_job());
            let mut verdict = verdict_of_job(&findings, found, entry, mix_entry(&with_job, facts));
            let before = Season::new(journal, &loaded.sources, Some(today)).with_shelf(&shelf);
            verdict.batches = batches(&before, &with_job, facts, today.min(day));
            (job::picks(&season, facts), entry, verdict)
        };
        let farm = Farm { files: &all, missing: &missing };
        judge_picks(&mut loaded.sources, farm, &shelf, today.max(day), &picks, entry, &mut verdict)
            .map_err(too_large)?;
        let season = Season::new(&with_job, &loaded.sources, Some(today.max(day))).with_shelf(&shelf);
        let facts = job::spray_in(&season, job_file).ok_or_else(not_understood)?;
        let mut strength = strength(&season, facts);
        strength.said.retain(|line| !planned.said.contains(line));
        strength.said.splice(..0, planned.said);
        if !verdict.stops.is_empty() {
            return refuse(&verdict.stops, &loaded.sources, colours);
        }
        self.sheet(&season, &findings, &files, facts, strength, &verdict)
    }

    /// Prints what nothing stands in the way of.
    fn sheet(
        &self,
        season: &Season<'_>,
        findings: &[Finding],
        files: &[crate::text::SourceId],
        facts: &SprayFacts,
        strength: Strength,
        verdict: &Verdict,
    ) -> Result<u8, Failure> {
        let day = facts.spray(season.journal).at.day;
        let scope = Scope {
            blocks: facts.touched.iter().map(|touched| touched.block).collect(),
            from: Some(day),
            to: Some(day),
            ..Scope::default()
        };
        let book = Book::new(season, findings, files, &scope);
        let language = match self.language {
            Tongue::Both => Language::Both,
            Tongue::En => Language::En,
            Tongue::Es => Language::Es,
        };
        let warnings = job::warned_of(season, facts, strength.off, verdict);
        let job = MixJob { facts, volume: &strength.said, warnings: &warnings, language };
        let view = mix_sheet(&book, job).map_err(|words| Failure::Other(escape_hidden(&words).into_owned()))?;
        if self.record {
            print(&format!("{}\n", view.record.join("\n")))?;
        } else {
            self.given.give("mix-sheet", &view, in_terminal)?;
        }
        Ok(CLEAN)
    }

    /// The spray of the journal that is meant.
    fn written<'s>(&self, season: &'s Season<'_>, day: NaiveDate) -> Result<&'s SprayFacts, Failure> {
        let journal = season.journal;
        let blocks = self.blocks_asked(journal)?;
        let has = |facts: &&SprayFacts| {
            let spray = facts.spray(journal);
            let of = |block: &BlockId| spray.ground.blocks.iter().any(|known| known.id == Some(*block));
            spray.at.day == day && blocks.iter().all(of)
        };
        let found: Vec<&SprayFacts> = season.sprays.iter().filter(has).collect();
        match found.as_slice() {
            [one] => Ok(one),
            [] => Err(Failure::Other(format!("the journal has no such spray on {day}; say the day with --on"))),
            several => Err(Failure::Other(format!(
                "the journal has {} such sprays on {day}; say with --block which is meant",
                several.len()
            ))),
        }
    }

    fn blocks_asked(&self, journal: &Journal) -> Result<Vec<BlockId>, Failure> {
        let one = |name: &String| {
            named("block", name, journal.blocks.iter().map(|block| &*block.named.name)).map(BlockId::at)
        };
        self.blocks.iter().map(one).collect()
    }

    fn asked(&self, journal: &Journal, day: NaiveDate) -> Result<Asked, Failure> {
        let some = |what: &str, name: &Option<String>, known: Vec<&str>| {
            name.as_ref().map(|name| named(what, name, known.into_iter())).transpose()
        };
        let mixes = journal.mixes.iter().map(|one| &*one.named.name).collect();
        let programs = journal.programs.iter().map(|one| &*one.named.name).collect();
        let rigs = journal.rigs.iter().map(|one| &*one.named.name).collect();
        let waters = journal.waters.iter().map(|one| &*one.named.name).collect();
        let line = |option: &str, words: &Option<String>| {
            let read = |words: &String| Line::new(words).map_err(|why| Failure::Other(format!("--{option}: {why}")));
            words.as_ref().map(read).transpose()
        };
        let puts = self.puts.iter();
        let puts = puts.map(|words| Line::new(words).map_err(|why| Failure::Other(format!("--put: {why}"))));
        let program = some("program", &self.program, programs)?.map(ProgramId::at);
        let mut blocks = self.blocks_asked(journal)?;
        if blocks.is_empty() {
            let of_program = program.into_iter().flat_map(|program| &journal.program(program).blocks);
            blocks = of_program.filter_map(|block| block.id).collect();
        }
        if blocks.is_empty() {
            return Err(Failure::Other("say with --block where the job is".to_string()));
        }
        let asked = Asked {
            day,
            blocks,
            rows: line("rows", &self.rows)?,
            mix: some("mix", &self.mix, mixes)?.map(MixId::at),
            program,
            rig: some("sprayer", &self.rig, rigs)?.map(RigId::at),
            water: some("water", &self.water, waters)?.map(WaterId::at),
            setup: line("setup", &self.setup)?,
            area: line("area", &self.area)?,
            concentrate: line("concentrate", &self.concentrate)?,
            puts: puts.collect::<Result<_, _>>()?,
        };
        if asked.mix.is_none() && asked.program.is_none() && asked.puts.is_empty() {
            return Err(Failure::Other("say with --mix, --program or --put what goes into the tank".to_string()));
        }
        Ok(asked)
    }
}

/// The place of a name among those that are declared.
fn named<'n>(what: &str, name: &str, known: impl Iterator<Item = &'n str> + Clone) -> Result<usize, Failure> {
    known.clone().position(|known| known.eq_ignore_ascii_case(name)).ok_or_else(|| unknown(what, name, known))
}

fn too_large(_: SourcesError) -> LoadError {
    LoadError::AllTooLarge
}

/// Prints the findings that stand in the way.
fn refuse(stops: &[Finding], sources: &Sources, colours: Colours) -> Result<u8, Failure> {
    let options = Options { colours: colours.on(&std::io::stdout()), ..Options::default() };
    let page = render(Format::Page, stops, sources, options);
    print(&format!("{page}\nNo mix sheet is printed while errors are open.\n"))?;
    Ok(FOUND)
}
