//! stub while knowledge is being written
use std::process::ExitCode;
/// Runs.
pub fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().collect();
    let dir = args.get(3).cloned().unwrap_or_default();
    let (sources, mut snags) = match crate::knowledge::read::folder(std::path::Path::new(&dir)) {
        Ok(x) => x, Err(s) => { eprintln!("{s}"); return ExitCode::from(2); }
    };
    let (k, more) = crate::knowledge::Knowledge::load(vec![sources]);
    snags.extend(more);
    for s in &snags { println!("{s}"); }
    println!("{} causes, {} signs, {} questions, {} remedies, {} phrases; {} snags", k.causes.len(), k.signs.len(), k.questions.len(), k.remedies.len(), k.phrases.len(), snags.len());
    ExitCode::from(if snags.is_empty() {0} else {1})
}
