//! One sheet of paper for whoever fills the tank: what goes into this load in the measuring tools at hand, in which
//! order, and what holds while and after it is sprayed. Nothing is invented: what is not recorded is said to be so.

use serde::Serialize;

use super::assumed;
use super::book::Book;
use super::cautions::cautions;
use super::head::Head;
use super::mix_cares::{Care, Sprayer, Water, harvest, reentry, sprayer, stops, tank_ph, water, wear, weather};
use super::mix_portions::{Ingredient, ingredients};
use super::mix_record::{of_lots, record};
use super::mix_totals::{TankTotal, totals};
use super::phrases::{self, Both, PHRASES, Phrases};
use super::phrases_mix::{MIX, MixPhrases};
use super::posting_sheet::ground;
use super::quantities::Quantity;
use crate::quantity::{Amount, Basis, Exact, Form, Per, Rate, show};
use crate::season::{Group, OrderBy, SprayFacts, addition, like, planted};
use crate::trade::Loads;

/// Up to so many loads have a box each beside every step; of more, each is one mark at the foot.
const BOXES: u64 = 6;

/// Which languages a sheet is in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Language {
    /// English and Spanish, one beside the other.
    #[default]
    Both,
    /// English.
    En,
    /// Spanish.
    Es,
}

/// A job to make a sheet of.
#[derive(Clone, Copy, Debug)]
pub struct MixJob<'j> {
    /// The spray, as if it were done.
    pub facts: &'j SprayFacts,
    /// How its volume was found, and what there is to say about that.
    pub volume: &'j [String],
    /// Warnings about it, a sentence each.
    pub warnings: &'j [String],
    /// The languages.
    pub language: Language,
}

