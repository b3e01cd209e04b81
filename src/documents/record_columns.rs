//! The columns of the application records for other programs.

use super::element_values::actives;
use super::record_parts::{per_area_amount, sprayer, water};
use super::record_rows::RecordRow;
use super::table::{Column, FORMAT_VERSION, Filled, Kind, column, decimal, in_metric, iso_day, iso_time};
use crate::duty::{Due, bbch};
use crate::journal::{Entered, Person, PersonId, Ref, Stated};
use crate::quantity::{Amount, Dimension, Exact, Unit};
use crate::season::block_area;
use crate::text::Span;

/// How a cell is found.
type Cell = fn(&RecordRow<'_, '_>) -> Option<String>;
/// A row.
type R<'r, 'a, 'b> = &'b RecordRow<'r, 'a>;

/// Every column, in their order.
pub(super) fn columns() -> impl Iterator<Item = &'static Filled<Cell>> {
    [FARM, RECORD, GROUND, PRODUCT, HOW, WHO, WEATHER, LAW].into_iter().flatten()
}

/// Every column of the application records, in their order.
pub fn record_columns() -> Vec<Column> {
    columns().map(|(column, _)| *column).collect()
}

use Kind::{Day, Decimal, Text, Time, Whole, YesNo};

const FARM: &[Filled<Cell>] = &[
    column("format_version", Whole, "The version of these columns.", |_| Some(FORMAT_VERSION.to_string())),
    column("farm", Text, "The farm.", |r| Some(r.farm?.named.shown().to_string())),
    column("owner", Text, "Who owns or runs it.", |r| words(r, r.farm?.owner)),
    column("owner_address", Text, "Where it is.", |r| words(r, r.farm?.address)),
    column("owner_contact", Text, "How to reach them.", |r| words(r, r.farm?.contact)),
    column("permit", Text, "Operator identification or permit number.", |r| words(r, r.farm?.permit)),
    column("rulebook", Text, "The rulebook whose rules hold for the spray.", |r| Some(r.rulebook.name.clone())),
];

const RECORD: &[Filled<Cell>] = &[
    column("record_lines", Text, "File and lines of the entry.", |r| Some(r.record.lines.clone())),
    column("record_sha256", Text, "SHA-256 of those lines: rows with the same one are of one spray.", |r| {
        Some(r.record.digest.long.clone())
    }),
    column("date", Day, "The day of the spray.", |r| Some(iso_day(r.spray.at.day))),
    column("start", Time, "When the first session began.", |r| {
        (!r.spray.sessions.is_empty()).then(|| iso_time(&r.book.season.zone, r.facts.start))
    }),
    column("end", Time, "When the last session ended; empty where that is not written, or not after the start.", |r| {
        (!r.facts.end_assumed).then(|| iso_time(&r.book.season.zone, r.facts.end))
    }),
    column("sessions", Whole, "How many sessions are written.", |r| Some(r.spray.sessions.len().to_string())),
];

const GROUND: &[Filled<Cell>] = &[
    column("block", Text, "The block's name in the journal.", |r| Some(r.block()?.named.name.to_string())),
    column("block_title", Text, "Its title.", |r| r.block()?.named.title.as_ref().map(ToString::to_string)),
    column("leftover", YesNo, "Whether the block got only what was left in the tank.", |r| {
        yes(Some(r.touched?.leftover))
    }),
    column("rows", Text, "Which rows were treated; empty for all of them.", |r| r.book.rows(&r.spray.ground)),
    column("crop", Text, "The crop.", |r| Some(r.block()?.crop.as_ref()?.value.to_string())),
    column("cultivar", Text, "The cultivars.", |r| words(r, r.block()?.cultivar)),
    column("eppo_code", Text, "The crop's EPPO code.", |r| words(r, r.block()?.eppo)),
    column("parcel", Text, "Parcel number.", |r| words(r, r.block()?.parcel)),
    column("location", Text, "Where the block is, in words.", |r| words(r, r.block()?.location)),
    column("survey", Text, "County, section, township and range.", |r| words(r, r.block()?.survey)),
    column("site", Text, "Site identification number.", |r| words(r, r.block()?.site)),
    column("map", Text, "The map that shows it.", |r| words(r, r.block()?.map)),
    column("certified", Text, "Certified status.", |r| words(r, r.block()?.certified)),
    column("workers", YesNo, "Whether people other than the family work there.", |r| {
        yes(r.block()?.workers.map(|workers| workers.value))
    }),
    column("enclosed", YesNo, "Whether it is closed in.", |r| yes(r.block()?.enclosed.map(|closed| closed.value))),
    column("area_treated", Decimal, "Area treated on this block.", |r| number(r.touched?.area)),
    column("area_treated_unit", Text, "Its unit.", |r| unit(r.touched?.area)),
    column("area_treated_m2", Decimal, "The same in square metres.", |r| metric_number(r.touched?.area)),
    column("area_planted", Decimal, "Area planted on this block.", |r| number(planted(r))),
    column("area_planted_unit", Text, "Its unit.", |r| unit(planted(r))),
    column("area_planted_m2", Decimal, "The same in square metres.", |r| metric_number(planted(r))),
];

