//! `knowledge trial`: how well the knowledge finds what is wrong with made bikes.

use std::path::PathBuf;

use clap::Args;
use indicatif::{ProgressBar, ProgressStyle};

use super::Outcome;
use crate::gauge::{Plot, Series};
use crate::inquiry::Situation;
use crate::trial::measures::{Calibration, Hits, Measures, Share, measure};
use crate::trial::{Setting, run};

/// What is tried.
#[derive(Debug, Args)]
pub struct Request {
    /// How many made bikes.
    #[arg(long, default_value_t = 1000, value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    sittings: u32,
    /// Where chance begins: the same seed gives the same report.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// telephone, roadside, home or bench; at the bench a mechanic answers.
    #[arg(long, default_value = "home")]
    at: String,
    /// How far the world's numbers are from the book's: standard deviation in natural log-odds, 0 to 3.
    #[arg(long, default_value_t = 0.0)]
    error: f64,
    /// Chance that an answer is any answer at all, 0 to 1.
    #[arg(long, default_value_t = 0.0)]
    worse: f64,
    /// Leaves the comparison with other ways of asking out, which takes most of the time.
    #[arg(long)]
    alone: bool,
    /// Draws the reliability plot into this file.
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// A folder laid over the built-in knowledge.
    folder: Option<PathBuf>,
}

/// Plays and reports.
///
/// # Errors
/// If a word is unknown, a number out of range, the folder or the picture's file cannot be used.
pub fn trial(request: &Request) -> Result<Outcome, String> {
    let situation = Situation::in_place(super::place(&request.at)?);
    for (name, value, most) in [("--error", request.error, 3.0), ("--worse", request.worse, 1.0)] {
        if !(0.0..=most).contains(&value) {
            return Err(format!("`{name}` is {value}; it must lie between 0 and {most}"));
        }
    }
    let graph = super::graph(request.folder.as_deref())?;
    let setting = Setting {
        sittings: request.sittings as usize,
        seed: request.seed,
        situation,
        error: request.error,
        worse: request.worse,
        compare: !request.alone,
    };
    let bar = ProgressBar::new(u64::from(request.sittings));
    if let Ok(style) = ProgressStyle::with_template("{pos} of {len} sittings, {eta} to go") {
        bar.set_style(style);
    }
    let sittings = run(&graph, setting, || bar.inc(1)).map_err(|e| e.to_string())?;
    bar.finish_and_clear();
    let measures = measure(&graph, &sittings);
    if let Some(file) = &request.svg {
        let picture = super::plot::svg(&reliability(&measures.calibration))?;
        std::fs::write(file, picture)
            .map_err(|e| format!("{}: {e}; name a file that can be written", file.display()))?;
    }
    Ok(Outcome { text: report(&measures, &setting), code: 0 })
}

fn report(m: &Measures, setting: &Setting) -> String {
    let s = setting.situation;
    let mut out =
        format!("{} made bikes, {} answering, at {}, seed {}", m.sittings, s.by.word(), s.at.word(), setting.seed);
    if setting.error > 0.0 {
        out += &format!("; numbers of the world off by {} (SD, log-odds)", setting.error);
    }
    if setting.worse > 0.0 {
        out += &format!("; {:.0} % of answers at random", 100.0 * setting.worse);
    }
    out += "\n\n";
    let at = |share: usize| {
        m.questions
            .get((m.questions.len() * share / 100).min(m.questions.len().saturating_sub(1)))
            .copied()
            .unwrap_or(0)
    };
    out +=
        &format!("Questions before the first repair: half have {} or fewer, 95 in 100 {} or fewer\n", at(50), at(95));
    let [ours, knowing, repairs, entropy] = m.minutes;
    out += &format!("Minutes to a cure: {ours:.1}\n  who knows what it is: {knowing:.1}\n");
    if setting.compare {
        let more = |x: f64| 100.0 * (1.0 - ours / x);
        out += &format!(
            "  repairs alone, in the order of the plan: {repairs:.1} (ours is {:.1} % below)\n",
            more(repairs)
        );
        out += &format!(
            "  most information first, to {:.0} % sure: {entropy:.1} (ours is {:.1} % below)\n",
            100.0 * m.threshold,
            more(entropy)
        );
    }
    out += "\nFound                        first        within three  right remedy first\n";
    out += &row("all", &m.all);
    for (assembly, hits) in &m.assemblies {
        out += &row(assembly, hits);
    }
    out += &format!("Nothing in the list brings it: {}\n\n", percent(m.outside));
    out += &format!("Do not ride, not said though a cause that brings it forbids it: {}\n", percent(m.under_triage));
    for (was, n) in &m.missed {
        out += &format!("  {was}: {n}\n");
    }
    out += &format!("  of these, named to be looked at before the ride: {}\n", percent(m.looked));
    out += &format!("Something is named so in this share of all sittings: {}\n", percent(m.looks));
    out += &format!("Do not ride, said though no cause on the bike forbids it: {}\n\n", percent(m.over_triage));
    out += &calibration(&m.calibration);
    out += "\nMost often mistaken\n";
    for (was, said, n) in &m.mistaken {
        out += &format!("  {was} taken for {said}: {n}\n");
    }
    out
}

fn row(name: &str, h: &Hits) -> String {
    let one = |s: Share| format!("{:>5.1} %", 100.0 * s.value());
    format!("  {name:<18} {:>6}  {}      {}       {}\n", h.first.of, one(h.first), one(h.within), one(h.remedy))
}

fn percent(s: Share) -> String {
    let (low, high) = s.interval();
    format!(
        "{:.1} % ({} of {}, 95 % interval {:.1} to {:.1})",
        100.0 * s.value(),
        s.did,
        s.of,
        100.0 * low,
        100.0 * high
    )
}

/// Chances told against how often they came; on the line they are right.
fn reliability(c: &Calibration) -> Plot {
    let told = Series {
        name: "chances told".to_owned(),
        points: c.bins.iter().map(|(told, share)| (100.0 * told, 100.0 * share.value())).collect(),
        joined: false,
    };
    let right = Series { name: "right".to_owned(), points: vec![(0.0, 0.0), (100.0, 100.0)], joined: true };
    Plot {
        title: "Of chances told, how often they came".to_owned(),
        across: "chance told, %".to_owned(),
        up: "came, %".to_owned(),
        series: vec![told, right],
        levels: Vec::new(),
        here: None,
    }
}

fn calibration(c: &Calibration) -> String {
    let mut out = format!(
        "Chances told: Brier {:.4} = reliability {:.4} - resolution {:.4} + uncertainty {:.4}\n  mean distance from what came {:.3}\n",
        c.brier, c.reliability, c.resolution, c.uncertainty, c.error
    );
    out += "  told   came (95 % interval)\n";
    for (told, share) in &c.bins {
        let (low, high) = share.interval();
        let bar = "=".repeat((40.0 * share.value()).round() as usize);
        out += &format!(
            "  {:>4.1} %  {:>5.1} % ({:.1} to {:.1})  {bar}\n",
            100.0 * told,
            100.0 * share.value(),
            100.0 * low,
            100.0 * high
        );
    }
    out
}
