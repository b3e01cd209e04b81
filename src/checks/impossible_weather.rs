//! See the Markdown beside this file.

use super::asked::ALONE;
use super::{Ahead, Check, Findings, say};
use crate::finding::Level;
use crate::journal::{Reading, Written};
use crate::quantity::{Amount, Exact, Unit, show_apart};
use crate::season::Season;
use crate::syntax::EntryWord;

pub(super) const CHECK: Check = Check {
    code: "impossible-weather",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "Weather that cannot have been",
    explain: include_str!("impossible_weather.md"),
    run,
};

/// The air near the ground was never measured colder or warmer where anything grows, in degrees Celsius.
const COLDEST: i64 = -50;
const WARMEST: i64 = 60;

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, &[EntryWord::Weather, EntryWord::Forecast], |found| days(season, found));
    found.each_spray(season, ALONE, |found, _, facts| {
        facts.spray(season.journal).weather.iter().for_each(|reading| look(season, reading, found));
    });
}

fn days(season: &Season<'_>, found: &mut Findings) {
    let journal = season.journal;
    for day in journal.weather.iter().chain(&journal.forecasts) {
        for reading in &day.readings {
            look(season, reading, found);
        }
        let told = [day.high, day.low].into_iter().flatten().filter(|one| temperature(season, *one, found)).count();
        let (Some(high), Some(low)) = (day.high, day.low) else { continue };
        if told > 0 || high.value.base().zip(low.value.base()).is_none_or(|(high, low)| low <= high) {
            continue;
        }
        let (warm, cold) = show_apart(high.value, low.value);
        let headline = format!("the high of {} is {warm}, below its low of {cold}", say::day(day.at.day));
        found.add(
            found
                .finding(high.span, headline)
                .here("the high")
                .label(low.span, "the low")
                .help("put right whichever of the two is wrong, or change them over")
                .source("arithmetic of your own entries"),
        );
    }
}

fn look(season: &Season<'_>, reading: &Reading, found: &mut Findings) {
    if let Some(one) = reading.temperature {
        temperature(season, one, found);
    }
    // In percent.
    if let Some(humidity) = reading.humidity.filter(|one| one.value > Exact::int(100) || one.value < Exact::ZERO) {
        let headline = format!("a humidity of {} % cannot have been", humidity.value.figures(4));
        found.add(
            found
                .finding(humidity.span, headline)
                .here("from 0 to 100 %")
                .help("put the number right")
                .source("relative humidity is a share: at 100 % the air holds all the water that it can"),
        );
    }
}

/// Reports a temperature that cannot have been; whether it was one.
fn temperature(season: &Season<'_>, one: Written<Amount>, found: &mut Findings) -> bool {
    let Some(celsius) = one.value.in_unit(Unit::CELSIUS) else { return false };
    if (Exact::int(COLDEST)..=Exact::int(WARMEST)).contains(&celsius.value) {
        return false;
    }
    // Fifty degrees and more are warm in Fahrenheit and none in Celsius.
    let other = Amount::new(one.value.value, Unit::FAHRENHEIT).in_unit(Unit::CELSIUS);
    let fits = other.is_some_and(|other| (Exact::int(COLDEST)..=Exact::int(WARMEST)).contains(&other.value));
    let slip = (one.value.unit == Unit::CELSIUS && fits).then(|| "C where F was meant".to_string());
    found.add(
        found
            .finding(one.span, format!("a temperature of {} cannot have been", say::amount(season, one.value)))
            .here(format!("outside {COLDEST} to {WARMEST} C"))
            .slip(slip)
            .help("put the number or its unit right")
            .source(
                "no air was ever measured warmer than 56.7 C (World Meteorological Organization, World Weather and \
                 Climate Extremes Archive; from memory); below -50 C nothing is sprayed, common practice, no source",
            ),
    );
    true
}
