//! `ID=ANSWER`, `FACT=VALUE` and `GAUGE:KEY=VALUE,...`: reports told by name.

use std::collections::BTreeMap;

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
    let v = values
        .iter()
        .position(|v| *v == value)
        .ok_or_else(|| unknown(&format!("value of `{fact}`"), value, &values))?;
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
        return Err(unknown_finding(graph, id));
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
        let signs = graph.find_signs(&sign_of(graph, soft));
        if signs.is_empty() {
            return Err(format!("the knowledge has no sign `{}` for this gauge", soft.sign));
        }
        let likelihood = [soft.none, soft.slight, soft.strong];
        evidence.report_sign(SignReport { signs, by: Reporter::Gauge, likelihood });
    }
    Ok(reading)
}

/// The sign of which a reading tells, by its name: what is not told apart by ends is told of the bike.
pub fn sign_of(graph: &FaultGraph, soft: &gauge::SoftReport) -> String {
    let at_end = soft.end.map(|end| format!("{}@{end}", soft.sign));
    at_end.filter(|id| !graph.find_signs(id).is_empty()).unwrap_or_else(|| soft.sign.to_owned())
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
        return Err(unknown(&format!("facet of `{}`", graph.complaint(complaint).id), facet, &ids));
    };
    let values: Vec<&str> = entry.values.iter().map(|v| v.id.as_str()).collect();
    let likelihood = match (values.iter().position(|v| *v == text), Answer::read(text)) {
        (Some(value), _) => read_value(graph, complaint, pos, value, by, true),
        (None, Some(Answer::Word(Word::CannotTell))) => vec![1.0; values.len()],
        (None, Some(answer)) if entry.yes_no => read_yes_no(graph, answer, by, true),
        (None, _) => {
            return Err(unknown(&format!("value of `{}.{facet}`", graph.complaint(complaint).id), text, &values));
        }
    };
    let event = event_of(evidence, complaint);
    if let Some(event) = evidence.events.get_mut(event) {
        event.facets.insert(pos, likelihood);
    }
    Ok(())
}

/// Refuses reports that speak of a complaint and deny it.
///
/// # Errors
/// Names the complaint and the facet.
pub fn agree(graph: &FaultGraph, evidence: &Evidence) -> Result<(), String> {
    for event in evidence.events.iter().filter(|e| e.there == 0.0) {
        let complaint = graph.complaint(event.complaint);
        let told = event.facets.keys().find_map(|pos| complaint.facets.get(*pos)).map(|u| graph.facet(u.facet));
        if let Some(facet) = told {
            let id = &complaint.id;
            return Err(format!(
                "`{id}` is reported as not there, and yet `{id}.{}` is told of it; take one of the two back",
                facet.id
            ));
        }
    }
    Ok(())
}

/// Names that were given several answers: the last one counts.
pub fn repeated(pairs: &[String]) -> Vec<String> {
    let mut answers: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (name, answer) in pairs.iter().filter_map(|p| p.split_once('=')) {
        answers.entry(name).or_default().push(answer);
    }
    answers.retain(|_, all| all.windows(2).any(|two| two[0] != two[1]));
    let say = |(name, all): (&str, Vec<&str>)| {
        let last = all.last().copied().unwrap_or_default();
        format!("`{}` was given several answers; the last one, `{}`, counts", shown(name), shown(last))
    };
    answers.into_iter().map(say).collect()
}

fn split(pair: &str) -> Result<(&str, &str), String> {
    pair.split_once('=').ok_or_else(|| format!("`{}` is not a pair; write NAME=VALUE", shown(pair)))
}

fn shown(text: &str) -> String {
    words::shortened(&words::harmless(text).replace('\n', " "), 60)
}

/// Says that neither sign nor complaint has this name; complaints are few enough to be listed.
fn unknown_finding(graph: &FaultGraph, id: &str) -> String {
    let complaints: Vec<&str> = graph.complaints.iter().map(|c| c.id.as_str()).collect();
    let ids: Vec<&str> = graph.signs.iter().map(|s| s.id.as_str()).chain(complaints.iter().copied()).collect();
    let said = unknown("sign or complaint", id, &ids);
    if said.contains("nearest") {
        return said;
    }
    format!("{said}; say it in words with --say, or write a complaint: {}", words::listed(&complaints, "or"))
}

fn not_an_answer(text: &str) -> String {
    if text.contains(':') {
        let mend = "write two numbers between 0 and 1, not both 0, such as 0.7:0.3";
        return format!("`{}` is not a pair of likelihoods; {mend}", shown(text));
    }
    let answers = ["sure", "think-so", "cannot-tell", "think-not", "sure-not", "present", "absent", "slight", "strong"];
    format!("{}, or A:B such as 0.7:0.3", unknown("answer", text, &answers))
}

/// Says that a name is not known, with the nearest one and, where they are few, all.
pub fn unknown(kind: &str, name: &str, known: &[&str]) -> String {
    let nearest = words::nearest(name, known.iter().copied()).map(|n| format!("; nearest: `{n}`")).unwrap_or_default();
    let few = if nearest.is_empty() { 30 } else { 14 };
    let list = if known.len() <= few { format!("; write {}", words::listed(known, "or")) } else { String::new() };
    format!("no {kind} is called `{}`{nearest}{list}", shown(name))
}
