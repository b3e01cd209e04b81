//! How long a plan takes beside checking the same journal, in one run: the ratio says how many times over the journal is
//! understood while rounds look for a clear day.
//!
//! `cargo bench --bench planning` prints medians for the bundled twenty acres on days of their season.

use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};

use chrono::NaiveDate;
use foliary::files::load;
use foliary::plan::{Request, plan};
use foliary::season::Season;
use foliary::{Farm, check_farm, compile_farm};

const TIMES: usize = 11;

fn median(mut work: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..TIMES)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed()
        })
        .collect();
    times.sort_unstable();
    times[TIMES / 2]
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn main() -> Result<(), Box<dyn std::error::Error>> {
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("journal-examples/twenty-acres");
    let loaded = load(&[example]).map_err(|error| error.to_string())?;
    let (sources, files) = (&loaded.sources, &loaded.farms[0].files);
    let farm = Farm { files, missing: &[] };
    println!("| day | checked | planned | ratio |\n| --- | --- | --- | --- |");
    for (month, day) in [(1, 20), (4, 28), (6, 1), (8, 10)] {
        let today = NaiveDate::from_ymd_opt(2026, month, day).ok_or("no such day")?;
        let checked = median(|| drop(black_box(check_farm(sources, farm, Some(today)))));
        let journal = compile_farm(sources, farm);
        let season = Season::new(&journal, sources, Some(today));
        let planned = median(|| drop(black_box(plan(&season, files, &Request::all(today)))));
        let ratio = planned.as_secs_f64() / checked.as_secs_f64();
        println!("| {today} | {checked:.1?} | {planned:.1?} | {ratio:.1} |");
    }
    Ok(())
}
