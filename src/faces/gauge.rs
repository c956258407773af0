//! `gauge NAME KEY=VALUE...`: a reading with its working.

use super::Outcome;
use crate::gauge;
use crate::words;

/// Takes a reading.
///
/// # Errors
/// If the gauge or a value is unknown, missing or out of its sensible range.
pub fn run(name: &str, pairs: &[String]) -> Result<Outcome, String> {
    let gauge = gauge::find(name).map_err(|e| e.to_string())?;
    let reading = gauge.read(pairs).and_then(|inputs| gauge.take(&inputs)).map_err(|e| e.to_string())?;
    let mut text = format!("{}\n\n", words::wrapped(&reading.headline, 78, "", ""));
    for figure in &reading.figures {
        text += &format!("  {}: {}\n", figure.name, figure.text);
    }
    text += "\nWorking\n";
    for line in &reading.working {
        text += &format!("{}\n", words::wrapped(line, 78, "  ", "  "));
    }
    text += &format!("{}\n", words::wrapped(&format!("Source: {}", reading.source), 78, "  ", "  "));
    for note in reading.model_note.iter().chain(&reading.cautions) {
        text += &format!("{}\n", words::wrapped(note, 78, "  ", "  "));
    }
    Ok(Outcome { text, code: 0 })
}
