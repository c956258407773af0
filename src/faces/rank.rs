//! `rank`: what was told, the causes in order, whether the bike may be ridden.

use std::path::PathBuf;

use clap::Args;

use super::Outcome;
use crate::graph::build::build;
use crate::graph::{CauseIx, FaultGraph};
use crate::inference::evidence::{Answer, Event, Evidence, SignReport, read_sign, read_value, read_yes_no};
use crate::inference::{Posterior, infer};
use crate::intake::{Heard, Lexicon};
use crate::knowledge::terms::{Reporter, Ride, Venue};
use crate::probability::{in_words, nine_digits};
use crate::words;

/// A cause that forbids riding speaks from this chance on. Judgement.
const STOP_FROM: f64 = 0.10;

/// What is told.
#[derive(Debug, Clone, Default, Args)]
pub struct Request {
    /// A bike fact: FACT=VALUE.
    #[arg(long = "bike", value_name = "FACT=VALUE")]
    pub bike: Vec<String>,
    /// What the rider says, in plain words.
    #[arg(long = "say", value_name = "TEXT")]
    pub say: Vec<String>,
    /// A report: SIGN, COMPLAINT or COMPLAINT.FACET, then =ANSWER.
    #[arg(long = "report", value_name = "ID=ANSWER")]
    pub report: Vec<String>,
    /// Who reports: rider, mechanic or gauge.
    #[arg(long, default_value = "rider")]
    pub by: String,
    /// Where: telephone, roadside, home or bench.
    #[arg(long, default_value = "home")]
    pub at: String,
    /// A folder laid over the built-in knowledge.
    #[arg(long)]
    pub knowledge: Option<PathBuf>,
    /// One JSON object instead of text.
    #[arg(long)]
    pub json: bool,
}

/// Ranks the causes.
///
/// # Errors
/// If an option names what does not exist, or the reports contradict each other.
pub fn run(request: &Request) -> Result<Outcome, String> {
    let graph = build(&super::load(request.knowledge.as_deref())?);
    let (evidence, heard) = taken_down(&graph, request)?;
    let posterior = infer(&graph, &evidence).map_err(|e| e.to_string())?;
    let code = u8::from(evidence.events.is_empty() && evidence.signs.is_empty());
    let text = if request.json {
        json(&graph, &evidence, &heard, &posterior)?
    } else {
        heard_text(&heard) + &told(&graph, &posterior, code)
    };
    Ok(Outcome { text, code })
}

fn taken_down(graph: &FaultGraph, request: &Request) -> Result<(Evidence, Vec<Heard>), String> {
    let by =
        Reporter::find(&request.by).ok_or_else(|| unknown("reporter", &request.by, &["rider", "mechanic", "gauge"]))?;
    let at = Venue::find(&request.at)
        .ok_or_else(|| unknown("place", &request.at, &["telephone", "roadside", "home", "bench"]))?;
    let mut evidence = Evidence::default();
    let mut heard = Vec::new();
    if !request.say.is_empty() {
        let lexicon = Lexicon::of(graph);
        for text in &request.say {
            heard.extend(lexicon.hear(text, by, at, &mut evidence).heard);
        }
    }
    for pair in &request.bike {
        let (fact, value) = split(pair)?;
        let ids: Vec<&str> = graph.facts.iter().map(|f| f.id.as_str()).collect();
        let ix = graph.find_fact(fact).ok_or_else(|| unknown("bike fact", fact, &ids))?;
        let values: Vec<&str> = graph.fact(ix).values.iter().map(|v| v.id.as_str()).collect();
        let v = values.iter().position(|v| *v == value).ok_or_else(|| unknown("value", value, &values))?;
        evidence.know(graph, ix, v);
    }
    for pair in &request.report {
        let (id, answer) = split(pair)?;
        report(graph, &mut evidence, id, answer, by, at)?;
    }
    Ok((evidence, heard))
}

fn heard_text(heard: &[Heard]) -> String {
    if heard.is_empty() {
        return String::new();
    }
    let rows = heard
        .iter()
        .map(|h| format!("  {} = {}   (\"{}\")\n", h.id, h.answer, words::harmless(&words::shortened(&h.text, 40))));
    format!("I heard\n{}\n", rows.collect::<String>())
}

