//! How well letters are heard: `cargo run --release --example heard_well -- FILE [--misses] [--knowledge DIR]`.
//!
//! FILE holds one labelled letter a line, as tests/heard/open.jsonl does.

#[path = "../tests/heard/score.rs"]
mod score;

use knockwise::built_in;
use knockwise::graph::build::build;
use knockwise::intake::Lexicon;
use knockwise::knowledge::{Knowledge, read};

fn main() -> Result<(), String> {
    let mut arguments = std::env::args().skip(1);
    let file = arguments.next().ok_or("name a file of labelled letters")?;
    let (mut shown, mut folder) = (false, None);
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--misses" => shown = true,
            "--knowledge" => folder = arguments.next(),
            other => return Err(format!("`{other}` is not known; write --misses or --knowledge DIR")),
        }
    }
    let text = std::fs::read_to_string(&file).map_err(|e| format!("`{file}` cannot be read: {e}"))?;
    let sources = match folder {
        Some(folder) => read::folder(folder.as_ref()).map_err(|snag| snag.to_string())?.0,
        None => built_in::sources(),
    };
    let (knowledge, snags) = Knowledge::load(vec![sources]);
    snags.iter().for_each(|snag| println!("{snag}"));
    let graph = build(&knowledge);
    let lexicon = Lexicon::of(&graph);
    let mut whole = score::Score::default();
    for letter in score::letters(&text)? {
        let score = score::hear(&graph, &lexicon, &letter);
        if shown && !(score.wrong.is_empty() && score.missed.is_empty()) {
            println!("{}", letter.text);
            score.wrong.iter().for_each(|w| println!("  wrong  {w}"));
            score.missed.iter().for_each(|m| println!("  missed {m}"));
        }
        whole.add(score);
    }
    // Turned round is a share of what was both heard and labelled.
    let share = |part: usize, rest: usize| part as f64 / (part + rest).max(1) as f64;
    println!("precision      {:.3}", share(whole.right, whole.wrong.len()));
    println!("recall         {:.3}", share(whole.right, whole.missed.len()));
    println!("turned round   {:.3} ({})", share(whole.turned.len(), whole.right), whole.turned.len());
    println!("right {}, wrong {}, missed {}", whole.right, whole.wrong.len(), whole.missed.len());
    println!("of the wrong, named as not to be heard: {}", whole.barred.len());
    Ok(())
}
