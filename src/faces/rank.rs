//! `rank`: what was told, the causes in order, whether the bike may be ridden.
//!
//! This file answers the request; [`super::report`] shows the answer to people,
//! [`super::machine`] to programs.

use std::borrow::Cow;
use std::path::PathBuf;

use clap::Args;

use super::Outcome;
use super::answered::Answered;
use crate::graph::FaultGraph;
use crate::inference::evidence::Evidence;
use crate::inference::{Trouble, infer};
use crate::inquiry::{Situation, inquire, safety};
use crate::intake::guess::{Guess, guess};
use crate::intake::{Heard, LONGEST, Lexicon, reports};
use crate::knowledge::terms::Reporter;

/// How many questions are proposed.
const QUESTIONS: usize = 5;

/// What is told.
#[derive(Debug, Clone, Default, Args)]
pub struct Request {
    /// A bike fact, such as brakes=rim
    #[arg(long = "bike", value_name = "FACT=VALUE")]
    pub bike: Vec<String>,
    /// What the rider says, in plain words
    #[arg(long = "say", value_name = "TEXT")]
    pub say: Vec<String>,
    /// A report: a sign, COMPLAINT or COMPLAINT.FACET, then its answer
    #[arg(long = "report", value_name = "ID=ANSWER")]
    pub report: Vec<String>,
    /// A reading, such as sag:stroke=57mm,sag=18mm
    #[arg(long = "measure", value_name = "GAUGE:KEY=VALUE,...")]
    pub measure: Vec<String>,
    /// Who reports: rider, mechanic or gauge
    #[arg(long, default_value = "rider")]
    pub by: String,
    /// Where: telephone, roadside, home or bench
    #[arg(long, default_value = "home")]
    pub at: String,
    /// A folder laid over the built-in knowledge
    #[arg(long, value_name = "DIR")]
    pub knowledge: Option<PathBuf>,
    /// One JSON object instead of text
    #[arg(long)]
    pub json: bool,
}

/// Ranks the causes.
///
/// # Errors
/// If an option names what does not exist, or the reports contradict each other.
pub fn run(request: &Request) -> Result<Outcome, String> {
    let answered = answer(request)?;
    let code = u8::from(answered.nothing_heard());
    let text = if request.json { super::machine::json(&answered)? } else { super::report::text(&answered) };
    Ok(Outcome { text, code })
}

/// Answers a request.
///
/// # Errors
/// As [`run`].
pub fn answer(request: &Request) -> Result<Answered, String> {
    let by = Reporter::find(&request.by).ok_or_else(|| {
        let known: Vec<&str> = Reporter::ALL.iter().map(|r| r.word()).collect();
        reports::unknown("reporter", &request.by, &known)
    })?;
    let at = super::place(&request.at)?;
    let graph = super::graph(request.knowledge.as_deref())?;
    let mut evidence = Evidence::default();
    let mut heard = Vec::new();
    let mut warnings = Vec::new();
    let mut missed = false;
    if !request.say.is_empty() {
        let lexicon = Lexicon::of(&graph);
        for text in &request.say {
            let intake = lexicon.hear(text, by, at, &mut evidence);
            missed |= !intake.missed.is_empty();
            if intake.cut {
                warnings.push(format!("only the first {LONGEST} bytes of the text were heard"));
            }
            intake.add_to(&mut heard);
        }
    }
    for pair in &request.bike {
        reports::bike(&graph, &mut evidence, pair)?;
    }
    for pair in &request.report {
        reports::report(&graph, &mut evidence, pair, by, at)?;
    }
    for reading in &request.measure {
        let reading = reports::measure(&graph, &mut evidence, reading)?;
        warnings.extend(reading.cautions);
    }
    if let Some(text) = request.say.last()
        && let Some(Guess::Taken(event, taken)) = guess(&graph, &evidence, &heard, missed, text)
    {
        evidence.events.push(event);
        heard.push(taken);
    }
    reports::agree(&graph, &evidence)?;
    warnings.extend(reports::repeated(&request.bike));
    warnings.extend(reports::repeated(&request.report));
    weigh(graph, evidence, heard, warnings, Situation { by, at }).map_err(|e| e.to_string())
}

fn weigh(
    graph: Cow<'static, FaultGraph>,
    evidence: Evidence,
    heard: Vec<Heard>,
    warnings: Vec<String>,
    situation: Situation,
) -> Result<Answered, Trouble> {
    let posterior = infer(&graph, &evidence)?;
    let ride = safety::advice(&graph, &evidence, &posterior);
    let mut inquiry = inquire(&graph, &evidence, &posterior, situation, &[])?;
    inquiry.proposals.truncate(QUESTIONS);
    Ok(Answered { graph, evidence, heard, posterior, ride, inquiry, warnings })
}
