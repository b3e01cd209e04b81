//! What checks of lots share.

use super::say;
use crate::journal::MaterialId;
use crate::season::{Cause, Lot, LotOrigin, Season};
use crate::text::Span;

/// The name of a lot of a material: `lot 7 of kelp`, `batch whey-3`.
pub(super) fn name(season: &Season<'_>, id: MaterialId, lot: &Lot) -> String {
    let words = lot.words.map(|words| season.words(words).trim());
    match (lot.origin, words) {
        (LotOrigin::Batch(_), Some(words)) => format!("batch {words}"),
        (_, Some(words)) => format!("lot {words} of {}", say::material(season, id)),
        (_, None) => format!("the {} that came on {}", say::material(season, id), say::day(lot.since)),
    }
}

/// What a movement was, for a sentence: `the spray of 14 May 2026`.
pub(super) fn deed(season: &Season<'_>, one: &crate::season::Move) -> String {
    let day = say::day(one.day);
    match one.cause {
        Cause::Received(_) => format!("the delivery of {day}"),
        Cause::Made(brew) => format!("batch {}", season.journal.brew(brew).named.name),
        Cause::Sprayed(_) => format!("the spray of {day}"),
        Cause::Brewed(brew) => format!("batch {}", season.journal.brew(brew).named.name),
        Cause::Discarded(_) => format!("what was thrown out on {day}"),
        Cause::Counted(_) => format!("the count of {day}"),
    }
}

/// A lot that one movement says it is of, all of it or a part.
pub(super) struct Named {
    /// Its place in the material's lots.
    pub(super) lot: usize,
    /// How many of the material's unit; `None` where it is not known.
    pub(super) value: Option<crate::quantity::Exact>,
    /// Where the amount stands.
    pub(super) span: Span,
}

/// The lots that a movement says it is of, and how much of each. A part that names one of several batches is not among
/// them: how much of each there was is not said.
pub(super) fn named(one: &crate::season::Move) -> Vec<Named> {
    let mut named: Vec<Named> = Vec::new();
    for draw in one.named() {
        let Some(lot) = draw.lot else { continue };
        named.push(Named { lot, value: draw.value, span: draw.span });
    }
    if let [batch] = *one.batches() {
        let of_lots = one.named().iter().try_fold(crate::quantity::Exact::ZERO, |sum, draw| sum.add(draw.value?));
        let value = one.value.zip(of_lots).and_then(|(whole, part)| whole.sub(part));
        if value.is_none_or(|value| value.is_positive()) {
            named.push(Named { lot: batch, value, span: one.span });
        }
    }
    named
}
