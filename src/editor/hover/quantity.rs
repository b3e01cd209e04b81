//! A quantity in other units, exactly where that can be said in a few digits.

use super::words::Page;
use crate::editor::names::find;
use crate::editor::parts::{measures, portion_of};
use crate::editor::state::Cursor;
use crate::journal::{Material, MaterialId, NameSort};
use crate::quantity::{Amount, Dimension, Exact, Form, Per, Rate, System, Unit, show, tidy};
use crate::season::like;
use crate::syntax::Field;
use crate::text::Span;

const SYSTEMS: [System; 3] = [System::Us, System::Imperial, System::Metric];

/// The quantity that a number or a unit is part of, and where it stands.
pub(super) fn quantity(cursor: &Cursor<'_>, field: &Field, at: Span) -> Option<(Span, Page)> {
    let measure = measures(&field.value).into_iter().find(|measure| measure.span.covers(at))?;
    let words = |span: Span| cursor.desk.sources().slice(span);
    let unit = words(measure.unit?);
    let material = portion_of(&field.value, measure).map(|portion| words(portion.name)).or_else(|| own(cursor));
    let material = material.and_then(|name| material_named(cursor, name));
    let form = material.and_then(|(_, material)| material.form());
    let mut page = Page::default().title(words(measure.span));
    let numbers = std::iter::once(measure.number).chain(measure.high);
    for number in numbers {
        let written = Amount::read(words(number), unit).ok()?;
        let Ok(amount) = written.settle(form) else {
            return Some((
                measure.span,
                page.text(Dimension::Ounce.examples())
                    .text("Ounces by weight or by volume? The material's `form` says which: `dry` or `liquid`."),
            ));
        };
        let lines = match measure.per {
            Some(per) => {
                let rate = Rate::read(amount, per.number.map(words), words(per.unit)).ok()?;
                rates(rate)
            }
            None => {
                let mut lines = amounts(amount, form);
                lines.extend(material.and_then(|(id, material)| other_form(cursor, id, material, amount)));
                lines
            }
        };
        if amount != written {
            page = page.item(format!("{written} of a {} material is {amount}", form.map_or("", Form::word)));
        }
        page = page.items(lines);
    }
    Some((measure.span, page))
}

/// The material that the entry itself is about.
fn own<'s>(cursor: &Cursor<'s>) -> Option<&'s str> {
    let head = &cursor.entry.as_ref()?.head;
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
            said.extend(converted.map(|converted| equal(amount, converted)));
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
fn equal(_: Amount, converted: Amount) -> String {
    let shown = show(converted);
    let number = shown.split_whitespace().next().unwrap_or_default();
    let exact = Exact::parse(number) == Ok(converted.value);
    format!("{} {shown}", if exact { "=" } else { "about" })
}

/// A rate in ounces, grams and millilitres for gallons, litres, acres and hectares.
fn rates(rate: Rate) -> Vec<String> {
    let Rate::Of { amount, per } = rate else { return Vec::new() };
    let units: &[Unit] = match amount.dimension() {
        Dimension::Mass => &[Unit::OZ_WT, Unit::POUND, Unit::GRAM, Unit::KILOGRAM],
        Dimension::Volume => &[Unit::FL_OZ, Unit::GALLON, Unit::MILLILITRE, Unit::LITRE],
        _ => return Vec::new(),
    };
    let pers: Vec<Per> = match per {
        Per::Volume(_) => [(1, Unit::GALLON), (100, Unit::GALLON), (1, Unit::LITRE), (100, Unit::LITRE)]
            .into_iter()
            .filter_map(|(count, unit)| Per::counted(Amount::of(count, unit)).ok())
            .collect(),
        Per::Area(_) => {
            [Unit::ACRE, Unit::HECTARE].into_iter().filter_map(|unit| Per::counted(Amount::of(1, unit)).ok()).collect()
        }
        _ => return Vec::new(),
    };
    let same_system =
        |unit: Unit, per: Unit| SYSTEMS.iter().any(|&system| unit.belongs_to(system) && per.belongs_to(system));
    let mut lines = Vec::new();
    for per in pers {
        let fitting = units.iter().filter(|unit| same_system(**unit, per.amount().unit));
        let said = fitting.filter_map(|&unit| rate.said_as(unit, per)).filter(|said| *said != rate);
        let readable = |said: &Rate| match said {
            Rate::Of { amount, .. } => {
                let (ten, thousand) = (Exact::int(10), Exact::int(1000));
                amount.value.mul(ten).is_some_and(|tenfold| tenfold >= Exact::ONE) && amount.value < thousand
            }
            _ => false,
        };
        lines.extend(said.filter(readable).map(|said| format!("about {}", said.show())));
    }
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
