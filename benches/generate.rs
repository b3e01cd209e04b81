//! Realistic journals of any length, and the same records as JSON.
//!
//! A farm of many blocks over some years: sprays with every field that a careful grower writes, observations, work,
//! picks and the weather, so regular that no check finds anything. Always the same text for the same length.

use std::fmt::Write as _;

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

/// A generated season.
pub struct Generated {
    /// The journal.
    pub journal: String,
    /// Its dated records as JSON, an array.
    pub json: String,
    /// How many lines the journal has.
    pub lines: usize,
}

#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
enum Record<'a> {
    Spray {
        day: &'a str,
        blocks: Vec<&'a str>,
        mix: &'a str,
        volume: f64,
        volume_unit: &'a str,
        measured: Vec<Measured<'a>>,
        over: f64,
        over_unit: &'a str,
        start: &'a str,
        end: &'a str,
        by: Vec<&'a str>,
        rig: &'a str,
        water: &'a str,
        temperature: f64,
        wind: f64,
        wind_from: &'a str,
        humidity: f64,
        reason: &'a str,
        note: Option<&'a str>,
    },
    Observe {
        day: &'a str,
        block: &'a str,
        stage: &'a str,
        found: u32,
        of: u32,
        what: &'a str,
        brix: f64,
        brix_of: u32,
        by: Vec<&'a str>,
    },
    Work {
        day: &'a str,
        block: &'a str,
        start: &'a str,
        end: &'a str,
        task: &'a str,
        crew: &'a str,
    },
    Harvest {
        day: &'a str,
        block: &'a str,
        start: &'a str,
        end: &'a str,
        amount: f64,
        unit: &'a str,
        lot: &'a str,
        by: Vec<&'a str>,
    },
    Weather {
        day: &'a str,
        high: f64,
        low: f64,
        rain: f64,
    },
}

#[derive(Serialize)]
struct Measured<'a> {
    material: &'a str,
    amount: f64,
    unit: &'a str,
}

/// The dated part is about 13 lines a visit and 20 visits a block and year.
const BLOCKS_A_YEAR_OF_100K: usize = 330;

/// A journal of about that many lines.
pub fn generate(lines: usize) -> Generated {
    let blocks = (lines * BLOCKS_A_YEAR_OF_100K / 100_000).clamp(10, BLOCKS_A_YEAR_OF_100K);
    let mut writer = Writer { journal: String::with_capacity(lines * 38), json: String::from("["), lines: 0, seed: 7 };
    writer.standing(blocks);
    let mut year = 2010;
    while writer.lines < lines {
        writer.year(year, blocks, lines);
        year += 1;
    }
    if writer.json.ends_with(',') {
        writer.json.pop();
    }
    writer.json.push(']');
    Generated { journal: writer.journal, json: writer.json, lines: writer.lines }
}

struct Writer {
    journal: String,
    json: String,
    lines: usize,
    seed: u64,
}

const MIXES: [&str; 3] = ["leaf-tonic", "whey-round", "sulfur-round"];
const CROPS: [&str; 5] = ["pear", "apple", "plum", "cherry", "quince"];
const PEOPLE: [&str; 3] = ["t-marsh", "r-vale", "j-fenn"];
const NOTES: [&str; 4] = [
    "Canopy dry at the start.",
    "Dew gone by six. **Row ends** by hand.",
    "Left the two old trees at the gate alone.",
    "Nozzle 4 cleaned once.",
];

