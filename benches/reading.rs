//! How fast a journal is read and checked, beside what else reads the same text, in one run.
//!
//! `cargo bench --bench reading` prints medians for journals of 10,000, 100,000 and 1,000,000 lines, the ratios to
//! serde_json's typed reading of the same records, and the exponent of growth. `-- --memory NAME LINES` does one of the
//! works once, so that its peak memory can be taken from outside.

mod generate;

use std::hint::black_box;
use std::time::{Duration, Instant};

use foliary::text::{SourceId, Sources};
use foliary::{Farm, check_farm, compile_farm};
use generate::{Generated, generate};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
#[expect(dead_code, reason = "read, not used")]
enum Record {
    Spray {
        day: String,
        blocks: Vec<String>,
        mix: String,
        volume: f64,
        volume_unit: String,
        measured: Vec<Measured>,
        over: f64,
        over_unit: String,
        start: String,
        end: String,
        by: Vec<String>,
        rig: String,
        water: String,
        temperature: f64,
        wind: f64,
        wind_from: String,
        humidity: f64,
        reason: String,
        note: Option<String>,
    },
    Observe {
        day: String,
        block: String,
        stage: String,
        found: u32,
        of: u32,
        what: String,
        brix: f64,
        brix_of: u32,
        by: Vec<String>,
    },
    Work {
        day: String,
        block: String,
        start: String,
        end: String,
        task: String,
        crew: String,
    },
    Harvest {
        day: String,
        block: String,
        start: String,
        end: String,
        amount: f64,
        unit: String,
        lot: String,
        by: Vec<String>,
    },
    Weather {
        day: String,
        high: f64,
        low: f64,
        rain: f64,
    },
}

#[derive(Deserialize)]
#[expect(dead_code, reason = "read, not used")]
struct Measured {
    material: String,
    amount: f64,
    unit: String,
}

/// One thing that reads the journal.
struct Work {
    name: &'static str,
    run: fn(&Generated, &Sources) -> usize,
}

const WORKS: &[Work] = &[
    Work { name: "newline count", run: |made, _| made.journal.bytes().filter(|&byte| byte == b'\n').count() },
    Work {
        name: "serde_json, typed",
        run: |made, _| serde_json::from_str::<Vec<Record>>(&made.json).map(|records| records.len()).unwrap_or_default(),
    },
    Work {
        name: "foliary, read to trees (1 thread)",
        run: |made, _| {
            let text = &made.journal;
            foliary::syntax::split_entries(text)
                .into_iter()
                .map(|range| {
                    black_box(foliary::syntax::read_entry(&text[range.clone()], range.start as u32)).fields.len()
                })
                .sum()
        },
    },
    Work { name: "foliary, read to journal", run: |_, sources| compile_farm(sources, farm()).sprays.len() },
    Work { name: "foliary, full check", run: |_, sources| check_farm(sources, farm(), None).len() },
];

fn farm() -> Farm<'static> {
    Farm { files: &[SourceId(0)], missing: &[] }
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    if let Some(at) = arguments.iter().position(|argument| argument == "--memory") {
        let name = arguments.get(at + 1).cloned().unwrap_or_default();
        let lines = arguments.get(at + 2).and_then(|lines| lines.parse().ok()).unwrap_or(1_000_000);
        let (made, sources) = made(lines);
        if let Some(work) = WORKS.iter().find(|work| work.name == name) {
            println!("{}: {}", work.name, (work.run)(&made, &sources));
        }
        return;
    }
    let sizes = [10_000, 100_000, 1_000_000];
    let mut medians: Vec<Vec<Duration>> = Vec::new();
    for lines in sizes {
        let (made, sources) = made(lines);
        println!(
            "\n{} lines, {:.1} MB of journal, {:.1} MB of JSON",
            made.lines,
            made.journal.len() as f64 / 1e6,
            made.json.len() as f64 / 1e6
        );
        let runs = if lines >= 1_000_000 { 7 } else { 15 };
        let times = side_by_side(&made, &sources, runs);
        for (work, time) in WORKS.iter().zip(&times) {
            println!(
                "  {:36} {:>9.2} ms  {:>8.0} MB/s  {:>5.2} x serde_json",
                work.name,
                time.as_secs_f64() * 1e3,
                made.journal.len() as f64 / 1e6 / time.as_secs_f64(),
                time.as_secs_f64() / times[1].as_secs_f64()
            );
        }
        medians.push(times);
    }
    println!("\ngrowth from {} to {} lines, as an exponent", sizes[0], sizes[2]);
    for (at, work) in WORKS.iter().enumerate() {
        let ratio = medians[2][at].as_secs_f64() / medians[0][at].as_secs_f64();
        println!("  {:36} {:.3}", work.name, ratio.ln() / (sizes[2] as f64 / sizes[0] as f64).ln());
    }
}

fn made(lines: usize) -> (Generated, Sources) {
    let made = generate(lines);
    let mut sources = Sources::new();
    // The benchmark's journals are far below the largest that sources take.
    let _ = sources.add("journal.spray", made.journal.clone());
    (made, sources)
}

/// Medians of all works, run in turn so that a drift of the machine's speed meets them all.
fn side_by_side(made: &Generated, sources: &Sources, runs: usize) -> Vec<Duration> {
    let mut times: Vec<Vec<Duration>> = vec![Vec::new(); WORKS.len()];
    for _ in 0..=runs {
        for (work, times) in WORKS.iter().zip(&mut times) {
            let begun = Instant::now();
            black_box((work.run)(made, sources));
            times.push(begun.elapsed());
        }
    }
    times
        .into_iter()
        .map(|mut times| {
            // The first run of each warms up.
            times.remove(0);
            times.sort();
            times[times.len() / 2]
        })
        .collect()
}
