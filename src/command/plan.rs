//! `foliary plan`: what is due, what stands in the way, what is to be bought, and what a supposition would change.

use chrono::NaiveDate;
use clap::Args;

use super::choice::{chosen, unknown};
use super::given::Given;
use super::plan_text::plan_text;
use super::progress::Progress;
use super::which::Which;
use super::{CLEAN, FOUND, Failure};
use crate::checks;
use crate::documents::{Book, Digest, Scope, plan_view};
use crate::journal::{BlockId, Journal, ProgramId};
use crate::plan::{self, Desk, Request, suppose, what_if};
use crate::season::Season;

/// Show which rounds are due, overdue or blocked, and what is to be bought.
///
/// The rounds that programs have left are judged by the same checks as what was
/// sprayed, as if they were done as planned. Nothing is ever written to the
/// journal.
///
/// Exit code 0: shown; 1: shown, and something at error level is planned;
/// 2: not shown.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Plan {
    #[command(flatten)]
    which: Which,
    #[command(flatten)]
    given: Given,
    /// Only this block, by its name; give it again for more.
    #[arg(long = "block", value_name = "NAME")]
    blocks: Vec<String>,
    /// Only this program, by its name; give it again for more.
    #[arg(long = "program", value_name = "NAME")]
    programs: Vec<String>,
    /// Take the journal otherwise, and say what that would change.
    ///
    /// A field of an entry, as `program pear-rounds: start 2026-05-20`, or an
    /// entry more, as `2026-06-04 spray creek-pear: mix leaf-tonic, 60 gal; rig
    /// airblast`. Fields have `;` between them. Give it again for more.
    #[arg(long = "suppose", value_name = "WORDS")]
    suppositions: Vec<String>,
    /// Only rounds that can be sprayed up to this day, as 2026-06-30.
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    until: Option<NaiveDate>,
}

const EXAMPLES: &str = "\
Examples:
  What is due today, and what stands in the way:
    foliary plan

  As it was on a day, for one program, up to the end of June:
    foliary plan --as-of 2026-05-20 --program pear-leaves --until 2026-06-30

  What another first day would change:
    foliary plan --as-of 2026-05-20 \\
      --suppose \"program pear-leaves: start 2026-05-25\"";

impl Plan {
    pub(super) fn run(self) -> Result<u8, Failure> {
        let (opened, farm) = self.which.open_one()?;
        let journal = &opened.journals[farm];
        let (sources, files) = (&opened.loaded.sources, &opened.loaded.farms[farm].files);
        let shelf = &opened.loaded.farms[farm].shelf;
        let today = self.which.today(journal);
        let progress = Progress::of("Working out the rounds to come");
        // What pages after that day hold was not known on it.
        let desk = Desk::up_to(sources, files, today).map_err(|_| too_large())?;
        let known = desk.compile();
        let season = Season::new(&known, desk.sources(), Some(today)).with_shelf(shelf);
        let request = self.request(&known, today)?;
        let planned = plan::plan(&season, desk.files(), &request).map_err(|_| too_large())?;
        let scope = Scope { blocks: request.blocks.clone(), ..Scope::default() };
        // The document names the files as they are on disk.
        let digest = Digest::new(sources, files);
        if self.suppositions.is_empty() {
            let findings = checks::run(&season);
            let book = Book::new(&season, &findings, desk.files(), &scope);
            let view = plan_view(&book, &planned, None).with_digest(digest);
            drop(progress);
            self.given.give("plan", &view, plan_text)?;
            return Ok(if planned.has_errors() { FOUND } else { CLEAN });
        }
        let supposed = suppose(&season, desk.files(), &self.suppositions).map_err(Failure::other)?;
        let other = supposed.desk.compile();
        let then = Season::new(&other, supposed.desk.sources(), Some(today)).with_shelf(shelf);
        let planned_then = plan::plan(&then, supposed.desk.files(), &request).map_err(|_| too_large())?;
        let changed = what_if((&season, &planned), (&then, &planned_then), supposed.page);
        // A page of what is only supposed is no mistake of dates.
        let findings = checks::run_some(&then, |check| check.code != "future-date");
        let book = Book::new(&then, &findings, supposed.desk.files(), &scope);
        let view = plan_view(&book, &planned_then, Some((&self.suppositions, &changed))).with_digest(digest);
        drop(progress);
        self.given.give("plan", &view, plan_text)?;
        Ok(if planned_then.has_errors() || changed.has_errors() { FOUND } else { CLEAN })
    }

    fn request(&self, journal: &Journal, today: NaiveDate) -> Result<Request, Failure> {
        let blocks: Vec<BlockId> = chosen(std::slice::from_ref(journal), None, &self.blocks)?
            .into_iter()
            .flat_map(|(_, blocks)| blocks)
            .collect();
        let named = |wanted: &String| {
            let found = journal.programs.iter().position(|program| program.named.name.eq_ignore_ascii_case(wanted));
            let known = journal.programs.iter().map(|program| &*program.named.name);
            found.map(ProgramId::at).ok_or_else(|| unknown("program", wanted, known))
        };
        let programs = self.programs.iter().map(named).collect::<Result<_, _>>()?;
        Ok(Request { today, until: self.until, blocks, programs })
    }
}

fn too_large() -> Failure {
    Failure::Other("the journals and what is planned are larger together than 4 GiB".to_string())
}
