//! The kinds of things that a rule can ask for, and for which sprays it asks.

use super::Element;
use crate::journal::{Course, Origin, SampleKind, Status, WaterKind};
use crate::quantity::{Amount, Exact};
use crate::trade::DropletClass;

/// What a rule asks for.
#[derive(Clone, Debug, PartialEq)]
pub enum Demand {
    /// The record says these things.
    Elements(Vec<Element>),
    /// The record is made within a time.
    Deadline(TimeSpan),
    /// A machine-readable form is made within a time.
    MachineReadable(TimeSpan),
    /// A report is handed in by a day of the next month.
    MonthlyReport {
        /// The day of the month.
        day: u32,
    },
    /// The record is kept.
    Keep(Keep),
    /// A sheet is displayed at a central place.
    Display {
        /// Up within so many seconds of the end.
        up_within: i64,
        /// And before anyone comes into the treated ground.
        before_entry: bool,
        /// Down no sooner than so many seconds after re-entry ends.
        stays: i64,
    },
    /// Warning signs stand at the treated ground.
    Signs {
        /// Where the re-entry interval is longer than so many seconds, outdoors.
        outdoors_over: i64,
        /// The same for enclosed space.
        enclosed_over: i64,
        /// Up at most so many seconds before the start.
        before: i64,
        /// Down within so many seconds after re-entry ends.
        down_within: i64,
    },
    /// Nobody but the handlers within a distance while spraying.
    ExclusionZone {
        /// The distance.
        distance: Amount,
        /// Words of the methods that ask for it.
        methods: Vec<String>,
        /// Droplets finer than this class ask for it, too.
        finer_than: Option<DropletClass>,
        /// Spray released higher than this asks for it, too. Where none of the three is written, every spray asks for it.
        height_over: Option<Amount>,
    },
    /// People are taught in the time before.
    Training {
        /// Which course.
        course: Course,
        /// How many months it lasts.
        months: u32,
        /// Whether it is asked of who sprays, else of who works in the block.
        applicators: bool,
        /// For how many seconds after the end of the spray, or of its re-entry interval, it is asked of who works there.
        entering_within: i64,
        /// Other courses that will do.
        or: Vec<Course>,
        /// Whether the owner's family is exempt.
        family_exempt: bool,
        /// Whether people with a valid licence are exempt.
        licensed_exempt: bool,
    },
    /// Who sprays has a licence that is valid on the day.
    Licence,
    /// Who sprays had a respirator fitted in the time before.
    FitTest {
        /// How many months it lasts.
        months: u32,
    },
    /// Registration numbers have so many groups of digits with hyphens between.
    RegistrationForm {
        /// How many groups: the fewest and the most.
        groups: (usize, usize),
    },
    /// Things of these kinds are not used against pests, diseases and weeds.
    Purpose {
        /// Which statuses are not enough.
        statuses: Vec<Status>,
    },
    /// Things of a status contain only listed active ingredients.
    ListedActives {
        /// Which statuses are judged.
        statuses: Vec<Status>,
        /// The list, in lower case.
        actives: Vec<String>,
    },
    /// A substance is used only so.
    ApprovedUse(UseLimit),
    /// These substances may not be used.
    Refused {
        /// Names or classes, in lower case.
        substances: Vec<String>,
    },
    /// An input is approved before it is used.
    ApprovedInput,
    /// A test shows the need.
    Test {
        /// Classes of the materials that need one, in lower case.
        classes: Vec<String>,
        /// Only where they are of this origin.
        origin: Option<Origin>,
        /// Which tests count.
        kinds: Vec<SampleKind>,
    },
    /// The plan says why something is used against a pest, a disease or weeds.
    PlanReason,
    /// What builds up in the soil is watched.
    BuildUp {
        /// The element.
        element: String,
    },
    /// Days from a material to the harvest.
    DaysToHarvest {
        /// Classes of the material, in lower case.
        classes: Vec<String>,
        /// Days where the edible part does not touch the soil.
        days: u32,
        /// Days where it does.
        touching_soil: u32,
    },
    /// Extracts of this kind must not touch what is eaten.
    Tea {
        /// Classes of the extract.
        teas: Vec<String>,
        /// Classes of what comes from animals.
        animal: Vec<String>,
        /// Classes of what comes from animals and makes it untreated by itself.
        untreated: Vec<String>,
        /// Classes of what feeds microbes.
        additives: Vec<String>,
        /// Waters that make it untreated.
        waters: Vec<WaterKind>,
    },
    /// Said, and not checked.
    Note,
}

