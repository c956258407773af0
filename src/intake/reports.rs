//! `ID=ANSWER`, `FACT=VALUE` and `GAUGE:KEY=VALUE,...`: reports told by name.

use crate::gauge;
use crate::graph::{ComplaintIx, FaultGraph};
use crate::inference::evidence::{Answer, Event, Evidence, SignReport, read_sign, read_value, read_yes_no};
use crate::knowledge::terms::{Reporter, Venue, Word};
use crate::words;

/// Takes down a bike fact, `FACT=VALUE`.
///
/// # Errors
/// What is wrong with it and the nearest name.
pub fn bike(graph: &FaultGraph, evidence: &mut Evidence, pair: &str) -> Result<(), String> {
    let (fact, value) = split(pair)?;
    let ids: Vec<&str> = graph.facts.iter().map(|f| f.id.as_str()).collect();
    let ix = graph.find_fact(fact).ok_or_else(|| unknown("bike fact", fact, &ids))?;
    let values: Vec<&str> = graph.fact(ix).values.iter().map(|v| v.id.as_str()).collect();
    let v = values.iter().position(|v| *v == value).ok_or_else(|| unknown("value", value, &values))?;
    evidence.know(graph, ix, v);
    Ok(())
}

/// Takes down a report, `ID=ANSWER`; the id is a sign, a complaint or `complaint.facet`.
///
/// # Errors
/// What is wrong with it and the nearest name.
pub fn report(graph: &FaultGraph, evidence: &mut Evidence, pair: &str, by: Reporter, at: Venue) -> Result<(), String> {
    let (id, text) = split(pair)?;
    let (name, facet) = id.split_once('.').map_or((id, None), |(c, f)| (c, Some(f)));
    if let Some(complaint) = graph.find_complaint(name) {
        return match facet {
            None => complain(graph, evidence, complaint, text, by),
            Some(facet) => tell_facet(graph, evidence, complaint, facet, text, by),
        };
    }
    let signs = graph.find_signs(id);
    let Some(first) = signs.first().copied() else {
        let ids = graph.signs.iter().map(|s| s.id.as_str()).chain(graph.complaints.iter().map(|c| c.id.as_str()));
        return Err(unknown("sign or complaint", id, &ids.collect::<Vec<_>>()));
    };
    let answer = Answer::read(text).ok_or_else(|| not_an_answer(text))?;
    let likelihood = read_sign(graph, first, answer, by, at, true);
    evidence.report_sign(SignReport { signs, by, likelihood });
    Ok(())
}

/// Takes down a reading, `GAUGE:KEY=VALUE,...`: the soft reports that follow from it.
///
/// # Errors
/// What is wrong with it, or that the knowledge has no such sign.
pub fn measure(graph: &FaultGraph, evidence: &mut Evidence, text: &str) -> Result<gauge::Reading, String> {
    let (name, pairs) = text
        .split_once(':')
        .ok_or_else(|| format!("`{}` is not a reading; write GAUGE:KEY=VALUE,KEY=VALUE", shown(text)))?;
    let gauge = gauge::find(name).map_err(|e| e.to_string())?;
    let inputs = gauge.read(&gauge::split_pairs(pairs)).map_err(|e| e.to_string())?;
    let reading = gauge.take(&inputs).map_err(|e| e.to_string())?;
    for soft in &reading.softs {
        let signs = graph.find_signs(soft.sign);
        if signs.is_empty() {
            return Err(format!("the knowledge has no sign `{}` for this gauge", soft.sign));
        }
        let likelihood = [soft.none, soft.slight, soft.strong];
        evidence.report_sign(SignReport { signs, by: Reporter::Gauge, likelihood });
    }
    Ok(reading)
}

/// The position of a complaint's event; a new one if it was not complained of.
fn event_of(evidence: &mut Evidence, complaint: ComplaintIx) -> usize {
    evidence.events.iter().position(|e| e.complaint == complaint).unwrap_or_else(|| {
        evidence.events.push(Event::certain(complaint));
        evidence.events.len() - 1
    })
}

fn complain(
    graph: &FaultGraph,
    evidence: &mut Evidence,
    complaint: ComplaintIx,
    text: &str,
    by: Reporter,
) -> Result<(), String> {
    let (asked, _) = graph.tables.get(by as usize).copied().unwrap_or_default();
    let (there, missing) = Answer::read(text).ok_or_else(|| not_an_answer(text))?.likelihoods(&asked);
    let event = event_of(evidence, complaint);
    if let Some(event) = evidence.events.get_mut(event) {
        (event.there, event.missing) = (there, missing);
    }
    Ok(())
}

fn tell_facet(
    graph: &FaultGraph,
    evidence: &mut Evidence,
    complaint: ComplaintIx,
    facet: &str,
    text: &str,
    by: Reporter,
) -> Result<(), String> {
    let uses = &graph.complaint(complaint).facets;
    let ids: Vec<&str> = uses.iter().map(|u| graph.facet(u.facet).id.as_str()).collect();
    let told = uses.iter().enumerate().find(|(_, u)| graph.facet(u.facet).id == facet);
    let Some((pos, entry)) = told.map(|(pos, u)| (pos, graph.facet(u.facet))) else {
        return Err(unknown("facet", facet, &ids));
    };
    let values: Vec<&str> = entry.values.iter().map(|v| v.id.as_str()).collect();
    let likelihood = match (values.iter().position(|v| *v == text), Answer::read(text)) {
        (Some(value), _) => read_value(graph, complaint, pos, value, by, true),
        (None, Some(Answer::Word(Word::CannotTell))) => vec![1.0; values.len()],
        (None, Some(answer)) if entry.yes_no => read_yes_no(graph, answer, by, true),
        (None, _) => return Err(unknown("value", text, &values)),
    };
    let event = event_of(evidence, complaint);
    if let Some(event) = evidence.events.get_mut(event) {
        event.facets.insert(pos, likelihood);
    }
    Ok(())
}

fn split(pair: &str) -> Result<(&str, &str), String> {
    pair.split_once('=').ok_or_else(|| format!("`{}` is not a pair; write NAME=VALUE", shown(pair)))
}

fn shown(text: &str) -> String {
    words::harmless(&words::shortened(text, 60))
}

fn not_an_answer(text: &str) -> String {
    let answers = ["sure", "think-so", "cannot-tell", "think-not", "sure-not", "present", "absent", "slight", "strong"];
    format!("{}, or A:B such as 0.7:0.3", unknown("answer", text, &answers))
}

/// Says that a name is not known, with the nearest one and, where they are few, all.
pub fn unknown(kind: &str, name: &str, known: &[&str]) -> String {
    let nearest = words::nearest(name, known.iter().copied()).map(|n| format!("; nearest: `{n}`")).unwrap_or_default();
    let list = if known.len() <= 14 { format!("; write {}", words::listed(known, "or")) } else { String::new() };
    format!("no {kind} is called `{}`{nearest}{list}", shown(name))
}
