//! Which unit each material is said in: the same in a record as in the summary, so that one can be held against the other.

use super::words::ground_unit;
use crate::journal::MaterialId;
use crate::quantity::{Amount, Dimension, Exact, Form, System, Unit, tidy};
use crate::season::{Season, like};

/// The units of a material; none where no amount is known.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct OwnUnits {
    /// For what a spray or a season used.
    pub whole: Option<Unit>,
    /// For what that is for an acre or a hectare, which a small plot's spoonful makes much more of.
    pub on_ground: Option<Unit>,
}

/// The units of each material.
pub(super) fn own_units(season: &Season<'_>) -> Vec<OwnUnits> {
    let home = season.journal.farm.as_ref().map_or(System::Us, |farm| farm.units);
    let mut used: Vec<(Vec<Amount>, Vec<Amount>)> = vec![Default::default(); season.journal.materials.len()];
    for facts in &season.sprays {
        let on_ground = facts.area.and_then(|area| Amount::new(Exact::ONE, ground_unit(home)).ratio(area));
        for dose in &facts.doses {
            let Some(amount) = dose.amount() else { continue };
            let (whole, for_ground) = &mut used[dose.material.index()];
            whole.push(amount);
            for_ground.extend(on_ground.and_then(|times| amount.times(times)));
        }
    }
    let units = used.into_iter().enumerate().map(|(id, (whole, for_ground))| {
        let unit = |used: &[Amount]| own_unit(season, home, MaterialId::at(id), used);
        OwnUnits { whole: unit(&whole), on_ground: unit(&for_ground) }
    });
    units.collect()
}

/// The unit in which the middle one of all applications is at least a half, and so reads well.
fn own_unit(season: &Season<'_>, home: System, id: MaterialId, used: &[Amount]) -> Option<Unit> {
    let form = season.journal.material(id).form();
    let as_written = || used.first().and_then(|first| base_unit(first.settle(form).ok()?.dimension()));
    let wanted = match form {
        Some(Form::Dry) => Some(Unit::GRAM),
        Some(Form::Liquid) => Some(Unit::MILLILITRE),
        None => as_written(),
    };
    let converted = |unit: Unit| -> Vec<Exact> {
        let amounts = used.iter().filter_map(|amount| like(season.journal, id, amount.settle(form).ok()?, unit));
        amounts.map(|amount| amount.value).collect()
    };
    // Without a spoon weight or a density there is no way across.
    let crossed = wanted.map(|unit| (unit, converted(unit))).filter(|(_, amounts)| !amounts.is_empty());
    let (unit, mut amounts) = match crossed {
        Some(crossed) => crossed,
        None => as_written().map(|unit| (unit, converted(unit)))?,
    };
    amounts.sort_unstable();
    let middle = amounts.get(amounts.len() / 2)?.mul(Exact::int(2))?;
    Some(tidy(Amount::new(middle, unit), home, form).unit)
}

fn base_unit(dimension: Dimension) -> Option<Unit> {
    match dimension {
        Dimension::Mass => Some(Unit::GRAM),
        Dimension::Volume => Some(Unit::MILLILITRE),
        _ => None,
    }
}
