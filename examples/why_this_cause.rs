//! What each report is worth to a cause: `cargo run --example why_this_cause`.
//!
//! Weights are in decibans: ten make the odds ten times as good, three about
//! twice as good. Taken in order they add up exactly to the final belief.

use knockwise::graph::build::build;
use knockwise::inference::evidence::Evidence;
use knockwise::inference::explain::{Belief, Piece, as_it_happened, pieces};
use knockwise::intake::reports::report;
use knockwise::knowledge::Knowledge;
use knockwise::knowledge::terms::{Reporter, Venue};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let (knowledge, _) = Knowledge::built_in();
    let graph = build(&knowledge);
    let mut evidence = Evidence::default();
    for told in ["noise=sure", "noise.sound=rub", "noise.rhythm=wheel-turn", "noise.end=front"] {
        report(&graph, &mut evidence, told, Reporter::Rider, Venue::Home)?;
    }

    let cause = *graph.find_causes("rotor-not-true@front").first().ok_or("no such cause")?;
    let order = pieces(&evidence);
    let (start, steps) = as_it_happened(&graph, &evidence, &order, cause, Belief::Present)?;
    println!("{}: {start:+.1} dB before any report", graph.cause(cause).name);
    for (piece, weight) in &steps {
        let name = match piece {
            Piece::Event(_) => "that there is a noise".to_owned(),
            Piece::Facet(_, facet) => {
                let noise = graph.find_complaint("noise").ok_or("no such complaint")?;
                let usage = graph.complaint(noise).facets.get(*facet).ok_or("no such facet")?;
                format!("its {}", graph.facet(usage.facet).id)
            }
            other => format!("{other:?}"),
        };
        println!("{weight:+6.1} dB  {name}");
    }
    println!("{:+6.1} dB  in all", start + steps.iter().map(|(_, w)| w).sum::<f64>());
    Ok(())
}
