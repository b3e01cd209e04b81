//! What is checked. One check is one Rust file and the Markdown of the same name, which is its documentation, the text
//! of `foliary explain`, and its test. To add one: write the two files and the two lines below.

mod accepted;
mod amount_of_recipe;
mod area_of_block;
mod asked;
mod borrowed;
mod changed;
mod courses;
mod crops;
mod folded;
mod holds;
mod lost;
mod lots;
mod posted;
mod put_twice;
mod rates;
mod rounds;
mod ruled;
mod say;
mod scene;
mod season_cap;
mod tank_limit;
mod tanks;
mod whose;
mod wording;
mod written;

mod accept_of_nothing;
mod amendment_disagrees;
mod amendment_of_nothing;
mod amount_disagrees;
mod area_over_block;
mod basic_substance_use;
mod batch_out_of_date;
mod batch_unnamed;
mod build_up_unwatched;
mod calibration_old;
mod change_without_reason;
mod changed_after_signing;
mod class_over_limit;
mod clock_change;
mod count_disagrees;
mod dangerous_tank;
mod dangers;
mod duplicate_name;
mod empty_spray;
mod end_before_start;
mod entry_before_reentry;
mod exclusion_zone_unknown;
mod fit_test_lapsed;
mod future_date;
mod harvest_in_interval;
mod hidden_character;
mod history_cut_off;
mod impossible_weather;
mod input_not_approved;
mod kept_too_close;
mod kept_too_short;
mod last_load_full;
mod licence_lapsed;
mod loads_disagree;
mod look_alike_name;
mod lot_expired;
mod lot_overdrawn;
mod lot_unknown;
mod manure_before_harvest;
mod minimum_risk_claim;
mod misplaced_field;
mod missing_end;
mod missing_field;
mod missing_folder;
mod mix_over_limit;
mod nameless_entry;
mod need_test_missing;
mod not_in_one_tank;
mod nozzles_worn;
mod output_disagrees;
mod plan_reason_missing;
mod posting_down_early;
mod posting_late;
mod posting_missing;
mod purpose_against_status;
mod rate_outside_range;
mod record_incomplete;
mod record_late;
mod record_removed;
mod refused_substance;
mod registration_malformed;
mod repeated_field;
mod round_early;
mod round_late;
mod rounds_extra;
mod rounds_missed;
mod row_area_disagrees;
mod rows_outside_block;
mod rulebook_ended;
mod rulebook_unknown;
mod same_spray_twice;
mod season_amount_exceeded;
mod season_count_exceeded;
mod session_too_long;
mod signs_out_of_time;
mod spacing_too_short;
mod sprayed_in_bloom;
mod stage_unknown;
mod status_unwritten;
mod stock_disagrees;
mod tank_ph_outside;
mod tea_on_food;
mod training_lapsed;
mod undated_entry;
mod unknown_choice;
mod unknown_name;
mod unknown_timezone;
mod unknown_unit;
mod unknown_word;
mod unreadable_date;
mod unreadable_line;
mod unreadable_number;
mod unsettled_ounce;
mod volume_disagrees;
mod weather_outside_limits;
mod workers_unwritten;
mod wrong_dimension;
mod wrong_form;
mod wrong_shape;
mod wrong_weekday;

pub(crate) use changed::said_time;
pub(crate) use courses::course_words;
pub(crate) use say::{day, list};
pub(crate) use scene::interval;

use rayon::prelude::*;

pub use season_cap::{CapUsed, caps_used};
pub use written::went_in;

use crate::finding::{Finding, Level};
use crate::season::{Noted, Quiet, Season};
use crate::text::Span;

/// One check.
#[derive(Debug)]
pub struct Check {
    /// The kebab-case name of what it finds.
    pub code: &'static str,
    /// How sure and how grave its findings are.
    pub level: Level,
    /// What it says about a spray that is not done yet.
    pub ahead: Ahead,
    /// What it finds, in a line.
    pub summary: &'static str,
    /// Its documentation.
    pub explain: &'static str,
    /// Looks over a season and reports.
    pub run: Look,
}

/// Looks over a season and reports.
pub type Look = fn(&Season<'_>, &mut Findings);

/// What a check says about a spray that is not done yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ahead {
    /// Nothing: it is about how a record is kept, about what is known only once the spray is done (times, people, amounts,
    /// postings), or about the journal besides.
    Nothing,
    /// It judges the tank that is about to be filled.
    Job,
    /// It judges a round that is planned, by what stands in the journal about its day.
    Round(When),
    /// It judges both.
    RoundAndJob(When),
}

