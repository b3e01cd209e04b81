//! The pages of one reading. A document is printed when it is first asked for.

use std::rc::Rc;

use rustc_hash::FxHashMap;
use serde::Serialize;

use super::address::{Page, Part, page};
use super::frame::{Link, framed};
use super::written::Written;
use super::{Journals, Reading, findings, meaning, mixing, overview, text};
use crate::checks;
use crate::documents::{Book, Scope, clearance_board};
use crate::finding::{Finding, summary_counts};
use crate::render::{DOCUMENTS, DocumentKind, Format, Press, Sheet, TemplateTrouble, Templates};
use crate::season::Season;

/// What goes to the browser.
#[derive(Debug)]
pub(super) struct Shown {
    pub(super) status: u16,
    pub(super) kind: &'static str,
    pub(super) text: String,
}

impl Shown {
    pub(super) fn new(status: u16, kind: &'static str, text: impl Into<String>) -> Self {
        Self { status, kind, text: text.into() }
    }
}

/// A farm of a reading.
pub(super) struct FarmPages<'r> {
    /// The part of its addresses that stands for it.
    pub(super) name: &'r str,
    /// Its name for people.
    pub(super) title: String,
    pub(super) season: Season<'r>,
    pub(super) findings: Vec<Finding>,
    pub(super) written: Written,
}

impl FarmPages<'_> {
    /// How many findings of each kind, in words.
    pub(super) fn counts(&self) -> String {
        summary_counts(&self.findings).to_string()
    }

    /// The address of one of its pages.
    pub(super) fn address(&self, page: &str) -> String {
        format!("/farm/{}/{page}", self.name)
    }
}

/// A page before the links are around it.
pub(super) struct Leaf {
    status: u16,
    html: String,
    /// The farm it is about.
    pub(super) farm: Option<usize>,
    /// The page of that farm that it is, or belongs to.
    pub(super) of: &'static str,
    /// The same for other programs.
    pub(super) also: Vec<Link>,
}

/// What an address leads to.
enum Made {
    Leaf(Leaf),
    File(&'static str, String),
}

/// The pages of a reading.
pub(super) struct Edition<'r> {
    pub(super) reading: &'r Reading,
    journals: &'r dyn Journals,
    templates: &'r Templates,
    pub(super) farms: Vec<FarmPages<'r>>,
    sheets: FxHashMap<(usize, &'static str), Rc<Vec<Sheet>>>,
}

impl<'r> Edition<'r> {
    pub(super) fn new(reading: &'r Reading, journals: &'r dyn Journals, templates: &'r Templates) -> Self {
        let sources = &reading.loaded.sources;
        let farms =
            reading.loaded.farms.iter().zip(&reading.journals).zip(reading.histories.iter().zip(&reading.names));
        let farms = farms.map(|((files, journal), (history, name))| {
            let season = Season::new(journal, sources, Some(journals.today(journal)))
                .with_shelf(&files.shelf)
                .with_history(history);
            let findings = checks::run(&season);
            let title = journal.farm.as_ref().map_or("Journal without a farm", |farm| farm.named.shown()).to_string();
            let written = Written::new(sources, files, &findings);
            FarmPages { name, title, season, findings, written }
        });
        Self { reading, journals, templates, farms: farms.collect(), sheets: FxHashMap::default() }
    }

    /// The minute that the clock of the first farm shows.
    pub(super) fn minute(&self) -> i64 {
        self.farms.first().map_or(0, |farm| self.journals.now(&farm.season).seconds.div_euclid(60))
    }

    /// Whether the day has ended for which it was made.
    pub(super) fn is_of_another_day(&self) -> bool {
        self.farms.iter().any(|farm| farm.season.as_of != Some(self.journals.today(farm.season.journal)))
    }

    /// The page of a path, with word of what keeps newer files from being read.
    pub(super) fn page(&mut self, path: &str, trouble: Option<&str>) -> Shown {
        let made = match page(path) {
            Some(page) => self.make(page),
            None => Ok(None),
        };
        let made = made.and_then(|made| match made {
            Some(made) => Ok(made),
            None => self
                .message(404, "There is no such page", "What the journal has pages for stands above.")
                .map(Made::Leaf),
        });
        let framed = made.and_then(|made| {
            Ok(match made {
                Made::File(kind, text) => Shown::new(200, kind, text),
                Made::Leaf(leaf) => {
                    let html = framed(self, self.templates, &leaf, &leaf.html, trouble)?;
                    Shown::new(leaf.status, "text/html; charset=utf-8", html)
                }
            })
        });
        framed.unwrap_or_else(|trouble| {
            Shown::new(500, "text/plain; charset=utf-8", format!("This page could not be made: {trouble}\n"))
        })
    }

    fn make(&mut self, page: Page<'_>) -> Result<Option<Made>, TemplateTrouble> {
        Ok(match page {
            Page::Start => Some(self.leaf(None, "", "live-start", &overview::start(&self.farms))?),
            Page::Meanings => Some(self.leaf(None, "", "live-meanings", &meaning::all())?),
            Page::Meaning(code) => match meaning::one(code) {
                Some(view) => Some(self.leaf(None, "", "live-meaning", &view)?),
                None => None,
            },
            Page::Farm(name, part) => match self.farms.iter().position(|farm| farm.name == name) {
                Some(at) => self.part(at, part)?,
                None => None,
            },
        })
    }

