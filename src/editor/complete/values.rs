//! What can stand behind a field's word.

use lsp_types::CompletionItemKind;

use super::Spot;
use super::entries::plain;
use super::offer::Offer;
use super::units::{counted_by, dimensions};
use crate::checks::{CHECKS, NEVER_ACCEPTED};
use crate::editor::findings::open;
use crate::editor::hover::{Page, brief};
use crate::editor::parts::{Sort, names_of};
use crate::editor::total::total;
use crate::journal::{
    Course, Driving, MaterialId, MixId, NameSort, Named, Origin, Purpose, SampleKind, Status, WaterKind,
};
use crate::quantity::{Dimension, Exact, show};
use crate::syntax::{EntryWord, FieldWord};

/// The words that a field can be one of.
fn choices(kind: Option<EntryWord>, word: FieldWord) -> &'static [&'static str] {
    use FieldWord as F;
    match word {
        F::Form => &["liquid", "dry"],
        F::Units => &["US", "imperial", "metric"],
        F::Workers | F::Pantry | F::Enclosed | F::SoilContact | F::InBloom | F::HomeMade | F::Family => &["yes", "no"],
        F::Needs | F::Up | F::Down => &["sheet", "signs"],
        F::Status => Status::WORDS,
        F::Origin => Origin::WORDS,
        F::Purpose => Purpose::WORDS,
        F::Driving => Driving::WORDS,
        F::Course if kind == Some(EntryWord::Train) => Course::WORDS,
        F::Kind if kind == Some(EntryWord::Water) => WaterKind::WORDS,
        F::Kind => SampleKind::WORDS,
        _ => &[],
    }
}

/// Where in a value the cursor is.
struct Typed<'t> {
    /// The value up to the word being typed.
    done: &'t str,
    /// The words since the last comma.
    since_comma: Vec<&'t str>,
    /// The last word.
    last: &'t str,
}

impl Typed<'_> {
    fn behind_number(&self) -> bool {
        Exact::parse(self.last).is_ok()
    }

    fn first(&self) -> bool {
        self.since_comma.is_empty()
    }

    fn has_comma(&self) -> bool {
        self.done.contains(',')
    }
}

