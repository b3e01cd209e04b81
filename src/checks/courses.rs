//! Who had which training when. Shared by the checks of trainings and fit tests.

use std::collections::BTreeMap;

use chrono::{Months, NaiveDate};

use super::asked::RECORD;
use super::{Findings, say, scene};
use crate::duty::{Asked, Duties};
use crate::finding::Level;
use crate::journal::{BlockId, Course, PersonId, Ref, Training};
use crate::season::{By, ByRows, EntryKind, Season, SprayFacts, rows_of, rows_treated};
use crate::syntax::EntryWord;
use crate::text::Span;

/// A training that a rule asks people for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Asks<'s> {
    /// Which.
    pub(super) course: Course,
    /// Others that will do.
    pub(super) or: &'s [Course],
    /// How many months it lasts.
    pub(super) months: u32,
    /// Whether the owner's family is exempt.
    pub(super) family_exempt: bool,
    /// Whether people with a valid licence are exempt.
    pub(super) licensed_exempt: bool,
    /// Of whom it is asked.
    pub(super) of: Of,
}

/// Of whom a training is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Of {
    /// Who sprays.
    Applicators,
    /// Who works in the block within so many seconds of the end, or of the end of re-entry.
    Workers(i64),
}

/// Who had which training when.
pub(super) struct Courses<'j> {
    /// By person, in the order of time; `None` where something of a person's trainings is not known.
    by_person: Vec<Option<Vec<&'j Training>>>,
}

impl<'j> Courses<'j> {
    /// Gathers them; `None` where one may be missing because it could not be read.
    pub(super) fn new(season: &Season<'j>) -> Option<Self> {
        if season.lost(EntryWord::Train) {
            return None;
        }
        let mut by_person: Vec<Option<Vec<&Training>>> = vec![Some(Vec::new()); season.journal.people.len()];
        for training in &season.journal.trainings {
            for person in scene::ids(&training.people) {
                let list = &mut by_person[person.index()];
                if training.course.is_none() {
                    *list = None;
                } else if let Some(list) = list {
                    list.push(training);
                }
            }
        }
        for list in by_person.iter_mut().flatten() {
            list.sort_by_key(|training| (training.at.day, training.at.line.start));
        }
        Some(Self { by_person })
    }
}

/// What somebody lacks on a day.
#[derive(Clone, Copy)]
struct Lapse<'j> {
    /// The last one before, and its last day.
    last: Option<(&'j Training, NaiveDate)>,
    /// The first one after, where there was none before.
    next: Option<&'j Training>,
}

/// What somebody lacks on a day; `None` where nothing, or where it is not known.
fn lapse<'j>(
    season: &Season<'_>,
    courses: &Courses<'j>,
    asks: &Asks<'_>,
    person: PersonId,
    day: NaiveDate,
) -> Option<Lapse<'j>> {
    let who = season.journal.person(person);
    if asks.family_exempt && who.family.is_some_and(|family| family.value) {
        return None;
    }
    if asks.licensed_exempt && who.licence.is_some_and(|licence| licence.until.is_none_or(|until| day <= until)) {
        return None;
    }
    let list = courses.by_person[person.index()].as_ref()?;
    let fits = |training: &&&Training| {
        training.course.is_some_and(|course| course.value == asks.course || asks.or.contains(&course.value))
    };
    let (before, after) = list.split_at(list.partition_point(|training| training.at.day <= day));
    let Some(last) = before.iter().rfind(fits) else {
        return Some(Lapse { last: None, next: after.iter().find(fits).copied() });
    };
    let until = last.at.day.checked_add_months(Months::new(asks.months))?;
    (day > until).then_some(Lapse { last: Some((last, until)), next: None })
}

/// Somebody without a training, at the first use of it.
struct Hit<'s> {
    asked: Asked<'s>,
    asks: Asks<'s>,
    lapse: Lapse<'s>,
    person: Ref<PersonId>,
    day: NaiveDate,
    /// What they did, in words: `sprayed creek-pear`.
    did: String,
    /// The spray that the rule holds for.
    spray: Span,
    /// The line that asks for a respirator.
    protection: Option<Span>,
    /// How many more times.
    more: usize,
}

