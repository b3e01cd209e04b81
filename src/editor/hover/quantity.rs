//! A quantity in other units, exactly where that can be said in a few digits.

use super::words::Page;
use crate::editor::names::find;
use crate::editor::parts::{about, declares, measures, portion_of};
use crate::editor::state::Cursor;
use crate::journal::{Material, MaterialId, NameSort};
use crate::quantity::{Amount, Dimension, Exact, Form, Per, Rate, System, Unit, show, tidy};
use crate::season::{like, weighed};
use crate::syntax::{Field, FieldWord};
use crate::text::Span;

/// More of a small unit than this is not said.
const MOST: Exact = Exact::int(100_000);

const SYSTEMS: [System; 3] = [System::Us, System::Imperial, System::Metric];

/// The quantity that a number or a unit is part of, and where it stands.
pub(super) fn quantity(cursor: &Cursor<'_>, field: &Field, at: Span) -> Option<(Span, Page)> {
    let measure = measures(&field.value).into_iter().find(|measure| measure.span.covers(at))?;
    let words = |span: Span| cursor.desk.sources().slice(span);
    let mut page = Page::default().title(words(measure.span));
    if measure.one_in {
        let parts = Exact::parse(words(measure.number).rsplit(':').next()?.trim()).ok()?;
        return Some((measure.span, page.items(rates(Rate::one_in(parts).ok()?))));
    }
    let unit = words(measure.unit?);
    // `lb/gal` is one word.
    let (unit, per) = match unit.split_once('/') {
        Some((unit, per)) if Unit::named(words(measure.unit?)).is_none() => (unit, Some((None, per))),
        _ => (unit, measure.per.map(|per| (per.number.map(words), words(per.unit)))),
    };
    let material = portion_of(&field.value, measure).map(|portion| words(portion.name)).or_else(|| own(cursor));
    let material = material.and_then(|name| material_named(cursor, name));
    let form = material.and_then(|(_, material)| material.form());
    let mut known = false;
    let numbers = std::iter::once(measure.number).chain(measure.high);
    for number in numbers {
        let written = Amount::read(words(number), unit).ok()?;
        let Ok(amount) = written.settle(form) else {
            let counted = match field.word {
                FieldWord::Total => "Ounces as growers count them: liquids by volume, dry materials by weight.",
                _ => "Ounces by weight or by volume? The material's `form` says which: `dry` or `liquid`.",
            };
            return Some((measure.span, page.text(counted)));
        };
        let lines = match per {
            Some((count, per)) => {
                let weighed = |(id, _)| weighed(cursor.desk.journal(), id, amount);
                let rate = Rate::read(material.map_or(amount, weighed), count, per).ok()?;
                if field.word == FieldWord::Density { densities(rate) } else { rates(rate) }
            }
            None if amount.dimension() == Dimension::Share => Rate::share(amount).map(rates).unwrap_or_default(),
            None => {
                let mut lines = amounts(amount, form);
                lines.extend(material.and_then(|(id, material)| other_form(cursor, id, material, amount)));
                lines
            }
        };
        if amount != written {
            page = page.item(format!("{written} of a {} material is {amount}", form.map_or("", Form::word)));
        }
        known |= !lines.is_empty();
        page = match measure.high {
            Some(_) if !lines.is_empty() => page.text(format!("{written}:")).items(lines),
            _ => page.items(lines),
        };
    }
    known.then_some((measure.span, page))
}

/// The material that the entry itself is about.
fn own<'s>(cursor: &Cursor<'s>) -> Option<&'s str> {
    let entry = cursor.entry.as_ref()?;
    let head = &entry.head;
    let kind = entry.kind?;
    let of_material = [declares(kind), about(kind)].contains(&Some(NameSort::Material));
    of_material.then_some(())?;
    Some(cursor.desk.sources().slice(*head.names.first()?))
}

fn material_named<'s>(cursor: &Cursor<'s>, name: &str) -> Option<(MaterialId, &'s Material)> {
    let journal = cursor.desk.journal();
    let named = find(journal, NameSort::Material, &name.to_lowercase())?;
    let place = journal.materials.iter().position(|material| material.named.span == named.span)?;
    Some((MaterialId::at(place), &journal.materials[place]))
}

