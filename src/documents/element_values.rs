//! What the record of a spray says of each element that a rule can ask for, as people read it.

use std::collections::HashSet;

use super::book::Book;
use super::evidence::signatures;
use super::record::written;
use super::record_parts::{parties, per_area, sprayer, water, weather};
use super::words::{clock, day, list, stated};
use crate::duty::bbch;
use crate::journal::{Block, ContentShare, Material, MaterialId, Person, PersonId, Reading, Ref, Spray};
use crate::quantity::{Amount, Unit, show};
use crate::rulebook::Element;
use crate::season::{Dose, SprayFacts, block_area};

/// What a record says of an element.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Said {
    /// Of which product, block, person or session; absent where it is of the whole spray.
    pub of: Option<String>,
    /// What; absent where it is not recorded.
    pub text: Option<String>,
}

/// What the record of a spray says of an element; of products, those that `about` lets through. One line for each thing
/// that the element is asked of.
pub(super) fn said(
    book: &Book<'_>,
    facts: &SprayFacts,
    element: Element,
    about: &dyn Fn(MaterialId) -> bool,
) -> Vec<Said> {
    let said = Speaker { book, facts, spray: facts.spray(book.journal()), about }.of(element);
    if said.is_empty() { one(None) } else { said }
}

fn one(text: Option<String>) -> Vec<Said> {
    vec![Said { of: None, text }]
}

struct Speaker<'s, 'a> {
    book: &'s Book<'a>,
    facts: &'s SprayFacts,
    spray: &'a Spray,
    about: &'s dyn Fn(MaterialId) -> bool,
}

impl Speaker<'_, '_> {
    fn of(&self, element: Element) -> Vec<Said> {
        let (book, facts, spray) = (self.book, self.facts, self.spray);
        let farm = book.journal().farm.as_ref();
        match element {
            Element::Date => one(Some(format!("{} {}", spray.at.day.format("%A"), day(spray.at.day)))),
            Element::Start => self.sessions(|session| Some(session.start)),
            Element::End => self.sessions(|session| session.end),
            Element::Product => self.products(),
            Element::Registration => self.materials(|material| book.some_words(material.registration)),
            Element::Active => self.materials(actives),
            Element::Sds => self.materials(|material| book.some_words(material.sds)),
            Element::Reentry => self.materials(|material| material.reentry.map(|time| stated(time.value))),
            Element::Rate => self.doses(|dose| self.rate(dose)),
            Element::Total => self.doses(|dose| Some(book.amount(book.in_own_unit(dose.material, dose.amount()?)))),
            Element::Volume => one(facts.finished.map(|volume| book.amount(volume))),
            Element::AreaTreated => self.area_treated(),
            Element::AreaPlanted => self.blocks(|block| block_area(block, spray.at.day).map(|area| book.amount(area))),
            Element::Location => self.blocks(|block| location(book, block)),
            Element::Parcel => self.blocks(|block| book.some_words(block.parcel)),
            Element::Survey => self.blocks(|block| book.some_words(block.survey)),
            Element::Site => self.blocks(|block| book.some_words(block.site)),
            Element::Map => self.blocks(|block| book.some_words(block.map)),
            Element::Crop => self.blocks(|block| block.crop.as_ref().map(|crop| crop.value.to_string())),
            Element::Eppo => self.blocks(|block| book.some_words(block.eppo)),
            Element::Bbch => {
                let stage = book.some_words(spray.stage);
                one(stage.filter(|stage| bbch(stage).is_some()))
            }
            Element::UseType => one(book.some_words(spray.use_)),
            Element::Method => one(match spray.rig {
                Some(rig) if rig.id.is_none() => Some(format!("as {} does it", book.words(rig.span))),
                _ => sprayer(book, spray).method,
            }),
            Element::Equipment => one(sprayer(book, spray).name),
            Element::Applicator => one(book.people(&spray.by)),
            Element::ApplicatorAddress => self.people(|person| book.some_words(person.address)),
            Element::ApplicatorContact => self.people(|person| book.some_words(person.contact)),
            Element::Licence => self.licence(),
            Element::Supervisor => one(book.people(&spray.authorised)),
            Element::Permit => one(book.some_words(farm.and_then(|farm| farm.permit))),
            Element::Owner => one(book.some_words(farm.and_then(|farm| farm.owner))),
            Element::OwnerAddress => one(book.some_words(farm.and_then(|farm| farm.address))),
            Element::OwnerContact => one(book.some_words(farm.and_then(|farm| farm.contact))),
            Element::Reason => one(book.some_words(spray.reason)),
            Element::Target => one(book.some_words(spray.target)),
            Element::Wind => self.readings(|reading| {
                let speed = reading.wind.map(|wind| book.amount(wind.value));
                speed.or_else(|| self.stillness(reading))
            }),
            Element::WindDirection => self.readings(|reading| {
                let still = || reading.wind.filter(|wind| wind.value.value.is_zero()).map(|_| "calm".to_string());
                book.some_words(reading.wind_from).or_else(|| self.stillness(reading)).or_else(still)
            }),
            Element::Temperature => {
                self.readings(|reading| reading.temperature.map(|temperature| book.amount(temperature.value)))
            }
            Element::Humidity => {
                self.readings(|reading| reading.humidity.map(|humidity| format!("{} %", humidity.value.figures(3))))
            }
            Element::Evidence => one(book.some_words(spray.evidence)),
            Element::Water => one(water(book, spray).source),
            Element::Entered => one(spray.entered.as_ref().map(|entered| {
                let written = written(book, entered, spray.at.day);
                let by = written.by.map(|by| format!(", by {by}")).unwrap_or_default();
                format!("{}, {}{by}", written.on, written.after)
            })),
            Element::Signed => one(self.signed()),
        }
    }