/// Whether what a check finds about a planned round depends on the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// On any day alike.
    Anytime,
    /// Another day may be clear.
    OnTheDay,
}

impl Ahead {
    /// Whether it judges the tank that is about to be filled.
    pub const fn judges_job(self) -> bool {
        matches!(self, Ahead::Job | Ahead::RoundAndJob(_))
    }

    /// Where it judges planned rounds: whether another day can help.
    pub const fn of_round(self) -> Option<When> {
        match self {
            Ahead::Round(when) | Ahead::RoundAndJob(when) => Some(when),
            Ahead::Nothing | Ahead::Job => None,
        }
    }
}

/// Every check, in the order of the documentation.
pub static CHECKS: &[Check] = &[
    unreadable_line::CHECK,
    unknown_word::CHECK,
    misplaced_field::CHECK,
    repeated_field::CHECK,
    missing_field::CHECK,
    undated_entry::CHECK,
    nameless_entry::CHECK,
    unknown_name::CHECK,
    look_alike_name::CHECK,
    duplicate_name::CHECK,
    unknown_choice::CHECK,
    unknown_unit::CHECK,
    wrong_dimension::CHECK,
    unreadable_number::CHECK,
    unreadable_date::CHECK,
    unsettled_ounce::CHECK,
    wrong_form::CHECK,
    wrong_shape::CHECK,
    wrong_weekday::CHECK,
    unknown_timezone::CHECK,
    missing_folder::CHECK,
    hidden_character::CHECK,
    amendment_of_nothing::CHECK,
    amendment_disagrees::CHECK,
    change_without_reason::CHECK,
    changed_after_signing::CHECK,
    record_removed::CHECK,
    history_cut_off::CHECK,
    accept_of_nothing::CHECK,
    empty_spray::CHECK,
    rate_outside_range::CHECK,
    mix_over_limit::CHECK,
    class_over_limit::CHECK,
    amount_disagrees::CHECK,
    volume_disagrees::CHECK,
    output_disagrees::CHECK,
    nozzles_worn::CHECK,
    calibration_old::CHECK,
    last_load_full::CHECK,
    loads_disagree::CHECK,
    area_over_block::CHECK,
    rows_outside_block::CHECK,
    row_area_disagrees::CHECK,
    stock_disagrees::CHECK,
    count_disagrees::CHECK,
    lot_overdrawn::CHECK,
    lot_unknown::CHECK,
    lot_expired::CHECK,
    same_spray_twice::CHECK,
    season_count_exceeded::CHECK,
    season_amount_exceeded::CHECK,
    end_before_start::CHECK,
    missing_end::CHECK,
    session_too_long::CHECK,
    clock_change::CHECK,
    future_date::CHECK,
    spacing_too_short::CHECK,
    stage_unknown::CHECK,
    round_early::CHECK,
    round_late::CHECK,
    rounds_missed::CHECK,
    rounds_extra::CHECK,
    entry_before_reentry::CHECK,
    posting_missing::CHECK,
    posting_late::CHECK,
    posting_down_early::CHECK,
    signs_out_of_time::CHECK,
    exclusion_zone_unknown::CHECK,
    training_lapsed::CHECK,
    licence_lapsed::CHECK,
    fit_test_lapsed::CHECK,
    harvest_in_interval::CHECK,
    kept_too_close::CHECK,
    not_in_one_tank::CHECK,
    dangerous_tank::CHECK,
    tank_ph_outside::CHECK,
    sprayed_in_bloom::CHECK,
    weather_outside_limits::CHECK,
    impossible_weather::CHECK,
    batch_unnamed::CHECK,
    batch_out_of_date::CHECK,
    rulebook_unknown::CHECK,
    rulebook_ended::CHECK,
    status_unwritten::CHECK,
    workers_unwritten::CHECK,
    record_incomplete::CHECK,
    record_late::CHECK,
    kept_too_short::CHECK,
    registration_malformed::CHECK,
    purpose_against_status::CHECK,
    minimum_risk_claim::CHECK,
    basic_substance_use::CHECK,
    refused_substance::CHECK,
    plan_reason_missing::CHECK,
    input_not_approved::CHECK,
    need_test_missing::CHECK,
    manure_before_harvest::CHECK,
    tea_on_food::CHECK,
    build_up_unwatched::CHECK,
];

/// The check of a code.
pub fn check_named(code: &str) -> Option<&'static Check> {
    CHECKS.iter().find(|check| check.code == code)
}

/// What no line can accept: it is about lines that accept.
pub const NEVER_ACCEPTED: &str = accept_of_nothing::CHECK.code;

