//! Which documents there are, and how each is printed. To add one: its view in `documents`, its templates, and its line
//! in [`DOCUMENTS`].

use serde::Serialize;

use super::calendar::ical;
use super::tables::{csv, json};
use super::{Format, TemplateTrouble, Templates};
use crate::checks;
use crate::documents::{
    Book, batch_labels, binder, calendar, calibration_cards, inputs, law_records, monthly_use, plan_view,
    posting_sheets, records, sign_schedule, stock_sheet, summary, trail,
};
use crate::history::{History, Silence};
use crate::plan::{Desk, Plan, Request, plan};
use crate::season::Season;

/// A document that can be asked for by name.
#[derive(Debug)]
pub struct DocumentKind {
    /// The word it is asked for by.
    pub word: &'static str,
    /// What it is, in a line.
    pub about: &'static str,
    /// Prints it: nothing where the journal has nothing for it, several sheets where there is one for each of something.
    pub print: fn(&Book<'_>, &Press<'_>) -> Result<Vec<Sheet>, TemplateTrouble>,
}

/// Every document, in the order of the index.
pub static DOCUMENTS: &[DocumentKind] = &[
    DocumentKind {
        word: "season",
        about: "The season summary",
        print: |book, press| Ok(vec![press.sheet("season", "Season summary", "season", &summary(book))?]),
    },
    DocumentKind {
        word: "records",
        about: "A record of every application",
        print: |book, press| Ok(vec![press.sheet("records", "Application records", "records", &records(book))?]),
    },
    DocumentKind {
        word: "plan",
        about: "The rounds to come: what is due, what stands in the way, what is to be bought",
        print: plan_sheet,
    },
    DocumentKind {
        word: "postings",
        about: "Sheets to hang up where people pass, in English and Spanish",
        print: |book, press| {
            let sheets = posting_sheets(book);
            sheets.iter().map(|view| press.sheet("postings", "Posting sheets", "postings", view)).collect()
        },
    },
    DocumentKind {
        word: "signs",
        about: "When warning signs go up and come down",
        print: |book, press| {
            let schedule = sign_schedule(book);
            schedule.iter().map(|view| press.sheet("signs", "Warning signs", "signs", view)).collect()
        },
    },
    DocumentKind {
        word: "calendar",
        about: "What is ahead by weeks, also as a file for calendar programs",
        print: |book, press| {
            let view = calendar(book, planned(book)?.as_ref(), &[]);
            Ok(vec![press.sheet("calendar", "Calendar", "calendar", &view)?.with("ics", ical(&view, None))])
        },
    },
    DocumentKind {
        word: "calibration",
        about: "A card for each sprayer: what it puts out and how that was measured",
        print: |book, press| {
            let cards = calibration_cards(book);
            cards.iter().map(|view| press.sheet("calibration", "Calibration cards", "calibration", view)).collect()
        },
    },
    DocumentKind {
        word: "law-records",
        about: "The records that each adopted rulebook asks for, also as CSV and JSON",
        print: law_record_sheets,
    },
    DocumentKind { word: "monthly-use", about: "What was used in each month, also as CSV", print: monthly_use_sheet },
    DocumentKind { word: "inputs", about: "The input list for a certifier, also as CSV", print: input_sheet },
    DocumentKind {
        word: "binder",
        about: "The audit binder: traces, balances, corrections, known gaps",
        print: |book, press| Ok(vec![press.sheet("binder", "Audit binder", "binder", &binder(book))?]),
    },
    DocumentKind {
        word: "stock",
        about: "The stock sheet: what is on the shelf, lot by lot",
        print: |book, press| {
            let view = stock_sheet(book);
            Ok(if view.materials.is_empty() {
                Vec::new()
            } else {
                vec![press.sheet("stock", "Stock sheet", "stock", &view)?]
            })
        },
    },
    DocumentKind {
        word: "batch-labels",
        about: "Labels for home-made batches, to cut out and stick on",
        print: |book, press| {
            let labels = batch_labels(book);
            let one = |view| press.sheet("batch-labels", "Batch labels", "batch-labels", view);
            labels.iter().map(one).collect()
        },
    },
    DocumentKind {
        word: "trail",
        about: "Who entered each record, when, and what was changed since",
        print: |book, press| {
            // Where the farm or whoever asks leaves git out, there is no trail.
            let left_out = |history: &History| matches!(history.silence(), Some(Silence::LeftOut | Silence::NotAsked));
            let wanted = book.season.history.is_some_and(|history| !left_out(history));
            Ok(if wanted {
                vec![press.sheet("trail", "Trail of the records", "trail", &trail(book))?]
            } else {
                Vec::new()
            })
        },
    },
];

