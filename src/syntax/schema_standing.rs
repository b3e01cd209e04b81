//! The rows of [`super::SCHEMA`] for what is so, needing no date.

use super::schema::{ACCEPT, EntryRule, FieldRule, NOTE, many, must, must_many, once};
use super::words::{EntryWord, FieldWord};

/// Mixes and limits say in which order things go into the tank.
const ORDER: FieldRule = once(
    FieldWord::Order,
    "The order of addition: materials, classes, or the words `dry` and `liquid`.",
    "order kelp, whey-culture, soap",
);

/// Programs and limits say what rain does to a round.
const HALVE: FieldRule = once(
    FieldWord::Halve,
    "How much rain since the last spray halves the days that are left to the next round.",
    "halve after 1 in of rain",
);

/// The same of more rain.
const RENEW: FieldRule =
    once(FieldWord::Renew, "How much rain since the last spray asks for a new one.", "renew after 2 in of rain");

/// Programs and sprays say how many times as strong as dilute the tank is.
pub(super) const CONCENTRATE: FieldRule = once(
    FieldWord::Concentrate,
    "The rates per volume are for dilute spray and go into the tank so many times as strong.",
    "concentrate 4 times",
);

/// What stands under `farm`.
pub(super) const FARM: EntryRule = EntryRule {
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
            FieldWord::Permit,
            "The operator identification or permit number that an office knows the farm by.",
            "permit 27-13-2700456",
        ),
        many(
            FieldWord::Rulebook,
            "Sets of rules that the farm works under, by name; from when and until when if you like.",
            "rulebook us-worker-protection, us-organic from 2024-01-01 until 2026-12-31",
        ),
        once(FieldWord::Keep, "How many years the farm keeps its records.", "keep 5 years"),
        once(
            FieldWord::History,
            "Since when the git history of this folder says something about the records; `none` where it never does.",
            "history from 2026-03-01",
        ),
        once(
            FieldWord::Pantry,
            "Whether the materials that come with Foliary may be used by name: `yes` or `no`.",
            "pantry yes",
        ),
        once(FieldWord::Currency, "What prices are counted in.", "currency USD"),
        many(
            FieldWord::Measures,
            "The measuring tools at hand: a cup, a spoon, the smallest step of a scale or of a jug's marks.",
            "measures 1 cup, 1 tbsp, 1/4 tsp, 1 oz wt",
        ),
        once(
            FieldWord::JournalVersion,
            "The version of the language that the journal is written in: 1.",
            "journal-version 1",
        ),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `block`.
