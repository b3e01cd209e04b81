//! The parts of an application record: places, products, people, sprayer, water, weather, batches.

use serde::Serialize;

use super::book::Book;
use super::element_values::actives;
use super::totals::material_per_area;
use super::words::{clear_from, day, list, stated};
use crate::checks::went_in;
use crate::journal::{MaterialId, PersonId, Ref, Spray, Stated, in_force};
use crate::quantity::{Amount, Exact, show};
use crate::season::{Dose, SprayFacts, block_area, share_put_down};

/// A block that was treated.
#[derive(Clone, Debug, Serialize)]
pub struct Place {
    /// Its title.
    pub block: String,
    /// Its name in the journal, where that differs.
    pub name: Option<String>,
    /// Whether it only got what was left in the tank.
    pub leftover: bool,
    /// The crop.
    pub crop: Option<String>,
    /// The cultivars.
    pub cultivar: Option<String>,
    /// The crop's EPPO code.
    pub eppo: Option<String>,
    /// The parcel.
    pub parcel: Option<String>,
    /// Where it is.
    pub location: Option<String>,
    /// Certified status.
    pub certified: Option<String>,
    /// The area planted.
    pub planted: Option<String>,
    /// The area treated.
    pub treated: Option<String>,
}

/// When blocks may first be picked by the intervals that are written.
#[derive(Clone, Debug, Serialize)]
pub struct Clear {
    /// Which blocks; absent where it is all of them.
    pub blocks: Option<String>,
    /// The first clear day and the material that sets it; absent where no interval runs.
    pub day: Option<String>,
}

/// Something in the tank.
#[derive(Clone, Debug, Serialize)]
pub struct Product {
    /// Its title.
    pub name: String,
    /// The registration number.
    pub registration: Option<String>,
    /// Active ingredients with their share.
    pub actives: Option<String>,
    /// Resistance group.
    pub group: Option<String>,
    /// The rate of the recipe.
    pub rate: Option<String>,
    /// How much for the ground, in both systems.
    pub per_area: Option<String>,
    /// How much for the whole job, in both systems.
    pub total: Option<String>,
    /// `as measured`, with the amount as it was written where that is in another unit, or `by the recipe`.
    pub basis: Option<String>,
    /// What the recipe says, where something else was measured.
    pub planned: Option<String>,
    /// The re-entry interval on the label.
    pub reentry: Option<String>,
    /// The harvest intervals on the label for the crops here.
    pub preharvest: Option<String>,
    /// Where the label is filed.
    pub label: Option<String>,
    /// Where the safety data sheet is filed.
    pub sds: Option<String>,
    /// Protective equipment on the label.
    pub protection: Option<String>,
}

/// Somebody.
#[derive(Clone, Debug, Serialize)]
pub struct Party {
    /// The full name.
    pub name: String,
    /// The postal address.
    pub address: Option<String>,
    /// The licence.
    pub licence: Option<String>,
}

/// The sprayer.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Sprayer {
    /// Its name.
    pub name: Option<String>,
    /// How it applies.
    pub method: Option<String>,
    /// Its nozzles.
    pub nozzles: Option<String>,
    /// The droplet size class.
    pub droplets: Option<String>,
}

/// The water.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Water {
    /// Its name and source.
    pub source: Option<String>,
    /// How much water, where it was written so.
    pub volume: Option<String>,
    /// pH and hardness in force that day.
    pub quality: Option<String>,
}

/// A weather reading.
#[derive(Clone, Debug, Serialize)]
pub struct Weather {
    /// When.
    pub time: Option<String>,
    /// Air temperature.
    pub temperature: Option<String>,
    /// Wind speed and direction.
    pub wind: Option<String>,
    /// Relative humidity.
    pub humidity: Option<String>,
    /// Rain and other words.
    pub other: Option<String>,
}

/// A home-made batch.
#[derive(Clone, Debug, Serialize)]
pub struct Batch {
    /// Its name.
    pub name: String,
    /// Of what.
    pub material: Option<String>,
    /// When it was started.
    pub made: Option<String>,
    /// The first day it may be used.
    pub ready: Option<String>,
    /// The last day it may be used.
    pub use_by: Option<String>,
    /// Its pH.
    pub ph: Option<String>,
}

pub(super) fn places(book: &Book<'_>, facts: &SprayFacts) -> Vec<Place> {
    let page = facts.spray(book.journal()).at.day;
    let one = |touched: &crate::season::Touched| {
        let block = book.journal().block(touched.block);
        Place {
            block: block.named.shown().to_string(),
            name: block.named.title.as_ref().map(|_| block.named.name.to_string()),
            leftover: touched.leftover,
            crop: block.crop.as_ref().map(|crop| crop.value.to_string()),
            cultivar: book.some_words(block.cultivar),
            eppo: book.some_words(block.eppo),
            parcel: book.some_words(block.parcel),
            location: book.some_words(block.location),
            certified: book.some_words(block.certified),
            planted: block_area(block, page).map(|area| book.amount(area)),
            treated: touched.area.map(|area| book.amount(area)),
        }
    };
    facts.touched.iter().map(one).collect()
}

