//! In which order ingredients go into the tank: as the mix says, or the farm's rules, or else a usual order.
//!
//! The usual order is written out here, because acronyms for it mean different things with different publishers (the A
//! of one is to agitate, of another an adjuvant): dry things before liquids before emulsions before surfactants (Country
//! Guide, on the order called WALES; Utah State University Extension, order of a jar test), what changes the water before
//! everything else, soaps with the surfactants and live cultures last (common practice, no source). The label comes
//! before all of them.

use crate::journal::{Journal, Limits, Material, MaterialId, MixId, Purpose, Status};
use crate::quantity::Form;

/// What goes in together in the usual order, in its order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// What changes the water: conditioners and acids, but no acid where copper or lime sulfur is in the tank.
    Conditioner,
    /// Dry materials.
    Dry,
    /// Liquids.
    Liquid,
    /// Oils and emulsions.
    Emulsion,
    /// Soaps, spreaders, stickers.
    Soap,
    /// Live cultures.
    Living,
}

/// Who says so.
#[derive(Clone, Copy, Debug)]
pub enum OrderBy<'j> {
    /// The mix itself.
    Mix,
    /// Rules of the farm.
    Rules(&'j Limits),
    /// Nobody: the usual order.
    Usual,
}

/// Materials that go in in one turn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Turn {
    /// Which group of the usual order they are; absent for a turn of a written order.
    pub group: Option<Group>,
    /// Whether a written order does not name them.
    pub unnamed: bool,
    /// The materials, in the order of the recipe.
    pub materials: Vec<MaterialId>,
}

/// The turns in which some materials go into a tank.
#[derive(Clone, Debug)]
pub struct Addition<'j> {
    /// Who says so.
    pub by: OrderBy<'j>,
    /// The turns.
    pub turns: Vec<Turn>,
}

/// The order of some materials of a mix. A name in a written order is taken before a class, and a class before `dry` and
/// `liquid`; what no word of it fits comes behind, in the usual order.
pub fn addition<'j>(journal: &'j Journal, mix: Option<MixId>, materials: &[MaterialId]) -> Addition<'j> {
    let of_mix = mix.map(|mix| &journal.mix(mix).order).filter(|order| !order.is_empty());
    let rules = journal.limits.iter().filter(|limits| !limits.order.is_empty());
    let rules = rules.min_by(|one, other| one.named.name.cmp(&other.named.name));
    let (by, order) = match (of_mix, rules) {
        (Some(order), _) => (OrderBy::Mix, order),
        (None, Some(rules)) => (OrderBy::Rules(rules), &rules.order),
        (None, None) => return Addition { by: OrderBy::Usual, turns: usual(journal, materials, false) },
    };
    let words: Vec<&str> = order.iter().map(|word| &*word.value).collect();
    let place = |id: &MaterialId| place(journal.material(*id), &words);
    let mut turns: Vec<Turn> = Vec::new();
    for at in 0..words.len() {
        let here: Vec<MaterialId> = materials.iter().copied().filter(|id| place(id) == Some(at)).collect();
        if !here.is_empty() {
            turns.push(Turn { group: None, unnamed: false, materials: here });
        }
    }
    let rest: Vec<MaterialId> = materials.iter().copied().filter(|id| place(id).is_none()).collect();
    turns.extend(usual(journal, &rest, true));
    Addition { by, turns }
}

/// The word of a written order that fits a material best.
fn place(material: &Material, words: &[&str]) -> Option<usize> {
    let own = words.iter().position(|word| *word == &*material.named.name);
    let class = || words.iter().position(|word| material.is(word));
    let form = || words.iter().position(|word| material.form().is_some_and(|form| form.word() == *word));
    own.or_else(class).or_else(form)
}

fn usual(journal: &Journal, materials: &[MaterialId], unnamed: bool) -> Vec<Turn> {
    let no_acid = materials.iter().any(|&id| {
        let material = journal.material(id);
        material.is("copper") || material.is("lime-sulfur")
    });
    let mut turns: Vec<Turn> = Vec::new();
    for &id in materials {
        let group = group(journal.material(id), no_acid);
        match turns.iter_mut().find(|turn| turn.group == Some(group)) {
            Some(turn) => turn.materials.push(id),
            None => turns.push(Turn { group: Some(group), unnamed, materials: vec![id] }),
        }
    }
    turns.sort_by_key(|turn| turn.group);
    turns
}

fn group(material: &Material, no_acid: bool) -> Group {
    let is_any = |classes: &[&str]| classes.iter().any(|class| material.is(class));
    if is_any(&["live-culture"]) {
        return Group::Living;
    }
    let adjuvant = material.status() == Some(Status::Adjuvant)
        || material.purposes.iter().any(|purpose| purpose.value == Purpose::Adjuvant);
    if is_any(&["soap", "spreader", "sticker", "surfactant"]) {
        return Group::Soap;
    }
    if is_any(&["oil", "emulsion"]) {
        return Group::Emulsion;
    }
    if is_any(&["conditioner", "water-conditioner"]) || is_any(&["acid"]) && !no_acid {
        return Group::Conditioner;
    }
    match material.form() {
        Some(Form::Dry) => Group::Dry,
        _ if adjuvant => Group::Soap,
        _ => Group::Liquid,
    }
}