const PRODUCT: &[Filled<Cell>] = &[
    column("product", Text, "The product's name in the journal.", |r| Some(r.material()?.named.name.to_string())),
    column("product_title", Text, "Its title.", |r| r.material()?.named.title.as_ref().map(ToString::to_string)),
    column("asked_about", YesNo, "Whether a rule of the rulebook asks about this product.", |r| {
        yes(r.dose.map(|_| r.asked))
    }),
    column("status", Text, "What it is to the law: registered, minimum-risk, fertiliser, food and so on.", |r| {
        Some(r.material()?.status()?.word().to_string())
    }),
    column("registration", Text, "Registration or authorisation number.", |r| words(r, r.material()?.registration)),
    column("active_ingredients", Text, "Active ingredients with their share.", |r| actives(r.material()?)),
    column("safety_data_sheet", Text, "Where its safety data sheet is filed.", |r| words(r, r.material()?.sds)),
    column("reentry", Decimal, "The re-entry interval on its label.", |r| number(reentry(r))),
    column("reentry_unit", Text, "Its unit; `none stated` where the label states none.", |r| {
        match r.material()?.reentry?.value {
            Stated::NoneStated => Some("none stated".to_string()),
            Stated::For(time) => unit(Some(time)),
        }
    }),
    column("reentry_s", Decimal, "The same in seconds.", |r| metric_number(reentry(r))),
    column("rate", Text, "The rate of the recipe, as written.", |r| Some(r.dose?.rate?.to_string())),
    column("spray_amount", Decimal, "How much of the product was used in the whole spray, all blocks together.", |r| {
        number(used(r))
    }),
    column("spray_amount_unit", Text, "Its unit.", |r| unit(used(r))),
    column("spray_amount_metric", Decimal, "The same in the next column's unit.", |r| metric_number(used(r))),
    column("spray_amount_metric_unit", Text, "kg or L.", |r| metric_unit(used(r))),
    column("amount_basis", Text, "`measured`, or `recipe` where it was worked out from the recipe.", |r| {
        let dose = r.dose?;
        dose.amount().map(|_| if dose.measured.is_some() { "measured" } else { "recipe" }.to_string())
    }),
    column("block_amount", Decimal, "The part of it that went on this block; these add up.", |r| number(on_block(r))),
    column("block_amount_unit", Text, "Its unit.", |r| unit(on_block(r))),
    column("block_amount_metric", Decimal, "The same in the next column's unit.", |r| metric_number(on_block(r))),
    column("block_amount_metric_unit", Text, "kg or L.", |r| metric_unit(on_block(r))),
    column("amount_per_ha", Decimal, "How much went on a hectare of the ground treated.", |r| number(per_hectare(r))),
    column("amount_per_ha_unit", Text, "kg or L.", |r| unit(per_hectare(r))),
];