/// An amount in the units of every system that has one for it.
fn amounts(amount: Amount, form: Option<Form>) -> Vec<String> {
    let mut said = Vec::new();
    for system in SYSTEMS {
        let other = tidy(amount, system, form);
        for unit in std::iter::once(other.unit).chain(small(other.unit)) {
            let converted = amount.in_unit(unit).filter(|converted| converted.unit != amount.unit);
            // A tank in millilitres tells nobody anything.
            let readable = converted.filter(|converted| unit == other.unit || converted.value < MOST);
            said.extend(readable.map(equal));
        }
    }
    let mut lines: Vec<String> = Vec::new();
    for line in said {
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    lines
}

/// The unit that a shed measures by, where the sensible unit is a large one.
fn small(unit: Unit) -> Option<Unit> {
    match unit {
        Unit::GALLON => Some(Unit::FL_OZ),
        Unit::POUND => Some(Unit::OZ_WT),
        Unit::LITRE => Some(Unit::MILLILITRE),
        Unit::KILOGRAM => Some(Unit::GRAM),
        Unit::ACRE => Some(Unit::SQ_FT),
        Unit::HECTARE => Some(Unit::SQ_METRE),
        _ => None,
    }
}

/// `= 2.4 fl oz` where that is exact, `about 71 mL` where it is rounded.
fn equal(converted: Amount) -> String {
    let shown = show(converted);
    let number = shown.split_whitespace().next().unwrap_or_default();
    let exact = Exact::parse(number) == Ok(converted.value);
    format!("{} {shown}", if exact { "=" } else { "about" })
}

/// A density by the units of labels and data sheets.
fn densities(rate: Rate) -> Vec<String> {
    let units = [(Unit::POUND, Unit::GALLON), (Unit::KILOGRAM, Unit::LITRE), (Unit::GRAM, Unit::MILLILITRE)];
    let said = units.into_iter().filter_map(|(unit, per)| rate.said_as(unit, Per::counted(Amount::of(1, per)).ok()?));
    said.filter(|said| *said != rate).map(|said| format!("about {}", said.show())).collect()
}

/// A rate in ounces, grams and millilitres for gallons, litres, acres and hectares; of a share of the tank, too, and as
/// one. Volumes of canopy are no volumes of spray.
fn rates(rate: Rate) -> Vec<String> {
    let (of, per) = match rate {
        Rate::Of { amount, per } => (amount.dimension(), per),
        Rate::ByVolume(..) => (Dimension::Volume, Per::Volume(Amount::of(1, Unit::GALLON))),
        Rate::ByWeight(..) => (Dimension::Mass, Per::Volume(Amount::of(1, Unit::GALLON))),
    };
    let units: &[Unit] = match of {
        Dimension::Mass => &[Unit::OZ_WT, Unit::POUND, Unit::GRAM, Unit::KILOGRAM],
        Dimension::Volume => &[Unit::FL_OZ, Unit::GALLON, Unit::MILLILITRE, Unit::LITRE],
        _ => return Vec::new(),
    };
    let canopy = matches!(per, Per::Volume(per) if matches!(per.unit, Unit::CUBIC_FOOT | Unit::CUBIC_METRE));
    let pers: &[(i64, Unit)] = match per {
        Per::Volume(_) if canopy => &[(1000, Unit::CUBIC_FOOT), (1000, Unit::CUBIC_METRE)],
        Per::Volume(_) => &[(1, Unit::GALLON), (100, Unit::GALLON), (1, Unit::LITRE), (100, Unit::LITRE)],
        Per::Area(_) => &[(1, Unit::ACRE), (1, Unit::HECTARE)],
        _ => return Vec::new(),
    };
    let pers = pers.iter().filter_map(|&(count, unit)| Per::counted(Amount::of(count, unit)).ok());
    let same_system =
        |unit: Unit, per: Unit| SYSTEMS.iter().any(|&system| unit.belongs_to(system) && per.belongs_to(system));
    let mut lines = Vec::new();
    for per in pers {
        let fitting = units.iter().filter(|unit| same_system(**unit, per.amount().unit));
        let said = fitting.filter_map(|&unit| rate.said_as(unit, per)).filter(|said| *said != rate);
        // Less than a tenth of a small unit, or less than one of a large one, is better said in another.
        let readable = |said: &Rate| match said {
            Rate::Of { amount, .. } => {
                let small = matches!(amount.unit, Unit::OZ_WT | Unit::FL_OZ | Unit::GRAM | Unit::MILLILITRE);
                let times = Exact::int(if small { 10 } else { 1 });
                let enough = amount.value.mul(times).is_some_and(|much| much >= Exact::ONE);
                enough && amount.value < Exact::int(1000)
            }
            _ => false,
        };
        lines.extend(said.filter(readable).map(|said| format!("about {}", said.show())));
    }
    let share = if of == Dimension::Volume { Unit::PERCENT_BY_VOLUME } else { Unit::PERCENT_WEIGHT_IN_VOLUME };
    let share = rate.as_share(share).filter(|share| !canopy && *share != rate);
    lines.extend(share.map(|share| format!("about {}", share.show())));
    lines
}

/// The weight of a volume, or the volume of a weight, of a material whose density or spoon weight is written.
fn other_form(cursor: &Cursor<'_>, id: MaterialId, material: &Material, amount: Amount) -> Option<String> {
    let unit = match amount.dimension() {
        Dimension::Mass => Unit::FL_OZ,
        Dimension::Volume => Unit::OZ_WT,
        _ => return None,
    };
    let crossed = like(cursor.desk.journal(), id, amount, unit)?;
    let by = if material.form() == Some(Form::Dry) { "weighs" } else { "density" };
    let metric = tidy(crossed, System::Metric, None);
    Some(format!("by its `{by}`: about {} or {}", show(crossed), show(metric)))
}
