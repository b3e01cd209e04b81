//! The words of the language: what an entry and a field can be called.

/// Declares a set of words, each with the way it is written.
macro_rules! words {
    ($(#[$about:meta])* $name:ident { $($variant:ident = $word:literal,)* }) => {
        $(#[$about])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[expect(missing_docs, reason = "the schema says what each word is for")]
        pub enum $name { $($variant,)* }

        impl $name {
            /// Every word, in the order of the language reference.
            pub const ALL: &'static [$name] = &[$($name::$variant,)*];

            /// As it is written.
            pub const fn word(self) -> &'static str {
                match self { $($name::$variant => $word,)* }
            }

            /// The word that is written so, whatever its case.
            pub fn named(written: &str) -> Option<Self> {
                match written {
                    $($word => Some($name::$variant),)*
                    _ if written.bytes().any(|byte| byte.is_ascii_uppercase()) => {
                        Self::named(&written.to_ascii_lowercase())
                    }
                    _ => None,
                }
            }
        }
    };
}

words! {
    /// What an entry is.
    EntryWord {
        Day = "day",
        Farm = "farm",
        Block = "block",
        Person = "person",
        Rig = "rig",
        Water = "water",
        Material = "material",
        Mix = "mix",
        Program = "program",
        Limits = "limits",
        Spray = "spray",
        Skip = "skip",
        Observe = "observe",
        Weather = "weather",
        Forecast = "forecast",
        Harvest = "harvest",
        Work = "work",
        Post = "post",
        Receive = "receive",
        Brew = "brew",
        Calibrate = "calibrate",
        Clean = "clean",
        Amend = "amend",
        Approve = "approve",
        Train = "train",
        Sample = "sample",
        Count = "count",
        Discard = "discard",
    }
}

impl EntryWord {
    /// Whether the entry needs no date: it says what is so, not what was done.
    pub const fn is_standing(self) -> bool {
        matches!(
            self,
            EntryWord::Farm
                | EntryWord::Block
                | EntryWord::Person
                | EntryWord::Rig
                | EntryWord::Water
                | EntryWord::Material
                | EntryWord::Mix
                | EntryWord::Program
                | EntryWord::Limits
        )
    }
}

words! {
    /// What a field is.
    FieldWord {
        Accept = "accept",
        Active = "active",
        Address = "address",
        Amount = "amount",
        Apart = "apart",
        Area = "area",
        Authorised = "authorised",
        Authority = "authority",
        Batch = "batch",
        Blocks = "blocks",
        Bloom = "bloom",
        Brix = "brix",
        By = "by",
        Canopy = "canopy",
        Caught = "caught",
        Certified = "certified",
        Class = "class",
        Concentrate = "concentrate",
        Contact = "contact",
        Contains = "contains",
        Course = "course",
        Crew = "crew",
        Crop = "crop",
        Cultivar = "cultivar",
        Currency = "currency",
        Density = "density",
        Dilute = "dilute",
        Down = "down",
        Driving = "driving",
        Droplets = "droplets",
        Enclosed = "enclosed",
        Entered = "entered",
        Eppo = "eppo",
        Evidence = "evidence",
        Family = "family",
        Form = "form",
        Found = "found",
        FruitSet = "fruit-set",
        Group = "group",
        Growth = "growth",
        Halve = "halve",
        Hardness = "hardness",
        Height = "height",
        High = "high",
        History = "history",
        HomeMade = "home-made",
        In = "in",
        InBloom = "in-bloom",
        Incidence = "incidence",
        Into = "into",
        Invoice = "invoice",
        JournalVersion = "journal-version",
        Keep = "keep",
        Kind = "kind",
        Lab = "lab",
        Label = "label",
        LabelLimits = "label-limits",
        Leftover = "leftover",
        Licence = "licence",
        Load = "load",
        Location = "location",
        Lot = "lot",
        Low = "low",
        Make = "make",
        Map = "map",
        Measured = "measured",
        Measures = "measures",
        Method = "method",
        Mix = "mix",
        Needs = "needs",
        Never = "never",
        Note = "note",
        Now = "now",
        Nozzles = "nozzles",
        Open = "open",
        Order = "order",
        Origin = "origin",
        Output = "output",
        Over = "over",
        Owner = "owner",
        Paid = "paid",
        Pantry = "pantry",
        Parcel = "parcel",
        Permit = "permit",
        Ph = "ph",
        Photo = "photo",
        Picking = "picking",
        Plot = "plot",
        Preharvest = "preharvest",
        Pressure = "pressure",
        Price = "price",
        Program = "program",
        Protection = "protection",
        Published = "published",
        Purpose = "purpose",
        Put = "put",
        Rain = "rain",
        Rate = "rate",
        Rated = "rated",
        Reading = "reading",
        Ready = "ready",
        Reason = "reason",
        Recalibrate = "recalibrate",
        Reentry = "reentry",
        Registration = "registration",
        Renew = "renew",
        Restriction = "restriction",
        Rig = "rig",
        Rinse = "rinse",
        Role = "role",
        Rounds = "rounds",
        Rows = "rows",
        Rulebook = "rulebook",
        Sds = "sds",
        Season = "season",
        Setup = "setup",
        Severity = "severity",
        Signed = "signed",
        Site = "site",
        SoilContact = "soil-contact",
        Source = "source",
        Spacing = "spacing",
        Speed = "speed",
        Stage = "stage",
        Start = "start",
        Status = "status",
        Stop = "stop",
        Stopped = "stopped",
        Supplier = "supplier",
        Survey = "survey",
        Tank = "tank",
        TankPh = "tank-ph",
        Target = "target",
        Task = "task",
        Time = "time",
        Timezone = "timezone",
        Total = "total",
        Trainer = "trainer",
        Units = "units",
        Until = "until",
        Up = "up",
        Use = "use",
        UseBy = "use-by",
        Used = "used",
        Uses = "uses",
        Volume = "volume",
        Was = "was",
        Water = "water",
        Weather = "weather",
        Weighs = "weighs",
        Width = "width",
        Window = "window",
        Within = "within",
        Workers = "workers",
    }
}
