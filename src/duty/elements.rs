//! What the record of a spray does not say. Only what is surely not written is missing: a name or a time that was written
//! and could not be understood has a finding of its own.

use super::holds::concerned;
use crate::journal::{Block, Journal, Material, Person, PersonId, Ref, Spray};
use crate::rulebook::{Element, When};
use crate::season::{Season, SprayFacts};
use crate::text::Span;

/// An element that a record does not say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lack {
    /// Which element.
    pub element: Element,
    /// The material, block or person that it is missing from.
    pub of: Option<String>,
    /// The standing entry in which it belongs; in the spray itself where absent.
    pub standing: Option<Span>,
    /// The whole entry in which it belongs.
    pub entry: Span,
}

impl Lack {
    /// In words: `registration number of sulfur`.
    pub fn words(&self) -> String {
        match &self.of {
            Some(of) => format!("{} of {of}", self.element.words()),
            None => self.element.words().to_string(),
        }
    }
}

/// What a spray's record does not say of an element. Elements of products are asked of the materials that the rule is
/// about.
pub fn lacks(season: &Season<'_>, facts: &SprayFacts, element: Element, when: &When) -> Vec<Lack> {
    let look = Look { season, facts, spray: facts.spray(season.journal), when };
    look.at(element)
}

struct Look<'s> {
    season: &'s Season<'s>,
    facts: &'s SprayFacts,
    spray: &'s Spray,
    when: &'s When,
}

