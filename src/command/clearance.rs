//! `foliary clearance`: who may enter which block, and what may be picked, at a moment.

use chrono::NaiveDateTime;
use clap::Args;

use super::choice::unknown;
use super::given::Given;
use super::which::Which;
use super::{CLEAN, Failure, now};
use crate::checks;
use crate::documents::{Book, ClearanceBoard, Scope, clearance_board};
use crate::journal::{BlockId, Journal};
use crate::render::columns;
use crate::season::{ClockFit, Moment, Season, Zone};
use crate::syntax;

/// Show which blocks people may enter and which may be picked, and when that
/// turns clear.
///
/// By every re-entry and harvest interval that the journal holds, also of
/// tank leftovers and rinse water. Where an interval is not written down,
/// nothing counts as clear. It is no permission: the product label, the law
/// and licensed advice come first.
///
/// Exit code 0: shown; 2: not shown.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Clearance {
    #[command(flatten)]
    which: Which,
    /// The moment by the farm's clock, as "2026-05-14 06:00"; now, or the
    /// start of the day of --as-of, without it.
    ///
    /// Behind an hour that came twice, `first` or `second` says which. Sprays
    /// that begin later are not counted.
    #[arg(long, value_name = "MOMENT", value_parser = at)]
    at: Option<At>,
    /// Only this block, by its name; give it again for more.
    #[arg(long = "block", value_name = "NAME")]
    blocks: Vec<String>,
    #[command(flatten)]
    given: Given,
}

const EXAMPLES: &str = "\
Examples:
  Now:
    foliary clearance

  One block, on a morning:
    foliary clearance --at \"2026-05-20 06:00\" --block long-pear

  The board to print and pin up:
    foliary clearance --at \"2026-05-20 06:00\" --out board.html";

/// A moment as it was asked for.
#[derive(Clone, Copy, Debug)]
struct At {
    local: NaiveDateTime,
    which: Option<syntax::Which>,
}

/// A moment as the journal would write it.
fn at(words: &str) -> Result<At, String> {
    let (time, which) = match words.trim().rsplit_once(' ') {
        Some((time, "first")) => (time, Some(syntax::Which::First)),
        Some((time, "second")) => (time, Some(syntax::Which::Second)),
        _ => (words.trim(), None),
    };
    let forms = ["%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M"];
    let local = forms.iter().find_map(|form| NaiveDateTime::parse_from_str(time.trim_end(), form).ok());
    local.map(|local| At { local, which }).ok_or_else(|| {
        "a moment is written year-month-day hour:minute, as \"2026-05-14 06:00\", with `first` or `second` behind an hour that came twice"
            .to_string()
    })
}

impl Clearance {
    pub(super) fn run(self) -> Result<u8, Failure> {
        let (opened, farm) = self.which.open_one()?;
        let (loaded, journal) = (&opened.loaded, &opened.journals[farm]);
        let files = &loaded.farms[farm];
        let moment = self.moment(journal)?;
        let today = self.which.today(journal);
        let season = Season::new(journal, &loaded.sources, Some(today)).with_shelf(&files.shelf);
        let findings = checks::run(&season);
        let scope = Scope { blocks: self.blocks(journal)?, ..Scope::default() };
        let book = Book::new(&season, &findings, &files.files, &scope);
        self.given.give("clearance", &clearance_board(&book, moment), terminal)?;
        Ok(CLEAN)
    }

    fn moment(&self, journal: &Journal) -> Result<Moment, Failure> {
        let tz = journal.farm.as_ref().and_then(|farm| farm.zone).map(|zone| zone.value);
        let zone = |day| Zone::new(tz, day, day);
        let Some(At { local, which }) = self.at else {
            let day = self.which.as_of();
            return Ok(day.map_or_else(|| zone(chrono::NaiveDate::default()).at(now()), |day| zone(day).start_of(day)));
        };
        let zone = zone(local.date());
        let said = local.format("%Y-%m-%d %H:%M");
        match zone.moment(local, which, false) {
            (moment, ClockFit::Once) => Ok(moment),
            (_, ClockFit::Twice) => Err(Failure::Other(format!(
                "the clocks showed {said} twice that day; write `first` or `second` behind it"
            ))),
            (_, ClockFit::Never) => Err(Failure::Other(format!("the clocks never showed {said}: they jumped over it"))),
        }
    }

    fn blocks(&self, journal: &Journal) -> Result<Vec<BlockId>, Failure> {
        let names = || journal.blocks.iter().map(|block| &*block.named.name);
        let find = |wanted: &String| {
            let at = names().position(|name| name.eq_ignore_ascii_case(wanted) || name == wanted.to_lowercase());
            at.map(BlockId::at).ok_or_else(|| unknown("block", wanted, names()))
        };
        self.blocks.iter().map(find).collect()
    }
}

/// The board in columns.
fn terminal(board: &ClearanceBoard) -> String {
    let heading = format!("{}: who may enter and what may be picked, {}", board.head.farm, board.moment.en);
    let open = board.head.banner.iter().chain(&board.mind).map(|line| vec![format!("! {line}")]);
    let said: Vec<Vec<String>> = [vec![board.knows.clone()]].into_iter().chain(open).collect();
    let mut text = columns(&[&heading], &said);
    text.push('\n');
    let rows: Vec<Vec<String>> = board
        .rows
        .iter()
        .map(|row| {
            let rows = row.rows.as_ref().map(|rows| format!(", {}", rows.en)).unwrap_or_default();
            let turns: Vec<&str> = row.turns.iter().map(|turn| turn.en.as_str()).collect();
            let word = |said: &crate::documents::Said| match said.state {
                "closed" => said.word.en.to_uppercase(),
                _ => said.word.en.clone(),
            };
            vec![format!("{}{rows}", row.block), word(&row.enter), word(&row.pick), turns.join("\n")]
        })
        .collect();
    let words = &board.words;
    text.push_str(&columns(&[words.block.en, words.enter.en, words.pick.en, words.turns.en], &rows));
    if !board.why.is_empty() {
        let why: Vec<Vec<String>> =
            board.why.iter().map(|line| vec![line.blocks.join("\n"), line.reason.words.clone()]).collect();
        text.push('\n');
        text.push_str(&columns(&[words.block.en, words.why.en], &why));
    }
    let caution = [words.clear_means.en.to_string()];
    let lists: [(&str, &[String]); 5] = [
        (words.posted.en, &board.posted),
        (words.due.en, &board.due),
        ("Read this", &caution),
        ("Assumed", &board.assumed),
        ("Cautions", &board.cautions),
    ];
    for (heading, lines) in lists.into_iter().filter(|(_, lines)| !lines.is_empty()) {
        let lines: Vec<Vec<String>> = lines.iter().map(|line| vec![line.clone()]).collect();
        text.push('\n');
        text.push_str(&columns(&[heading], &lines));
    }
    text
}
