//! `foliary stock`: what is on the shelf, lot by lot.

use clap::Args;

use super::given::Given;
use super::which::Which;
use super::{CLEAN, Failure};
use crate::checks;
use crate::documents::{Book, LotRow, Scope, StockRow, StockSheet, stock_sheet};
use crate::render::columns;
use crate::season::Season;

/// Show what is on the shelf, lot by lot, by what the journal says.
///
/// Deliveries and home-made batches less what was used and thrown out; a
/// count begins anew. With --out or --as html a sheet to print, with room to
/// write what is counted.
///
/// Exit code 0: shown; 2: not shown.
#[derive(Debug, Args)]
pub(super) struct Stock {
    #[command(flatten)]
    which: Which,
    #[command(flatten)]
    given: Given,
}

impl Stock {
    pub(super) fn run(self) -> Result<u8, Failure> {
        let (opened, farm) = self.which.open_one()?;
        let (loaded, journal) = (&opened.loaded, &opened.journals[farm]);
        let files = &loaded.farms[farm];
        let season = Season::new(journal, &loaded.sources, Some(self.which.today(journal))).with_shelf(&files.shelf);
        let findings = checks::run(&season);
        let scope = Scope::default();
        let book = Book::new(&season, &findings, &files.files, &scope);
        self.given.give("stock", &stock_sheet(&book), terminal)?;
        Ok(CLEAN)
    }
}

/// The sheet in columns.
fn terminal(sheet: &StockSheet) -> String {
    let mut text = format!("{}: stock at the end of {}\n{}", sheet.head.farm, sheet.day, sheet.opening);
    if let Some(worth) = &sheet.worth {
        text.push_str(&format!(", worth {}", worth.text));
    }
    text.push('\n');
    text.extend(sheet.head.banner.iter().map(|banner| format!("! {banner}\n")));
    if let Some(without) = &sheet.without_price {
        text.push_str(&format!("Not in the worth, for want of a price: {without}\n"));
    }
    if !sheet.materials.is_empty() {
        let rows: Vec<Vec<String>> = sheet.materials.iter().flat_map(rows).collect();
        text.push('\n');
        text.push_str(&columns(&["Material, lot", "Left", "Came in", "Use-by", "Last count"], &rows));
    }
    for (heading, lines) in [("Assumed", &sheet.assumed), ("Cautions", &sheet.cautions)] {
        let lines: Vec<Vec<String>> = lines.iter().map(|line| vec![line.clone()]).collect();
        text.push('\n');
        text.push_str(&columns(&[heading], &lines));
    }
    text
}

/// A material and its lots.
fn rows(row: &StockRow) -> Vec<Vec<String>> {
    let left = match (&row.on_hand, &row.unknown) {
        (Some(on_hand), _) if row.below => format!("{} BELOW NOTHING", on_hand.text),
        (Some(on_hand), _) => on_hand.text.clone(),
        (None, unknown) => unknown.clone().unwrap_or_default(),
    };
    let count = row.last_count.as_ref().map(|count| {
        let off = count.difference.as_ref().map(|off| format!(", {off}")).unwrap_or_default();
        format!("{}, {}{off}", count.counted.as_deref().unwrap_or("not known"), count.day)
    });
    let own = vec![row.material.clone(), left, String::new(), String::new(), count.unwrap_or_default()];
    std::iter::once(own).chain(row.lots.iter().map(lot)).collect()
}

fn lot(lot: &LotRow) -> Vec<String> {
    let left = lot.left.as_ref().map_or("not known", |left| &left.text);
    let mark = if lot.below { " BELOW NOTHING" } else { "" };
    let since = lot.since.as_ref().map(|since| format!(", {since}")).unwrap_or_default();
    let use_by = lot.use_by.as_ref().map(|day| if lot.past { format!("{day} PAST") } else { day.clone() });
    vec![
        format!("  {}", lot.name),
        format!("{left}{mark}"),
        format!("{}{since}", lot.came.as_deref().unwrap_or("")).trim_start_matches(", ").to_string(),
        use_by.unwrap_or_default(),
        String::new(),
    ]
}
