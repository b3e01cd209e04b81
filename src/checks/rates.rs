//! Rates side by side, as a grower reads them.

use super::say;
use crate::journal::Material;
use crate::quantity::{Amount, Density, Dimension, Exact, Per, Rate, Unit, WrittenShare, show_apart};
use crate::season::Season;

/// A rate and the limit it is compared with, in the limit's words and with digits enough to tell them apart: `5 oz wt per
/// gal`, `1 oz wt per gal`.
pub(super) fn beside(rate: Rate, limit: Rate, material: Option<&Material>) -> (String, String) {
    let form = material.and_then(Material::form);
    let said = || match (rate, limit) {
        // Plain ounces of several materials together have no form.
        (Rate::Of { amount: own, per }, Rate::Of { amount, per: same }) if per == same && own.unit == amount.unit => {
            let (own, limit) = show_apart(own, amount);
            Some((format!("{own} {per}"), format!("{limit} {per}")))
        }
        (_, Rate::Of { amount, per }) => {
            let limit = amount.settle(form).ok()?;
            let rate = rate.settle(form).ok()?;
            let crossed = || crossed(rate, limit.dimension(), material?.bridge()?)?.said_as(limit.unit, per);
            let Rate::Of { amount: own, .. } = rate.said_as(limit.unit, per).or_else(crossed)? else { return None };
            let (own, limit) = show_apart(own, limit);
            Some((format!("{own} {per}"), format!("{limit} {per}")))
        }
        (_, Rate::ByVolume(share, WrittenShare::In(unit)) | Rate::ByWeight(share, unit)) => shares(rate, share, unit),
        (_, Rate::ByVolume(share, WrittenShare::OneIn)) => shares(rate, share, Unit::PERCENT_BY_VOLUME),
    };
    said().unwrap_or_else(|| (rate.show(), limit.show()))
}

/// A rate of volumes as one of weights, or the other way, by density or spoon weight.
fn crossed(rate: Rate, dimension: Dimension, bridge: Density) -> Option<Rate> {
    let Rate::Of { amount, per } = rate else { return None };
    let amount = match dimension {
        Dimension::Mass => bridge.mass_of(amount)?,
        Dimension::Volume => bridge.volume_of(amount)?,
        _ => return None,
    };
    Some(Rate::Of { amount, per })
}

fn shares(rate: Rate, limit: Exact, unit: Unit) -> Option<(String, String)> {
    let own = match rate.as_share(unit)? {
        Rate::ByVolume(share, _) | Rate::ByWeight(share, _) => Amount::from_base(share, unit)?,
        Rate::Of { .. } => return None,
    };
    Some(show_apart(own, Amount::from_base(limit, unit)?))
}

/// So much in so much: `24 oz wt` over `60 gal` as a rate.
pub(super) fn over(amount: Amount, per: Amount) -> Option<Rate> {
    Some(Rate::Of { amount, per: Per::counted(per).ok()? })
}

/// The amount with its number rounded up to two decimals (four below a tenth): a least that is printed must be enough.
pub(super) fn rounded_up(amount: Amount) -> Option<Amount> {
    let scale: i128 = if amount.value < Exact::new(1, 10)? { 10_000 } else { 100 };
    let up = amount.value.mul(Exact::new(scale, 1)?)?.ceil();
    Some(Amount::new(Exact::new(up, scale)?, amount.unit))
}

/// Two amounts in both systems of units, `24 oz wt (680 g)`, with digits enough to tell them apart.
pub(super) fn amounts(season: &Season<'_>, one: Amount, other: Amount) -> (String, String) {
    let (shown, other_shown) = (say::amount(season, one), say::amount(season, other));
    if shown == other_shown { show_apart(one, other) } else { (shown, other_shown) }
}
