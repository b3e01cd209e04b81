//! Which of several rules holds for a crop.

use crate::season::holds_for;

/// The first of these crops for which a rule holds: one written for the crop, or one for all where no `other` rule of
/// its kind is written for the crop. A rule for all holds where nothing is known of crops.
pub(super) fn first_bound<'j, 'r>(
    rule: &'r [Box<str>],
    others: impl Iterator<Item = &'r [Box<str>]> + Clone,
    crops: &[Option<&'j str>],
) -> Option<Option<&'j str>> {
    if !rule.is_empty() {
        return crops.iter().copied().find(|crop| holds_for(rule, *crop));
    }
    let special = |crop: &Option<&str>| others.clone().any(|other| !other.is_empty() && holds_for(other, *crop));
    if crops.is_empty() { Some(None) } else { crops.iter().copied().find(|crop| !special(crop)) }
}
