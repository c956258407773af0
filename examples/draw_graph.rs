//! A picture of what surrounds one cause: `cargo run --example draw_graph > picture.svg`.
//!
//! With a name behind `--` it draws that entry instead, such as `-- chain-dry`.

use knockwise::graph::build::build;
use knockwise::graph::draw::{Scope, picture};
use knockwise::knowledge::Knowledge;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let (knowledge, _) = Knowledge::built_in();
    let graph = build(&knowledge);
    let name = std::env::args().nth(1).unwrap_or_else(|| "rotor-not-true".to_owned());
    let picture = picture(&graph, &Scope::Entry(name))?;
    eprintln!("{}: {} entries, {} links", picture.title, picture.items.len(), picture.lines.len());
    println!("{}", picture.svg());
    Ok(())
}