/// Whether only the record of a spray that is done can accept findings of a code: no tank is filled while one is there.
pub fn never_accepted_ahead(code: &str) -> bool {
    accepted::NEVER_AHEAD.contains(&code)
}

/// What one check has found so far.
#[derive(Debug)]
pub struct Findings {
    check: &'static Check,
    found: Vec<Finding>,
    /// Where it found nothing.
    noted: Noted,
    /// How many findings in a file are put into words, where there may be very many.
    words: usize,
}

impl Findings {
    /// A finding of this check, to be filled and then added with [`Findings::add`].
    pub fn finding(&self, at: Span, headline: impl Into<String>) -> Finding {
        Finding::new(self.check.code, self.check.level, at, headline)
    }

    /// Adds a finding.
    pub fn add(&mut self, finding: Finding) {
        self.found.push(finding);
    }

    /// Adds what one line that everything hangs on can bring about thousands of times, each hit with its place and another
    /// that counts. Where not all are put into words, the first of each file are; the others have places and no words.
    fn tell<T>(
        &mut self,
        season: &Season<'_>,
        hits: &[T],
        places: impl Fn(&T) -> (Span, Option<Span>),
        words: impl Fn(&Self, &T) -> Option<Finding>,
    ) {
        let places: Vec<(Span, Option<Span>)> = hits.iter().map(places).collect();
        let mut worded = vec![true; hits.len()];
        if hits.len() > self.words {
            let mut in_order: Vec<usize> = (0..hits.len()).collect();
            in_order.sort_by_key(|&hit| places[hit].0.start);
            let same_file = |one: &usize, other: &usize| season.sources.same_file(places[*one].0, places[*other].0);
            for of_file in in_order.chunk_by(same_file) {
                of_file.iter().skip(self.words).for_each(|&hit| worded[hit] = false);
            }
        }
        for ((hit, (at, other)), worded) in hits.iter().zip(places).zip(worded) {
            let bare = || other.into_iter().fold(self.finding(at, ""), |finding, other| finding.label(other, ""));
            let finding = if worded { words(self, hit) } else { Some(bare()) };
            self.found.extend(finding);
        }
    }
}

// A place remembers of each check whether it finds nothing there.
const _: () = assert!(CHECKS.len() <= Quiet::MOST);

/// Runs every check. The findings come in the order of files and places, with those that the journal accepts on purpose
/// marked so.
pub fn run(season: &Season<'_>) -> Vec<Finding> {
    run_some(season, |_| true)
}

/// Runs the checks that are wanted, as [`run`] does.
pub fn run_some(season: &Season<'_>, wanted: impl Fn(&Check) -> bool) -> Vec<Finding> {
    told(season, looked(season, usize::MAX, wanted).0)
}

/// Runs every check, as [`run`] does, and notes where they find nothing, for the season after this one. Of findings of which
/// there may be very many at least so many of each code and file are put into words; the headline of the others is empty.
pub fn run_noting(season: &Season<'_>, words: usize) -> (Vec<Finding>, Vec<Noted>) {
    let (findings, noted) = looked(season, words, |_| true);
    (told(season, findings), noted)
}

/// What each check that is wanted finds, and where it finds nothing.
fn looked(season: &Season<'_>, words: usize, wanted: impl Fn(&Check) -> bool) -> (Vec<Finding>, Vec<Noted>) {
    let wanted: Vec<(usize, &'static Check)> = CHECKS.iter().enumerate().filter(|(_, check)| wanted(check)).collect();
    let found = |&(number, check): &(usize, &'static Check)| {
        let noted = Noted { check: number, ..Noted::default() };
        let mut findings = Findings { check, found: Vec::new(), noted, words };
        (check.run)(season, &mut findings);
        (findings.found, findings.noted)
    };
    let (found, noted): (Vec<Vec<Finding>>, Vec<Noted>) = wanted.par_iter().map(found).unzip();
    (found.into_iter().flatten().collect(), noted)
}

/// What was found, as it is told: in the order of files and places, one slip once, what is accepted marked so.
fn told(season: &Season<'_>, mut findings: Vec<Finding>) -> Vec<Finding> {
    borrowed::bring_home(season, &mut findings);
    accepted::mark(season, &mut findings);
    folded::fold(&mut findings);
    findings.sort_by(|one, other| {
        let key = |finding: &Finding| (finding.span().start, finding.span().end, finding.code);
        key(one).cmp(&key(other)).then_with(|| one.headline.cmp(&other.headline))
    });
    findings
}