    /// One end of each session; all that is written where a time was written that could not be read.
    fn sessions(&self, end: impl Fn(&crate::journal::Session) -> Option<crate::journal::Clocked>) -> Vec<Said> {
        let several = self.spray.sessions.len() > 1;
        let one_of = |(at, session): (usize, &crate::journal::Session)| {
            let moment = end(session).map(|clocked| self.book.season.zone.written(clocked, true).0);
            Said {
                of: several.then(|| format!("session {}", at + 1)),
                text: moment.map(|moment| clock(moment, self.spray.at.day)),
            }
        };
        if self.spray.sessions.is_empty() && self.spray.time_lost {
            return one(Some("written, but not so that it could be read".to_string()));
        }
        self.spray.sessions.iter().enumerate().map(one_of).collect()
    }

    /// The products by name; the mix as written where what is in it is not known.
    fn products(&self) -> Vec<Said> {
        let names: Vec<&str> = self.asked().map(|material| self.book.material(material)).collect();
        if !names.is_empty() {
            return one(Some(list(&names)));
        }
        one(self.book.some_words(self.spray.mix.map(|used| used.mix.span)))
    }

    /// The materials that are asked about, each once.
    fn asked(&self) -> impl Iterator<Item = MaterialId> {
        let mut seen = HashSet::with_capacity(self.facts.doses.len());
        let materials = self.facts.doses.iter().map(|dose| dose.material);
        materials.filter(move |&material| seen.insert(material) && (self.about)(material))
    }

    fn materials(&self, text: impl Fn(&Material) -> Option<String>) -> Vec<Said> {
        let one_of = |material: MaterialId| Said {
            of: Some(self.book.material(material).to_string()),
            text: text(self.book.journal().material(material)),
        };
        self.asked().map(one_of).collect()
    }

    fn doses(&self, text: impl Fn(&Dose) -> Option<String>) -> Vec<Said> {
        let asked = self.facts.doses.iter().filter(|dose| (self.about)(dose.material));
        asked.map(|dose| Said { of: Some(self.book.material(dose.material).to_string()), text: text(dose) }).collect()
    }

    fn rate(&self, dose: &Dose) -> Option<String> {
        let parts: Vec<String> = dose.shown_rate().into_iter().chain(per_area(self.book, self.facts, dose)).collect();
        (!parts.is_empty()).then(|| parts.join("; "))
    }