const HOW: &[Filled<Cell>] = &[
    column("spray_volume", Decimal, "Finished spray, all blocks together.", |r| number(r.facts.finished)),
    column("spray_volume_unit", Text, "Its unit.", |r| unit(r.facts.finished)),
    column("spray_volume_l", Decimal, "The same in litres.", |r| metric_number(r.facts.finished)),
    column("water", Text, "Where the spray water came from.", |r| water(r.book, r.spray).source),
    column("equipment", Text, "The sprayer.", |r| sprayer(r.book, r.spray).name),
    column("method", Text, "How it was applied.", |r| sprayer(r.book, r.spray).method),
    column("nozzles", Text, "The sprayer's nozzles.", |r| sprayer(r.book, r.spray).nozzles),
    column("droplets", Text, "The droplet size class.", |r| sprayer(r.book, r.spray).droplets),
    column("use_type", Text, "The type of use.", |r| words(r, r.spray.use_)),
    column("reason", Text, "Why.", |r| words(r, r.spray.reason)),
    column("target", Text, "Against what.", |r| words(r, r.spray.target)),
    column("growth_stage", Text, "The growth stage, as written.", |r| words(r, r.spray.stage)),
    column("bbch", Whole, "Its BBCH code.", |r| Some(bbch(&words(r, r.spray.stage)?)?.to_string())),
    column("evidence", Text, "The test, plan or recommendation behind it.", |r| words(r, r.spray.evidence)),
];

const WHO: &[Filled<Cell>] = &[
    column("applicators", Text, "Who sprayed, with `; ` between people.", |r| {
        people(r, |r, person| Some(r.book.person(person)))
    }),
    column("applicator_addresses", Text, "Their addresses, in the same order.", |r| {
        people(r, |r, person| known(r, person, |person| person.address))
    }),
    column("applicator_contacts", Text, "How to reach them, in the same order.", |r| {
        people(r, |r, person| known(r, person, |person| person.contact))
    }),
    column("applicator_licences", Text, "Their licences, in the same order.", |r| {
        people(r, |r, person| known(r, person, |person| Some(person.licence?.span)))
    }),
    column("supervisors", Text, "Who authorised or supervised it.", |r| r.book.people(&r.spray.authorised)),
];

const WEATHER: &[Filled<Cell>] = &[
    column(
        "weather_readings",
        Whole,
        "How many weather readings are written; the columns behind hold the first.",
        |r| Some(r.spray.weather.len().to_string()),
    ),
    column("weather_time", Time, "When it was read.", |r| {
        let clock = r.spray.weather.first()?.clock?;
        Some(iso_time(&r.book.season.zone, r.book.season.zone.written(clock, false).0))
    }),
    column("temperature", Decimal, "Air temperature.", |r| number(temperature(r))),
    column("temperature_unit", Text, "Its unit.", |r| unit(temperature(r))),
    column("temperature_c", Decimal, "The same in degrees Celsius.", |r| metric_number(temperature(r))),
    column("wind", Decimal, "Wind speed.", |r| number(wind(r))),
    column("wind_unit", Text, "Its unit.", |r| unit(wind(r))),
    column("wind_m_s", Decimal, "The same in metres a second.", |r| metric_number(wind(r))),
    column("wind_from", Text, "Where the wind came from.", |r| words(r, r.spray.weather.first()?.wind_from)),
    column("humidity_percent", Decimal, "Relative humidity.", |r| {
        Some(decimal(r.spray.weather.first()?.humidity?.value))
    }),
    column("weather_words", Text, "Every reading as written, with `; ` between them.", |r| {
        let readings: Vec<String> = r.spray.weather.iter().map(|reading| r.book.words(reading.span)).collect();
        (!readings.is_empty()).then(|| readings.join("; "))
    }),
];

