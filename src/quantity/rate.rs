//! How much of something per how much of something else.

use std::cmp::Ordering;

use super::{Amount, Density, Dimension, Exact, Form, FormTrouble, QuantityTrouble, ShareOf, System, Unit};

/// What an amount is counted by. Always above zero.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Per {
    /// Finished spray: per gal, per 100 gal, per L, per 100 L.
    Volume(Amount),
    /// Ground: per acre, per ha, per 1000 sq ft.
    Area(Amount),
    /// Treated row: per 100 ft row.
    RowLength(Amount),
    /// So many trees.
    Tree(Exact),
}

impl Per {
    /// What a rate per that amount is counted by.
    ///
    /// # Errors
    /// [`QuantityTrouble::NotABasis`] for other dimensions, [`QuantityTrouble::NotPositive`] at or below zero.
    pub fn counted(amount: Amount) -> Result<Per, QuantityTrouble> {
        if !amount.value.is_positive() {
            return Err(QuantityTrouble::NotPositive);
        }
        match amount.dimension() {
            Dimension::Volume => Ok(Per::Volume(amount)),
            Dimension::Area => Ok(Per::Area(amount)),
            Dimension::Length => Ok(Per::RowLength(amount)),
            Dimension::Count if amount.unit == Unit::TREE => Ok(Per::Tree(amount.value)),
            found => Err(QuantityTrouble::NotABasis { found }),
        }
    }

    /// As an amount: `100 gal`, `1 acre`, `1 tree`.
    pub fn amount(self) -> Amount {
        match self {
            Per::Volume(amount) | Per::Area(amount) | Per::RowLength(amount) => amount,
            Per::Tree(count) => Amount { value: count, unit: Unit::TREE },
        }
    }

    /// The kind of basis.
    pub fn basis(self) -> Basis {
        match self {
            Per::Volume(_) => Basis::FinishedVolume,
            Per::Area(_) => Basis::Area,
            Per::RowLength(_) => Basis::RowLength,
            Per::Tree(_) => Basis::Tree,
        }
    }
}

/// The kinds of basis; rates of one kind can be compared.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Basis {
    /// Per volume of finished spray, shares included.
    FinishedVolume,
    /// Per area.
    Area,
    /// Per length of row.
    RowLength,
    /// Per tree.
    Tree,
}

/// How a share by volume was written, so that it prints as written.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum WrittenShare {
    /// In a unit of share: `% v/v`.
    In(Unit),
    /// One in so many: `1:500`.
    OneIn,
}

/// How much of something per how much of something else, as written.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Rate {
    /// An amount per volume, area, row or tree.
    Of {
        /// A weight, a volume or plain ounces.
        amount: Amount,
        /// What it is counted by.
        per: Per,
    },
    /// The share of the finished volume: `0.5 % v/v` is 1/200. `1:500` is one part in 500 parts of finished spray.
    ByVolume(Exact, WrittenShare),
    /// Grams in a millilitre of finished spray, and the unit they were written in: `2 % w/v` is 1/50, `75 ppm` is 75 mg
    /// in a litre.
    ByWeight(Exact, Unit),
}

/// How strong a finished spray is, as far as it is known.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Strength {
    /// Millilitres of the material in a millilitre of finished spray.
    pub by_volume: Option<Exact>,
    /// Grams of the material in a millilitre of finished spray.
    pub by_weight: Option<Exact>,
}

/// A rate in base units: mL or g per mL of spray, per m², per m of row or per tree.
#[derive(Clone, Copy)]
struct Plain {
    of: Dimension,
    basis: Basis,
    value: Exact,
}

impl Plain {
    /// The value, as a weight when a density is known.
    fn by_weight(self, density: Option<Density>) -> Option<Exact> {
        match self.of {
            Dimension::Mass => Some(self.value),
            _ => self.value.mul(density?.grams_per_ml()),
        }
    }
}

