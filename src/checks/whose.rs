//! Whose a rule is, the user's own or the pantry's, and where it comes from.

use crate::finding::{Finding, Level};
use crate::journal::Material;
use crate::season::Season;
use crate::syntax::FieldWord;
use crate::text::Span;

/// Who keeps a rule of a material's entry, or of an entry of limits.
pub(super) const fn keeper(pantrys: bool) -> &'static str {
    if pantrys { "the pantry" } else { "the journal" }
}

/// Whether a material's entry is the pantry's.
pub(super) fn is_pantrys(season: &Season<'_>, material: Option<&Material>) -> bool {
    material.is_some_and(|material| season.sources.is_shipped(material.named.span))
}

/// The source of a rule that stands in a material's entry, or else in one of limits, whose source is given.
pub(super) fn source(
    season: &Season<'_>,
    what: &str,
    material: Option<&Material>,
    field: FieldWord,
    source: Option<Span>,
) -> String {
    let told = material.and_then(|material| material.source_of(field, season.sources));
    let told = told.or_else(|| source.map(|source| season.words(source).to_string()));
    match (is_pantrys(season, material), told) {
        (true, Some(told)) => format!("{what} is the pantry's, from {told}"),
        (true, None) => format!("{what} is the pantry's"),
        (false, Some(told)) => format!("{what} is your own: {told}"),
        (false, None) => format!("{what} is your own"),
    }
}

/// A finding by the pantry's rule: a warning that gives way to the label, since products differ.
pub(super) fn by_pantry(mut finding: Finding) -> Finding {
    finding.level = finding.level.max(Level::Warning);
    finding
}