impl Spot<'_> {
    /// What can stand behind a field's word.
    pub(super) fn values(&self, word: FieldWord, rest: &str) -> Vec<Offer> {
        use FieldWord as F;
        let done = &rest[..rest.len().saturating_sub(self.typed.len())];
        let part = done.rsplit(',').next().unwrap_or_default();
        let since_comma: Vec<&str> = part.split_whitespace().collect();
        let last = since_comma.last().copied().unwrap_or_default();
        let typed = Typed { done, since_comma, last };
        let kind = self.cursor.entry.as_ref().and_then(|entry| entry.kind);
        if let Some(Sort::Used(sort)) = names_of(word) {
            return self.names(sort, done);
        }
        let choices = choices(kind, word);
        if !choices.is_empty() {
            let posting = matches!(word, F::Up | F::Down) && !typed.first();
            return if posting { plain(&["at"]) } else { plain(choices) };
        }
        match word {
            F::Mix => self.mix(&typed),
            F::Put | F::Measured | F::Load => self.portion(word, &typed),
            F::Order => {
                let mut offers = plain(&["dry", "liquid"]);
                offers.extend(self.classes());
                offers.extend(self.names(NameSort::Material, done));
                offers
            }
            F::Class | F::Never => self.classes().into_iter().chain(self.names(NameSort::Material, done)).collect(),
            F::Crop => self.crops(),
            F::Accept if typed.first() => self.codes(),
            F::Rulebook if matches!(typed.last, "from" | "until") => self.days(),
            F::Rulebook => self.rulebooks(),
            F::Timezone => chrono_tz::TZ_VARIANTS
                .iter()
                .map(|zone| Offer::new(zone.name(), CompletionItemKind::CONSTANT))
                .collect(),
            F::Ready | F::UseBy | F::Until | F::Picking => self.days(),
            F::Licence | F::History if matches!(typed.last, "until" | "from") => self.days(),
            F::Entered | F::Signed => self.signature(&typed),
            F::Weather | F::Reading | F::Within => self.weather(word, &typed),
            F::Start => match typed.since_comma.as_slice() {
                [] => plain(&["stage", "BBCH", "incidence", "severity"]).into_iter().chain(self.days()).collect(),
                ["stage", ..] => self.recall(F::Stage),
                _ => Vec::new(),
            },
            F::Leftover | F::Rinse if typed.last == "on" => self.names(NameSort::Block, ""),
            F::Source if kind == Some(EntryWord::Material) => Vec::new(),
            F::Stage | F::Reason | F::Target | F::Use | F::Setup | F::Task | F::Crew | F::Supplier | F::Method => {
                if done.is_empty() {
                    self.recall(word)
                } else {
                    Vec::new()
                }
            }
            F::Incidence | F::Severity if typed.first() => self.recall(word),
            _ => self.measure(word, &typed),
        }
    }

    /// Declared things of a sort, without those that stand on the line.
    pub(super) fn names(&self, sort: NameSort, done: &str) -> Vec<Offer> {
        let taken: Vec<String> = done.split([',', ' ', '\t']).map(str::to_lowercase).collect();
        let desk = self.cursor.desk;
        let open =
            desk.journal().declared(sort).into_iter().filter(|named| !taken.iter().any(|name| **name == *named.name));
        open.map(|named| self.name(sort, named)).collect()
    }

    fn name(&self, sort: NameSort, named: &Named) -> Offer {
        let kind = match sort {
            NameSort::Block => CompletionItemKind::CLASS,
            NameSort::Mix | NameSort::Program => CompletionItemKind::FUNCTION,
            NameSort::Person => CompletionItemKind::INTERFACE,
            NameSort::Rig | NameSort::Water => CompletionItemKind::STRUCT,
            _ => CompletionItemKind::VARIABLE,
        };
        let written = self.cursor.desk.sources().slice(named.span);
        let offer = Offer::new(written, kind).page(brief(self.cursor.desk, sort, named));
        offer.about(self.in_short(sort, named))
    }

    /// What tells a name from others: a block's crop and area, what a mix comes to, or else the title.
    fn in_short(&self, sort: NameSort, named: &Named) -> String {
        let journal = self.cursor.desk.journal();
        let own = match sort {
            NameSort::Block => journal.blocks.iter().find(|block| block.named.span == named.span).map(|block| {
                let crop = block.crop.as_ref().map(|crop| crop.value.to_string());
                let area = block.areas.last().map(|area| show(area.value));
                crop.into_iter().chain(area).collect::<Vec<_>>().join(", ")
            }),
            NameSort::Mix => {
                let place = journal.mixes.iter().position(|mix| mix.named.span == named.span);
                place.and_then(|place| total(journal, MixId::at(place))).map(|total| total.total)
            }
            _ => None,
        };
        let title = || named.title.as_deref().unwrap_or(sort.word()).to_string();
        own.filter(|words| !words.is_empty()).unwrap_or_else(title)
    }

    fn classes(&self) -> Vec<Offer> {
        let materials = &self.cursor.desk.journal().materials;
        let mut classes: Vec<&str> = materials.iter().flat_map(|one| &one.classes).map(|class| &*class.value).collect();
        classes.sort_unstable();
        classes.dedup();
        classes.into_iter().map(|class| Offer::new(class, CompletionItemKind::ENUM).about("class")).collect()
    }

    fn crops(&self) -> Vec<Offer> {
        let blocks = &self.cursor.desk.journal().blocks;
        let mut crops: Vec<&str> =
            blocks.iter().filter_map(|block| block.crop.as_ref()).map(|crop| &*crop.value).collect();
        crops.sort_unstable();
        crops.dedup();
        crops.into_iter().map(|crop| Offer::new(crop, CompletionItemKind::ENUM_MEMBER).about("crop")).collect()
    }

    fn rulebooks(&self) -> Vec<Offer> {
        let season = self.cursor.desk.season();
        let all = season.shelf.all();
        all.into_iter().map(|(book, _)| Offer::new(&book.name, CompletionItemKind::MODULE).about(&book.title)).collect()
    }

    fn mix(&self, typed: &Typed<'_>) -> Vec<Offer> {
        match (typed.has_comma(), typed.behind_number()) {
            (false, _) => self.names(NameSort::Mix, typed.done),
            (true, true) => self.units(&[Dimension::Volume], None),
            (true, false) if typed.first() => plain(&["into"]),
            (true, false) => Vec::new(),
        }
    }

    /// A material and how much of it; of a load its volume first.
    fn portion(&self, word: FieldWord, typed: &Typed<'_>) -> Vec<Offer> {
        if word == FieldWord::Load && !typed.has_comma() {
            return if typed.behind_number() { self.units(&[Dimension::Volume], None) } else { Vec::new() };
        }
        let material = typed.since_comma.first().and_then(|name| self.material(name));
        match typed.since_comma.as_slice() {
            [] if typed.has_comma() && word != FieldWord::Load => plain(&["lot"]),
            [] => self.names(NameSort::Material, ""),
            ["lot", ..] => self.lots(typed),
            _ if typed.behind_number() && typed.since_comma.contains(&"per") => self.units(counted_by(word), None),
            _ if typed.behind_number() => self.units(dimensions(word), material),
            [.., "per"] => self.units(counted_by(word), None),
            [_, _, ..] if word == FieldWord::Put => plain(&["per"]),
            _ => Vec::new(),
        }
    }

    /// The lots of the material on the line that were received or counted, the latest first.
    fn lots(&self, typed: &Typed<'_>) -> Vec<Offer> {
        let name = typed.done.split([' ', ',']).next().unwrap_or_default().to_lowercase();
        let journal = self.cursor.desk.journal();
        let of = |id: Option<MaterialId>| id.is_some_and(|id| *journal.material(id).named.name == *name);
        let received = journal.receipts.iter().map(|one| (one.material.id, one.lot, one.at.day, "received"));
        let counted = journal.counts.iter().map(|one| (one.material.id, one.lot, one.at.day, "counted"));
        let mut lots: Vec<(chrono::NaiveDate, &str, &str)> = received
            .chain(counted)
            .filter(|(id, ..)| of(*id))
            .filter_map(|(_, lot, day, how)| Some((day, self.cursor.desk.sources().slice(lot?).trim(), how)))
            .collect();
        lots.sort_by_key(|&(day, lot, _)| (std::cmp::Reverse(day), lot));
        let mut told: Vec<&str> = Vec::new();
        let fresh = lots.into_iter().filter(|(_, lot, _)| {
            let known = told.contains(lot);
            told.push(lot);
            !known
        });
        fresh.map(|(day, lot, how)| Offer::new(lot, CompletionItemKind::VALUE).about(format!("{how} {day}"))).collect()
    }

    /// Findings by their names: those of this entry first.
    fn codes(&self) -> Vec<Offer> {
        let entry = self.cursor.entry.as_ref().map(|entry| entry.span);
        let here = open(self.cursor.desk)
            .filter(|finding| finding.code != NEVER_ACCEPTED)
            .filter(|finding| entry.is_some_and(|entry| entry.covers(finding.span())));
        let mut codes: Vec<&str> = here.map(|finding| finding.code).collect();
        codes.dedup();
        let found = codes.len();
        codes.extend(
            CHECKS
                .iter()
                .map(|check| check.code)
                .filter(|code| *code != NEVER_ACCEPTED && !codes[..found].contains(code))
                .collect::<Vec<_>>(),
        );
        let offer = |(place, code): (usize, &str)| {
            let check = crate::checks::check_named(code)?;
            let about = if place < found { "found here" } else { check.summary };
            let page = Page::default().text(check.summary);
            Some(Offer::new(code, CompletionItemKind::REFERENCE).types(format!("{code} ")).about(about).page(page))
        };
        codes.into_iter().enumerate().filter_map(offer).collect()
    }

    fn signature(&self, typed: &Typed<'_>) -> Vec<Offer> {
        match typed.last {
            "by" => self.names(NameSort::Person, ""),
            "on" => self.days(),
            "" if typed.has_comma() => self.names(NameSort::Person, typed.done),
            "" => plain(&["by"]).into_iter().chain(self.days()).collect(),
            _ => plain(&["by", "on"]),
        }
    }

    fn weather(&self, word: FieldWord, typed: &Typed<'_>) -> Vec<Offer> {
        let about = typed.since_comma.first().copied().unwrap_or_default().to_lowercase();
        let dimension = match about.as_str() {
            "wind" => Dimension::Speed,
            "humidity" => Dimension::Share,
            "rain" => Dimension::Length,
            _ => Dimension::Temperature,
        };
        if typed.first() {
            let mut words = vec!["wind", "humidity", "rain", "clear", "calm"];
            if word == FieldWord::Within {
                words = vec!["temperature", "wind", "humidity"];
            }
            return plain(&words);
        }
        if typed.behind_number() {
            return self.units(&[dimension], None);
        }
        let unit = crate::quantity::Unit::named(typed.last).is_some();
        if about == "wind" && unit { plain(&["N", "NE", "E", "SE", "S", "SW", "W", "NW"]) } else { Vec::new() }
    }

    /// A quantity: its limits, its unit, what it is counted by, the crops it is for.
    fn measure(&self, word: FieldWord, typed: &Typed<'_>) -> Vec<Offer> {
        use FieldWord as F;
        if dimensions(word).is_empty() {
            return Vec::new();
        }
        if typed.since_comma.contains(&"per") && (typed.last == "per" || typed.behind_number()) {
            return self.units(counted_by(word), None);
        }
        if typed.behind_number() {
            return self.units(dimensions(word), self.own_material());
        }
        match typed.since_comma.as_slice() {
            [] if matches!(word, F::Reentry | F::Preharvest | F::Spacing) => plain(&["none stated"]),
            [] if matches!(word, F::Rate | F::Total | F::Season) => plain(&["at most", "at least"]),
            [.., "on"] => self.crops(),
            [.., "from"] => self.days(),
            [] => Vec::new(),
            _ => {
                let mut words = Vec::new();
                if !counted_by(word).is_empty() && !typed.since_comma.contains(&"per") {
                    words.push("per");
                }
                if matches!(
                    word,
                    F::Rate | F::Published | F::Preharvest | F::Reentry | F::Spacing | F::Season | F::Total
                ) {
                    words.push("on");
                }
                if matches!(word, F::Leftover | F::Rinse) {
                    words.push("on");
                }
                if matches!(word, F::Area | F::Hardness) {
                    words.push("from");
                }
                plain(&words)
            }
        }
    }
}
