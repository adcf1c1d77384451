//! Guesses a log's recipe, shows it with its doubts, reads the log and tells the extent of each
//! channel: `read_log FILE`.

use std::time::Instant;

use steadypull_logs::{guess, read};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = std::env::args().nth(1).ok_or("say which file")?;
    let start = Instant::now();
    let bytes = std::fs::read(path)?;
    let loaded = start.elapsed();
    let guessed = guess(&bytes).map_err(|e| e.to_string())?;
    let known = start.elapsed();
    let log = read(&bytes, &guessed.recipe).map_err(|e| e.to_string())?;
    let done = start.elapsed();
    println!("{}", guessed.recipe.to_toml()?);
    for choice in guessed.unsure() {
        println!("unsure: {} = {}: {}", choice.key, choice.chosen, choice.why);
    }
    for channel in &log.channels {
        let values = channel.values();
        let known = values.iter().filter(|v| !v.is_nan());
        let (low, high) = known.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
            (l.min(*v), h.max(*v))
        });
        println!(
            "{}: {} values, {low} to {high} {}",
            channel.name,
            values.len(),
            channel.unit
        );
    }
    print!("{}", log.mistakes);
    println!("{} rows, sha256 {}", log.times.len(), log.sha256);
    println!(
        "loaded {loaded:.3?}, guessed {:.3?}, read {:.3?}",
        known - loaded,
        done - known
    );
    Ok(())
}
