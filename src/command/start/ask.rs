//! The questions of `foliary start`.

use std::fmt::Display;
use std::io::{self, IsTerminal};

use clap::ValueEnum;
use dialoguer::Input;

use super::journal::{Asked, block, person, plain, zone};
use super::{Start, Units};
use crate::command::Failure;

/// Everything that a first journal needs: from the options, and from the terminal what they leave out.
pub(super) fn answers(start: Start) -> Result<Asked, Failure> {
    let missing: Vec<&str> = [
        ("--farm", start.farm.is_none()),
        ("--timezone", start.timezone.is_none()),
        ("--units", start.units.is_none()),
        ("--block", start.blocks.is_empty()),
        ("--person", start.people.is_empty()),
    ]
    .into_iter()
    .filter_map(|(option, missing)| missing.then_some(option))
    .collect();
    let at_terminal = io::stdin().is_terminal() && io::stderr().is_terminal();
    if !missing.is_empty() && !at_terminal {
        return Err(Failure::Other(format!(
            "there is no terminal to ask questions on; give the answers by options: {}. `foliary start --help` shows \
             how",
            missing.join(", ")
        )));
    }
    let farm = match start.farm {
        Some(farm) => farm,
        None => ask("The farm's name", None, plain)?,
    };
    let zone = match start.timezone {
        Some(zone) => zone,
        None => {
            let here = iana_time_zone::get_timezone().ok().filter(|name| zone(name).is_ok());
            ask("Its time zone", here, zone)?
        }
    };
    let units = match start.units {
        Some(units) => units,
        None => {
            let usual = if zone.name().starts_with("America/") { Units::Us } else { Units::Metric };
            ask("Units (US, imperial or metric)", Some(usual.word().to_string()), units)?
        }
    };
    let mut blocks = start.blocks;
    if blocks.is_empty() {
        blocks.push(ask("A block (name, crop, area, as Creek pears, pear, 1.2 acre)", None, block)?);
        while let Some(more) = ask_more("Another block (Enter: no more)", block)? {
            blocks.push(more);
        }
    }
    let mut people = start.people;
    if people.is_empty() {
        people.push(ask("Who sprays (first and last name)", None, person)?);
    }
    Ok(Asked { farm, zone, units, blocks, people })
}

fn units(words: &str) -> Result<Units, String> {
    Units::from_str(words.trim(), true).map_err(|_| "answer US, imperial or metric".to_string())
}

/// Asks until the answer can be read.
fn ask<T>(question: &str, proposed: Option<String>, read: fn(&str) -> Result<T, String>) -> Result<T, Failure> {
    let mut input = Input::<String>::new().with_prompt(question);
    if let Some(proposed) = proposed {
        input = input.default(proposed);
    }
    let words = input.validate_with(move |words: &String| read(words).map(drop)).interact_text().map_err(broken_off)?;
    read(&words).map_err(Failure::Other)
}

/// Asks for one more; nothing where the answer is empty.
fn ask_more<T>(question: &str, read: fn(&str) -> Result<T, String>) -> Result<Option<T>, Failure> {
    let valid = move |words: &String| if words.trim().is_empty() { Ok(()) } else { read(words).map(drop) };
    let input = Input::<String>::new().with_prompt(question).allow_empty(true);
    let words = input.validate_with(valid).interact_text().map_err(broken_off)?;
    if words.trim().is_empty() { Ok(None) } else { read(&words).map(Some).map_err(Failure::Other) }
}

fn broken_off(error: impl Display) -> Failure {
    Failure::Other(format!("the questions were broken off ({error}); nothing was written"))
}
