//! Active ingredients in words.

use super::words::list;
use crate::journal::{ContentShare, Material};
use crate::quantity::{Amount, Unit, show};

/// `copper hydroxide 50 %, ...`; nothing where none is written.
pub(super) fn said(material: &Material) -> Option<String> {
    let one = |active: &crate::journal::Content| {
        let share = match active.share {
            ContentShare::ByWeight(share) => Amount::from_base(share, Unit::PERCENT).map(show),
            ContentShare::PerVolume(density) => Some(density.show()),
        };
        format!("{} {}", active.substance, share.unwrap_or_default()).trim_end().to_string()
    };
    let actives: Vec<String> = material.actives.iter().map(one).collect();
    (!actives.is_empty()).then(|| list(&actives))
}
