//! Findings about the pantry's entries stand where the journal uses the material: nobody can write in the pantry.

use crate::finding::{Finding, Label};
use crate::journal::{Journal, MaterialId};
use crate::season::Season;
use crate::text::Span;

/// Findings about names rather than about what an entry says.
const ABOUT_NAMES: &[&str] = &["unknown-name", "look-alike-name"];

/// Moves every finding whose first place is in the pantry to the first use of that material, or else to the line that
/// asks for the pantry; and says of all that point there how to change what it says.
pub(super) fn bring_home(season: &Season<'_>, findings: &mut [Finding]) {
    let abroad = |span: Span| season.sources.is_shipped(span);
    let entry = |place: usize| season.journal.material(MaterialId::at(place)).named.entry;
    let shelf: Vec<usize> = (0..season.journal.materials.len()).filter(|&place| abroad(entry(place))).collect();
    if shelf.is_empty() {
        return;
    }
    let mut uses: Option<Vec<Option<Span>>> = None;
    for finding in findings {
        let Some(at) = finding.labels.iter().map(|label| label.span).find(|&span| abroad(span)) else { continue };
        let place = shelf.iter().copied().find(|&place| entry(place).covers(at));
        if abroad(finding.span()) {
            let uses = uses.get_or_insert_with(|| first_uses(season.journal));
            let asked = season.journal.farm.as_ref().and_then(|farm| farm.pantry).map(|pantry| pantry.span);
            let Some(home) = place.and_then(|place| uses[place]).or(asked) else { continue };
            finding.labels.insert(0, Label { span: home, text: "used here".to_string() });
            finding.edit = finding.edit.take().filter(|edit| !abroad(edit.span));
        }
        // Names are what the journal is to put right, whatever the pantry says of the material.
        if let Some(place) = place.filter(|_| !ABOUT_NAMES.contains(&finding.code)) {
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