impl Rate {
    /// A share of the finished spray: `0.5 % v/v`, `2 % w/v`, `75 ppm`.
    ///
    /// # Errors
    /// [`QuantityTrouble::ShareOfWhat`] for plain `%` and for `% w/w`, which needs the weight of the finished spray;
    /// [`QuantityTrouble::NoBasis`] for a weight or a volume; [`QuantityTrouble::WrongDimension`] for anything else.
    pub fn share(amount: Amount) -> Result<Rate, QuantityTrouble> {
        let written = WrittenShare::In(amount.unit);
        let share = || amount.base().ok_or(QuantityTrouble::TooLarge);
        match (amount.unit.share_of(), amount.dimension()) {
            (Some(ShareOf::Volume), _) => Ok(Rate::ByVolume(share()?, written)),
            (Some(ShareOf::WeightInVolume), _) => Ok(Rate::ByWeight(share()?, amount.unit)),
            (Some(ShareOf::Parts | ShareOf::Weight), _) => Err(QuantityTrouble::ShareOfWhat { written: amount.unit }),
            (None, Dimension::Mass | Dimension::Volume | Dimension::Ounce) => Err(QuantityTrouble::NoBasis),
            (None, found) => Err(QuantityTrouble::WrongDimension { found, expected: Dimension::Share }),
        }
    }

    /// One part in `parts` parts of finished spray by volume: `1:500`.
    ///
    /// # Errors
    /// [`QuantityTrouble::NotPositive`] at or below zero.
    pub fn one_in(parts: Exact) -> Result<Rate, QuantityTrouble> {
        match parts.recip() {
            Some(share) if share.is_positive() => Ok(Rate::ByVolume(share, WrittenShare::OneIn)),
            _ => Err(QuantityTrouble::NotPositive),
        }
    }

    /// The kind of basis.
    pub fn basis(self) -> Basis {
        match self {
            Rate::Of { per, .. } => per.basis(),
            Rate::ByVolume(..) | Rate::ByWeight(..) => Basis::FinishedVolume,
        }
    }

    /// Are both counted by the same kind of thing?
    pub fn same_basis(self, other: Rate) -> bool {
        self.basis() == other.basis()
    }

    /// Is the amount in plain ounces?
    pub fn is_plain_ounce(self) -> bool {
        matches!(self, Rate::Of { amount, .. } if amount.unit.is_plain_ounce())
    }

    /// Plain ounces as what the form says they are.
    ///
    /// # Errors
    /// [`FormTrouble`] for plain ounces of unknown form.
    pub fn settle(self, form: Option<Form>) -> Result<Rate, FormTrouble> {
        match self {
            Rate::Of { amount, per } => Ok(Rate::Of { amount: amount.settle(form)?, per }),
            share => Ok(share),
        }
    }

    /// So many times the rate.
    pub fn times(self, factor: Exact) -> Option<Rate> {
        Some(match self {
            Rate::Of { amount, per } => Rate::Of { amount: amount.times(factor)?, per },
            Rate::ByVolume(share, WrittenShare::OneIn) => {
                Rate::ByVolume(share.mul(factor)?, WrittenShare::In(Unit::PERCENT_BY_VOLUME))
            }
            Rate::ByVolume(share, written) => Rate::ByVolume(share.mul(factor)?, written),
            Rate::ByWeight(share, written) => Rate::ByWeight(share.mul(factor)?, written),
        })
    }

    /// What so much finished spray takes. `None` unless the rate is per finished volume. A share by weight comes in
    /// grams for a metric volume and in ounces of weight otherwise.
    pub fn for_volume(self, volume: Amount) -> Option<Amount> {
        if volume.dimension() != Dimension::Volume {
            return None;
        }
        match self {
            Rate::Of { amount, per: Per::Volume(per) } => amount.times(volume.ratio(per)?),
            Rate::Of { .. } => None,
            Rate::ByVolume(share, _) => volume.times(share),
            Rate::ByWeight(share, _) => {
                let unit = if volume.unit.belongs_to(System::Metric) { Unit::GRAM } else { Unit::OZ_WT };
                Amount::from_base(volume.base()?.mul(share)?, unit)
            }
        }
    }

    /// What so much ground takes. `None` unless the rate is per area.
    pub fn for_area(self, area: Amount) -> Option<Amount> {
        match self {
            Rate::Of { amount, per: Per::Area(per) } => amount.times(area.ratio(per)?),
            _ => None,
        }
    }

    /// What so much treated row takes. `None` unless the rate is per length of row.
    pub fn for_row(self, length: Amount) -> Option<Amount> {
        match self {
            Rate::Of { amount, per: Per::RowLength(per) } => amount.times(length.ratio(per)?),
            _ => None,
        }
    }

