//! temporary: phases
mod generate;
use foliary::season::Season;
use foliary::text::{SourceId, Sources};
use foliary::{Farm, checks, compile_farm};
use std::time::Instant;
fn main() {
    let made = generate::generate(100_000);
    let mut sources = Sources::new();
    let _ = sources.add("journal.spray", made.journal.clone());
    let farm = Farm { files: &[SourceId(0)], missing: &[] };
    for _ in 0..3 {
        let t = Instant::now();
        let journal = compile_farm(&sources, farm);
        let a = t.elapsed();
        let t = Instant::now();
        let season = Season::new(&journal, &sources, None);
        let b = t.elapsed();
        let t = Instant::now();
        let found = checks::run(&season);
        let c = t.elapsed();
        println!("compile {a:?} season {b:?} checks {c:?} sprays {} found {}", journal.sprays.len(), found.len());
        let mut times: Vec<_> = checks::CHECKS
            .iter()
            .map(|check| {
                let t = Instant::now();
                let n = checks::run_some(&season, |c| c.code == check.code).len();
                (t.elapsed(), check.code, n)
            })
            .collect();
        times.sort();
        times.reverse();
        for (t, code, n) in times.iter().take(45) {
            print!("{code} {t:?} {n}; ");
        }
        println!("total {:?}", times.iter().map(|t| t.0).sum::<std::time::Duration>());
    }
}
