//! The rows of [`super::SCHEMA`] for pages and what stands under a date.

use super::schema::{ACCEPT, EntryRule, NOTE, many, must, once};
use super::schema_standing::CONCENTRATE;
use super::words::{EntryWord, FieldWord};

/// What stands under `day`.
pub(super) const DAY: EntryRule = EntryRule {
    word: EntryWord::Day,
    head: "2026-05-14 Thu",
    about: "A page of the journal: everything below it, up to the next date line, happened on that day. The weekday is optional and checked. Only this order of year, month and day.",
    fields: &[
        many(FieldWord::Note, "Anything about the day, as Markdown.", "note Frost at dawn, gone by seven."),
        many(
            FieldWord::Accept,
            "Lets a finding about the date line stand, with the reason.",
            "accept wrong-weekday The paper page says Friday; the date is right.",
        ),
    ],
};

/// What stands under `spray`.
pub(super) const SPRAY: EntryRule = EntryRule {
    word: EntryWord::Spray,
    head: "spray creek-pear rows 1 to 9",
    about: "An application, on the page of the day it began.",
    fields: &[
        once(
            FieldWord::Mix,
            "The mix and how much of it was made: finished, or `into` so much water.",
            "mix leaf-tonic, 60 gal",
        ),
        many(
            FieldWord::Put,
            "An ingredient put in besides the mix, or without one; its lot at the end of the line if you like.",
            "put soap 1 fl oz per gal",
        ),
        once(FieldWord::Volume, "The finished volume, where no mix is named.", "volume 60 gal"),
        many(
            FieldWord::Measured,
            "An ingredient as it was measured out, for the whole job; its lot at the end of the line if you like.",
            "measured magnesium-sulfate 24 oz wt, lot 7",
        ),
        many(
            FieldWord::Load,
            "What went into one load of the tank, or into each of several alike.",
            "load 2 of 500 gal, sulfur 20 lb",
        ),
        once(FieldWord::Batch, "The home-made batches used.", "batch whey-3"),
        once(FieldWord::Over, "The area treated. All blocks of the entry together.", "over 0.8 acre"),
        many(FieldWord::Time, "From when to when; once for each session.", "time 05:50 to 07:20"),
        once(FieldWord::By, "Who sprayed.", "by t-marsh"),
        once(FieldWord::Authorised, "Who authorised it.", "authorised r-vale"),
        once(FieldWord::Rig, "The sprayer.", "rig airblast"),
        once(FieldWord::Setup, "Which of the sprayer's setups, in the words of its calibration.", "setup second gear"),
        once(FieldWord::Water, "The water.", "water well"),
        once(FieldWord::Ph, "The tank's own pH, as measured.", "ph 5.9"),
        CONCENTRATE,
        many(
            FieldWord::Weather,
            "Temperature, wind, humidity, at the start and when it changed.",
            "weather 52 F, wind 3 mph NW, humidity 74 %",
        ),
        once(FieldWord::Stage, "The growth stage, with its BBCH code if you know it.", "stage petal fall, BBCH 67"),
        once(FieldWord::Reason, "Why.", "reason nutrition"),
        once(FieldWord::Target, "Against what, where it is against something.", "target pear scab"),
        once(FieldWord::Use, "Type of use, where a rule asks for it.", "use surface treatment"),
        once(FieldWord::Stopped, "Where and why it was broken off.", "stopped row 9: wind 12 mph SW"),
        once(
            FieldWord::Leftover,
            "What was left in the tank, and where it went.",
            "leftover 8 gal on creek-pear rows 10 to 11",
        ),
        once(FieldWord::Entered, "When and by whom the record was written down.", "entered 2026-05-15 07:30 by r-vale"),
        many(
            FieldWord::Signed,
            "By whom the record was signed, and when; the time if you like.",
            "signed by r-vale on 2026-05-15 08:00",
        ),
        once(FieldWord::Evidence, "The test, plan or recommendation behind it.", "evidence leaf test of 2026-04-02"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `skip`.
pub(super) const SKIP: EntryRule = EntryRule {
    word: EntryWord::Skip,
    head: "skip creek-pear, hill-pear",
    about: "A round that was left out on purpose, on the page of the day that this was decided.",
    fields: &[
        must(FieldWord::Program, "Of which program.", "program pear-rounds"),
        must(FieldWord::Reason, "Why.", "reason no scab after three dry weeks"),
        once(FieldWord::By, "Who decided it.", "by r-vale"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `observe`.
pub(super) const OBSERVE: EntryRule = EntryRule {
    word: EntryWord::Observe,
    head: "observe creek-pear",
    about: "What was seen.",
    fields: &[
        once(FieldWord::Time, "When.", "time 08:10"),
        once(FieldWord::By, "Who looked.", "by t-marsh"),
        once(FieldWord::Stage, "The growth stage.", "stage petal fall, half of the clusters"),
        once(FieldWord::Bloom, "How much of the bloom is open.", "bloom 60 %"),
        many(FieldWord::Incidence, "How many of how many were affected.", "incidence leaf-spot 7 of 100 leaves"),
        many(
            FieldWord::Severity,
            "How much of the leaf or fruit area was affected.",
            "severity leaf-spot 4 % of leaf area",
        ),
        many(FieldWord::Brix, "Dissolved solids of leaf sap or fruit.", "brix 11.5 of 10 leaves at 10:00"),
        many(FieldWord::Growth, "Shoot growth.", "growth 11 in of 10 shoots"),
        once(FieldWord::FruitSet, "Fruits set of flowers counted.", "fruit-set 40 of 120 flowers"),
        many(FieldWord::Photo, "Where the photograph is filed.", "photo 2026-05-18-creek-pear-3"),
        once(FieldWord::Entered, "When and by whom the record was written down.", "entered 2026-05-18 by t-marsh"),
        many(
            FieldWord::Signed,
            "By whom the record was signed, and when; the time if you like.",
            "signed by r-vale on 2026-05-15 08:00",
        ),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `weather`.
pub(super) const WEATHER: EntryRule = EntryRule {
    word: EntryWord::Weather,
    head: "weather",
    about: "The day's weather at the farm.",
    fields: &[
        many(FieldWord::Reading, "A reading, with its time.", "reading 06:10 52 F, wind 3 mph NW, humidity 74 %"),
        once(FieldWord::High, "The day's highest temperature.", "high 78 F"),
        once(FieldWord::Low, "The day's lowest temperature.", "low 41 F"),
        once(FieldWord::Rain, "The day's rain.", "rain 0.4 in"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `forecast`.
pub(super) const FORECAST: EntryRule = EntryRule {
    word: EntryWord::Forecast,
    head: "forecast",
    about: "The weather foretold for a day, which may still be to come.",
    fields: &[
        many(FieldWord::Reading, "What is foretold for a time.", "reading 06:00 50 F, wind 5 mph NW, humidity 80 %"),
        once(FieldWord::High, "The day's highest temperature.", "high 78 F"),
        once(FieldWord::Low, "The day's lowest temperature.", "low 41 F"),
        once(FieldWord::Rain, "The day's rain.", "rain 0.4 in"),
        once(FieldWord::Source, "Whose forecast, and from when.", "source valley weather office, 18:00 the day before"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `harvest`.
pub(super) const HARVEST: EntryRule = EntryRule {
    word: EntryWord::Harvest,
    head: "harvest creek-pear",
    about: "A pick.",
    fields: &[
        once(FieldWord::Time, "From when to when.", "time 07:00 to 11:30"),
        once(FieldWord::Amount, "How much was picked.", "amount 420 lb"),
        once(FieldWord::Lot, "The lot it went into.", "lot CP-0914"),
        once(FieldWord::By, "Who picked or led the pick.", "by t-marsh"),
        once(FieldWord::Crew, "Who else.", "crew 4 pickers"),
        once(FieldWord::Entered, "When and by whom the record was written down.", "entered 2026-09-14 by t-marsh"),
        many(
            FieldWord::Signed,
            "By whom the record was signed, and when; the time if you like.",
            "signed by r-vale on 2026-05-15 08:00",
        ),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `work`.
pub(super) const WORK: EntryRule = EntryRule {
    word: EntryWord::Work,
    head: "work creek-pear",
    about: "People in a block for anything but spraying and picking.",
    fields: &[
        once(FieldWord::Time, "From when to when.", "time 08:00 to 12:00"),
        once(FieldWord::Task, "What was done.", "task hand thinning"),
        once(FieldWord::By, "Who.", "by t-marsh"),
        once(FieldWord::Crew, "Who else.", "crew 3 thinners"),
        once(FieldWord::Entered, "When and by whom the record was written down.", "entered 2026-06-02 by t-marsh"),
        many(
            FieldWord::Signed,
            "By whom the record was signed, and when; the time if you like.",
            "signed by r-vale on 2026-05-15 08:00",
        ),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `post`.
pub(super) const POST: EntryRule = EntryRule {
    word: EntryWord::Post,
    head: "post creek-pear",
    about: "A sheet or signs put up or taken down; without a block, for the whole farm.",
    fields: &[
        many(FieldWord::Up, "What went up, and when: `sheet`, `signs`.", "up sheet at 07:30"),
        many(FieldWord::Down, "What came down, and when.", "down signs at 08:00"),
        once(FieldWord::By, "Who did it.", "by r-vale"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `receive`.
pub(super) const RECEIVE: EntryRule = EntryRule {
    word: EntryWord::Receive,
    head: "receive magnesium-sulfate",
    about: "A delivery.",
    fields: &[
        must(FieldWord::Amount, "How much came.", "amount 50 lb"),
        once(FieldWord::Lot, "The maker's lot.", "lot 7"),
        once(FieldWord::Supplier, "Who delivered.", "supplier feed store, Larkspur Bend"),
        once(FieldWord::Invoice, "The receipt.", "invoice 2026-118"),
        once(FieldWord::Paid, "What was paid for all of it.", "paid 38.50"),
        once(FieldWord::UseBy, "The last day it may be used.", "use-by 2027-03-01"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `brew`.
pub(super) const BREW: EntryRule = EntryRule {
    word: EntryWord::Brew,
    head: "brew whey-3 of whey-culture",
    about: "A home-made batch, on the page of the day it was started.",
    fields: &[
        many(FieldWord::Put, "What went in.", "put whole-milk 2 gal"),
        once(FieldWord::Amount, "How much it gave.", "amount 1.5 gal"),
        once(FieldWord::Ready, "The first day it may be used.", "ready 2026-05-04"),
        once(FieldWord::UseBy, "The last day it may be used.", "use-by 2026-07-01"),
        once(FieldWord::Ph, "Its pH.", "ph 4.2"),
        once(FieldWord::Water, "The water it was made with.", "water well"),
        once(FieldWord::By, "Who made it.", "by t-marsh"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `calibrate`.
pub(super) const CALIBRATE: EntryRule = EntryRule {
    word: EntryWord::Calibrate,
    head: "calibrate airblast",
    about: "A sprayer measured.",
    fields: &[
        once(FieldWord::Output, "The volume per area that it puts out.", "output 75 gal per acre"),
        once(FieldWord::Speed, "The ground speed.", "speed 2.5 mph"),
        once(FieldWord::Pressure, "The pressure.", "pressure 120 psi"),
        once(
            FieldWord::Driving,
            "How the rows are driven: `both-sides`, `one-side` or `alternate-rows`.",
            "driving both-sides",
        ),
        once(FieldWord::Course, "The distance driven, and how long it took.", "course 340 ft in 58 s"),
        once(
            FieldWord::Plot,
            "A plot sprayed by hand, by its sides or its area, and how long it took.",
            "plot 18.5 ft by 18.5 ft in 75 s",
        ),
        once(
            FieldWord::Width,
            "What one nozzle or one pass covers: nozzle spacing, spray width, swath or row spacing.",
            "width 20 in",
        ),
        once(FieldWord::Open, "How many nozzles are open.", "open 24 nozzles"),
        many(
            FieldWord::Caught,
            "What was caught from each nozzle, and in how long.",
            "caught 22 fl oz, 21.5 fl oz, 23 fl oz in 58 s",
        ),
        once(
            FieldWord::Rated,
            "What a new nozzle gives, in how long, and at which pressure.",
            "rated 0.4 gal in 1 min at 40 psi",
        ),
        once(FieldWord::Used, "What filling up again took.", "used 12 gal"),
        once(
            FieldWord::Setup,
            "Gear, nozzles open, and whatever else makes the setup.",
            "setup second gear, all nozzles",
        ),
        once(FieldWord::By, "Who measured.", "by t-marsh"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `clean`.
pub(super) const CLEAN: EntryRule = EntryRule {
    word: EntryWord::Clean,
    head: "clean airblast",
    about: "A sprayer cleaned.",
    fields: &[
        once(FieldWord::Method, "How.", "method triple rinse, filters off"),
        many(FieldWord::Time, "From when to when.", "time 10:00 to 10:30"),
        once(FieldWord::Rinse, "How much water, and where it went.", "rinse 10 gal on creek-pear rows 1 to 3"),
        once(FieldWord::By, "Who.", "by t-marsh"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `amend`.
pub(super) const AMEND: EntryRule = EntryRule {
    word: EntryWord::Amend,
    head: "amend spray of creek-pear 2026-05-14",
    about: "Says that a record was corrected: put the record right where it stands, and say here what it was.",
    fields: &[
        must(FieldWord::Was, "What the record said before.", "was measured magnesium-sulfate 42 oz wt"),
        must(FieldWord::Now, "What it says now.", "now measured magnesium-sulfate 24 oz wt"),
        must(FieldWord::Reason, "Why it was changed.", "reason digits swapped when copied from the tank card"),
        once(FieldWord::By, "Who changed it.", "by r-vale"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `approve`.
pub(super) const APPROVE: EntryRule = EntryRule {
    word: EntryWord::Approve,
    head: "approve magnesium-sulfate, whey-culture",
    about: "Materials that somebody has approved for this farm, before they are used.",
    fields: &[
        once(FieldWord::Authority, "Who approved them.", "authority Valley Certifiers"),
        once(FieldWord::Evidence, "The letter or the list that says so.", "evidence letter of 2026-02-20, binder 4"),
        once(
            FieldWord::Restriction,
            "What the approval ties their use to.",
            "restriction only with a leaf test that shows the need",
        ),
        once(FieldWord::Until, "The last day it holds.", "until 2027-03-01"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `train`.
pub(super) const TRAIN: EntryRule = EntryRule {
    word: EntryWord::Train,
    head: "train t-marsh, r-vale",
    about: "People trained, fitted or examined.",
    fields: &[
        must(FieldWord::Course, "Which: `worker`, `handler`, `fit-test`, `respirator` or `medical`.", "course worker"),
        once(FieldWord::Trainer, "Who trained or examined them.", "trainer Rowan Vale"),
        once(FieldWord::Evidence, "The materials that were used, or the certificate.", "evidence certificate 2026-31"),
        many(
            FieldWord::Signed,
            "By whom the record was signed, and when; the time if you like.",
            "signed by r-vale on 2026-05-15 08:00",
        ),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `sample`.
pub(super) const SAMPLE: EntryRule = EntryRule {
    word: EntryWord::Sample,
    head: "sample creek-pear",
    about: "A sample sent to a laboratory, on the page of the day it was taken.",
    fields: &[
        must(FieldWord::Kind, "Of what: `soil`, `tissue` or `water`.", "kind tissue"),
        many(FieldWord::Found, "What the laboratory found.", "found Mg 0.18 %, low"),
        once(FieldWord::Lab, "Which laboratory.", "lab Tarrow Soil and Leaf"),
        once(FieldWord::Evidence, "The number of its report.", "evidence report 26-0417"),
        once(FieldWord::By, "Who took it.", "by t-marsh"),
        many(
            FieldWord::Signed,
            "By whom the record was signed, and when; the time if you like.",
            "signed by r-vale on 2026-05-15 08:00",
        ),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `count`.
pub(super) const COUNT: EntryRule = EntryRule {
    word: EntryWord::Count,
    head: "count magnesium-sulfate",
    about: "What is on the shelf, counted or weighed.",
    fields: &[
        must(FieldWord::Amount, "How much there is.", "amount 12 lb"),
        once(FieldWord::Lot, "Of which lot, where only that was counted.", "lot 7"),
        once(FieldWord::By, "Who counted.", "by t-marsh"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `discard`.
pub(super) const DISCARD: EntryRule = EntryRule {
    word: EntryWord::Discard,
    head: "discard magnesium-sulfate",
    about: "Something that left the shed unused.",
    fields: &[
        must(FieldWord::Amount, "How much.", "amount 4 lb"),
        once(FieldWord::Lot, "Of which lot.", "lot 7"),
        once(FieldWord::Method, "Where it went.", "method county collection day"),
        once(FieldWord::Reason, "Why.", "reason got wet"),
        once(FieldWord::By, "Who took it away.", "by r-vale"),
        NOTE,
        ACCEPT,
    ],
};
