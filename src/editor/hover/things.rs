//! What has a name: its entry as written and where it is set, and what follows from it now.

use rustc_hash::FxHashSet;

use super::words::Page;
use crate::documents::{Book, Scope, clearance_board};
use crate::editor::Desk;
use crate::editor::names::find;
use crate::editor::state::State;
use crate::editor::total::total;
use crate::journal::{BlockId, MixId, NameSort, Named};

/// How many lines of an entry are shown.
const LINES: usize = 16;

/// What has that name.
pub fn thing(state: State<'_>, desk: &Desk, sort: NameSort, name: &str) -> Option<Page> {
    let named = find(desk.journal(), sort, name)?;
    let kind =
        if sort == NameSort::Material && desk.locate(named.span).is_none() { "pantry material" } else { sort.word() };
    let title = match &named.title {
        Some(title) => format!("{title}, {kind} `{}`", named.name),
        None => format!("{kind} `{}`", named.name),
    };
    let mut page = Page::default().title(title).journal(as_written(desk, named));
    if let Some(set) = set_here(state, desk, named) {
        page = page.text(set);
    }
    Some(match sort {
        NameSort::Block => clearance(state, desk, named, page),
        NameSort::Mix => mix(desk, named, page),
        NameSort::Material => page.text("As written in the journal. The product label is what counts."),
        _ => page,
    })
}

/// What has that name, as written, and of a mix what it comes to: quick enough for a whole list of names.
pub fn brief(desk: &Desk, sort: NameSort, named: &Named) -> Page {
    let page = Page::default().journal(as_written(desk, named));
    if sort == NameSort::Mix { mix(desk, named, page) } else { page }
}

/// The entry as written, without blank lines and remarks at its end, cut where it is long.
fn as_written(desk: &Desk, named: &Named) -> String {
    let text = desk.sources().slice(named.entry).trim_end();
    let lines: Vec<&str> = text
        .lines()
        .map(str::trim_end)
        .filter(|line| !line.is_empty() && !line.trim_start().starts_with('#'))
        .collect();
    let mut shown = lines.iter().take(LINES).copied().collect::<Vec<_>>().join("\n");
    if lines.len() > LINES {
        shown.push_str("\n    ...");
    }
    shown
}

/// Where it is set.
fn set_here(state: State<'_>, desk: &Desk, named: &Named) -> Option<String> {
    let located = desk.locate(named.span)?;
    let line = state.workspace.document(located.path)?.line_of(located.range.start) + 1;
    let path = located.path.strip_prefix(&desk.folder).unwrap_or(located.path);
    Some(format!("Set in {}, line {line}.", path.display()))
}

/// Who may go in now, and what may be picked.
fn clearance(state: State<'_>, desk: &Desk, named: &Named, page: Page) -> Page {
    let blocks = desk.journal().declared(NameSort::Block);
    let Some(place) = blocks.iter().position(|block| block.span == named.span) else { return page };
    let season = desk.season();
    let scope = Scope { blocks: vec![BlockId::at(place)], ..Scope::default() };
    let book = Book::new(&season, desk.findings(), &[], &scope);
    let board = clearance_board(&book, season.zone.at(state.now));
    let mut page = page.text(format!("Clearance by this journal, {}:", board.moment.en));
    let mut reasons: Vec<String> = Vec::new();
    for row in &board.rows {
        let rows = row.rows.as_ref().map(|rows| format!("{}: ", rows.en)).unwrap_or_default();
        let turns: Vec<&str> = row.turns.iter().map(|turn| turn.en.as_str()).collect();
        let turns = if turns.is_empty() { String::new() } else { format!(" ({})", turns.join("; ")) };
        page = page.item(format!(
            "{rows}people {}, picking {}{turns}",
            row.enter.word.en.to_lowercase(),
            row.pick.word.en.to_lowercase()
        ));
        reasons.extend(row.reasons.iter().map(|reason| reason.words.clone()));
    }
    // What closes one part of a block often closes the others, too.
    let mut said = FxHashSet::default();
    reasons.retain(|reason| said.insert(reason.clone()));
    let page = page.items(reasons);
    page.text("No permission: the label, the law and licensed advice come first.")
}

/// What a mix comes to, against its limit.
fn mix(desk: &Desk, named: &Named, page: Page) -> Page {
    let journal = desk.journal();
    let place = journal.mixes.iter().position(|mix| mix.named.span == named.span);
    let Some(total) = place.and_then(|place| total(journal, MixId::at(place))) else { return page };
    let page = page.text(format!("All together: {}.", total.line())).text(total.working.clone());
    match total.uncounted {
        0 => page,
        1 => page.text("One ingredient could not be counted."),
        more => page.text(format!("{more} ingredients could not be counted.")),
    }
}

/// What a rulebook is.
pub(super) fn rulebook(desk: &Desk, name: &str) -> Option<Page> {
    let season = desk.season();
    let book = season.shelf.find(name)?;
    Some(
        Page::default()
            .title(format!("{}, rulebook `{}`", book.title, book.name))
            .text(format!("`foliary rulebook {}` prints its rules.", book.name)),
    )
}
