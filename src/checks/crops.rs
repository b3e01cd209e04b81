//! On which crops things were sprayed, and which of several rules holds for a crop.

use crate::season::{Season, SprayFacts, holds_for};

/// The crop of every block a spray touched, each once; `None` stands for a block whose crop is not written.
pub(super) fn crops_of<'j>(season: &Season<'j>, facts: &SprayFacts, crops: &mut Vec<Option<&'j str>>) {
    for touched in &facts.touched {
        let crop = season.crop(touched.block);
        if !crops.contains(&crop) {
            crops.push(crop);
        }
    }
}

/// For each mix, the crops it was sprayed on, in the order of time.
pub(super) fn crops_of_mixes<'j>(season: &Season<'j>) -> Vec<Vec<Option<&'j str>>> {
    let mut crops = vec![Vec::new(); season.journal.mixes.len()];
    for facts in &season.sprays {
        if let Some(mix) = facts.spray(season.journal).mix.and_then(|used| used.mix.id) {
            crops_of(season, facts, &mut crops[mix.index()]);
        }
    }
    crops
}

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
