//! A shop's own knowledge laid over the built-in one: `cargo run --example own_knowledge`.
//!
//! The same name replaces an entry, a new name adds one. Files of a folder do
//! the same through `rank --knowledge DIR`.

use knockwise::built_in;
use knockwise::graph::build::build;
use knockwise::inference::{evidence::Event, evidence::Evidence, infer};
use knockwise::knowledge::Knowledge;
use knockwise::snag::Source;

const OURS: &str = r#"[
    Source(id: "our-jobs", cite: "counted in our own shop", standing: Judgement),
    Cause(id: "playing-card", name: "a playing card in the spokes",
        plain: "Somebody clipped a card to the stay, and the spokes strike it.",
        base: 0.01, source: "our-jobs", ride: Ride, check: "Look between stay and spokes.",
        brings: [(complaint: "noise", strength: 0.95, facets: {"sound": {"rattle": 0.9}})]),
    Remedy(id: "take-card-out", name: "take the card out",
        cures: {"playing-card": (rider: 0.99, mechanic: 0.99)}, minutes: 1, at: [roadside, home, bench],
        tools: [], steps: ["Pull the card out."], proof: "The wheel turns quietly.", source: "our-jobs"),
]"#;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let ours = Source { name: "ours.ron".to_owned(), text: OURS.to_owned() };
    let (knowledge, snags) = Knowledge::load(vec![built_in::sources(), vec![ours]]);
    // Slips would be said here, each with its place and its mend.
    for snag in &snags {
        println!("{snag}");
    }

    let graph = build(&knowledge);
    let noise = graph.find_complaint("noise").ok_or("no complaint is called noise")?;
    let evidence = Evidence { events: vec![Event::certain(noise)], ..Evidence::default() };
    let belief = infer(&graph, &evidence)?;
    for cause in graph.find_causes("playing-card") {
        println!("{} brings the noise: {:.4}", graph.cause(cause).name, belief.ranked_by(cause));
    }
    Ok(())
}