/// The findings of one check, one a person, rule and lapse.
type Hits<'s> = BTreeMap<(PersonId, &'s str, &'s str, Option<NaiveDate>), Hit<'s>>;

/// Looks over everyone whom the rules of some kind ask for a training.
pub(super) fn look<'s>(
    duties: &Duties<'s>,
    found: &mut Findings,
    kind: fn(&'s crate::rulebook::Demand) -> Option<Asks<'s>>,
    lapsed: Level,
) {
    let season = duties.season;
    if duties.of_kind(kind).next().is_none() {
        return;
    }
    let Some(courses) = Courses::new(season) else { return };
    let mut hits: Hits<'s> = BTreeMap::new();
    let by = By { any: &[EntryWord::Train], ..RECORD };
    let lapses = found.in_sprays(season, by, |_, facts| {
        let (mut lapses, spray) = (Vec::new(), facts.spray(season.journal));
        for (asked, asks) in duties.of_spray(facts, kind).filter(|(_, asks)| asks.of == Of::Applicators) {
            lapses.extend(spray.by.iter().filter_map(|&person| {
                Some((lapse(season, &courses, &asks, person.id?, spray.at.day)?, (asked, asks), facts, person))
            }));
        }
        lapses
    });
    for (lapse, asked, facts, person) in lapses {
        let spray = facts.spray(season.journal);
        let did = || format!("sprayed {}", scene::blocks(season, &spray.ground));
        one(duties, &mut hits, asked, lapse, facts, person, spray.at.day, did);
    }
    let by = By { any: &[EntryWord::Train, EntryWord::Person], ..RECORD };
    let visits = entries(season);
    let lapses = found.on_blocks(season, by, |_, block, sprays| {
        let asking = |at: usize| duties.of_spray(&season.sprays[at], kind).map(move |asked| (at, asked));
        let of_workers = sprays.iter().flat_map(|&at| asking(at)).filter(|(at, (asked, asks))| {
            let about = || duties.blocks(&season.sprays[*at], asked.rule).any(|about| about == block);
            matches!(asks.of, Of::Workers(_)) && about()
        });
        workers(season, &courses, block, &of_workers.collect::<Vec<_>>(), &visits[block.index()])
    });
    for Worker { lapse, asked, at, person, what, block } in lapses {
        let visit = scene::visit(season, what);
        let did = || format!("was at {} in {}", visit.what, scene::block(season, block));
        one(duties, &mut hits, asked, lapse, &season.sprays[at], person, visit.day, did);
    }
    for hit in hits.values() {
        report(season, found, hit, lapsed);
    }
}

/// For each block, the records of people there, in the order of time.
fn entries(season: &Season<'_>) -> Vec<Vec<(EntryKind, i64)>> {
    let mut entries: Vec<Vec<(EntryKind, i64)>> = vec![Vec::new(); season.by_block.len()];
    for entry in &season.entries {
        entries[entry.block.index()].push((entry.what, entry.start.seconds));
    }
    entries
}

/// Somebody who came into a block without a training that a spray there asks for.
struct Worker<'s> {
    lapse: Lapse<'s>,
    asked: (Asked<'s>, Asks<'s>),
    at: usize,
    person: Ref<PersonId>,
    what: EntryKind,
    block: BlockId,
}

/// People in a block, in the order of time, against the latest spray of it that asks for a training.
fn workers<'s>(
    season: &'s Season<'s>,
    courses: &Courses<'s>,
    block: BlockId,
    asking: &[(usize, (Asked<'s>, Asks<'s>))],
    entries: &[(EntryKind, i64)],
) -> Vec<Worker<'s>> {
    let mut lapses = Vec::new();
    let mut open: ByRows<'_, (i64, usize, (Asked<'s>, Asks<'s>))> = ByRows::default();
    let mut next = 0;
    for &(what, start) in entries.iter().filter(|_| !asking.is_empty()) {
        while let Some(&(at, (asked, asks))) = asking.get(next)
            && season.sprays[at].start.seconds <= start
        {
            next += 1;
            let facts = &season.sprays[at];
            let Of::Workers(within) = asks.of else { continue };
            let until = facts.reentry.map_or(facts.end, |hold| hold.until).seconds.saturating_add(within);
            for rows in rows_treated(facts.spray(season.journal), block) {
                open.put(rows, (until, at, (asked, asks)), |known| known.0 <= until);
            }
        }
        let visit = scene::visit(season, what);
        let latest = open.touching(rows_of(visit.ground)).max_by_key(|(until, ..)| *until);
        let Some(&(_, at, asked)) = latest.filter(|(until, ..)| start <= *until) else { continue };
        lapses.extend(scene::people(season, what).0.iter().filter_map(|&person| {
            let lapse = lapse(season, courses, &asked.1, person.id?, visit.day)?;
            Some(Worker { lapse, asked, at, person, what, block })
        }));
    }
    lapses
}