fn report(
    graph: &FaultGraph,
    evidence: &mut Evidence,
    id: &str,
    text: &str,
    by: Reporter,
    at: Venue,
) -> Result<(), String> {
    let answer = Answer::read(text);
    let not_an_answer = || {
        let answers = ["sure", "think-so", "cannot-tell", "think-not", "sure-not", "present", "absent"];
        format!("{}, or A:B such as 0.7:0.3", unknown("answer", text, &answers))
    };
    let (name, facet) = id.split_once('.').map_or((id, None), |(c, f)| (c, Some(f)));
    if let Some(complaint) = graph.find_complaint(name) {
        let known = evidence.events.iter().position(|e| e.complaint == complaint);
        let event = known.unwrap_or_else(|| {
            evidence.events.push(Event::certain(complaint));
            evidence.events.len() - 1
        });
        let Some(facet) = facet else {
            let (own, _) = graph.tables.get(by as usize).copied().unwrap_or_default();
            let (there, missing) = answer.ok_or_else(not_an_answer)?.likelihoods(&own);
            if let Some(event) = evidence.events.get_mut(event) {
                (event.there, event.missing) = (there, missing);
            }
            return Ok(());
        };
        let facets: Vec<&str> =
            graph.complaint(complaint).facets.iter().map(|u| graph.facet(u.facet).id.as_str()).collect();
        let pos = facets.iter().position(|f| *f == facet).ok_or_else(|| unknown("facet", facet, &facets))?;
        let entry = graph.facet(graph.complaint(complaint).facets.get(pos).ok_or_else(not_an_answer)?.facet);
        let likelihood = match (entry.values.iter().position(|v| v.id == text), answer) {
            (Some(value), _) => read_value(graph, complaint, pos, value, by, true),
            (None, Some(Answer::Word(crate::knowledge::terms::Word::CannotTell))) => {
                vec![1.0; entry.values.len()]
            }
            (None, Some(answer)) if entry.yes_no => read_yes_no(graph, answer, by, true),
            _ => {
                return Err(unknown("value", text, &entry.values.iter().map(|v| v.id.as_str()).collect::<Vec<_>>()));
            }
        };
        if let Some(event) = evidence.events.get_mut(event) {
            event.facets.insert(pos, likelihood);
        }
        return Ok(());
    }
    let signs = graph.find_signs(id);
    let Some(first) = signs.first().copied() else {
        let ids = graph.signs.iter().map(|s| s.id.as_str()).chain(graph.complaints.iter().map(|c| c.id.as_str()));
        return Err(unknown("sign or complaint", id, &ids.collect::<Vec<_>>()));
    };
    let likelihood = read_sign(graph, first, answer.ok_or_else(not_an_answer)?, by, at, true);
    evidence.report_sign(SignReport { signs, by, likelihood });
    Ok(())
}

fn split(pair: &str) -> Result<(&str, &str), String> {
    pair.split_once('=')
        .ok_or_else(|| format!("`{}` is not a pair; write NAME=VALUE", words::harmless(&words::shortened(pair, 60))))
}

fn unknown(kind: &str, name: &str, known: &[&str]) -> String {
    let nearest = words::nearest(name, known.iter().copied()).map(|n| format!("; nearest: `{n}`")).unwrap_or_default();
    let shown = words::harmless(&words::shortened(name, 60));
    let list = if known.len() <= 14 { format!("; write {}", words::listed(known, "or")) } else { String::new() };
    format!("no {kind} is called `{shown}`{nearest}{list}")
}

fn advice(graph: &FaultGraph, posterior: &Posterior) -> (Ride, Vec<CauseIx>) {
    let because = |ride: Ride, from: f64| -> Vec<CauseIx> {
        let fits = |c: &CauseIx| graph.cause(*c).ride == ride && posterior.ranked_by(*c) >= from;
        posterior.ranking().into_iter().filter(fits).collect()
    };
    let stop = because(Ride::Stop, STOP_FROM);
    if !stop.is_empty() {
        return (Ride::Stop, stop);
    }
    let gently = because(Ride::Gently, STOP_FROM);
    if gently.is_empty() { (Ride::Ride, gently) } else { (Ride::Gently, gently) }
}