impl Writer {
    fn random(&mut self, below: u64) -> u64 {
        self.seed = self.seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.seed >> 33) % below
    }

    fn line(&mut self, words: &str) {
        self.journal.push_str(words);
        self.journal.push('\n');
        self.lines += 1;
    }

    fn record(&mut self, record: &Record<'_>) {
        self.json.push_str(&serde_json::to_string(record).unwrap_or_default());
        self.json.push(',');
    }

    fn standing(&mut self, blocks: usize) {
        let text = "farm long-meadow \"Long Meadow\"\n    units      US\n    timezone   America/Boise\n
person t-marsh \"Tansy Marsh\"\n    licence    PA-2207\n\nperson r-vale \"Rowan Vale\"\n\nperson j-fenn \"Juniper Fenn\"\n
rig airblast \"Airblast sprayer\"\n    tank       100 gal\n    method     airblast, both sides\n
water well\n    source     ground water\n    hardness   90 ppm\n
material magnesium-sulfate\n    form       dry\n    contains   Mg 9.86 %, S 13.01 %\n    rate       0.25 to 1 oz wt per gal\n    reentry    none stated\n
material blackstrap\n    form       liquid\n    density    11.9 lb/gal\n    contains   K 2.5 %, Ca 0.8 %, Mg 0.4 %\n    rate       0.5 to 2 fl oz per gal\n
material whey-culture\n    form       liquid\n    class      live-culture\n    rate       1 to 4 fl oz per gal\n    spacing    4 days\n
material wettable-sulfur\n    form       dry\n    class      sulfur\n    contains   S 80 %\n    registration 99999-12\n    rate       3 to 10 lb per 100 gal\n    reentry    24 h\n    preharvest 1 day\n    spacing    7 days\n    season     at most 12 sprays\n    apart      14 days from oil\n    within     temperature 35 to 85 F, wind at most 10 mph\n    in-bloom   no\n
mix leaf-tonic\n    in         1 gal\n    put        magnesium-sulfate 0.4 oz wt\n    put        blackstrap 1 fl oz\n    put        whey-culture 1.5 fl oz\n    total      at most 6 oz per gal\n
mix whey-round\n    in         1 gal\n    put        whey-culture 3 fl oz\n    put        magnesium-sulfate 0.5 oz wt\n    total      at most 6 oz per gal\n
mix sulfur-round\n    in         100 gal\n    put        wettable-sulfur 5 lb\n    total      at most 6 oz per gal\n
limits house\n    total      at most 8 oz per gal\n    total      oil at most 0.5 % v/v on pear\n    season     at most 20 sprays of sulfur\n    never      live-culture with copper\n    within     wind at most 12 mph\n    source     common practice, no source\n
2009-12-01\n\ncalibrate airblast\n    output     50 gal per acre\n";
        for line in text.lines() {
            self.line(line);
        }
        self.line("");
        for block in 0..blocks {
            let name = format!("block block-{block:04} \"Block {block}\"");
            self.line(&name);
            let crop = format!("    crop       {}", CROPS[block % CROPS.len()]);
            self.line(&crop);
            self.line("    area       1.2 acre");
            self.line("    rows       1 to 14, 16 ft apart, trees 12 ft apart");
            let parcel = format!("    parcel     {}-B", 100 + block);
            self.line(&parcel);
            self.line("");
        }
    }

    fn year(&mut self, year: i32, blocks: usize, lines: usize) {
        let Some(first) = NaiveDate::from_ymd_opt(year, 3, 2) else { return };
        // Each block has its day in every ten; on it the block is sprayed, two days later worked in and looked at.
        for (offset, day) in first.iter_days().take(200).enumerate() {
            if self.lines >= lines {
                return;
            }
            let date = day.format("%Y-%m-%d").to_string();
            let page = format!("{date} {}", day.weekday());
            self.line("");
            self.line(&page);
            self.line("");
            self.weather(&date);
            let round = offset / 10;
            for block in (offset % 10..blocks).step_by(10) {
                self.spray(&date, block, round);
            }
            for block in ((offset + 8) % 10..blocks).step_by(10) {
                self.observe(&date, block, round);
                if block % 3 == 0 {
                    self.work(&date, block);
                } else if offset > 150 {
                    self.harvest(&date, block);
                }
            }
        }
    }

    fn weather(&mut self, day: &str) {
        let (high, low) = (60 + self.random(20), 35 + self.random(15));
        let words = format!("weather\n    high       {high} F\n    low        {low} F\n    rain       0.1 in\n");
        for line in words.lines() {
            self.line(line);
        }
        self.line("");
        self.record(&Record::Weather { day, high: high as f64, low: low as f64, rain: 0.1 });
    }

    fn spray(&mut self, day: &str, block: usize, round: usize) {
        let name = format!("block-{block:04}");
        let mix = MIXES[(block + round) % MIXES.len()];
        let person = PEOPLE[self.random(3) as usize];
        let (temperature, wind, humidity) = (45 + self.random(25), 2 + self.random(6), 50 + self.random(30));
        let (hour, minute) = (5 + self.random(2), 10 * self.random(6));
        let (start, end) = (format!("{hour:02}:{minute:02}"), format!("{:02}:{minute:02}", hour + 1));
        let note = NOTES[self.random(4) as usize];
        let measured: Vec<Measured<'_>> = match mix {
            "leaf-tonic" => vec![
                Measured { material: "magnesium-sulfate", amount: 24.0, unit: "oz wt" },
                Measured { material: "blackstrap", amount: 60.0, unit: "fl oz" },
            ],
            "whey-round" => vec![Measured { material: "whey-culture", amount: 180.0, unit: "fl oz" }],
            _ => vec![Measured { material: "wettable-sulfur", amount: 3.0, unit: "lb" }],
        };
        let mut words = String::new();
        let _ = writeln!(words, "spray {name}\n    mix        {mix}, 60 gal");
        for one in &measured {
            let _ = writeln!(words, "    measured   {} {} {}", one.material, one.amount, one.unit);
        }
        let _ = writeln!(words, "    over       1.2 acre\n    time       {start} to {end}\n    by         {person}");
        let _ = writeln!(words, "    rig        airblast\n    water      well");
        let _ = writeln!(words, "    weather    {temperature} F, wind {wind} mph NW, humidity {humidity} %");
        let _ = writeln!(words, "    reason     nutrition and leaf health\n    note       {note}");
        for line in words.lines() {
            self.line(line);
        }
        self.line("");
        self.record(&Record::Spray {
            day,
            blocks: vec![&name],
            mix,
            volume: 60.0,
            volume_unit: "gal",
            measured,
            over: 1.2,
            over_unit: "acre",
            start: &start,
            end: &end,
            by: vec![person],
            rig: "airblast",
            water: "well",
            temperature: temperature as f64,
            wind: wind as f64,
            wind_from: "NW",
            humidity: humidity as f64,
            reason: "nutrition and leaf health",
            note: Some(note),
        });
    }

    fn observe(&mut self, day: &str, block: usize, round: usize) {
        let name = format!("block-{block:04}");
        let stage = ["green tip", "shoot growth", "fruit growth", "ripening"][(round / 5).min(3)];
        let found = self.random(12) as u32;
        let brix = 9.0 + self.random(40) as f64 / 10.0;
        let words = format!(
            "observe {name}\n    stage      {stage}\n    incidence  leaf-spot {found} of 100 leaves\n    \
             brix       {brix} of 10 leaves at 10:00\n    by         r-vale\n"
        );
        for line in words.lines() {
            self.line(line);
        }
        self.line("");
        let (what, by) = ("leaf-spot", vec!["r-vale"]);
        self.record(&Record::Observe { day, block: &name, stage, found, of: 100, what, brix, brix_of: 10, by });
    }

    fn work(&mut self, day: &str, block: usize) {
        let name = format!("block-{block:04}");
        let words = format!(
            "work {name}\n    time       08:00 to 12:00\n    task       hand thinning\n    crew       3 thinners\n"
        );
        for line in words.lines() {
            self.line(line);
        }
        self.line("");
        let (start, end) = ("08:00", "12:00");
        self.record(&Record::Work { day, block: &name, start, end, task: "hand thinning", crew: "3 thinners" });
    }

    fn harvest(&mut self, day: &str, block: usize) {
        let name = format!("block-{block:04}");
        let amount = 200 + self.random(400);
        let lot = format!("L{day}-{block}");
        let words = format!(
            "harvest {name}\n    time       07:00 to 11:30\n    amount     {amount} lb\n    lot        {lot}\n    by         t-marsh\n"
        );
        for line in words.lines() {
            self.line(line);
        }
        self.line("");
        self.record(&Record::Harvest {
            day,
            block: &name,
            start: "07:00",
            end: "11:30",
            amount: amount as f64,
            unit: "lb",
            lot: &lot,
            by: vec!["t-marsh"],
        });
    }
}