/// One for each rulebook.
fn law_record_sheets(book: &Book<'_>, press: &Press<'_>) -> Result<Vec<Sheet>, TemplateTrouble> {
    let one = |view: crate::documents::LawRecords| {
        let sheet = press.sheet(&view.file, format!("Records: {}", view.rulebook.title), "law-records", &view)?;
        let (rows, nested) = (csv(&view.file, &view.table)?, json(&view.file, &view.head, &view.table)?);
        Ok(sheet.with("csv", rows).with("json", nested))
    };
    law_records(book).into_iter().map(one).collect()
}

fn input_sheet(book: &Book<'_>, press: &Press<'_>) -> Result<Vec<Sheet>, TemplateTrouble> {
    let view = inputs(book);
    let sheet = press.sheet("inputs", "Input list", "inputs", &view)?;
    Ok(vec![sheet.with("csv", csv("inputs", &view.table)?)])
}

/// Nothing where the journal has no programs.
fn plan_sheet(book: &Book<'_>, press: &Press<'_>) -> Result<Vec<Sheet>, TemplateTrouble> {
    let Some(request) = request(book) else { return Ok(Vec::new()) };
    // What pages after that day hold was not known on it.
    let desk = Desk::up_to(book.season.sources, &book.files, request.today).map_err(|_| too_large())?;
    let journal = desk.compile();
    let season = Season::new(&journal, desk.sources(), Some(request.today)).with_shelf(book.season.shelf);
    let findings = checks::run(&season);
    let known = Book::new(&season, &findings, desk.files(), book.scope);
    let plan = plan(&season, desk.files(), &request).map_err(|_| too_large())?;
    let view = plan_view(&known, &plan, None).with_digest(book.digest.clone());
    Ok(vec![press.sheet("plan", "Plan", "plan", &view)?])
}

/// What is left of the season; nothing where the journal has no programs.
fn planned(book: &Book<'_>) -> Result<Option<Plan>, TemplateTrouble> {
    let Some(request) = request(book) else { return Ok(None) };
    plan(book.season, &book.files, &request).map(Some).map_err(|_| too_large())
}

/// What of the season is to be planned.
fn request(book: &Book<'_>) -> Option<Request> {
    let today = book.season.as_of.or_else(|| book.journal().days.iter().map(|day| day.at.day).max());
    let today = today.filter(|_| !book.journal().programs.is_empty())?;
    Some(Request { until: book.scope.to, blocks: book.scope.blocks.clone(), ..Request::all(today) })
}

fn too_large() -> TemplateTrouble {
    TemplateTrouble {
        template: "plan".to_string(),
        line: None,
        asked: None,
        why: "the journals and what is planned are larger together than 4 GiB".to_string(),
    }
}

/// Nothing where nothing was sprayed.
fn monthly_use_sheet(book: &Book<'_>, press: &Press<'_>) -> Result<Vec<Sheet>, TemplateTrouble> {
    let Some(view) = monthly_use(book) else { return Ok(Vec::new()) };
    let sheet = press.sheet("monthly-use", "Monthly use", "monthly-use", &view)?;
    let rows = csv("monthly-use", &view.table)?;
    Ok(vec![sheet.with("csv", rows)])
}

/// Templates, and the forms that are asked for.
#[derive(Clone, Copy, Debug)]
pub struct Press<'t> {
    /// The templates.
    pub templates: &'t Templates,
    /// The forms, HTML first.
    pub forms: &'t [Format],
}

/// A document, ready to be written.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// The name of its files, without an ending.
    pub name: String,
    /// Its title, for the index.
    pub title: String,
    /// Each form of it: the ending of its file, and the text.
    pub forms: Vec<(&'static str, String)>,
}

impl Press<'_> {
    /// Prints a view by the templates of a name.
    ///
    /// # Errors
    /// A [`TemplateTrouble`] where a template asks for what is not there.
    pub fn sheet(
        &self,
        name: impl Into<String>,
        title: impl Into<String>,
        template: &str,
        view: &impl Serialize,
    ) -> Result<Sheet, TemplateTrouble> {
        let fill = |form: &Format| Ok((form.ending(), self.templates.fill(template, view, *form)?));
        let forms = self.forms.iter().map(fill).collect::<Result<_, TemplateTrouble>>()?;
        Ok(Sheet { name: name.into(), title: title.into(), forms })
    }
}

impl Sheet {
    /// With one more form, for other programs to read.
    #[must_use]
    pub fn with(mut self, ending: &'static str, text: String) -> Self {
        self.forms.push((ending, text));
        self
    }
}