impl Look<'_> {
    fn at(&self, element: Element) -> Vec<Lack> {
        let spray = self.spray;
        let journal = self.season.journal;
        let farm = journal.farm.as_ref();
        let here = |there: bool| self.unless(there, element);
        let ended = || spray.time_lost || !spray.sessions.is_empty() && spray.sessions.iter().all(|s| s.end.is_some());
        match element {
            // The page has it, or nothing of the entry could be read.
            Element::Date => Vec::new(),
            Element::Start => here(spray.time_lost || !spray.sessions.is_empty()),
            Element::End => here(ended()),
            // A spray that names nothing is empty, whatever any rulebook asks.
            Element::Product => Vec::new(),
            Element::Registration => self.materials(element, |material| material.registration.is_some()),
            Element::Active => self.materials(element, |material| !material.actives.is_empty()),
            Element::Sds => self.materials(element, |material| material.sds.is_some()),
            Element::Reentry => self.materials(element, |material| material.reentry.is_some()),
            Element::Rate => self.doses(element, |facts, at| {
                let dose = &facts.doses[at];
                dose.rate.is_some() || dose.amount().is_some() && (facts.area.is_some() || facts.finished.is_some())
            }),
            Element::Total => self.doses(element, |facts, at| facts.doses[at].amount().is_some()),
            Element::Volume => here(self.facts.finished.is_some()),
            Element::AreaTreated => here(self.facts.area.is_some()),
            // A block without its area is incomplete by the language already.
            Element::AreaPlanted => Vec::new(),
            Element::Location => self.blocks(element, |block| {
                block.location.is_some() || block.parcel.is_some() || block.survey.is_some() || block.map.is_some()
            }),
            Element::Parcel => self.blocks(element, |block| block.parcel.is_some()),
            Element::Survey => self.blocks(element, |block| block.survey.is_some()),
            Element::Site => self.blocks(element, |block| block.site.is_some()),
            Element::Map => self.blocks(element, |block| block.map.is_some()),
            Element::Crop => self.blocks(element, |block| block.crop.is_some()),
            Element::Eppo => self.blocks(element, |block| block.eppo.is_some()),
            Element::Bbch => here(spray.stage.is_some_and(|stage| bbch(self.season.words(stage)).is_some())),
            Element::UseType => here(spray.use_.is_some()),
            Element::Method => {
                let rig = spray.rig.and_then(|rig| rig.id).map(|rig| journal.rig(rig));
                match rig {
                    Some(rig) if rig.method.is_none() => {
                        vec![Lack {
                            element,
                            of: Some(rig.named.name.to_string()),
                            standing: Some(rig.named.span),
                            entry: rig.named.entry,
                        }]
                    }
                    _ => here(spray.rig.is_some()),
                }
            }
            Element::Equipment => here(spray.rig.is_some()),
            Element::Applicator => here(!spray.by.is_empty()),
            Element::ApplicatorAddress => self.people(element, &spray.by, |person| person.address.is_some()),
            Element::ApplicatorContact => self.people(element, &spray.by, |person| person.contact.is_some()),
            Element::Licence => self.licence(),
            Element::Supervisor => here(!spray.authorised.is_empty()),
            Element::Permit => self.farm(element, farm.is_some_and(|farm| farm.permit.is_some())),
            Element::Owner => self.farm(element, farm.is_some_and(|farm| farm.owner.is_some())),
            Element::OwnerAddress => self.farm(element, farm.is_some_and(|farm| farm.address.is_some())),
            Element::OwnerContact => self.farm(element, farm.is_some_and(|farm| farm.contact.is_some())),
            Element::Reason => here(spray.reason.is_some()),
            Element::Target => here(spray.target.is_some()),
            Element::Wind => here(self.calm() || spray.weather.iter().any(|reading| reading.wind.is_some())),
            Element::WindDirection => {
                let still =
                    |reading: &crate::journal::Reading| reading.wind.is_some_and(|wind| wind.value.value.is_zero());
                here(self.calm() || spray.weather.iter().any(|reading| reading.wind_from.is_some() || still(reading)))
            }
            Element::Temperature => here(spray.weather.iter().any(|reading| reading.temperature.is_some())),
            Element::Humidity => here(spray.weather.iter().any(|reading| reading.humidity.is_some())),
            Element::Evidence => here(spray.evidence.is_some()),
            Element::Water => here(spray.water.is_some()),
            Element::Entered => here(spray.entered.is_some()),
            Element::Signed => here(!spray.signed.is_empty()),
        }
    }

    fn unless(&self, there: bool, element: Element) -> Vec<Lack> {
        if there { Vec::new() } else { vec![Lack { element, of: None, standing: None, entry: self.spray.at.entry }] }
    }

    fn farm(&self, element: Element, there: bool) -> Vec<Lack> {
        let farm = self.season.journal.farm.as_ref().map(|farm| &farm.named);
        let (standing, entry) = (farm.map(|named| named.span), farm.map_or(self.spray.at.entry, |named| named.entry));
        if there { Vec::new() } else { vec![Lack { element, of: None, standing, entry }] }
    }

    fn materials(&self, element: Element, has: impl Fn(&Material) -> bool) -> Vec<Lack> {
        let journal: &Journal = self.season.journal;
        let asked = self.facts.doses.iter().filter(|dose| concerned(self.season, dose.material, self.when));
        let mut lacks: Vec<Lack> = Vec::new();
        for material in asked.map(|dose| journal.material(dose.material)).filter(|material| !has(material)) {
            let lack = Lack {
                element,
                of: Some(material.named.name.to_string()),
                standing: Some(material.named.span),
                entry: material.named.entry,
            };
            if !lacks.contains(&lack) {
                lacks.push(lack);
            }
        }
        lacks
    }

    fn doses(&self, element: Element, has: impl Fn(&SprayFacts, usize) -> bool) -> Vec<Lack> {
        let asked =
            (0..self.facts.doses.len()).filter(|&at| concerned(self.season, self.facts.doses[at].material, self.when));
        let without = asked.filter(|&at| !has(self.facts, at));
        let name = |at: usize| self.season.journal.material(self.facts.doses[at].material).named.name.to_string();
        without.map(|at| Lack { element, of: Some(name(at)), standing: None, entry: self.spray.at.entry }).collect()
    }

    fn blocks(&self, element: Element, has: impl Fn(&Block) -> bool) -> Vec<Lack> {
        let blocks = self.facts.touched.iter().map(|touched| self.season.journal.block(touched.block));
        let lack = |block: &Block| Lack {
            element,
            of: Some(block.named.name.to_string()),
            standing: Some(block.named.span),
            entry: block.named.entry,
        };
        blocks.filter(|block| !has(block)).map(lack).collect()
    }

    fn people(&self, element: Element, people: &[Ref<PersonId>], has: impl Fn(&Person) -> bool) -> Vec<Lack> {
        // Nobody named is a lack of its own.
        let people = people.iter().filter_map(|person| person.id).map(|person| self.season.journal.person(person));
        let lack = |person: &Person| Lack {
            element,
            of: Some(person.named.name.to_string()),
            standing: Some(person.named.span),
            entry: person.named.entry,
        };
        people.filter(|person| !has(person)).map(lack).collect()
    }

    /// The licence of somebody who sprayed or answers for it.
    fn licence(&self) -> Vec<Lack> {
        let element = Element::Licence;
        let everyone = self.spray.by.iter().chain(&self.spray.authorised);
        let known: Vec<&Person> =
            everyone.clone().filter_map(|person| person.id).map(|id| self.season.journal.person(id)).collect();
        let unknown = everyone.clone().any(|person| person.id.is_none());
        if unknown || known.iter().any(|person| person.licence.is_some()) {
            return Vec::new();
        }
        match known.first() {
            Some(person) => {
                vec![Lack {
                    element,
                    of: Some(person.named.name.to_string()),
                    standing: Some(person.named.span),
                    entry: person.named.entry,
                }]
            }
            None => Vec::new(),
        }
    }

    /// Whether a reading says in words that the air stood still.
    fn calm(&self) -> bool {
        let mut remarks = self.spray.weather.iter().flat_map(|reading| &reading.remarks);
        remarks.any(|&remark| is_calm(self.season.words(remark)))
    }
}

/// Whether a remark on the weather says that the air stood still: `calm`, `wind calm`, `no wind`.
pub fn is_calm(remark: &str) -> bool {
    let words = remark.to_lowercase();
    ["calm", "no wind", "still"].iter().any(|word| words.contains(word))
}

/// The BBCH code in the words of a growth stage: `petal fall, BBCH 67`.
pub fn bbch(stage: &str) -> Option<u32> {
    let lower = stage.to_lowercase();
    let behind = lower.split("bbch").nth(1)?.trim_start_matches(|letter: char| !letter.is_alphanumeric());
    let digits: String = behind.chars().take_while(char::is_ascii_digit).collect();
    digits.parse().ok().filter(|code| *code <= 99)
}
