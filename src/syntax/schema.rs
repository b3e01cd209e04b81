//! Which fields an entry may have, in one table: the reader's messages, the language reference and its tests all come
//! from here.

use super::words::{EntryWord, FieldWord};

/// What an entry is for and what may stand under it.
#[derive(Debug)]
pub struct EntryRule {
    /// Its first word.
    pub word: EntryWord,
    /// How its first line is written.
    pub head: &'static str,
    /// What it is for.
    pub about: &'static str,
    /// Its fields.
    pub fields: &'static [FieldRule],
}

/// What a field is for in an entry.
#[derive(Debug)]
pub struct FieldRule {
    /// Its word.
    pub word: FieldWord,
    /// Whether the entry means nothing without it.
    pub required: bool,
    /// Whether it may stand more than once.
    pub repeats: bool,
    /// What it is for.
    pub about: &'static str,
    /// How it is written.
    pub example: &'static str,
}

const fn once(word: FieldWord, about: &'static str, example: &'static str) -> FieldRule {
    FieldRule { word, required: false, repeats: false, about, example }
}

const fn many(word: FieldWord, about: &'static str, example: &'static str) -> FieldRule {
    FieldRule { word, required: false, repeats: true, about, example }
}

const fn must(word: FieldWord, about: &'static str, example: &'static str) -> FieldRule {
    FieldRule { word, required: true, repeats: false, about, example }
}

const fn must_many(word: FieldWord, about: &'static str, example: &'static str) -> FieldRule {
    FieldRule { word, required: true, repeats: true, about, example }
}

/// Every entry may have notes.
const NOTE: FieldRule = many(
    FieldWord::Note,
    "Anything else, as Markdown; goes on over every line that is indented more deeply.",
    "note Canopy dry at the start.",
);

/// Every entry may accept findings about itself.
const ACCEPT: FieldRule = many(
    FieldWord::Accept,
    "Lets a finding about this entry stand, by its code, with the reason; the reason is printed in the records.",
    "accept weather-outside-limits The gust passed within a minute.",
);

/// The rule of an entry.
pub fn entry_rule(word: EntryWord) -> &'static EntryRule {
    // The table is in the order of the words; the test of the schema holds it so.
    &SCHEMA[word as usize]
}

impl EntryRule {
    /// The rule of one of its fields.
    pub fn field(&self, word: FieldWord) -> Option<&'static FieldRule> {
        self.fields.iter().find(|field| field.word == word)
    }
}