impl Demand {
    /// The name of the kind in a rulebook.
    pub const fn name(&self) -> &'static str {
        match self {
            Demand::Elements(_) => "elements",
            Demand::Deadline(_) => "deadline",
            Demand::MachineReadable(_) => "machine-readable",
            Demand::MonthlyReport { .. } => "monthly-report",
            Demand::Keep(_) => "keep",
            Demand::Display { .. } => "display",
            Demand::Signs { .. } => "signs",
            Demand::ExclusionZone { .. } => "exclusion-zone",
            Demand::Training { .. } => "training",
            Demand::Licence => "licence",
            Demand::FitTest { .. } => "fit-test",
            Demand::RegistrationForm { .. } => "registration-form",
            Demand::Purpose { .. } => "purpose",
            Demand::ListedActives { .. } => "listed-actives",
            Demand::ApprovedUse(_) => "approved-use",
            Demand::Refused { .. } => "refused",
            Demand::ApprovedInput => "approved-input",
            Demand::Test { .. } => "test",
            Demand::PlanReason => "plan-reason",
            Demand::BuildUp { .. } => "build-up",
            Demand::DaysToHarvest { .. } => "days-to-harvest",
            Demand::Tea { .. } => "tea",
            Demand::Note => "note",
        }
    }
}

/// How long after a spray something may be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TimeSpan {
    /// On the day of the spray.
    SameDay,
    /// Within so many days of the calendar, the day of the spray being day 0.
    Days(u32),
    /// Within so many seconds of the end.
    Seconds(i64),
}

/// How long a record is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Keep {
    /// Years.
    pub years: u32,
    /// From when.
    pub from: KeepFrom,
}

/// From when the time of keeping runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeepFrom {
    /// The day of the spray.
    Spray,
    /// The day on which the record was made; of the spray where that is not written.
    Record,
    /// The end of re-entry.
    Reentry,
    /// The end of the year of the record.
    YearEnd,
    /// The last entry of the record book.
    LastEntry,
}

impl KeepFrom {
    /// The words users see, behind `2 years from`.
    pub const fn words(self) -> &'static str {
        match self {
            KeepFrom::Spray => "the application",
            KeepFrom::Record => "the making of the record",
            KeepFrom::Reentry => "the end of re-entry",
            KeepFrom::YearEnd => "the end of the year of the record",
            KeepFrom::LastEntry => "the last entry",
        }
    }
}

/// The approved use of a substance. What is not written is not limited.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct UseLimit {
    /// Names or classes of the substance, in lower case.
    pub substances: Vec<String>,
    /// Crops, in lower case.
    pub crops: Vec<String>,
    /// Words of the targets, in lower case.
    pub targets: Vec<String>,
    /// First and last growth stage by BBCH code.
    pub bbch: Option<(u32, u32)>,
    /// Litres of the substance in a hundred litres of spray, least and most.
    pub per_hectolitre: Option<(Exact, Exact)>,
    /// Days from one spray to the next, at least.
    pub days_apart: Option<u32>,
    /// Sprays in a year, at most.
    pub sprays: Option<u32>,
}

/// For which sprays, and for which of their materials, a rule holds. Every condition that is written must hold; where the
/// journal does not say whether one does, it does not.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct When {
    /// People other than the family work in the block.
    pub workers: Option<bool>,
    /// Under a roof, or not.
    pub enclosed: Option<bool>,
    /// The block is certified organic or on the way to it.
    pub organic: Option<bool>,
    /// The spray is against a pest, a disease or weeds.
    pub against: Option<bool>,
    /// A material of one of these statuses is in the tank; rules about products hold for those materials only.
    pub statuses: Vec<Status>,
    /// A material of one of these classes is in the tank; rules about products hold for those only. In lower case.
    pub classes: Vec<String>,
    /// The crop is one of these, in lower case.
    pub crops: Vec<String>,
    /// At least this area is treated.
    pub area_at_least: Option<Amount>,
    /// A label in the tank limits use by this.
    pub label_limits: Option<LabelLimit>,
    /// Words of the sprayer's method, in lower case.
    pub methods: Vec<String>,
    /// Somebody who sprayed has a licence on record, or nobody has.
    pub licensed: Option<bool>,
    /// The protection that a label in the tank asks for names a respirator; rules about products hold for those only.
    pub respirator: bool,
}

/// What a label can limit use by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LabelLimit {
    /// Times of day.
    Time,
    /// Growth stages.
    Stage,
    /// Weather.
    Weather,
}

impl When {
    /// Whether it holds for every spray.
    pub fn always(&self) -> bool {
        *self == When::default()
    }
}