    fn part(&mut self, at: usize, part: Part<'_>) -> Result<Option<Made>, TemplateTrouble> {
        let farm = &self.farms[at];
        let sources = &self.reading.loaded.sources;
        Ok(match part {
            Part::Findings(which, from) => {
                let view = findings::page(farm, sources, which, from);
                Some(self.leaf(Some(at), "findings", "live-findings", &view)?)
            }
            Part::Journal => Some(self.leaf(Some(at), "journal", "live-journal", &text::files(farm, sources))?),
            Part::Text(file, from) => match text::page(farm, sources, file, from) {
                Some(view) => Some(self.leaf(Some(at), "journal", "live-text", &view)?),
                None => None,
            },
            Part::Board => Some(self.leaf(Some(at), "clearance", "clearance", &{
                let scope = Scope::default();
                let book = self.book(at, &scope);
                clearance_board(&book, self.journals.now(&farm.season))
            })?),
            Part::Mixing => Some(self.written_out(at, mixing::list(farm, self.templates)?)),
            Part::MixSheet(name) => mixing::sheet(self.reading, at, farm, self.journals, self.templates, name)?
                .map(|html| self.written_out(at, html)),
            Part::Pages => Some(self.leaf(Some(at), "pages", "live-pages", &overview::pages(farm))?),
            Part::Document(word) => match DOCUMENTS.iter().find(|kind| kind.word == word) {
                Some(kind) => Some(Made::Leaf(self.document(at, kind)?)),
                None => None,
            },
            Part::Sheet(word, name) => match DOCUMENTS.iter().find(|kind| kind.word == word) {
                Some(kind) => self.sheet(at, kind, name)?,
                None => None,
            },
        })
    }

    fn leaf(
        &self,
        farm: Option<usize>,
        of: &'static str,
        template: &str,
        view: &impl Serialize,
    ) -> Result<Made, TemplateTrouble> {
        let html = self.templates.fill(template, view, Format::Html)?;
        Ok(Made::Leaf(Leaf { status: 200, html, farm, of, also: Vec::new() }))
    }

    fn written_out(&self, at: usize, html: String) -> Made {
        Made::Leaf(Leaf { status: 200, html, farm: Some(at), of: "mix-sheets", also: Vec::new() })
    }

    fn message(&self, status: u16, title: &str, words: &str) -> Result<Leaf, TemplateTrouble> {
        let html = self.templates.fill("live-message", &overview::message(title, words), Format::Html)?;
        Ok(Leaf { status, html, farm: None, of: "", also: Vec::new() })
    }

    fn book<'b>(&'b self, at: usize, scope: &'b Scope) -> Book<'b> {
        let farm = &self.farms[at];
        Book::new(&farm.season, &farm.findings, &self.reading.loaded.farms[at].files, scope)
    }

    /// A kind of document: itself, word that there is none, or links to each where there are several.
    fn document(&mut self, at: usize, kind: &'static DocumentKind) -> Result<Leaf, TemplateTrouble> {
        let sheets = self.sheets(at, kind)?;
        let leaf = match &sheets[..] {
            [] => self.message(200, &overview::title(kind), "The journal has nothing for this page yet.")?,
            [one] => self.of_sheet(at, kind, one),
            several => {
                let view = overview::several(&self.farms[at], kind, several);
                let html = self.templates.fill("live-pages", &view, Format::Html)?;
                Leaf { status: 200, html, farm: None, of: "", also: Vec::new() }
            }
        };
        Ok(Leaf { farm: Some(at), of: kind.word, ..leaf })
    }

    /// A document by the name of its file: as a page, or in a form for other programs.
    fn sheet(&mut self, at: usize, kind: &'static DocumentKind, name: &str) -> Result<Option<Made>, TemplateTrouble> {
        let sheets = self.sheets(at, kind)?;
        let (name, ending) = name.rsplit_once('.').unwrap_or((name, ""));
        let Some(sheet) = sheets.iter().find(|sheet| sheet.name == name) else { return Ok(None) };
        if ending.is_empty() {
            return Ok(Some(Made::Leaf(self.of_sheet(at, kind, sheet))));
        }
        let form = sheet.forms.iter().find(|(form, _)| *form == ending && ending != "html");
        Ok(form.map(|(ending, text)| {
            let kind = match *ending {
                "csv" => "text/csv; charset=utf-8",
                "json" => "application/json",
                "ics" => "text/calendar; charset=utf-8",
                _ => "text/plain; charset=utf-8",
            };
            Made::File(kind, text.clone())
        }))
    }

    fn of_sheet(&self, at: usize, kind: &'static DocumentKind, sheet: &Sheet) -> Leaf {
        let form = |wanted: &str| sheet.forms.iter().find(|(ending, _)| *ending == wanted);
        let html = form("html").map(|(_, text)| text.clone()).unwrap_or_default();
        let others = sheet.forms.iter().map(|(ending, _)| *ending).filter(|ending| *ending != "html");
        let also = others.map(|ending| Link {
            title: format!("as {}", ending.to_uppercase()),
            address: self.farms[at].address(&format!("{}/{}.{ending}", kind.word, sheet.name)),
            here: false,
        });
        Leaf { status: 200, html, farm: Some(at), of: kind.word, also: also.collect() }
    }

    fn sheets(&mut self, at: usize, kind: &'static DocumentKind) -> Result<Rc<Vec<Sheet>>, TemplateTrouble> {
        if let Some(known) = self.sheets.get(&(at, kind.word)) {
            return Ok(Rc::clone(known));
        }
        let scope = Scope::default();
        let press = Press { templates: self.templates, forms: &[Format::Html] };
        let made = Rc::new((kind.print)(&self.book(at, &scope), &press)?);
        self.sheets.insert((at, kind.word), Rc::clone(&made));
        Ok(made)
    }
}