    /// The blocks by name, those that the journal does not describe as written.
    fn blocks(&self, text: impl Fn(&Block) -> Option<String>) -> Vec<Said> {
        let journal = self.book.journal();
        let mut known: Vec<_> = self.facts.touched.iter().map(|touched| touched.block).collect();
        known.dedup();
        let described = known.into_iter().map(|id| (self.book.block(id).to_string(), text(journal.block(id))));
        let unknown = self.spray.ground.blocks.iter().filter(|block| block.id.is_none());
        let unknown = unknown.map(|block| (self.book.words(block.span), None));
        described.chain(unknown).map(|(of, text)| Said { of: Some(of), text }).collect()
    }

    fn area_treated(&self) -> Vec<Said> {
        let Some(area) = self.facts.area else { return one(None) };
        let worked_out = if self.spray.over.is_none() { ", worked out from blocks and rows" } else { "" };
        let mut said = one(Some(format!("{}{worked_out}", self.book.amount(area))));
        if self.facts.touched.len() > 1 {
            said.extend(self.facts.touched.iter().map(|touched| Said {
                of: Some(self.book.block(touched.block).to_string()),
                text: touched.area.map(|area| self.book.amount(area)),
            }));
        }
        said
    }

    fn people(&self, text: impl Fn(&Person) -> Option<String>) -> Vec<Said> {
        let one_of = |person: &Ref<PersonId>| Said {
            of: Some(self.book.person(*person)),
            text: person.id.and_then(|id| text(self.book.journal().person(id))),
        };
        self.spray.by.iter().map(one_of).collect()
    }

    /// Who has a licence of those who sprayed or answered for it; all of them where nobody has.
    fn licence(&self) -> Vec<Said> {
        let everyone = parties(self.book, &self.spray.by).into_iter();
        let everyone: Vec<Said> = everyone
            .chain(parties(self.book, &self.spray.authorised))
            .map(|person| Said { of: Some(person.name), text: person.licence })
            .collect();
        let licensed: Vec<Said> = everyone.iter().filter(|person| person.text.is_some()).cloned().collect();
        let mut shown = if licensed.is_empty() { everyone } else { licensed };
        shown.dedup();
        shown
    }

    fn readings(&self, text: impl Fn(&Reading) -> Option<String>) -> Vec<Said> {
        let several = self.spray.weather.len() > 1;
        let times = weather(self.book, self.spray).into_iter().map(|reading| reading.time);
        let readings = self
            .spray
            .weather
            .iter()
            .zip(times)
            .filter_map(|(reading, time)| Some(Said { of: time.filter(|_| several), text: Some(text(reading)?) }));
        readings.collect()
    }

    /// The words by which a reading says that the air stood still.
    fn stillness(&self, reading: &Reading) -> Option<String> {
        let still = |words: &String| crate::duty::is_calm(words);
        reading.remarks.iter().map(|&remark| self.book.words(remark)).find(still)
    }

    fn signed(&self) -> Option<String> {
        signatures(self.book, &self.spray.signed)
    }
}

/// Active ingredients with their share.
pub(super) fn actives(material: &Material) -> Option<String> {
    let one_of = |active: &crate::journal::Content| {
        let share = match active.share {
            ContentShare::ByWeight(share) => Amount::from_base(share, Unit::PERCENT).map(show),
            ContentShare::PerVolume(density) => Some(density.show()),
        };
        format!("{} {}", active.substance, share.unwrap_or_default()).trim_end().to_string()
    };
    let actives: Vec<String> = material.actives.iter().map(one_of).collect();
    (!actives.is_empty()).then(|| list(&actives))
}

/// Where a block is, by everything that says so.
fn location(book: &Book<'_>, block: &Block) -> Option<String> {
    let named = |what: &str, words: Option<String>| words.map(|words| format!("{what}{words}"));
    let parts: Vec<String> = [
        book.some_words(block.location),
        named("parcel ", book.some_words(block.parcel)),
        book.some_words(block.survey),
        named("map ", book.some_words(block.map)),
    ]
    .into_iter()
    .flatten()
    .collect();
    (!parts.is_empty()).then(|| parts.join("; "))
}
