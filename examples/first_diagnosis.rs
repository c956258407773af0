//! From a rider's words to ranked causes: `cargo run --example first_diagnosis`.

use knockwise::graph::build::build;
use knockwise::inference::{evidence::Evidence, infer};
use knockwise::intake::Lexicon;
use knockwise::knowledge::Knowledge;
use knockwise::knowledge::terms::{Reporter, Venue};
use knockwise::probability::in_words;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let (knowledge, _) = Knowledge::built_in();
    let graph = build(&knowledge);

    // Evidence grows as the rider talks; what was understood is handed back.
    let mut evidence = Evidence::default();
    let said = "The front disc rubs once per wheel turn.";
    let intake = Lexicon::of(&graph).hear(said, Reporter::Rider, Venue::Home, &mut evidence);
    for heard in &intake.heard {
        println!("heard {} = {} in \"{}\"", heard.id, heard.answer, heard.text);
    }

    let belief = infer(&graph, &evidence)?;
    for cause in belief.ranking().into_iter().take(5) {
        println!("{}: {}", graph.cause(cause).name, in_words(belief.ranked_by(cause)));
    }
    Ok(())
}