pub(super) const BLOCK: EntryRule = EntryRule {
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
        once(FieldWord::Site, "The site identification number that an office gave it.", "site 14-B"),
        once(FieldWord::Survey, "County, section, township and range.", "survey Tulare, S12 T18S R24E"),
        once(FieldWord::Map, "The map that shows it.", "map sheet 4"),
        once(
            FieldWord::Enclosed,
            "Whether it is closed in: a greenhouse, a tunnel, a mushroom house. `yes` or `no`.",
            "enclosed no",
        ),
        once(
            FieldWord::SoilContact,
            "Whether the part that is eaten can touch the soil or be splashed from it: `yes` or `no`.",
            "soil-contact no",
        ),
        many(
            FieldWord::Picking,
            "When picking is expected: a day, or from one day to another.",
            "picking 2026-09-10 to 2026-10-01",
        ),
        many(
            FieldWord::Canopy,
            "How high the trees are and how wide across the row, from a day on.",
            "canopy 10 ft high, 8 ft wide from 2026-06-01",
        ),
        many(
            FieldWord::Dilute,
            "What it takes to wet the trees to the drip, per canopy volume or per area, from a day on.",
            "dilute 0.7 gal per 1000 cu ft from 2026-06-01",
        ),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `person`.
pub(super) const PERSON: EntryRule = EntryRule {
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
            FieldWord::Family,
            "Whether the person is the owner or of the immediate family: `yes` or `no`.",
            "family no",
        ),
        once(FieldWord::Address, "Postal address; organic rules ask for it.", "address 4 Weir Cottages, Larkspur Bend"),
        once(FieldWord::Contact, "How to reach the person.", "contact 555 0101"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `rig`.
pub(super) const RIG: EntryRule = EntryRule {
    word: EntryWord::Rig,
    head: "rig airblast \"Airblast sprayer\"",
    about: "A sprayer, from a hand bottle to an airblast.",
    fields: &[
        once(FieldWord::Tank, "What its tank holds.", "tank 100 gal"),
        once(FieldWord::Method, "How it applies.", "method airblast, both sides"),
        once(FieldWord::Nozzles, "Which nozzles.", "nozzles 8 hollow cone"),
        once(FieldWord::Droplets, "The droplet size class.", "droplets medium"),
        once(FieldWord::Height, "How high above the ground the spray leaves it.", "height 4 ft"),
        once(FieldWord::Recalibrate, "How long a calibration counts: a rule of your own.", "recalibrate every 90 days"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `water`.
pub(super) const WATER: EntryRule = EntryRule {
    word: EntryWord::Water,
    head: "water well \"House well\"",
    about: "A source of spray water.",
    fields: &[
        once(FieldWord::Source, "Where it comes from.", "source ground water, 60 ft"),
        once(FieldWord::Kind, "What it is: `ground`, `surface`, `mains` or `rain`.", "kind ground"),
        many(FieldWord::Ph, "Its pH, from a day on.", "ph 7.6 from 2026-03-02"),
        many(
            FieldWord::Hardness,
            "Its hardness as calcium carbonate, from a day on.",
            "hardness 140 ppm from 2026-03-02",
        ),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `material`.
pub(super) const MATERIAL: EntryRule = EntryRule {
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
        once(FieldWord::Contains, "What it contains by weight, by element or oxide.", "contains Mg 9.86 %, S 13.01 %"),
        once(FieldWord::Active, "Active ingredients and their share by weight.", "active calcium-polysulfide 27 %"),
        once(
            FieldWord::Class,
            "Classes that limits and keep-apart rules go by: oil, sulfur, copper, acid, soap, live-culture, oxidiser, lime-sulfur, bleach, magnesium, calcium, captan, or your own.",
            "class oil",
        ),
        once(FieldWord::Registration, "The registration or authorisation number.", "registration 99999-12"),
        once(
            FieldWord::Status,
            "What it is to the law here: `registered`, `minimum-risk`, `fertiliser`, `food`, `basic-substance`, `adjuvant` or `none`.",
            "status fertiliser",
        ),
        once(FieldWord::Origin, "`synthetic` or `natural`, where a rule asks for it.", "origin natural"),
        once(
            FieldWord::Purpose,
            "What it is used for here, whatever else is in the tank: `nutrition`, `pest`, `disease`, `weed`, `growth`, `sanitation`, `adjuvant`.",
            "purpose nutrition",
        ),
        once(
            FieldWord::LabelLimits,
            "What the label ties its use to: `time` of day, growth `stage`, `weather`.",
            "label-limits time, weather",
        ),
        many(
            FieldWord::Rate,
            "The rate that the label or your plan allows, for all crops or some.",
            "rate 0.25 to 1 oz wt per gal on pear",
        ),
        many(
            FieldWord::Published,
            "A rate that has been published: information, never checked as permission.",
            "published 2 kg per 100 L on apple",
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
        many(
            FieldWord::Price,
            "What it costs: the money, and per how much of it; from a day on.",
            "price 38.50 per 50 lb from 2026-01-01",
        ),
        once(FieldWord::TankPh, "The pH that the label or your plan asks of the finished tank.", "tank-ph 5.5 to 6.5"),
        many(FieldWord::Measures, "Its own measuring tools; they come before the farm's.", "measures 1 tbsp, 1/2 tsp"),
        many(
            FieldWord::Source,
            "Where the facts of this entry come from; of one fact behind its word and a colon, and if you like how it is known: `; read`, `; computed`, `; from memory` or `; common practice`.",
            "source density: handbook of the county press, table 4; read",
        ),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `mix`.
pub(super) const MIX: EntryRule = EntryRule {
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
        ORDER,
        once(FieldWord::Source, "Where the recipe comes from.", "source own trials"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `program`.
pub(super) const PROGRAM: EntryRule = EntryRule {
    word: EntryWord::Program,
    head: "program pear-rounds",
    about: "Rounds of one mix, a number of days apart.",
    fields: &[
        must(FieldWord::Mix, "Which mix.", "mix leaf-tonic"),
        must(FieldWord::Blocks, "Which blocks.", "blocks creek-pear"),
        once(
            FieldWord::Start,
            "When the first round is due: a day, a growth stage in words or by its BBCH code, or an incidence or severity that was seen.",
            "start stage petal fall",
        ),
        must(FieldWord::Rounds, "How many, and how far apart.", "rounds 3 to 4, every 7 to 10 days"),
        once(
            FieldWord::Window,
            "The growth stages in which its rounds may be sprayed, by their BBCH codes.",
            "window BBCH 59 to 75",
        ),
        once(FieldWord::Until, "The last day of its rounds.", "until 2026-08-15"),
        HALVE,
        RENEW,
        once(FieldWord::Volume, "The volume planned for each block, or per area.", "volume 75 gal per acre"),
        once(FieldWord::Rig, "The sprayer planned.", "rig airblast"),
        once(FieldWord::Water, "The water planned.", "water well"),
        once(FieldWord::Reason, "Why.", "reason nutrition"),
        once(FieldWord::Target, "Against what, where it is against something.", "target pear scab"),
        CONCENTRATE,
        once(FieldWord::Source, "Where the program comes from.", "source adviser's plan for 2026"),
        NOTE,
        ACCEPT,
    ],
};

/// What stands under `limits`.
pub(super) const LIMITS: EntryRule = EntryRule {
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
        ORDER,
        many(
            FieldWord::Stop,
            "When to break off, in the words for the person at the sprayer.",
            "stop If the wind passes 10 mph, stop and write down the row.",
        ),
        HALVE,
        RENEW,
        once(FieldWord::Source, "Where the rules come from.", "source common practice, no source"),
        NOTE,
        ACCEPT,
    ],
};
