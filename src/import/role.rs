//! What a column of an old spreadsheet may hold, and the headings by which it is known.

use serde::Deserialize;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[expect(missing_docs, reason = "`ROLES` says what each is for")]
pub enum Role {
    Date,
    Start,
    End,
    Time,
    Block,
    Rows,
    Crop,
    Material,
    Amount,
    Rate,
    Unit,
    Lot,
    Registration,
    Reentry,
    Preharvest,
    Volume,
    Area,
    By,
    Authorised,
    Rig,
    Water,
    Temperature,
    Wind,
    WindFrom,
    Humidity,
    Weather,
    Stage,
    Reason,
    Target,
    Ph,
    Note,
    Leave,
}

/// One role: its word in the mapping file, what it is for, and the headings that mean it.
#[derive(Debug)]
pub struct RoleText {
    /// The role.
    pub role: Role,
    /// Its word.
    pub word: &'static str,
    /// What it is for.
    pub about: &'static str,
    /// Headings, in lower case.
    pub(super) headings: &'static [&'static str],
}

const fn role(role: Role, word: &'static str, about: &'static str, headings: &'static [&'static str]) -> RoleText {
    RoleText { role, word, about, headings }
}

/// All roles. The headings are common practice, no source.
#[rustfmt::skip]
pub const ROLES: &[RoleText] = &[
    role(Role::Date, "date", "the day of the spray; the time may stand behind it",
        &["date", "day", "spray date", "date applied", "application date", "date of application", "date sprayed", "treatment date", "applied on", "date treated", "when", "when sprayed", "when applied"]),
    role(Role::Start, "start", "when it began; the end may stand behind it",
        &["start", "start time", "time start", "time started", "began", "begin", "begin time", "time in", "from", "time on", "when started", "when begun"]),
    role(Role::End, "end", "when it ended",
        &["end", "end time", "time end", "time ended", "stop", "stop time", "finish", "finish time", "finished", "time out", "until", "time off", "when finished", "when ended"]),
    role(Role::Time, "time", "when it began, or from when to when: `05:50-07:20`",
        &["time", "time of day", "hours", "time of application", "time applied"]),
    role(Role::Block, "block", "the block or blocks; rows behind the name are understood",
        &["block", "blocks", "field", "fields", "orchard", "site", "plot", "bed", "block name", "field name", "planting", "parcel", "garden", "location", "site treated", "where", "block id", "field id", "house", "tunnel"]),
    role(Role::Rows, "rows", "which rows: `1-9, 12`",
        &["rows", "row", "row numbers", "rows treated", "row no"]),
    role(Role::Crop, "crop", "the crop, for the entry of a block that is new",
        &["crop", "commodity", "crop treated"]),
    role(Role::Material, "material", "what went into the tank, or the mix",
        &["material", "materials", "product", "products", "product name", "material name", "chemical", "pesticide", "spray material", "ingredient", "ingredients", "material applied", "product applied", "product used", "material used", "brand name", "trade name", "input", "fertilizer", "fertiliser", "substance", "spray", "mix", "what", "tank mix", "materials applied"]),
    role(Role::Amount, "amount", "how much of it was measured out for the whole job",
        &["amount", "amount used", "total amount", "quantity", "qty", "total used", "total product", "product amount", "amount applied", "quantity used", "amount of product", "total material", "measured", "how much", "how much used"]),
    role(Role::Rate, "rate", "how much of it per volume, area, row or tree",
        &["rate", "dose", "dosage", "rate used", "application rate", "product rate", "rate applied", "label rate", "mix rate", "concentration"]),
    role(Role::Unit, "unit", "the unit of the amount or rate before it",
        &["unit", "units", "uom", "unit of measure", "amount unit", "rate unit", "amount units", "rate units"]),
    role(Role::Lot, "lot", "the lot of the material",
        &["lot", "lot number", "lot no", "batch", "batch number", "batch no"]),
    role(Role::Registration, "registration", "its registration number, for the entry of a material that is new",
        &["registration", "registration number", "registration no", "reg no", "reg number", "epa", "epa no", "epa number", "epa reg", "epa reg no", "epa registration", "epa registration number"]),
    role(Role::Reentry, "reentry", "its re-entry interval, for the entry of a material that is new",
        &["rei", "reentry", "re entry", "reentry interval", "re entry interval", "restricted entry interval", "re entry period"]),
    role(Role::Preharvest, "preharvest", "its harvest interval, for the entry of a material that is new",
        &["phi", "preharvest", "pre harvest", "preharvest interval", "pre harvest interval", "days to harvest", "harvest interval", "withholding period"]),
    role(Role::Volume, "volume", "the finished spray of the whole job",
        &["volume", "water volume", "spray volume", "total volume", "tank volume", "mix volume", "tank", "gallons", "gallons applied", "total gallons", "gallons used", "gallons sprayed", "gallons of water", "water used", "litres", "liters", "volume applied", "carrier volume", "tank size", "how much water"]),
    role(Role::Area, "area", "the area treated",
        &["area", "acres", "area treated", "acres treated", "treated area", "treated acres", "acreage", "hectares", "size", "area sprayed", "acres sprayed"]),
    role(Role::By, "by", "who sprayed",
        &["by", "applicator", "operator", "sprayed by", "applied by", "who", "person", "initials", "applicator name", "handler", "name of applicator", "worker", "done by", "employee"]),
    role(Role::Authorised, "authorised", "who authorised it",
        &["authorised by", "authorized by", "authorised", "authorized", "supervisor", "supervised by", "certified applicator", "recommended by"]),
    role(Role::Rig, "rig", "the sprayer",
        &["sprayer", "rig", "equipment", "machine", "equipment used", "sprayer used", "application equipment"]),
    role(Role::Water, "water", "where the water came from",
        &["water source", "source of water"]),
    role(Role::Temperature, "temperature", "the temperature",
        &["temperature", "temp", "air temp", "air temperature", "temp at start", "start temp"]),
    role(Role::Wind, "wind", "the wind's speed, and its direction if it stands there too",
        &["wind", "wind speed", "windspeed", "wind at start", "wind speed direction", "wind speed and direction"]),
    role(Role::WindFrom, "wind-from", "where the wind came from",
        &["wind direction", "wind dir", "wind from", "direction"]),
    role(Role::Humidity, "humidity", "the relative humidity",
        &["humidity", "rh", "rel humidity", "relative humidity"]),
    role(Role::Weather, "weather", "the weather, in words",
        &["weather", "conditions", "weather conditions", "sky", "cloud cover"]),
    role(Role::Stage, "stage", "the growth stage",
        &["stage", "growth stage", "crop stage", "tree stage", "phenology", "bbch", "timing"]),
    role(Role::Reason, "reason", "why",
        &["reason", "purpose", "why", "reason for application", "reason for spray"]),
    role(Role::Target, "target", "against what",
        &["target", "pest", "target pest", "pests", "pest or disease", "disease", "pest disease", "target pests", "problem"]),
    role(Role::Ph, "ph", "the tank's pH",
        &["ph", "tank ph", "water ph", "spray ph"]),
    role(Role::Note, "note", "goes into the note",
        &["note", "notes", "comment", "comments", "remark", "remarks", "observations", "memo", "description"]),
    role(Role::Leave, "leave", "is left out of the journal",
        &[]),
];

impl Role {
    /// Its word in the mapping file.
    pub fn word(self) -> &'static str {
        ROLES.iter().find(|text| text.role == self).map_or("", |text| text.word)
    }

    /// Whether it is about one ingredient, so that a sheet may have several columns of it.
    pub(super) fn is_of_ingredient(self) -> bool {
        matches!(
            self,
            Role::Material
                | Role::Amount
                | Role::Rate
                | Role::Unit
                | Role::Lot
                | Role::Registration
                | Role::Reentry
                | Role::Preharvest
        )
    }
}