const LAW: &[Filled<Cell>] = &[
    column("reentry_ends", Time, "When re-entry ends, by the longest interval in the tank of those on record.", |r| {
        r.facts.reentry.map(|hold| iso_time(&r.book.season.zone, hold.until))
    }),
    column("entered", Day, "The day on which the record was written down.", |r| Some(iso_day(entered(r)?.day))),
    column("entered_at", Time, "The same with the time.", |r| {
        let clock = entered(r)?.clock?;
        Some(iso_time(&r.book.season.zone, r.book.season.zone.written(clock, false).0))
    }),
    column("entered_by", Text, "Who wrote it down.", |r| r.book.people(&entered(r)?.by)),
    column("signed", Day, "The day of the first signature.", |r| Some(iso_day(r.spray.signed.first()?.day))),
    column("signed_by", Text, "Whose it is.", |r| r.book.people(&r.spray.signed.first()?.by)),
    column("record_due", Day, "The last day to write it down, by the rulebook.", |r| due(r, "Record made")),
    column("machine_readable_due", Day, "The last day to have it in a form like this one, by the rulebook.", |r| {
        due(r, "Readable by machines")
    }),
    column("keep_until", Day, "The last day of keeping it, by the longest of all adopted rulebooks.", |r| {
        Some(iso_day(r.record.kept.as_ref()?.day))
    }),
    column("not_recorded", Text, "Elements that the rulebook asks for and the record lacks, with `; ` between.", |r| {
        let names: Vec<&str> = r.record.lacking.iter().map(|element| element.name()).collect();
        (!names.is_empty()).then(|| names.join("; "))
    }),
    column("amendments", Whole, "How many corrections of the record are written.", |r| {
        Some(r.record.amendments.len().to_string())
    }),
];

fn words(r: R<'_, '_, '_>, span: Option<Span>) -> Option<String> {
    r.book.some_words(span)
}

fn yes(fact: Option<bool>) -> Option<String> {
    Some(if fact? { "yes" } else { "no" }.to_string())
}

fn number(amount: Option<Amount>) -> Option<String> {
    Some(decimal(amount?.value))
}

fn unit(amount: Option<Amount>) -> Option<String> {
    Some(amount?.unit.word().to_string())
}

fn metric_number(amount: Option<Amount>) -> Option<String> {
    number(in_metric(amount?))
}

fn metric_unit(amount: Option<Amount>) -> Option<String> {
    unit(in_metric(amount?))
}

fn planted(r: R<'_, '_, '_>) -> Option<Amount> {
    block_area(r.block()?, r.spray.at.day)
}

fn reentry(r: R<'_, '_, '_>) -> Option<Amount> {
    match r.material()?.reentry?.value {
        Stated::NoneStated => None,
        Stated::For(time) => Some(time),
    }
}

/// What was used in all, plain ounces as what the material's form says they are.
fn used(r: R<'_, '_, '_>) -> Option<Amount> {
    let amount = r.dose?.amount()?;
    Some(amount.settle(r.material()?.form()).unwrap_or(amount))
}

fn on_block(r: R<'_, '_, '_>) -> Option<Amount> {
    used(r)?.times(r.share()?)
}

fn per_hectare(r: R<'_, '_, '_>) -> Option<Amount> {
    let used = used(r)?;
    let unit = match used.dimension() {
        Dimension::Mass => Unit::KILOGRAM,
        Dimension::Volume => Unit::LITRE,
        _ => return None,
    };
    // From base units on a square metre to a hectare.
    Amount::from_base(per_area_amount(r.facts, r.spray, used)?.mul(Exact::int(10_000))?, unit)
}

fn people(r: R<'_, '_, '_>, of: impl Fn(R<'_, '_, '_>, Ref<PersonId>) -> Option<String>) -> Option<String> {
    let said: Vec<Option<String>> = r.spray.by.iter().map(|&person| of(r, person)).collect();
    let any = said.iter().any(Option::is_some);
    any.then(|| said.into_iter().map(Option::unwrap_or_default).collect::<Vec<_>>().join("; "))
}

fn known(r: R<'_, '_, '_>, person: Ref<PersonId>, of: impl Fn(&Person) -> Option<Span>) -> Option<String> {
    words(r, of(r.book.season.journal.person(person.id?)))
}

fn temperature(r: R<'_, '_, '_>) -> Option<Amount> {
    Some(r.spray.weather.first()?.temperature?.value)
}

fn wind(r: R<'_, '_, '_>) -> Option<Amount> {
    Some(r.spray.weather.first()?.wind?.value)
}

fn entered<'r>(r: &RecordRow<'r, '_>) -> Option<&'r Entered> {
    r.spray.entered.as_deref()
}

fn due(r: R<'_, '_, '_>, what: &str) -> Option<String> {
    let deadlines = r.record.deadlines.iter().filter(|deadline| deadline.what == what);
    let days = deadlines.map(|deadline| match deadline.due {
        Due::Day(day) => day,
        Due::At(moment) => moment.local.date(),
    });
    days.min().map(iso_day)
}
