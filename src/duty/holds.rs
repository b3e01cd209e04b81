//! For which sprays, and for which of their materials, a rule holds. Where the journal does not say whether a condition
//! is met, the rule is not applied: what is missing for that is a finding of its own.

use super::purpose::{Against, against};
use crate::journal::{Block, MaterialId, same_crop};
use crate::rulebook::{LabelLimit, When};
use crate::season::{Season, SprayFacts};

/// Whether a rule holds for a spray.
pub fn holds(season: &Season<'_>, facts: &SprayFacts, when: &When) -> bool {
    if when.always() {
        return true;
    }
    let journal = season.journal;
    let spray = facts.spray(journal);
    let blocks = || facts.touched.iter().any(|touched| about_block(season, journal.block(touched.block), when));
    let limited = |limit: LabelLimit| {
        facts.doses.iter().any(|dose| {
            let limits = &journal.material(dose.material).label_limits;
            match limit {
                LabelLimit::Time => limits.time.is_some(),
                LabelLimit::Stage => limits.stage.is_some(),
                LabelLimit::Weather => limits.weather.is_some(),
            }
        })
    };
    let method = || {
        let rig = spray.rig.and_then(|rig| rig.id).map(|rig| journal.rig(rig));
        let words = rig.and_then(|rig| rig.method).map(|method| season.words(method).to_lowercase());
        words.is_some_and(|words| when.methods.iter().any(|method| words.contains(method.as_str())))
    };
    let licensed = || {
        let mut people = spray.by.iter().chain(&spray.authorised).filter_map(|person| person.id);
        people.any(|person| journal.person(person).licence.is_some())
    };
    let large = |least: crate::quantity::Amount| {
        let area = facts.area.and_then(|area| area.base());
        area.zip(least.base()).is_some_and(|(area, least)| area >= least)
    };
    (about_any_block(when) || blocks())
        && when.against.is_none_or(|wanted| against(season, facts) == Against::known(wanted))
        && when.licensed.is_none_or(|wanted| licensed() == wanted)
        && when.label_limits.is_none_or(limited)
        && when.area_at_least.is_none_or(large)
        && (when.methods.is_empty() || method())
        && (when.statuses.is_empty() && when.classes.is_empty() && !when.respirator
            || facts.doses.iter().any(|dose| concerned(season, dose.material, when)))
}

/// Whether a rule is about any block.
fn about_any_block(when: &When) -> bool {
    when.workers.is_none() && when.enclosed.is_none() && when.organic.is_none() && when.crops.is_empty()
}

/// Whether a rule that holds for a spray is about one of its blocks.
pub fn about_block(season: &Season<'_>, block: &Block, when: &When) -> bool {
    let workers = |wanted: bool| block.workers.is_some_and(|workers| workers.value == wanted);
    let enclosed = |wanted: bool| block.enclosed.is_some_and(|enclosed| enclosed.value) == wanted;
    let crop = |crop: &str| when.crops.iter().any(|known| same_crop(known, crop));
    when.workers.is_none_or(workers)
        && when.enclosed.is_none_or(enclosed)
        && when.organic.is_none_or(|wanted| is_organic(season, block) == wanted)
        && (when.crops.is_empty() || block.crop.as_ref().is_some_and(|known| crop(&known.value)))
}

/// Whether a rule about products is about a material.
pub fn concerned(season: &Season<'_>, material: MaterialId, when: &When) -> bool {
    let material = season.journal.material(material);
    let status = || material.status().is_some_and(|status| when.statuses.contains(&status));
    let class = || when.classes.iter().any(|class| material.is(class));
    let respirator = || material.protection.is_some_and(|words| asks_for_respirator(season.words(words)));
    (when.statuses.is_empty() || status()) && (when.classes.is_empty() || class()) && (!when.respirator || respirator())
}

/// Whether the words of a label's protection ask for a respirator: `no respirator needed` does not.
fn asks_for_respirator(words: &str) -> bool {
    let words = words.to_lowercase();
    let words: Vec<&str> =
        words.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let Some(at) = words.iter().position(|word| matches!(*word, "respirator" | "respirators")) else { return false };
    let denied = |word: &&str| matches!(*word, "no" | "not" | "without");
    !words[at.saturating_sub(2)..(at + 3).min(words.len())].iter().any(denied)
}

/// Whether a block is certified organic, or on the way to it, by its own words.
fn is_organic(season: &Season<'_>, block: &Block) -> bool {
    block.certified.is_some_and(|certified| {
        let words = season.words(certified).to_lowercase();
        ["organic", "transition", "conversion", "bio"].iter().any(|word| words.contains(word))
    })
}
