//! Blocks, understood.

use super::lower::Lowering;
use super::read_standing::{measure, text};
use super::trouble::Trouble;
use super::*;
use crate::quantity::{Dimension, Per, Rate};
use crate::syntax::{Entry, EntryWord, Field, FieldWord, LayoutKind, Measure, Value};

const AREA: &[Dimension] = &[Dimension::Area];
const LENGTH: &[Dimension] = &[Dimension::Length];

impl Lowering<'_> {
    pub(super) fn block(&mut self, entry: &Entry) -> Block {
        let (fields, notes) = self.survey(entry, EntryWord::Block);
        self.head_has_only(entry, EntryWord::Block, 1, false, false, false);
        let mut block = Block {
            named: self.named(entry, notes),
            crop: None,
            cultivar: None,
            areas: Vec::new(),
            layout: None,
            parcel: None,
            location: None,
            certified: None,
            eppo: None,
            workers: None,
            site: None,
            survey: None,
            map: None,
            enclosed: None,
            soil_contact: None,
            picking: Vec::new(),
            canopies: Vec::new(),
            dilutes: Vec::new(),
        };
        for field in fields {
            match field.word {
                FieldWord::Crop => block.crop = self.one_name(field),
                FieldWord::Cultivar => block.cultivar = text(field),
                FieldWord::Area => block.areas.extend(self.dated_amount(field, AREA)),
                FieldWord::Rows => block.layout = self.layout(field),
                FieldWord::Parcel => block.parcel = text(field),
                FieldWord::Location => block.location = text(field),
                FieldWord::Certified => block.certified = text(field),
                FieldWord::Eppo => block.eppo = text(field),
                FieldWord::Workers => block.workers = self.yes_or_no(field),
                FieldWord::Site => block.site = text(field),
                FieldWord::Survey => block.survey = text(field),
                FieldWord::Map => block.map = text(field),
                FieldWord::Enclosed => block.enclosed = self.yes_or_no(field),
                FieldWord::SoilContact => block.soil_contact = self.yes_or_no(field),
                FieldWord::Picking => block.picking.extend(self.picking(field)),
                FieldWord::Canopy => block.canopies.extend(self.canopy(field)),
                FieldWord::Dilute => block.dilutes.extend(self.dilute(field)),
                _ => {}
            }
        }
        block
    }

    fn layout(&mut self, field: &Field) -> Option<Layout> {
        let Value::Layout { rows, items } = &field.value else { return None };
        let rows = self.runs(field.word, rows);
        if rows.is_empty() {
            return None;
        }
        let mut layout = Layout { rows, spacing: None, trees: None, length: None, span: field.span };
        for item in items {
            let amount = self.amount(field.word, &item.measure, LENGTH);
            match item.kind {
                LayoutKind::RowsApart => layout.spacing = amount,
                LayoutKind::TreesApart => layout.trees = amount,
                LayoutKind::RowLength => layout.length = amount,
            }
        }
        Some(layout)
    }

    /// When picking is expected; nothing where it would end before it begins.
    fn picking(&mut self, field: &Field) -> Option<Picking> {
        let Value::Days { first, last } = field.value else { return None };
        let begins = self.date(first)?;
        let ends = match last {
            Some(last) => Some(self.date(last)?),
            None => None,
        };
        if let (Some(ends), Some(at)) = (ends, last)
            && ends < begins
        {
            self.trouble(Trouble::Impossible { at, field: field.word, why: "the last day comes before the first" });
            return None;
        }
        Some(Picking { first: begins, last: ends, span: field.span })
    }

    fn canopy(&mut self, field: &Field) -> Option<Dated<Canopy>> {
        let Value::Canopy { height, width, from } = &field.value else { return None };
        let (height, width) = (self.amount(field.word, height, LENGTH), self.amount(field.word, width, LENGTH));
        let from = match from {
            Some(from) => Some(self.date(*from)?),
            None => None,
        };
        Some(Dated { value: Canopy { height: height?, width: width? }, from, span: field.span })
    }

    /// A volume per canopy volume or per area.
    fn dilute(&mut self, field: &Field) -> Option<Dated<Rate>> {
        const BASIS: &[Dimension] = &[Dimension::Volume, Dimension::Area];
        let written = measure(field)?;
        let from = self.from(written)?;
        let plain = Measure { from: None, ..written.clone() };
        let (amount, basis) = self.amount_per(field.word, &plain, &[Dimension::Volume], BASIS)?;
        if amount.value.is_zero() {
            self.trouble(Trouble::Impossible { at: written.span, field: field.word, why: "it is nothing" });
            return None;
        }
        // The reader of amounts has refused every basis that is none, so nothing is lost in silence.
        let per = Per::counted(basis).ok()?;
        Some(Dated { value: Rate::Of { amount, per }, from, span: written.span })
    }
}
