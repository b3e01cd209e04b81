//! `foliary stock`: what is on the shelf, lot by lot.

use clap::Args;

use super::given::Given;
use super::lines::filled;
use super::which::Which;
use super::{CLEAN, Failure};
use crate::checks;
use crate::documents::{Book, LotRow, Scope, StockRow, StockSheet, stock_sheet};
use crate::render::columns;
use crate::season::Season;
use crate::text::escape_hidden;

/// Show what is on the shelf, lot by lot, by what the journal says.
///
/// Deliveries and home-made batches less what was used and thrown out; a
/// count begins anew. With --out or --as html a sheet to print, with room to
/// write what is counted.
///
/// Exit code 0: shown; 2: not shown.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Stock {
    #[command(flatten)]
    which: Which,
    #[command(flatten)]
    given: Given,
}

const EXAMPLES: &str = "\
Examples:
  What is on the shelf:
    foliary stock

  A sheet to print, and count by:
    foliary stock --out stock.html";

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
    let without = sheet.without_price.iter().map(|without| format!("Not in the worth, for want of a price: {without}"));
    for line in sheet.head.banner.iter().map(|banner| format!("! {banner}")).chain(without) {
        text.push_str(&filled(&escape_hidden(&line), "", "  "));
        text.push('\n');
    }
    if !sheet.materials.is_empty() {
        let rows: Vec<Vec<String>> = sheet.materials.iter().flat_map(rows).collect();
        text.push('\n');
        text.push_str(&columns(&["Material, lot or batch", "Left", "Came in", "Use-by"], &rows));
    }
    let planned: Vec<Vec<String>> = sheet.materials.iter().filter_map(planned).collect();
    if !planned.is_empty() {
        text.push('\n');
        text.push_str(&columns(&["The plan", "Takes", "Runs out"], &planned));
    }
    let counts: Vec<Vec<String>> = sheet.materials.iter().filter_map(counted).collect();
    if !counts.is_empty() {
        text.push('\n');
        text.push_str(&columns(&["Last count", "Day", "Counted", "Expected", "Difference"], &counts));
    }
    let unknown = sheet.materials.iter().filter_map(|row| Some((&row.material, row.unknown.as_ref()?)));
    let unknown: Vec<Vec<String>> = unknown.map(|(material, why)| vec![material.clone(), why.clone()]).collect();
    if !unknown.is_empty() {
        text.push('\n');
        text.push_str(&columns(&["Not known", "Why"], &unknown));
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
    let left = match &row.on_hand {
        Some(on_hand) if row.below => format!("{} BELOW NOTHING", on_hand.text),
        Some(on_hand) => on_hand.text.clone(),
        None => "not known".to_string(),
    };
    let own = vec![row.material.to_uppercase(), left, String::new(), String::new()];
    std::iter::once(own).chain(row.lots.iter().map(lot)).collect()
}

fn lot(lot: &LotRow) -> Vec<String> {
    let left = lot.left.as_ref().map_or("not known", |left| &left.text);
    let mark = if lot.below { " BELOW NOTHING" } else { "" };
    let since = lot.since.as_ref().map(|since| format!(", {since}")).unwrap_or_default();
    let use_by = lot.use_by.as_ref().map(|day| if lot.past { format!("{day} PAST") } else { day.clone() });
    let next = if lot.next { " (taken next)" } else { "" };
    vec![
        format!("{}{next}", lot.name),
        format!("{left}{mark}"),
        format!("{}{since}", lot.came.as_deref().unwrap_or("")).trim_start_matches(", ").to_string(),
        use_by.unwrap_or_default(),
    ]
}

/// What the plan still takes of a material.
fn planned(row: &StockRow) -> Option<Vec<String>> {
    let takes = row.planned.clone()?;
    Some(vec![row.material.clone(), takes, row.runs_out.clone().unwrap_or_default()])
}

/// The last count of a material.
fn counted(row: &StockRow) -> Option<Vec<String>> {
    let count = row.last_count.as_ref()?;
    let said = |words: &Option<String>| words.clone().unwrap_or_else(|| "not known".to_string());
    let off = count.difference.clone().unwrap_or_default();
    Some(vec![row.material.clone(), count.day.clone(), said(&count.counted), said(&count.expected), off])
}
