//! `foliary pantry`: the materials that come with the program.

use clap::Args;

use super::given::Given;
use super::{CLEAN, Failure};
use crate::documents::{PantryShelf, pantry_shelf};
use crate::journal::{compile, nearest_in_pantry, pantry, stock_pantry};
use crate::render::columns;
use crate::text::{SourceId, Sources, escape_hidden};

/// Print a material of the pantry as an entry to copy and change.
///
/// The pantry holds common materials without a brand, each value with its source: information, not permission. A farm
/// with `pantry yes` in its entry may use them by name. Without a name: list them all.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Pantry {
    /// The name of a material, such as epsom-salt.
    name: Option<String>,
    #[command(flatten)]
    given: Given,
}

const EXAMPLES: &str = "\
Examples:
  What there is:
    foliary pantry

  One material, to copy into a file of yours:
    foliary pantry epsom-salt";

impl Pantry {
    pub(super) fn run(self) -> Result<u8, Failure> {
        let lower = self.name.as_deref().map(str::to_lowercase);
        if let Some(name) = &lower
            && !pantry().any(|known| known.name == *name)
        {
            let hint = nearest_in_pantry(name)
                .map_or_else(|| "`foliary pantry` lists it all".to_string(), |near| format!("did you mean {near}?"));
            return Err(Failure::Other(format!("the pantry has nothing called {}; {hint}", escape_hidden(name))));
        }
        let mut sources = Sources::new();
        stock_pantry(&mut sources).map_err(|_| Failure::Other("the pantry is too large".to_string()))?;
        let files: Vec<SourceId> = sources.shipped().collect();
        let journal = compile(&sources, &files);
        let wanted = |name: &str| lower.as_deref().is_none_or(|wanted| wanted == name);
        let shelf = pantry_shelf(&sources, &journal, |material| wanted(&material.named.name));
        let one = lower.is_some();
        self.given.give("pantry", &shelf, |shelf| if one { entry(shelf) } else { list(shelf) })?;
        Ok(CLEAN)
    }
}

/// Journal text, with remarks in front.
fn entry(shelf: &PantryShelf) -> String {
    let mut text = String::new();
    for material in &shelf.materials {
        text.push_str(&format!(
            "# From {}: {}.\n# Information, not permission: the product label and the law come first.\n# Copied into a file of yours, it takes the place of the pantry's: change what your label says otherwise.\n\n{}",
            shelf.pantry, material.file, material.text
        ));
    }
    text
}

fn list(shelf: &PantryShelf) -> String {
    let rows: Vec<Vec<String>> = shelf
        .materials
        .iter()
        .map(|material| {
            let form = material.form.unwrap_or_default().to_string();
            vec![material.name.clone(), material.title.clone(), form, material.classes.join(", ")]
        })
        .collect();
    format!(
        "{}\nInformation, not permission: the product label and the law come first.\n`foliary pantry NAME` prints an entry; `pantry yes` in the farm's entry lets a\njournal use them by name.\n",
        columns(&["name", "what it is", "form", "classes"], &rows)
    )
}