/// Every entry of the language, in the order of the language reference.
pub static SCHEMA: &[EntryRule] = &[
    EntryRule {
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
    },
    EntryRule {
        word: EntryWord::Farm,
        head: "farm larkspur-bend \"Larkspur Bend\"",
        about: "The farm that the journals of this folder belong to. One to a folder.",
        fields: &[
            once(
                FieldWord::Units,
                "Which units are printed first: `US`, `imperial` or `metric`. What you type keeps its own unit.",
                "units US",
            ),
            once(
                FieldWord::Timezone,
                "The farm's time zone, by its name in the IANA time zone database. Re-entry is counted in hours that really passed, across clock changes.",
                "timezone America/Boise",
            ),
            once(FieldWord::Address, "Where the farm is.", "address 12 Mill Lane, Larkspur Bend"),
            once(FieldWord::Owner, "Who owns or runs it, as an inspector should read it.", "owner Ada Quill"),
            once(FieldWord::Contact, "How to reach them.", "contact 555 0100"),
            many(
                FieldWord::Uses,
                "A folder of shared entries (materials, programs, mixes), seen from this folder.",
                "uses ../pantry",
            ),
            once(
                FieldWord::Needs,
                "Postings that the farm asks for at every spray in a block with workers: `sheet`, `signs`.",
                "needs sheet",
            ),
            once(
                FieldWord::JournalVersion,
                "The version of the language that the journal is written in: 1.",
                "journal-version 1",
            ),
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
        word: EntryWord::Block,
        head: "block creek-pear \"Creek pears\"",
        about: "A block, plot or bed: a place with one crop that is sprayed and picked as one.",
        fields: &[
            once(FieldWord::Crop, "The crop, by the name that rates and limits use.", "crop pear"),
            once(FieldWord::Cultivar, "The cultivar or cultivars.", "cultivar winter cultivar"),
            must_many(FieldWord::Area, "Its size, from a day on if it changed.", "area 1.2 acre from 2024-03-01"),
            once(
                FieldWord::Rows,
                "Row numbers, and if you like the spacing and the length of a row.",
                "rows 1 to 14, 16 ft apart, trees 12 ft apart, 300 ft long",
            ),
            once(FieldWord::Parcel, "The parcel number or map reference that an inspector goes by.", "parcel 17-B"),
            once(FieldWord::Location, "Where it is, in words.", "location north of the creek, second gate"),
            once(FieldWord::Certified, "Its certified status.", "certified organic since 2023"),
            once(FieldWord::Eppo, "The crop's EPPO code, where a rule asks for it.", "eppo PYUCO"),
            once(FieldWord::Workers, "Whether people other than the family work here: `yes` or `no`.", "workers yes"),
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
        word: EntryWord::Person,
        head: "person t-marsh \"Tansy Marsh\"",
        about: "Somebody who sprays, scouts, writes or authorises. The title is the full name: initials are not accepted in records.",
        fields: &[
            once(
                FieldWord::Licence,
                "Licence or certificate number, with its last day if you like.",
                "licence PA-2207 until 2027-12-31",
            ),
            once(FieldWord::Role, "What the person does.", "role applicator"),
            once(
                FieldWord::Address,
                "Postal address; organic rules ask for it.",
                "address 4 Weir Cottages, Larkspur Bend",
            ),
            once(FieldWord::Contact, "How to reach the person.", "contact 555 0101"),
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
        word: EntryWord::Rig,
        head: "rig airblast \"Airblast sprayer\"",
        about: "A sprayer, from a hand bottle to an airblast.",
        fields: &[
            once(FieldWord::Tank, "What its tank holds.", "tank 100 gal"),
            once(FieldWord::Method, "How it applies.", "method airblast, both sides"),
            once(FieldWord::Nozzles, "Which nozzles.", "nozzles 8 hollow cone"),
            once(FieldWord::Droplets, "The droplet size class.", "droplets medium"),
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
        word: EntryWord::Water,
        head: "water well \"House well\"",
        about: "A source of spray water.",
        fields: &[
            once(FieldWord::Source, "Where it comes from.", "source ground water, 60 ft"),
            many(FieldWord::Ph, "Its pH, from a day on.", "ph 7.6 from 2026-03-02"),
            many(
                FieldWord::Hardness,
                "Its hardness as calcium carbonate, from a day on.",
                "hardness 140 ppm from 2026-03-02",
            ),
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
        word: EntryWord::Material,
        head: "material magnesium-sulfate \"Magnesium sulfate heptahydrate\"",
        about: "Anything that goes into a tank. You copy the facts from its label; Foliary never supplies a rate or an interval.",
        fields: &[
            must(FieldWord::Form, "`liquid` or `dry`: what a bare `oz` of it means.", "form dry"),
            once(FieldWord::Density, "Weight per volume of a liquid.", "density 11.9 lb/gal"),
            once(
                FieldWord::Weighs,
                "What a level spoon or cup of a dry material weighs, measured by you.",
                "weighs 14 g per tbsp",
            ),
            once(
                FieldWord::Contains,
                "What it contains by weight, by element or oxide.",
                "contains Mg 9.86 %, S 13.01 %",
            ),
            once(FieldWord::Active, "Active ingredients and their share by weight.", "active calcium-polysulfide 27 %"),
            once(
                FieldWord::Class,
                "Classes that limits and keep-apart rules go by: oil, sulfur, copper, acid, soap, live-culture, oxidiser, lime-sulfur, bleach, magnesium, calcium, captan, or your own.",
                "class oil",
            ),
            once(FieldWord::Registration, "The registration or authorisation number.", "registration 99999-12"),
            many(
                FieldWord::Rate,
                "The rate that the label or your plan allows, for all crops or some.",
                "rate 0.25 to 1 oz wt per gal on pear",
            ),
            once(FieldWord::Reentry, "The re-entry interval on the label.", "reentry 12 h"),
            many(
                FieldWord::Preharvest,
                "The harvest interval on the label, for all crops or some.",
                "preharvest 14 days on peach",
            ),
            many(FieldWord::Spacing, "The shortest time between two applications.", "spacing 7 days"),
            many(
                FieldWord::Season,
                "The most in a season: sprays, amount per area, or an element or active ingredient per area.",
                "season at most 5 lb of Cu per acre",
            ),
            once(FieldWord::Group, "Resistance group.", "group FRAC M 01"),
            many(
                FieldWord::Apart,
                "Days to keep from other materials or classes on the same trees.",
                "apart 14 days from oil",
            ),
            many(FieldWord::Never, "What it must never share a tank with.", "never with acid"),
            once(FieldWord::InBloom, "Whether it may be sprayed in bloom: `yes` or `no`.", "in-bloom no"),
            many(
                FieldWord::Within,
                "The weather it may be sprayed in.",
                "within temperature 50 to 85 F, wind at most 10 mph",
            ),
            once(FieldWord::Needs, "Postings that its label asks for: `sheet`, `signs`.", "needs sheet, signs"),
            once(
                FieldWord::HomeMade,
                "Whether it is made here, so that each use names its batch: `yes` or `no`.",
                "home-made yes",
            ),
            once(FieldWord::Protection, "Protective equipment on the label.", "protection gloves, goggles"),
            once(FieldWord::Label, "Where the label is filed.", "label binder 2, page 14"),
            once(FieldWord::Sds, "Where the safety data sheet is filed.", "sds binder 3"),
            once(
                FieldWord::Source,
                "Where the facts of this entry come from.",
                "source label of lot 7, read 2026-02-11",
            ),
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
        word: EntryWord::Mix,
        head: "mix leaf-tonic",
        about: "A recipe: what goes into how much.",
        fields: &[
            once(FieldWord::In, "The finished volume that the amounts are for.", "in 1 gal"),
            once(FieldWord::Make, "The same, said another way.", "make up to 4 gal"),
            once(
                FieldWord::Into,
                "The volume of water that the amounts are put into; the finished spray is more than that.",
                "into 4 gal",
            ),
            must_many(FieldWord::Put, "An ingredient and its amount, or its rate.", "put magnesium-sulfate 0.4 oz wt"),
            once(FieldWord::Total, "The most that all ingredients together may be.", "total at most 6 oz per gal"),
            once(FieldWord::Source, "Where the recipe comes from.", "source own trials"),
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
        word: EntryWord::Program,
        head: "program pear-rounds",
        about: "Rounds of one mix, a number of days apart.",
        fields: &[
            must(FieldWord::Mix, "Which mix.", "mix leaf-tonic"),
            must(FieldWord::Blocks, "Which blocks.", "blocks creek-pear"),
            once(FieldWord::Start, "The day or the growth stage of the first round.", "start stage petal fall"),
            must(FieldWord::Rounds, "How many, and how far apart.", "rounds 3 to 4, every 7 to 10 days"),
            once(FieldWord::Source, "Where the program comes from.", "source adviser's plan for 2026"),
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
        word: EntryWord::Limits,
        head: "limits house-rules",
        about: "Rules of your own or of a guide that hold for the whole farm.",
        fields: &[
            many(
                FieldWord::Total,
                "The most of everything, or of one class, in a tank; for all crops or some.",
                "total oil at most 0.5 % v/v on pear",
            ),
            many(FieldWord::Season, "The most in a season.", "season at most 4 sprays of copper"),
            many(
                FieldWord::Apart,
                "Days to keep between two classes or materials on the same trees.",
                "apart sulfur 14 days from oil",
            ),
            many(FieldWord::Never, "What must never share a tank.", "never sulfur with oil"),
            many(FieldWord::Within, "The weather to spray in.", "within wind at most 10 mph"),
            once(FieldWord::Source, "Where the rules come from.", "source common practice, no source"),
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
        word: EntryWord::Spray,
        head: "spray creek-pear rows 1 to 9",
        about: "An application, on the page of the day it began.",
        fields: &[
            once(
                FieldWord::Mix,
                "The mix and how much of it was made: finished, or `into` so much water.",
                "mix leaf-tonic, 60 gal",
            ),
            many(FieldWord::Put, "An ingredient put in besides the mix, or without one.", "put soap 1 fl oz per gal"),
            once(FieldWord::Volume, "The finished volume, where no mix is named.", "volume 60 gal"),
            many(
                FieldWord::Measured,
                "An ingredient as it was measured out, for the whole job.",
                "measured magnesium-sulfate 24 oz wt",
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
            once(FieldWord::Water, "The water.", "water well"),
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
            once(
                FieldWord::Entered,
                "When and by whom the record was written down.",
                "entered 2026-05-15 07:30 by r-vale",
            ),
            once(
                FieldWord::Evidence,
                "The test, plan or recommendation behind it.",
                "evidence leaf test of 2026-04-02",
            ),
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
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
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
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
    },
    EntryRule {
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
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
        word: EntryWord::Work,
        head: "work creek-pear",
        about: "People in a block for anything but spraying and picking.",
        fields: &[
            once(FieldWord::Time, "From when to when.", "time 08:00 to 12:00"),
            once(FieldWord::Task, "What was done.", "task hand thinning"),
            once(FieldWord::By, "Who.", "by t-marsh"),
            once(FieldWord::Crew, "Who else.", "crew 3 thinners"),
            once(FieldWord::Entered, "When and by whom the record was written down.", "entered 2026-06-02 by t-marsh"),
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
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
    },
    EntryRule {
        word: EntryWord::Receive,
        head: "receive magnesium-sulfate",
        about: "A delivery.",
        fields: &[
            must(FieldWord::Amount, "How much came.", "amount 50 lb"),
            once(FieldWord::Lot, "The maker's lot.", "lot 7"),
            once(FieldWord::Supplier, "Who delivered.", "supplier feed store, Larkspur Bend"),
            once(FieldWord::Invoice, "The receipt.", "invoice 2026-118"),
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
        word: EntryWord::Brew,
        head: "brew whey-3 of whey-culture",
        about: "A home-made batch, on the page of the day it was started.",
        fields: &[
            many(FieldWord::Put, "What went in.", "put whole-milk 2 gal"),
            once(FieldWord::Amount, "How much it gave.", "amount 1.5 gal"),
            once(FieldWord::Ready, "The first day it may be used.", "ready 2026-05-04"),
            once(FieldWord::UseBy, "The last day it may be used.", "use-by 2026-07-01"),
            once(FieldWord::Ph, "Its pH.", "ph 4.2"),
            once(FieldWord::By, "Who made it.", "by t-marsh"),
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
        word: EntryWord::Calibrate,
        head: "calibrate airblast",
        about: "A sprayer measured.",
        fields: &[
            once(FieldWord::Output, "The volume per area that it puts out.", "output 75 gal per acre"),
            once(FieldWord::Speed, "The ground speed.", "speed 2.5 mph"),
            once(FieldWord::Pressure, "The pressure.", "pressure 120 psi"),
            once(
                FieldWord::Setup,
                "Gear, nozzles open, and whatever else makes the setup.",
                "setup second gear, all nozzles",
            ),
            once(FieldWord::By, "Who measured.", "by t-marsh"),
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
        word: EntryWord::Clean,
        head: "clean airblast",
        about: "A sprayer cleaned.",
        fields: &[
            once(FieldWord::Method, "How.", "method triple rinse, filters off"),
            once(FieldWord::Rinse, "How much water.", "rinse 10 gal"),
            once(FieldWord::By, "Who.", "by t-marsh"),
            NOTE,
            ACCEPT,
        ],
    },
    EntryRule {
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
    },
];
