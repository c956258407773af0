//! How often the cause that was found is among the first: `cargo run --release --example found_well -- FILE`.
//!
//! FILE holds one complaint a line, as tests/found/made.jsonl does: what was said first, what was told when asked, and
//! the causes found, each with what else is right. Told are the first words alone, and then all of it.

#[path = "../tests/found/score.rs"]
mod score;

use knockwise::graph::build::build;
use knockwise::knowledge::Knowledge;

fn main() -> Result<(), String> {
    let file = std::env::args().nth(1).ok_or("name a file of complaints with their causes")?;
    let text = std::fs::read_to_string(&file).map_err(|e| format!("`{file}` cannot be read: {e}"))?;
    let graph = build(&Knowledge::built_in().0);
    let complaints = score::complaints(&text)?;
    for (label, all) in [("first words", false), ("all that was told", true)] {
        let found = score::found(&graph, &complaints, all);
        let within: Vec<String> =
            score::WITHIN.iter().zip(found).map(|(n, hits)| format!("{hits} within {n}")).collect();
        println!("{label}: of {} {}", complaints.len(), within.join(", "));
    }
    Ok(())
}