/// The sheet.
#[derive(Clone, Debug, Serialize)]
pub struct MixSheet {
    /// Top and foot.
    pub head: Head,
    /// The words in both languages.
    pub words: MixPhrases,
    /// The words that it shares with what hangs on a wall.
    pub common: Phrases,
    /// Which of them are printed.
    pub language: Language,
    /// How large the letters can be: `roomy`, `snug` or `tight`.
    pub fit: &'static str,
    /// The mix.
    pub mix: Option<String>,
    /// Which ground.
    pub ground: Both,
    /// The day.
    pub day: Both,
    /// The same for machines.
    pub date: String,
    /// The area treated.
    pub area: Option<String>,
    /// The finished spray of the whole job.
    pub whole: String,
    /// How many loads there are, in words.
    pub loads: Both,
    /// Full loads.
    pub full: Option<LoadColumn>,
    /// The last load, or the only one.
    pub last: Option<LoadColumn>,
    /// Whether every load has its own boxes.
    pub boxes: bool,
    /// How the spray was found to be so much.
    pub volume: Vec<String>,
    /// How many times as strong as dilute spray the tank is.
    pub concentrate: Option<Both>,
    /// Who says in which order.
    pub order: Both,
    /// What is done with each load, in order.
    pub steps: Vec<Step>,
    /// How strong the tank is.
    pub totals: Vec<TankTotal>,
    /// The water.
    pub water: Water,
    /// The tank pH that ingredients ask for.
    pub tank_ph: Vec<Care>,
    /// Whether no acid must come into this tank. Where one is in it, the warnings say so.
    pub no_acid: bool,
    /// The sprayer.
    pub sprayer: Sprayer,
    /// Protective equipment.
    pub wear: Vec<Care>,
    /// Re-entry intervals, the longest first.
    pub reentry: Vec<Care>,
    /// Harvest intervals, the longest first.
    pub harvest: Vec<Care>,
    /// Weather to spray in.
    pub weather: Vec<Care>,
    /// When to break off.
    pub stops: Vec<String>,
    /// Whether a batch is to be written down.
    pub batch: bool,
    /// The ingredients whose lot is to be written down.
    pub lots: Vec<String>,
    /// Warnings about the job.
    pub warnings: Vec<String>,
    /// The entry that the job becomes, a line each.
    pub record: Vec<String>,
    /// What was taken as so.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// A kind of load.
#[derive(Clone, Debug, Serialize)]
pub struct LoadColumn {
    /// What it is called.
    pub name: Both,
    /// How many.
    pub count: u32,
    /// The same in words, where there are several.
    pub times: Option<Both>,
    /// The finished spray of one.
    pub volume: Quantity,
}

/// Something done with each load.
#[derive(Clone, Debug, Serialize)]
pub struct Step {
    /// What.
    pub what: Both,
    /// What goes in; nothing where it is water or work.
    pub ingredients: Vec<Ingredient>,
    /// Whether the tank is made up to its volume.
    pub to_mark: bool,
    /// Whether it is one ingredient in its turn, of which the words say no more.
    pub plain: bool,
}

/// The sheet of a job.
///
/// # Errors
/// A sentence where the finished volume or an amount is not known, or the loads cannot be counted: a sheet with gaps is
/// none.
pub fn mix_sheet(book: &Book<'_>, job: MixJob<'_>) -> Result<MixSheet, String> {
    let (journal, facts) = (book.journal(), job.facts);
    let spray = facts.spray(journal);
    let total = facts.finished.ok_or("how much finished spray the job is, is not known")?;
    let tank = spray.rig.and_then(|rig| journal.rig(rig.id?).tank).map(|tank| tank.value);
    let loads = match tank {
        Some(tank) => Loads::new(total, tank),
        None => Loads::one(total),
    };
    let loads = loads.ok_or_else(|| format!("{total} cannot be shared out into loads"))?;
    let known = ingredients(book, facts, &loads).map_err(|name| unknown_amount(book, facts, &name))?;
    if known.is_empty() {
        return Err("nothing goes into this tank".to_string());
    }
    over_full(book, facts, total)?;
    let parts: Vec<Ingredient> = known.iter().map(|(_, part)| part.clone()).collect();
    let (order, steps) = steps(book, facts, known);
    let is = |class: &str| facts.doses.iter().any(|dose| journal.material(dose.material).is(class));
    let count = u32::try_from(loads.count()).unwrap_or(u32::MAX);
    let mut sheet = MixSheet {
        head: Head::new(book),
        words: MIX,
        common: PHRASES,
        language: job.language,
        fit: "roomy",
        mix: spray.mix.and_then(|used| Some(journal.mix(used.mix.id?).named.shown().to_string())),
        ground: ground(book, &spray.ground),
        day: phrases::day(spray.at.day),
        date: spray.at.day.to_string(),
        area: facts.area.map(|area| book.amount(area)),
        whole: book.amount(total),
        loads: if count == 1 { MIX.one_load.said() } else { MIX.loads.with(&[("count", &number(count))]) },
        full: (loads.full > 0).then(|| column(book, MIX.full_load.said(), loads.full, loads.tank)),
        last: loads.last.map(|last| {
            let name = if loads.full == 0 { MIX.only_load } else { MIX.last_load };
            column(book, name.said(), 1, last)
        }),
        boxes: loads.count() <= BOXES,
        volume: job.volume.iter().cloned().chain(by_planting(book, facts)).collect(),
        concentrate: facts
            .doses
            .iter()
            .find(|dose| dose.times != Exact::ONE)
            .map(|dose| MIX.times_as_strong.with(&[("times", &Both::same(dose.times.figures(4)))])),
        order,
        steps,
        totals: totals(book, facts),
        water: water(book, spray),
        tank_ph: tank_ph(book, facts),
        no_acid: (is("copper") || is("lime-sulfur")) && !is("acid"),
        sprayer: sprayer(book, spray),
        wear: wear(book, facts),
        reentry: reentry(book, facts),
        harvest: harvest(book, facts),
        weather: weather(book, facts),
        stops: stops(book),
        batch: facts.doses.iter().any(|dose| journal.material(dose.material).home_made.is_some_and(|made| made.value)),
        lots: parts.iter().filter(|one| of_lots(book, one.id, facts)).map(|one| one.name.clone()).collect(),
        warnings: job.warnings.to_vec(),
        record: record(book, facts, &loads, &parts),
        assumed: assumed::of_mix_sheet(book, facts, tank.is_some()),
        cautions: cautions(book),
    };
    sheet.fit = fit(&sheet);
    Ok(sheet)
}

/// Refuses liquids that need more room than there is.
fn over_full(book: &Book<'_>, facts: &SprayFacts, total: Amount) -> Result<(), String> {
    let journal = book.journal();
    let liquid = |material| journal.material(material).form() == Some(Form::Liquid);
    let liquids = facts.doses.iter().filter(|dose| liquid(dose.material));
    let volumes = liquids.filter_map(|dose| like(journal, dose.material, dose.amount()?, total.unit));
    let sum = volumes.map(|volume| volume.value).try_fold(Exact::ZERO, Exact::add);
    match sum.filter(|sum| *sum > total.value) {
        Some(sum) => Err(format!(
            "the liquids alone come to {}, more than the {} that the job is: look for a wrong amount, unit or volume",
            show(Amount::new(sum, total.unit)),
            show(total)
        )),
        None => Ok(()),
    }
}

/// The arithmetic of rates per tree: `Fish: 136.1 trees × 0.5 fl oz = 68.06 fl oz`.
fn by_planting(book: &Book<'_>, facts: &SprayFacts) -> Vec<String> {
    let Some(trees) = planted(book.journal(), &facts.touched).trees else { return Vec::new() };
    let said = facts.doses.iter().filter_map(|dose| {
        let Some(Rate::Of { amount, per: Per::Tree(count) }) = dose.rate else { return None };
        let of = if count == Exact::ONE { String::new() } else { format!(" / {}", count.figures(4)) };
        let whole = show(dose.expected?);
        Some(format!("{}: {} trees{of} × {} = {whole}.", book.material(dose.material), trees.figures(4), show(amount)))
    });
    said.collect()
}

/// Why it is not known how much of a material goes in, with the fields that are missing.
fn unknown_amount(book: &Book<'_>, facts: &SprayFacts, name: &str) -> String {
    let journal = book.journal();
    let rate = facts.doses.iter().find(|dose| book.material(dose.material) == name).and_then(|dose| dose.rate);
    let bases = rate.map(|rate| rate.basis());
    let mut missing: Vec<String> = Vec::new();
    for touched in facts.touched.iter().filter(|touched| !touched.leftover) {
        let block = journal.block(touched.block);
        let layout = block.layout.as_ref();
        let by_rows = matches!(bases, Some(Basis::RowLength | Basis::Tree));
        let mut fields = Vec::new();
        if touched.area.is_none() && bases != Some(Basis::FinishedVolume) {
            fields.push("`area`");
        }
        if by_rows && layout.is_none_or(|layout| layout.spacing.is_none()) {
            fields.push("`rows … apart`");
        }
        if bases == Some(Basis::Tree) && layout.is_none_or(|layout| layout.trees.is_none()) {
            fields.push("`trees … apart`");
        }
        if !fields.is_empty() {
            missing.push(format!("{} has no {}", block.named.shown(), fields.join(" and no ")));
        }
    }
    if missing.is_empty() {
        missing.push("see its rate and form, and the area, rows and trees of the block".to_string());
    }
    format!("how much of {name} the job takes cannot be worked out: {}", missing.join("; "))
}

fn number(count: u32) -> Both {
    Both::same(count.to_string())
}

fn column(book: &Book<'_>, name: Both, count: u32, volume: Amount) -> LoadColumn {
    LoadColumn {
        name,
        count,
        times: (count > 1).then(|| MIX.times.with(&[("count", &number(count))])),
        volume: Quantity::new(book, volume),
    }
}

/// The steps of a load, and who says that they come in this order.
fn steps(
    book: &Book<'_>,
    facts: &SprayFacts,
    mut known: Vec<(crate::journal::MaterialId, Ingredient)>,
) -> (Both, Vec<Step>) {
    let mix = facts.spray(book.journal()).mix.and_then(|used| used.mix.id);
    let ids: Vec<_> = known.iter().map(|(id, _)| *id).collect();
    let added = addition(book.journal(), mix, &ids);
    let order = match added.by {
        OrderBy::Mix => MIX.order_of_mix.said(),
        OrderBy::Rules(rules) => MIX.order_of_farm.with(&[("rules", &Both::same(rules.named.shown().to_string()))]),
        OrderBy::Usual => MIX.order_usual.said(),
    };
    let plain = |what: Both| Step { what, ingredients: Vec::new(), to_mark: false, plain: false };
    let mut steps = vec![plain(MIX.half.said())];
    for (at, turn) in added.turns.iter().enumerate() {
        let what = match (turn.unnamed, turn.group) {
            (true, _) => MIX.not_in_order,
            (false, None) => MIX.in_turn,
            (false, Some(Group::Conditioner)) => MIX.conditioner,
            (false, Some(Group::Dry)) => MIX.dry,
            (false, Some(Group::Liquid)) => MIX.liquid,
            (false, Some(Group::Emulsion)) => MIX.emulsion,
            (false, Some(Group::Soap)) => MIX.soap,
            (false, Some(Group::Living)) => MIX.living,
        };
        let mut ingredients = Vec::new();
        for id in &turn.materials {
            if let Some(place) = known.iter().position(|(one, _)| one == id) {
                ingredients.push(known.remove(place).1);
            }
        }
        let plain_turn = turn.group.is_none() && !turn.unnamed && ingredients.len() == 1;
        steps.push(Step { what: what.said(), ingredients, to_mark: false, plain: plain_turn });
        let more = at + 1 < added.turns.len();
        if turn.group == Some(Group::Dry) && more {
            steps.push(plain(MIX.dissolve.said()));
        }
    }
    steps.push(Step { what: MIX.to_mark.said(), ingredients: Vec::new(), to_mark: true, plain: false });
    (order, steps)
}

/// How large the letters can be so that the sheet stays one, by the lines that it takes.
fn fit(sheet: &MixSheet) -> &'static str {
    let steps: usize = sheet
        .steps
        .iter()
        .map(|step| {
            let one = |part: &Ingredient| {
                let portions = [&part.full, &part.last].into_iter().flatten();
                2 + portions.map(|portion| 2 * portion.coarse.len()).max().unwrap_or(0)
            };
            if step.ingredients.is_empty() { 2 } else { 1 + step.ingredients.iter().map(one).sum::<usize>() }
        })
        .sum();
    // About so many letters fill a line of half the sheet, and of the whole.
    let lines = |care: &Care| 1 + care.of.iter().map(String::len).sum::<usize>() / 45;
    let cares = [&sheet.wear, &sheet.reentry, &sheet.harvest, &sheet.weather].into_iter().flatten();
    let right = cares.map(lines).sum::<usize>() + 2 * sheet.stops.len();
    let warnings: usize = sheet.warnings.iter().map(|one| 1 + one.len() / 80).sum();
    // Five blanks stand beside each other.
    let blanks = 2 * ((5 + usize::from(sheet.batch) + sheet.lots.len()).div_ceil(5) - 1);
    let left = 3 * sheet.totals.len() + sheet.tank_ph.len() + sheet.volume.len() + 6;
    match steps + right.max(left) + warnings + blanks {
        0..=26 => "roomy",
        27..=42 => "snug",
        _ => "tight",
    }
}