/// When the blocks of a spray may first be picked, blocks with the same day together.
pub(super) fn clear(book: &Book<'_>, facts: &SprayFacts) -> Vec<Clear> {
    let mut days: Vec<(Option<String>, Vec<&str>)> = Vec::new();
    for touched in &facts.touched {
        let day = book
            .season
            .harvest_hold(facts, touched.block)
            .map(|hold| format!("{} ({})", clear_from(hold.until), book.material(hold.material)));
        match days.iter_mut().find(|(known, _)| *known == day) {
            Some((_, blocks)) => blocks.push(book.block(touched.block)),
            None => days.push((day, vec![book.block(touched.block)])),
        }
    }
    let several = days.len() > 1;
    days.into_iter().map(|(day, blocks)| Clear { blocks: several.then(|| list(&blocks)), day }).collect()
}

pub(super) fn products(book: &Book<'_>, facts: &SprayFacts) -> Vec<Product> {
    facts.doses.iter().map(|dose| product(book, facts, dose)).collect()
}

fn product(book: &Book<'_>, facts: &SprayFacts, dose: &Dose) -> Product {
    let material = book.journal().material(dose.material);
    let amount = dose.amount().map(|amount| book.in_own_unit(dose.material, amount));
    let measured = dose.measured.map(|measured| measured.value);
    let basis = match (measured, amount) {
        (Some(measured), Some(amount)) if measured.unit != amount.unit => format!("as measured, {}", show(measured)),
        (Some(_), _) => "as measured".to_string(),
        // Spoons that were weighed are still what was measured out.
        (None, Some(amount)) => match dose.amount().filter(|written| written.dimension() != amount.dimension()) {
            Some(written) => format!("by the recipe, {}", show(written)),
            None => "by the recipe".to_string(),
        },
        (None, None) => String::new(),
    };
    let basis = match lots(book, facts, dose) {
        Some(lots) if !basis.is_empty() => format!("{basis}, of {lots}"),
        _ => basis,
    };
    // A measured amount that is only the recipe's rounded is no other amount.
    let planned = dose
        .expected
        .filter(|_| measured.is_some() && went_in(book.season, facts.spray(book.journal()), dose) != dose.expected);
    Product {
        name: material.named.shown().to_string(),
        registration: book.some_words(material.registration),
        actives: actives(material),
        group: book.some_words(material.group),
        rate: dose.shown_rate(),
        per_area: per_area(book, facts, dose),
        total: amount.map(|amount| book.amount(amount)),
        basis: amount.map(|_| basis),
        planned: planned.map(|planned| book.amount(book.in_own_unit(dose.material, planned))),
        reentry: material.reentry.map(|time| stated(time.value)),
        preharvest: preharvest(book, facts, dose.material),
        label: book.some_words(material.label),
        sds: book.some_words(material.sds),
        protection: book.some_words(material.protection),
    }
}

/// The lots that what was measured is said to be of: `lot 7 and lot 8`.
fn lots(book: &Book<'_>, facts: &SprayFacts, dose: &Dose) -> Option<String> {
    let measured = facts.spray(book.journal()).measured.iter();
    let own = measured.filter(|line| line.material.id == Some(dose.material));
    let mut lots: Vec<String> = own.filter_map(|line| Some(format!("lot {}", book.some_words(line.lot)?))).collect();
    lots.dedup();
    (!lots.is_empty()).then(|| list(&lots))
}

/// How much of a dose went on an acre or a hectare, in both systems.
pub(super) fn per_area(book: &Book<'_>, facts: &SprayFacts, dose: &Dose) -> Option<String> {
    let amount = book.in_own_unit(dose.material, dose.amount()?);
    let on_ground = per_area_amount(facts, facts.spray(book.journal()), amount)?;
    material_per_area(book, dose.material, on_ground, amount.unit)
}

/// How much of an amount in the tank went on a square metre of the ground treated, in the base unit of the amount: what
/// was left in the tank did not.
pub(super) fn per_area_amount(facts: &SprayFacts, spray: &Spray, amount: Amount) -> Option<Exact> {
    amount.times(share_put_down(facts, spray)?)?.base()?.div(facts.area?.base()?)
}

