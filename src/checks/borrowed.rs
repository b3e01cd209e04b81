//! Findings about the pantry's entries stand where the journal uses the material: nobody can write in the pantry.

use crate::finding::{Finding, Label};
use crate::journal::{Journal, MaterialId};
use crate::season::Season;
use crate::text::Span;

/// Moves every finding whose first place is in the pantry to the first use of that material, or else to the line that
/// asks for the pantry.
pub(super) fn bring_home(season: &Season<'_>, findings: &mut [Finding]) {
    let abroad = |finding: &Finding| season.sources.is_shipped(finding.span());
    if !findings.iter().any(abroad) {
        return;
    }
    let uses = first_uses(season.journal);
    let asked = season.journal.farm.as_ref().and_then(|farm| farm.pantry).map(|pantry| pantry.span);
    for finding in findings.iter_mut().filter(|finding| abroad(finding)) {
        let at = finding.span();
        let place = season.journal.materials.iter().position(|material| material.named.entry.covers(at));
        let Some(home) = place.and_then(|place| uses[place]).or(asked) else { continue };
        finding.labels.insert(0, Label { span: home, text: "used here".to_string() });
        finding.edit = finding.edit.take().filter(|edit| !season.sources.is_shipped(edit.span));
        if let Some(place) = place {
            let name = &season.journal.material(MaterialId::at(place)).named.name;
            let own = format!(
                "what the pantry says of {name} changes only in an entry of your own: `foliary pantry {name}` prints one to begin with"
            );
            finding.help = Some(finding.help.take().map_or(own.clone(), |help| format!("{help}; {own}")));
        }
    }
}

/// Where each material is used first: in a mix, a spray, a batch or a delivery.
fn first_uses(journal: &Journal) -> Vec<Option<Span>> {
    let mut uses: Vec<Option<Span>> = vec![None; journal.materials.len()];
    let of_mixes = journal.mixes.iter().flat_map(|mix| &mix.puts).map(|put| put.material);
    let of_sprays = journal.sprays.iter().flat_map(|spray| {
        let measured = spray.measured.iter().chain(spray.loads.iter().flat_map(|load| &load.portions));
        spray.puts.iter().map(|put| put.material).chain(measured.map(|measured| measured.material))
    });
    let of_brews = journal.brews.iter().flat_map(|brew| &brew.puts).map(|put| put.material);
    let of_receipts = journal.receipts.iter().map(|receipt| receipt.material);
    for used in of_mixes.chain(of_sprays).chain(of_brews).chain(of_receipts) {
        if let Some(id) = used.id {
            uses[id.index()].get_or_insert(used.span);
        }
    }
    uses
}
