//! How long reading 500 stage files takes, against parsing their TOML alone.
//! Run with `cargo bench -p coldbench-shop`. It prints and judges nothing.

use coldbench_shop::checklist::read;
use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};

const FILES: usize = 500;
const ROUNDS: usize = 21;
const AIM: f64 = 2.0;

/// The stages that are shipped, over and over, each with an id of its own.
fn texts() -> std::io::Result<Vec<String>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../checklists/stages");
    let mut shipped = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        shipped.push(std::fs::read_to_string(entry?.path())?);
    }
    shipped.sort();
    let named = |(n, text): (usize, &String)| text.replacen("id = \"", &format!("id = \"n{n}-"), 1);
    Ok(shipped.iter().cycle().take(FILES).enumerate().map(named).collect())
}

fn median(mut run: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed()
        })
        .collect();
    times.sort();
    times[ROUNDS / 2]
}

fn main() -> std::io::Result<()> {
    let texts = texts()?;
    let bytes: usize = texts.iter().map(String::len).sum();
    let bare = median(|| {
        for text in &texts {
            black_box(toml::from_str::<toml::Table>(text).is_ok());
        }
    });
    let ours = median(|| {
        for text in &texts {
            black_box(read(text).checklist.is_some());
        }
    });
    println!("{FILES} stage files, {} kB, median of {ROUNDS} rounds", bytes / 1000);
    println!("TOML alone           {:.1} ms", bare.as_secs_f64() * 1e3);
    println!("read and checked     {:.1} ms", ours.as_secs_f64() * 1e3);
    println!("ratio                {:.2} (aim: at most {AIM})", ours.div_duration_f64(bare));
    Ok(())
}