fn told(graph: &FaultGraph, posterior: &Posterior, code: u8) -> String {
    if code == 1 {
        return "Nothing was heard of the bike. Say what it does, such as --say 'it knocks when I brake'.\n".to_owned();
    }
    let (ride, because) = advice(graph, posterior);
    let mut text = format!("May I ride it?  {}.\n", words::capitalised(ride.plain()));
    for cause in because.iter().take(2) {
        for caution in &graph.cause(*cause).cautions {
            text += &format!("{}\n", words::wrapped(&caution.text, 78, "  ", "  "));
        }
    }
    text += "\nLikely causes\n";
    for cause in posterior.ranking().into_iter().take(6) {
        let p = posterior.ranked_by(cause);
        if p >= 0.02 {
            let entry = graph.cause(cause);
            text += &format!("  {}: {}\n", words::capitalised(&entry.name), in_words(p));
            text += &format!("{}\n", words::wrapped(&entry.check, 76, "    check: ", "    "));
        }
    }
    if posterior.nothing_listed() >= 0.02 {
        text += &format!("  Something not in this list: {}\n", in_words(posterior.nothing_listed()));
    }
    if let Some((remedy, _)) = posterior.ranking().first().and_then(|c| graph.remedies_of(*c).next()) {
        let remedy = graph.remedy(remedy);
        text += &format!("\nFor the first of them: {} (about {:.0} minutes)\n", remedy.name, remedy.minutes);
        for (i, step) in remedy.steps.iter().enumerate() {
            text += &format!("{}\n", words::wrapped(step, 78, &format!("  {}. ", i + 1), "     "));
        }
        for caution in &remedy.cautions {
            text += &format!("{}\n", words::wrapped(&caution.text, 78, "  Caution: ", "     "));
        }
        text += &format!("{}\n", words::wrapped(&remedy.proof, 78, "  Cured when: ", "     "));
    }
    text
}

fn json(graph: &FaultGraph, evidence: &Evidence, heard: &[Heard], posterior: &Posterior) -> Result<String, String> {
    let (ride, because) = advice(graph, posterior);
    let number = nine_digits;
    let causes: Vec<_> = posterior
        .ranking()
        .into_iter()
        .map(|c| (c, posterior.ranked_by(c), posterior.present.get(c.index()).copied().unwrap_or(0.0)))
        .filter(|(_, brings, present)| *brings >= 0.0005 || *present >= 0.0005)
        .map(|(c, brings, present)| {
            let e = graph.cause(c);
            serde_json::json!({"id": e.id, "name": e.name, "assembly": e.assembly, "end": e.end.map(|x| x.word()),
                "probability": number(brings), "present": number(present), "ride": e.ride.word().to_lowercase()})
        })
        .collect();
    let complaints: Vec<_> = evidence
        .events
        .iter()
        .zip(&posterior.unlisted)
        .map(|(e, u)| serde_json::json!({"id": graph.complaint(e.complaint).id, "unlisted": number(*u)}))
        .collect();
    let bike: serde_json::Map<String, serde_json::Value> = evidence
        .facts
        .iter()
        .map(|(f, can)| {
            let fact = graph.fact(*f);
            let ids: Vec<&str> =
                fact.values.iter().zip(can).filter(|(_, can)| **can).map(|(v, _)| v.id.as_str()).collect();
            (fact.id.clone(), words::listed(&ids, "or").into())
        })
        .collect();
    let because: Vec<String> = because.iter().map(|c| graph.cause(*c).key()).collect();
    let heard: Vec<_> = heard
        .iter()
        .map(|h| serde_json::json!({"id": h.id, "answer": h.answer, "text": words::harmless(&h.text)}))
        .collect();
    let object = serde_json::json!({"version": env!("CARGO_PKG_VERSION"), "heard": heard, "bike": bike, "complaints": complaints,
        "causes": causes, "unlisted": number(posterior.nothing_listed()), "log_evidence": number(posterior.log_evidence),
        "ride": {"advice": ride.word().to_lowercase(), "because": because}, "warnings": []});
    serde_json::to_string_pretty(&object).map_err(|e| e.to_string())
}
