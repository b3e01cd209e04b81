//! What was used in each month: the figures that a monthly report asks for, and all others.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike, Months, NaiveDate};
use serde::Serialize;

use super::assumed;
use super::book::Book;
use super::head::Head;
use super::law::{RuleView, law_cautions, rulebooks};
use super::monthly_rows::monthly_table;
use super::record_parts::sprayer;
use super::shares::shares;
use super::table::Table;
use super::totals::{Sum, take};
use super::words::{count, day};
use crate::duty::Duties;
use crate::journal::{BlockId, MaterialId, in_force};
use crate::quantity::{Amount, Exact};
use crate::rulebook::{Demand, Rulebook};
use crate::season::{SprayFacts, add};
use crate::syntax::EntryWord;

/// What was used in each month.
#[derive(Clone, Debug, Serialize)]
pub struct MonthlyUse {
    /// Top and foot.
    pub head: Head,
    /// Operator identification or permit number.
    pub permit: Option<String>,
    /// The rules that ask for a monthly report.
    pub rules: Vec<RuleView>,
    /// The months from the first spray to the last.
    pub months: Vec<Month>,
    /// The same for machines.
    #[serde(skip)]
    pub table: Table,
    /// What was taken as so.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// A month, or several in a row in which nothing was used.
#[derive(Clone, Debug, Serialize)]
pub struct Month {
    /// `May 2026`, or `June to August 2026`.
    pub title: String,
    /// By when its report is handed in, and by which rule; none where nothing of it has to be reported.
    pub due: Vec<String>,
    /// What a rule asks to be reported.
    pub reported: Vec<ProductUse>,
    /// What else was used.
    pub others: Vec<ProductUse>,
    /// Whether nothing at all was used.
    pub nothing: bool,
}

/// A product in a month.
#[derive(Clone, Debug, Serialize)]
pub struct ProductUse {
    /// The product.
    pub product: String,
    /// Its registration number.
    pub registration: Option<String>,
    /// In how many applications it was.
    pub applications: usize,
    /// How much in all, in both systems; absent where nothing could be added up.
    pub total: Option<String>,
    /// Why the total is less than what was used.
    pub short: Option<String>,
    /// Where it went.
    pub blocks: Vec<BlockUse>,
}

/// A product on a block in a month.
#[derive(Clone, Debug, Serialize)]
pub struct BlockUse {
    /// The block.
    pub block: String,
    /// Site identification number.
    pub site: Option<String>,
    /// County, section, township and range.
    pub survey: Option<String>,
    /// The crop.
    pub crop: Option<String>,
    /// The area planted on the last day of use in the month.
    pub planted: Option<String>,
    /// The area treated, all applications of the month together.
    pub treated: Option<String>,
    /// How many applications.
    pub applications: usize,
    /// How it was applied.
    pub methods: Option<String>,
    /// How much.
    pub total: Option<String>,
}

/// The first day of a month, whether a rule asks for a report of the use, and the product.
pub(super) type UseKey = (NaiveDate, bool, MaterialId);

/// A product in a month, added up.
#[derive(Clone, Debug, Default)]
pub(super) struct Use {
    /// All blocks together.
    pub whole: Sum,
    /// By block.
    pub blocks: BTreeMap<BlockId, BlockSum>,
}

/// A product on a block in a month, added up.
#[derive(Clone, Debug, Default)]
pub(super) struct BlockSum {
    /// How much.
    pub sum: Sum,
    /// The area treated, all applications together.
    pub treated: Option<Amount>,
    /// Whether the area of some application is not known.
    pub treated_missing: bool,
    /// The last day.
    pub last: NaiveDate,
    /// How it was applied.
    pub methods: BTreeSet<String>,
    /// Whether that of some application is not known.
    pub method_missing: bool,
}

/// The monthly use of a book; nothing where nothing was sprayed.
pub fn monthly_use(book: &Book<'_>) -> Option<MonthlyUse> {
    let duties = Duties::new(book.season);
    let (uses, due) = add_up(book, &duties);
    let sprayed: BTreeSet<NaiveDate> =
        book.sprays().map(|facts| month_of(facts.spray(book.journal()).at.day)).collect();
    if sprayed.is_empty() {
        return None;
    }
    let asks = |demand: &Demand| matches!(demand, Demand::MonthlyReport { .. }).then_some(());
    let reporting =
        rulebooks(&duties).into_iter().filter(|book| book.rules.iter().any(|rule| asks(&rule.demand).is_some()));
    let reporting: Vec<&Rulebook> = reporting.collect();
    let mut rules: Vec<RuleView> = duties.of_kind(asks).map(|(asked, ())| RuleView::new(asked.rule)).collect();
    rules.dedup();
    let mut assumed = assumed::of_records(book);
    assumed.push(
        "A spray counts in the month of its page. The area treated counts every application, so it can be more than the area planted."
            .to_string(),
    );
    if book.season.lost(EntryWord::Spray) {
        assumed.push(
            "Something in the journal could not be read and may be a spray: what is said of a month may be short of it."
                .to_string(),
        );
    }
    Some(MonthlyUse {
        head: Head::new(book),
        permit: book.some_words(book.journal().farm.as_ref().and_then(|farm| farm.permit)),
        rules,
        months: months(book, &uses, &due, &sprayed),
        table: monthly_table(book, &uses, &due),
        assumed,
        cautions: law_cautions(book, reporting.into_iter()),
    })
}

/// The day by which the report of each month is handed in, with the rule.
pub(super) type DueDays = BTreeMap<NaiveDate, BTreeMap<NaiveDate, String>>;

/// Adds up every use by month, duty to report, and product; and finds by when each month is reported.
fn add_up(book: &Book<'_>, duties: &Duties<'_>) -> (BTreeMap<UseKey, Use>, DueDays) {
    let report = |demand: &Demand| match demand {
        Demand::MonthlyReport { day } => Some(*day),
        _ => None,
    };
    let mut uses: BTreeMap<UseKey, Use> = BTreeMap::new();
    let mut due = DueDays::new();
    for facts in book.sprays() {
        let month = month_of(facts.spray(book.journal()).at.day);
        let mut asked: BTreeSet<MaterialId> = BTreeSet::new();
        for (rule, by) in duties.of_spray(facts, report) {
            asked.extend(duties.materials(facts, rule.rule));
            if let Some(last) = next_month(month).and_then(|next| next.with_day(by)) {
                due.entry(month).or_default().entry(last).or_insert_with(|| rule.cited());
            }
        }
        one_spray(book, facts, month, &asked, &mut uses);
    }
    (uses, due)
}

fn one_spray(
    book: &Book<'_>,
    facts: &SprayFacts,
    month: NaiveDate,
    asked: &BTreeSet<MaterialId>,
    uses: &mut BTreeMap<UseKey, Use>,
) {
    let spray = facts.spray(book.journal());
    let method = sprayer(book, spray).method;
    let shares: BTreeMap<BlockId, Exact> = shares(book, facts).into_iter().flatten().collect();
    // What was left in the tank can go back on the same block: one application, and both areas.
    let mut areas: BTreeMap<BlockId, Option<Amount>> = BTreeMap::new();
    for touched in facts.touched.iter().filter(|touched| book.scope.has_block(touched.block)) {
        let sum = |known: Option<Amount>| known?.plus(touched.area?);
        areas.entry(touched.block).and_modify(|known| *known = sum(*known)).or_insert(touched.area);
    }
    for (material, amount) in amounts(book, facts) {
        let used = uses.entry((month, asked.contains(&material), material)).or_default();
        let part_of = |block: &BlockId| amount?.times(*shares.get(block)?);
        for (id, area) in &areas {
            let block = used.blocks.entry(*id).or_default();
            take(book, material, &mut block.sum, part_of(id));
            block.last = block.last.max(spray.at.day);
            block.methods.extend(method.clone());
            block.method_missing |= method.is_none();
            block.treated = match (block.treated, *area) {
                (Some(sum), Some(area)) => sum.plus(area).or(Some(sum)),
                (sum, area) => sum.or(area),
            };
            block.treated_missing |= area.is_none();
        }
        // All of a tank was used, even what was poured away; of some blocks, only what they got.
        let shown = if book.scope.blocks.is_empty() {
            amount
        } else {
            let share = areas.keys().try_fold(Exact::ZERO, |sum, block| sum.add(*shares.get(block)?));
            share.and_then(|share| amount?.times(share))
        };
        take(book, material, &mut used.whole, shown);
    }
}

/// How much of each material was used, those that stand twice in a tank added up; `None` where any part is not known.
fn amounts(book: &Book<'_>, facts: &SprayFacts) -> BTreeMap<MaterialId, Option<Amount>> {
    let mut amounts: BTreeMap<MaterialId, Option<Amount>> = BTreeMap::new();
    for dose in &facts.doses {
        let amount = dose.amount().map(|amount| book.in_own_unit(dose.material, amount));
        let sum = |known: Option<Amount>| add(book.journal(), dose.material, known?, amount?);
        amounts.entry(dose.material).and_modify(|known| *known = sum(*known)).or_insert(amount);
    }
    amounts
}

fn months(book: &Book<'_>, uses: &BTreeMap<UseKey, Use>, due: &DueDays, sprayed: &BTreeSet<NaiveDate>) -> Vec<Month> {
    let mut months: Vec<Month> = Vec::new();
    let mut before: Option<NaiveDate> = None;
    for &month in sprayed {
        // However long nothing was used, that is one line.
        let idle = before.and_then(next_month).filter(|idle| *idle < month);
        if let (Some(first), Some(last)) = (idle, month.pred_opt()) {
            months.push(Month {
                title: months_named(first, month_of(last)),
                due: Vec::new(),
                reported: Vec::new(),
                others: Vec::new(),
                nothing: true,
            });
        }
        let of = |reported: bool| {
            let keys = (month, reported, MaterialId::at(0))..=(month, reported, MaterialId(u32::MAX));
            let mut products: Vec<ProductUse> =
                uses.range(keys).map(|((_, _, material), used)| product(book, *material, used)).collect();
            products.sort_by(|one, other| one.product.cmp(&other.product));
            products
        };
        let days = due.get(&month).into_iter().flatten();
        months.push(Month {
            title: months_named(month, month),
            due: days.map(|(last, rule)| format!("{}: {rule}", day(*last))).collect(),
            reported: of(true),
            others: of(false),
            nothing: false,
        });
        before = Some(month);
    }
    months
}

fn product(book: &Book<'_>, id: MaterialId, used: &Use) -> ProductUse {
    let amount = |amount: Option<Amount>| Some(book.amount(book.in_own_unit(id, amount?)));
    let blocks = used.blocks.iter().map(|(&id, used)| {
        let block = book.journal().block(id);
        let treated = used.treated.map(|area| book.amount(area));
        BlockUse {
            block: book.block(id).to_string(),
            site: book.some_words(block.site),
            survey: book.some_words(block.survey),
            crop: block.crop.as_ref().map(|crop| crop.value.to_string()),
            planted: in_force(&block.areas, used.last).map(|area| book.amount(area.value)),
            treated: treated.map(|area| if used.treated_missing { format!("at least {area}") } else { area }),
            applications: used.sum.sprays,
            methods: (!used.methods.is_empty()).then(|| {
                let mut methods: Vec<&str> = used.methods.iter().map(String::as_str).collect();
                methods.extend(used.method_missing.then_some("of some not recorded"));
                methods.join("; ")
            }),
            total: amount(used.sum.amount).filter(|_| used.sum.missing == 0),
        }
    });
    ProductUse {
        product: book.material(id).to_string(),
        registration: book.some_words(book.journal().material(id).registration),
        applications: used.whole.sprays,
        total: amount(used.whole.amount),
        short: (used.whole.missing > 0)
            .then(|| format!("without {} whose amount is not known", count(used.whole.missing, "spray", "sprays"))),
        blocks: blocks.collect(),
    }
}

/// `May 2026`, `June to August 2026`, `December 2026 to March 2027`.
fn months_named(first: NaiveDate, last: NaiveDate) -> String {
    match () {
        () if first == last => first.format("%B %Y").to_string(),
        () if first.year() == last.year() => format!("{} to {}", first.format("%B"), last.format("%B %Y")),
        () => format!("{} to {}", first.format("%B %Y"), last.format("%B %Y")),
    }
}

/// The first day of the month after.
pub(super) fn next_month(month: NaiveDate) -> Option<NaiveDate> {
    month.checked_add_months(Months::new(1))
}

/// The first day of a day's month.
pub(super) fn month_of(day: NaiveDate) -> NaiveDate {
    day.with_day(1).unwrap_or(day)
}