    /// What so many trees take. `None` unless the rate is per tree.
    pub fn for_trees(self, trees: Exact) -> Option<Amount> {
        match self {
            Rate::Of { amount, per: Per::Tree(per) } => amount.times(trees.div(per)?),
            _ => None,
        }
    }

    /// How strong the finished spray is. A rate per area needs the spray's own rate per area (`60 gal/acre`); the
    /// density adds whichever of the two strengths the rate does not say. `None` for rates per row or per tree, for
    /// plain ounces of unknown form, and where something needed is not given.
    pub fn per_ml(
        self,
        form: Option<Form>,
        density: Option<Density>,
        volume_per_area: Option<Rate>,
    ) -> Option<Strength> {
        let plain = self.plain(form)?;
        let value = match plain.basis {
            Basis::FinishedVolume => plain.value,
            Basis::Area => {
                let spray = volume_per_area?.plain(None)?;
                if spray.of != Dimension::Volume || spray.basis != Basis::Area {
                    return None;
                }
                plain.value.div(spray.value)?
            }
            Basis::RowLength | Basis::Tree => return None,
        };
        let density = density.map(Density::grams_per_ml);
        Some(match plain.of {
            Dimension::Mass => {
                Strength { by_volume: density.and_then(|density| value.div(density)), by_weight: Some(value) }
            }
            _ => Strength { by_volume: Some(value), by_weight: density.and_then(|density| value.mul(density)) },
        })
    }

    /// Which is more. `None` for rates of different kinds of basis, for plain ounces of unknown form against another
    /// unit, and for a weight against a volume without a density.
    pub fn compare(self, other: Rate, form: Option<Form>, density: Option<Density>) -> Option<Ordering> {
        let (left, right) = self.alike(other, form, density)?;
        Some(left.cmp(&right))
    }

    /// This rate over the other; `None` as for [`Rate::compare`], and when the other is zero.
    pub fn ratio(self, other: Rate, form: Option<Form>, density: Option<Density>) -> Option<Exact> {
        let (left, right) = self.alike(other, form, density)?;
        left.div(right)
    }

    /// The same rate as an amount in that unit per that much; `None` when the basis or the dimension differs. Plain
    /// ounces must be settled first.
    pub fn said_as(self, unit: Unit, per: Per) -> Option<Rate> {
        let plain = self.plain(None)?;
        if plain.of != unit.dimension() || plain.basis != per.basis() {
            return None;
        }
        let amount = Amount::from_base(plain.value.mul(per.amount().base()?)?, unit)?;
        Some(Rate::Of { amount, per })
    }

    /// The same rate as a share: `1.28 fl oz per gal` in `% v/v` is `1 % v/v`. `None` when the unit is no such share,
    /// or the rate is not per finished volume. Plain ounces must be settled first.
    pub fn as_share(self, unit: Unit) -> Option<Rate> {
        let plain = self.plain(None)?;
        let written = WrittenShare::In(unit);
        match (unit.share_of()?, plain.of, plain.basis) {
            (ShareOf::Volume, Dimension::Volume, Basis::FinishedVolume) => Some(Rate::ByVolume(plain.value, written)),
            (ShareOf::WeightInVolume, Dimension::Mass, Basis::FinishedVolume) => {
                Some(Rate::ByWeight(plain.value, unit))
            }
            _ => None,
        }
    }

    fn plain(self, form: Option<Form>) -> Option<Plain> {
        let basis = self.basis();
        Some(match self {
            Rate::Of { amount, per } => {
                let amount = amount.settle(form).ok()?;
                let value = amount.base()?.div(per.amount().base()?)?;
                Plain { of: amount.dimension(), basis, value }
            }
            Rate::ByVolume(value, _) => Plain { of: Dimension::Volume, basis, value },
            Rate::ByWeight(value, _) => Plain { of: Dimension::Mass, basis, value },
        })
    }

    /// Both as numbers of one kind.
    fn alike(self, other: Rate, form: Option<Form>, density: Option<Density>) -> Option<(Exact, Exact)> {
        // Ounces against ounces: whatever they are, both are the same.
        let both_plain = self.is_plain_ounce() && other.is_plain_ounce();
        let form = form.or(both_plain.then_some(Form::Dry));
        let (left, right) = (self.plain(form)?, other.plain(form)?);
        if left.basis != right.basis {
            return None;
        }
        if left.of == right.of {
            return Some((left.value, right.value));
        }
        Some((left.by_weight(density)?, right.by_weight(density)?))
    }
}
