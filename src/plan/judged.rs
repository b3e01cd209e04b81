//! Which checks judge a planned spray: those that are about what is in the tank, where it goes and when. Checks of how a
//! record is kept (times, people, postings, amounts measured) say nothing about a spray that is not done yet.

/// A check that judges what is planned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Judged {
    /// Its code.
    pub code: &'static str,
    /// Whether another day can help.
    pub when: When,
}

/// Whether what a check finds depends on the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// On any day alike.
    Anytime,
    /// Another day may be clear.
    OnTheDay,
}

const fn anytime(code: &'static str) -> Judged {
    Judged { code, when: When::Anytime }
}

const fn on_the_day(code: &'static str) -> Judged {
    Judged { code, when: When::OnTheDay }
}

/// The checks that judge what is planned.
pub const JUDGED: &[Judged] = &[
    anytime("rate-outside-range"),
    anytime("mix-over-limit"),
    anytime("class-over-limit"),
    anytime("volume-disagrees"),
    anytime("calibration-old"),
    anytime("not-in-one-tank"),
    anytime("dangerous-tank"),
    anytime("tank-ph-outside"),
    anytime("season-count-exceeded"),
    anytime("season-amount-exceeded"),
    anytime("purpose-against-status"),
    anytime("minimum-risk-claim"),
    anytime("refused-substance"),
    anytime("input-not-approved"),
    anytime("need-test-missing"),
    anytime("build-up-unwatched"),
    anytime("lot-expired"),
    on_the_day("basic-substance-use"),
    on_the_day("spacing-too-short"),
    on_the_day("kept-too-close"),
    on_the_day("harvest-in-interval"),
    on_the_day("entry-before-reentry"),
    on_the_day("sprayed-in-bloom"),
    on_the_day("weather-outside-limits"),
    on_the_day("manure-before-harvest"),
    on_the_day("tea-on-food"),
];

/// The check of a code, where it judges what is planned.
pub fn judged(code: &str) -> Option<Judged> {
    JUDGED.iter().copied().find(|judged| judged.code == code)
}
