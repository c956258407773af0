//! `gauge NAME KEY=VALUE...`: a reading with its working; without pairs, what is asked for.

use std::path::Path;

use super::{Outcome, plot};
use crate::gauge::{self, Gauge, Reading};
use crate::words;

/// Columns of text.
const WIDE: usize = 78;

/// Lists the gauges, tells what one asks for, or takes a reading; a picture goes to `svg` if a
/// file is named there.
///
/// # Errors
/// If the gauge or a value is unknown, missing or out of its sensible range, or if there is no
/// picture to write.
pub fn run(name: Option<&str>, pairs: &[String], svg: Option<&Path>) -> Result<Outcome, String> {
    let Some(name) = name else { return Ok(Outcome { text: list(), code: 0 }) };
    let gauge = gauge::find(name).map_err(|e| e.to_string())?;
    if pairs.is_empty() && svg.is_none() {
        return Ok(Outcome { text: asked(gauge), code: 0 });
    }
    let reading = gauge.read(pairs).and_then(|inputs| gauge.take(&inputs)).map_err(|e| e.to_string())?;
    let mut text = answer(&reading);
    match (svg, &reading.plot) {
        (Some(path), Some(picture)) => {
            std::fs::write(path, plot::svg(picture)?)
                .map_err(|e| format!("`{}` cannot be written: {e}", path.display()))?;
            text += &format!("\nThe picture is in `{}`.\n", path.display());
        }
        (Some(_), None) => {
            return Err(format!("this reading of gauge `{name}` has no picture; leave `--svg` out"));
        }
        (None, Some(picture)) => text += &format!("\n{}", plot::text(picture, WIDE)),
        (None, None) => {}
    }
    Ok(Outcome { text, code: 0 })
}

/// All gauges by family.
fn list() -> String {
    let widest = gauge::gauges().map(|g| g.name.len()).max().unwrap_or(0) + 4;
    let mut text =
        String::from("`gauge NAME` tells what a gauge asks for; `gauge NAME KEY=VALUE...` takes a reading.\n");
    for family in gauge::families().iter().filter(|f| !f.gauges.is_empty()) {
        text += &format!("\n{}\n", words::capitalised(family.name));
        for gauge in family.gauges {
            let first = format!("  {:<width$}", gauge.name, width = widest - 2);
            text += &format!("{}\n", words::wrapped(gauge.about, WIDE, &first, &" ".repeat(widest)));
        }
    }
    text
}

/// What a gauge asks for.
fn asked(gauge: &Gauge) -> String {
    let mut text = format!("{}\n\n", words::wrapped(&format!("{}: {}", gauge.name, gauge.about), WIDE, "", ""));
    for input in gauge.inputs {
        let needed = if input.required { "needed; " } else { "" };
        let what = format!("{}: {} ({needed}{})", input.example, input.what, input.kind.range());
        text += &format!("{}\n", words::wrapped(&what, WIDE, "  ", "      "));
    }
    let needed: Vec<&str> = gauge.inputs.iter().filter(|i| i.required).map(|i| i.example).collect();
    let pairs =
        if needed.is_empty() { gauge.inputs.first().map_or("", |i| i.example).to_owned() } else { needed.join(" ") };
    text += &format!("\nFor example: gauge {} {pairs}\n", gauge.name);
    text
}

fn answer(reading: &Reading) -> String {
    let mut text = format!("{}\n\n", words::wrapped(&reading.headline, WIDE, "", ""));
    for figure in &reading.figures {
        text += &format!("  {}: {}\n", figure.name, figure.text);
    }
    text += "\nWorking\n";
    for line in &reading.working {
        text += &format!("{}\n", words::wrapped(line, WIDE, "  ", "  "));
    }
    text += &format!("{}\n", words::wrapped(&format!("Source: {}", reading.source), WIDE, "  ", "  "));
    for note in reading.model_note.iter().chain(&reading.cautions) {
        text += &format!("{}\n", words::wrapped(note, WIDE, "  ", "  "));
    }
    text
}
