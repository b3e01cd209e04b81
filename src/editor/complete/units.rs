//! Units that fit a field, those of the farm's own system first.

use lsp_types::CompletionItemKind;

use super::Spot;
use super::offer::Offer;
use crate::journal::Material;
use crate::quantity::{Dimension, Form, System, Unit};
use crate::syntax::{EntryWord, FieldWord};

/// What a field measures.
pub(super) fn dimensions(word: FieldWord) -> &'static [Dimension] {
    use Dimension as D;
    use FieldWord as F;
    match word {
        F::Over | F::Area => &[D::Area],
        F::Volume
        | F::Tank
        | F::Leftover
        | F::Rinse
        | F::Used
        | F::In
        | F::Into
        | F::Make
        | F::Mix
        | F::Output
        | F::Dilute => &[D::Volume],
        F::Amount | F::Paid => &[D::Mass, D::Volume, D::Count],
        F::Measured | F::Load => &[D::Mass, D::Volume, D::Ounce],
        F::Put | F::Rate | F::Published => &[D::Mass, D::Volume, D::Ounce, D::Share],
        F::Total => &[D::Ounce, D::Share, D::Volume, D::Mass],
        F::Season => &[D::Mass, D::Volume, D::Count],
        F::High | F::Low => &[D::Temperature],
        F::Rain | F::Width | F::Height | F::Growth | F::Rows | F::Canopy => &[D::Length],
        F::Halve | F::Renew => &[D::Length],
        F::Course | F::Plot => &[D::Length, D::Time],
        F::Speed => &[D::Speed],
        F::Pressure => &[D::Pressure],
        F::Reentry | F::Preharvest | F::Spacing | F::Apart | F::Recalibrate | F::Rounds => &[D::Time],
        F::Density | F::Weighs => &[D::Mass, D::Volume],
        F::Contains | F::Active | F::Hardness | F::Bloom => &[D::Share],
        F::Measures => &[D::Volume, D::Mass],
        F::Caught | F::Rated => &[D::Volume, D::Time],
        _ => &[],
    }
}

/// By what a field's amounts can be counted.
pub(super) fn counted_by(word: FieldWord) -> &'static [Dimension] {
    match word {
        FieldWord::Rate | FieldWord::Published | FieldWord::Put => &[Dimension::Volume, Dimension::Area],
        FieldWord::Total => &[Dimension::Volume],
        FieldWord::Output | FieldWord::Season => &[Dimension::Area],
        FieldWord::Volume => &[Dimension::Area],
        FieldWord::Dilute | FieldWord::Density | FieldWord::Weighs => &[Dimension::Volume],
        FieldWord::Price => &[Dimension::Mass, Dimension::Volume, Dimension::Count],
        _ => &[],
    }
}

impl Spot<'_> {
    /// Units of some dimensions; of a material only those that its form can be measured in.
    pub(super) fn units(&self, wanted: &[Dimension], material: Option<&Material>) -> Vec<Offer> {
        let home = self.cursor.desk.journal().farm.as_ref().map_or(System::Us, |farm| farm.units);
        // What can be counted in ounces is a rate or a total of a tank: `%` alone does not say of what, and grains are the
        // hardness of water.
        let of_tank = |unit: Unit| matches!(unit, Unit::PERCENT_BY_VOLUME | Unit::PERCENT_WEIGHT_IN_VOLUME | Unit::PPM);
        let tank = wanted.contains(&Dimension::Ounce);
        let fits = |unit: &Unit| {
            if tank && unit.dimension() == Dimension::Share && !of_tank(*unit) {
                return false;
            }
            let bridged = material.is_some_and(|material| material.bridge().is_some());
            wanted.contains(&unit.dimension())
                && match (material.and_then(Material::form), unit.dimension()) {
                    (Some(Form::Dry), Dimension::Volume) | (Some(Form::Liquid), Dimension::Mass) => bridged,
                    _ => true,
                }
        };
        let mut units: Vec<Unit> = Unit::all().filter(fits).collect();
        let own = |unit: Unit| match (material.and_then(Material::form), unit.dimension()) {
            (Some(Form::Dry), Dimension::Mass) | (Some(Form::Liquid), Dimension::Volume) | (None, _) => 0,
            _ => 1,
        };
        // Intervals are said in hours and days.
        let long = |unit: Unit| !matches!(unit, Unit::HOUR | Unit::DAY) && unit.dimension() == Dimension::Time;
        let last = |unit: Unit| matches!(unit.dimension(), Dimension::Ounce | Dimension::Share);
        units.sort_by_key(|&unit| (last(unit), !unit.belongs_to(home), own(unit), long(unit)));
        units
            .into_iter()
            .map(|unit| {
                let about = match unit.dimension() {
                    Dimension::Ounce => "by the material's form".to_string(),
                    dimension => dimension.word().to_string(),
                };
                Offer::new(unit.word(), CompletionItemKind::UNIT).about(about)
            })
            .collect()
    }

    /// The material that the entry itself is about.
    pub(super) fn own_material(&self) -> Option<&Material> {
        let entry = self.cursor.entry.as_ref()?;
        let about =
            matches!(entry.kind?, EntryWord::Material | EntryWord::Receive | EntryWord::Count | EntryWord::Discard);
        let name = self.cursor.desk.sources().slice(*entry.head.names.first().filter(|_| about)?);
        self.material(name)
    }

    /// A material by its name.
    pub(super) fn material(&self, name: &str) -> Option<&Material> {
        let lower = name.to_lowercase();
        self.cursor.desk.journal().materials.iter().find(|material| *material.named.name == *lower)
    }
}