/// The harvest interval of a material for each crop of a spray: `14 days`, or `14 days on peach, 0 days on pear`.
fn preharvest(book: &Book<'_>, facts: &SprayFacts, material: MaterialId) -> Option<String> {
    let mut known: Vec<(Option<&str>, Stated)> = Vec::new();
    for touched in &facts.touched {
        let crop = book.season.crop(touched.block);
        if let Some(interval) = book.season.preharvest(material, crop)
            && !known.iter().any(|(of, _)| *of == crop)
        {
            known.push((crop, interval.time));
        }
    }
    match known.as_slice() {
        [] => None,
        [(_, time)] => Some(stated(*time)),
        several => {
            let said = several
                .iter()
                .map(|(crop, time)| format!("{} on {}", stated(*time), crop.unwrap_or("a crop not named")));
            Some(said.collect::<Vec<_>>().join(", "))
        }
    }
}

pub(super) fn parties(book: &Book<'_>, people: &[Ref<PersonId>]) -> Vec<Party> {
    let one = |person: &Ref<PersonId>| {
        let known = person.id.map(|id| book.journal().person(id));
        Party {
            name: book.person(*person),
            address: book.some_words(known.and_then(|person| person.address)),
            licence: book.some_words(known.and_then(|person| person.licence).map(|licence| licence.span)),
        }
    };
    people.iter().map(one).collect()
}

pub(super) fn sprayer(book: &Book<'_>, spray: &Spray) -> Sprayer {
    let Some(rig) = spray.rig else { return Sprayer::default() };
    let Some(id) = rig.id else { return Sprayer { name: Some(book.words(rig.span)), ..Sprayer::default() } };
    let rig = book.journal().rig(id);
    Sprayer {
        name: Some(rig.named.shown().to_string()),
        method: book.some_words(rig.method),
        nozzles: book.some_words(rig.nozzles),
        droplets: book.some_words(rig.droplets),
    }
}

pub(super) fn water(book: &Book<'_>, spray: &Spray) -> Water {
    let volume =
        spray.mix.filter(|used| used.water).and_then(|used| used.volume).map(|volume| book.amount(volume.value));
    let Some(water) = spray.water else { return Water { volume, ..Water::default() } };
    let Some(id) = water.id else { return Water { source: Some(book.words(water.span)), volume, quality: None } };
    let water = book.journal().water(id);
    let name = water.named.shown();
    let source = book.some_words(water.source).map_or_else(|| name.to_string(), |source| format!("{name}: {source}"));
    let ph = in_force(&water.ph, spray.at.day).map(|ph| format!("pH {}", ph.value.figures(3)));
    let hardness = in_force(&water.hardness, spray.at.day)
        .map(|hardness| format!("hardness {} mg/L as CaCO3", hardness.value.figures(3)));
    let quality: Vec<String> = ph.into_iter().chain(hardness).collect();
    Water { source: Some(source), volume, quality: (!quality.is_empty()).then(|| quality.join(", ")) }
}

pub(super) fn weather(book: &Book<'_>, spray: &Spray) -> Vec<Weather> {
    let one = |reading: &crate::journal::Reading| {
        let from = book.some_words(reading.wind_from);
        let wind = reading.wind.map(|wind| {
            // Calm air has a speed and no direction.
            let speed = book.amount(wind.value);
            from.as_ref().map_or_else(|| speed.clone(), |from| format!("{speed} from {from}"))
        });
        let rain = reading.rain.map(|rain| format!("rain {}", book.amount(rain.value)));
        let other: Vec<String> =
            rain.into_iter().chain(reading.remarks.iter().map(|&remark| book.words(remark))).collect();
        Weather {
            time: reading.clock.map(|clock| clock.local.format("%H:%M").to_string()),
            temperature: reading.temperature.map(|temperature| book.amount(temperature.value)),
            wind,
            humidity: reading.humidity.map(|humidity| format!("{} %", humidity.value.figures(3))),
            other: (!other.is_empty()).then(|| other.join(", ")),
        }
    };
    spray.weather.iter().map(one).collect()
}

pub(super) fn batches(book: &Book<'_>, spray: &Spray) -> Vec<Batch> {
    let one = |batch: &Ref<crate::journal::BrewId>| {
        let Some(id) = batch.id else {
            return Batch {
                name: book.words(batch.span),
                material: None,
                made: None,
                ready: None,
                use_by: None,
                ph: None,
            };
        };
        let brew = book.journal().brew(id);
        let material = brew
            .material
            .map(|material| material.id.map_or_else(|| book.words(material.span), |id| book.material(id).to_string()));
        Batch {
            name: brew.named.shown().to_string(),
            material,
            made: Some(day(brew.at.day)),
            ready: brew.ready.map(|ready| day(ready.value)),
            use_by: brew.use_by.map(|use_by| day(use_by.value)),
            ph: brew.ph.map(|ph| ph.value.figures(3)),
        }
    };
    spray.batches.iter().map(one).collect()
}