/// One person on one day.
#[expect(clippy::too_many_arguments, reason = "what was asked, of whom, when and where are all of it")]
fn one<'s>(
    duties: &Duties<'s>,
    hits: &mut Hits<'s>,
    (asked, asks): (Asked<'s>, Asks<'s>),
    lapse: Lapse<'s>,
    facts: &SprayFacts,
    person: Ref<PersonId>,
    day: NaiveDate,
    did: impl FnOnce() -> String,
) {
    let season = duties.season;
    let Some(id) = person.id else { return };
    let key = (id, asked.adoption.book.name.as_str(), asked.rule.id.as_str(), lapse.last.map(|(_, until)| until));
    if let Some(hit) = hits.get_mut(&key) {
        hit.more += 1;
        return;
    }
    let materials = || duties.materials(facts, asked.rule);
    let protection = if asked.rule.when.respirator {
        materials().find_map(|material| season.journal.material(material).protection)
    } else {
        None
    };
    let spray = facts.spray(season.journal).at.line;
    hits.insert(key, Hit { asked, asks, lapse, person, day, did: did(), spray, protection, more: 0 });
}

/// What a course is called.
pub(crate) const fn course_words(course: Course) -> &'static str {
    match course {
        Course::Worker => "training as a worker",
        Course::Handler => "training as a handler",
        Course::FitTest => "fit test of a respirator",
        Course::Respirator => "training with a respirator",
        Course::Medical => "medical examination",
    }
}

fn report(season: &Season<'_>, found: &mut Findings, hit: &Hit<'_>, lapsed: Level) {
    let Some(person) = hit.person.id.map(|id| season.journal.person(id)) else { return };
    let (who, course) = (person.named.shown(), course_words(hit.asks.course));
    let day = say::day(hit.day);
    let headline = match hit.lapse.last {
        Some((last, until)) => format!(
            "{who} {} on {day}, and the last {course} on record, of {}, was good until {}",
            hit.did,
            say::day(last.at.day),
            say::day(until)
        ),
        None => format!("{who} {} on {day}, and no {course} before that is on record", hit.did),
    };
    let mut finding = found.finding(hit.person.span, headline).here("here");
    match (hit.lapse.last, hit.lapse.next) {
        (Some((last, until)), _) => {
            finding = finding.label(last.at.line, "the last one").working(format!(
                "it is good for {} months: from {} until {}",
                hit.asks.months,
                say::day(last.at.day),
                say::day(until)
            ));
            finding.level = lapsed;
        }
        (None, Some(next)) => {
            finding = finding
                .label(next.at.line, "the first one")
                .working(format!("the first one on record is of {}", say::day(next.at.day)));
        }
        (None, None) => {}
    }
    if hit.asks.of != Of::Applicators {
        finding = finding.label(hit.spray, "what was sprayed there asks for it");
    }
    if let Some(protection) = hit.protection {
        finding = finding.label(protection, "respirator asked for here");
    }
    finding = finding.label(hit.asked.adoption.adopted.name.span, "rulebook taken on here");
    if hit.more > 0 {
        finding = finding.working(format!("the same for {} of theirs", scene::count(hit.more, "later record")));
    }
    if hit.asked.from_memory() {
        finding.level = Level::Note;
    }
    let family = if hit.asks.family_exempt { "; the owner's family needs none: `family yes`" } else { "" };
    found.add(
        finding
            .help(format!(
                "if they had it, write it down on the page of its day: `train {}` with `course {}`{family}",
                person.named.name,
                hit.asks.course.word()
            ))
            .source(hit.asked.cited()),
    );
}
