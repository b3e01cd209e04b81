//! What the record of a spray can be asked to say.

/// Declares the elements, each with its name in rulebooks and its words for people.
macro_rules! elements {
    ($($(#[$about:meta])* $variant:ident = $name:literal, $words:literal;)*) => {
        /// Something that the record of a spray can be asked to say.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Element { $($(#[$about])* $variant,)* }

        impl Element {
            /// Every element, in the usual order of a record.
            pub const ALL: &'static [Element] = &[$(Element::$variant,)*];

            /// Its name in a rulebook.
            pub const fn name(self) -> &'static str {
                match self { $(Element::$variant => $name,)* }
            }

            /// What it is, for people.
            pub const fn words(self) -> &'static str {
                match self { $(Element::$variant => $words,)* }
            }

            /// The element of a name.
            pub fn named(name: &str) -> Option<Self> {
                match name { $($name => Some(Element::$variant),)* _ => None }
            }
        }
    };
}

elements! {
    /// The day.
    Date = "date", "date";
    /// When it began.
    Start = "start", "start time";
    /// When it ended.
    End = "end", "end time";
    /// What was used.
    Product = "product", "product";
    /// Registration or authorisation number of each product.
    Registration = "registration", "registration number";
    /// Active ingredients of each product.
    Active = "active", "active ingredient";
    /// Where the safety data sheet of each product is filed.
    Sds = "sds", "safety data sheet";
    /// The re-entry interval on each label.
    Reentry = "reentry", "re-entry interval";
    /// Amount for the ground, or for the volume.
    Rate = "rate", "rate";
    /// Amount in all of each product.
    Total = "total", "total amount";
    /// The finished volume.
    Volume = "volume", "spray volume";
    /// Area treated.
    AreaTreated = "area-treated", "area treated";
    /// Area planted.
    AreaPlanted = "area-planted", "area planted";
    /// Where each block is, in words.
    Location = "location", "location";
    /// Parcel number of each block.
    Parcel = "parcel", "parcel number";
    /// County, section, township, range of each block.
    Survey = "survey", "county, section, township and range";
    /// Site identification number of each block.
    Site = "site", "site identification number";
    /// The map of each block.
    Map = "map", "map";
    /// The crop.
    Crop = "crop", "crop";
    /// The crop's EPPO code.
    Eppo = "eppo", "EPPO code";
    /// The BBCH code of the growth stage.
    Bbch = "bbch", "growth stage by BBCH code";
    /// The type of use.
    UseType = "use-type", "type of use";
    /// How it was applied.
    Method = "method", "method of application";
    /// The sprayer.
    Equipment = "equipment", "sprayer";
    /// Who sprayed.
    Applicator = "applicator", "applicator";
    /// Postal address of each who sprayed.
    ApplicatorAddress = "applicator-address", "applicator's address";
    /// How to reach each who sprayed.
    ApplicatorContact = "applicator-contact", "applicator's contact";
    /// Licence or certificate of who sprayed or supervised.
    Licence = "licence", "licence or certificate number";
    /// Who authorised or supervised it.
    Supervisor = "supervisor", "supervisor";
    /// Operator identification or permit number.
    Permit = "permit", "operator identification or permit number";
    /// Who owns or runs the farm.
    Owner = "owner", "owner or operator";
    /// Where the farm is.
    OwnerAddress = "owner-address", "owner's address";
    /// How to reach the owner.
    OwnerContact = "owner-contact", "owner's contact";
    /// Why.
    Reason = "reason", "reason";
    /// Against what.
    Target = "target", "target";
    /// Wind speed.
    Wind = "wind", "wind speed";
    /// Where the wind came from.
    WindDirection = "wind-direction", "wind direction";
    /// Air temperature.
    Temperature = "temperature", "temperature";
    /// Relative humidity.
    Humidity = "humidity", "humidity";
    /// The test, plan or recommendation behind it.
    Evidence = "evidence", "evidence";
    /// Where the spray water came from.
    Water = "water", "source of the water";
    /// When the record was made.
    Entered = "entered", "when the record was made";
    /// Who signed the record, and when.
    Signed = "signed", "signature and its date";
}
