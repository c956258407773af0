//! The answer as one JSON object: the promise to programs. Fields are added, never changed.

use serde_json::{Value, json};

use super::answered::Answered;
use crate::inference::sign_chances;
use crate::inquiry::safety::{look_first, red_flags};
use crate::probability::nine_digits;
use crate::words;

/// Chances below this are left out of the list of causes.
const SHOWN_FROM: f64 = 0.0005;

/// Writes the answer; numbers to nine significant digits.
///
/// # Errors
/// If the chances of signs are too entangled to be weighed; what the writer says if it fails.
pub fn json(a: &Answered) -> Result<String, String> {
    let g = &a.graph;
    let heard: Vec<Value> =
        a.heard.iter().map(|h| json!({"id": h.id, "answer": h.answer, "text": words::harmless(&h.text)})).collect();
    let bike: serde_json::Map<String, Value> = a
        .evidence
        .facts
        .iter()
        .map(|(f, can)| {
            let fact = g.fact(*f);
            let ids: Vec<&str> =
                fact.values.iter().zip(can).filter(|(_, can)| **can).map(|(v, _)| v.id.as_str()).collect();
            (fact.id.clone(), words::listed(&ids, "or").into())
        })
        .collect();
    let (ride, because) = &a.ride;
    let flags = red_flags(g, &a.evidence).into_iter().map(|f| f.id.clone());
    let because: Vec<String> = because.iter().map(|c| g.cause(*c).key()).chain(flags).collect();
    let look_first = look_first(g, &a.evidence, &a.posterior);
    let look_first: Vec<String> = look_first.into_iter().map(|c| g.cause(c).key()).collect();
    let next: Vec<Value> = a
        .inquiry
        .proposals
        .iter()
        .map(|p| {
            let q = g.question(p.question);
            json!({"question": q.id, "ask": q.ask, "gain_bits": nine_digits(p.gain_bits),
                "minutes": nine_digits(p.minutes), "saves_minutes": nine_digits(p.saves_minutes)})
        })
        .collect();
    let remedies: Vec<Value> = a
        .inquiry
        .remedies
        .iter()
        .map(|p| {
            let r = g.remedy(p.remedy);
            let cures: Vec<String> = g.cured_by(p.remedy).map(|(c, _)| g.cause(c).key()).collect();
            json!({"id": r.id, "name": r.name, "cures": cures, "minutes": nine_digits(p.minutes)})
        })
        .collect();
    // Of signs that nobody reported.
    let chances = sign_chances(g, &a.evidence).map_err(|trouble| trouble.to_string())?;
    let signs: Vec<Value> =
        chances.iter().map(|(s, p)| json!({"id": g.sign(*s).id, "present": nine_digits(*p)})).collect();
    let object = json!({
        "version": env!("CARGO_PKG_VERSION"),
        "heard": heard,
        "bike": bike,
        "complaints": complaints(a),
        "causes": causes(a),
        "unlisted": nine_digits(a.posterior.nothing_listed()),
        "log_evidence": nine_digits(a.posterior.log_evidence),
        "signs": signs,
        "ride": {"advice": ride.word().to_lowercase(), "because": because, "look_first": look_first},
        "next": next,
        "remedies": remedies,
        "warnings": a.warnings,
    });
    serde_json::to_string_pretty(&object).map_err(|e| e.to_string())
}

fn causes(a: &Answered) -> Vec<Value> {
    let present = |c: crate::graph::CauseIx| a.posterior.present.get(c.index()).copied().unwrap_or(0.0);
    let mut order = a.posterior.ranking();
    order.sort_by(|x, y| a.posterior.ranked_by(*y).total_cmp(&a.posterior.ranked_by(*x)));
    order
        .into_iter()
        .filter(|c| a.posterior.ranked_by(*c) >= SHOWN_FROM || present(*c) >= SHOWN_FROM)
        .map(|c| {
            let e = a.graph.cause(c);
            json!({"id": e.id, "name": e.name, "assembly": e.assembly, "end": e.end.map(|x| x.word()),
                "probability": nine_digits(a.posterior.ranked_by(c)), "present": nine_digits(present(c)),
                "ride": e.ride.word().to_lowercase()})
        })
        .collect()
}

/// Each complaint with its own ranking.
fn complaints(a: &Answered) -> Vec<Value> {
    let each = |(index, event): (usize, &crate::inference::evidence::Event)| {
        let empty = Vec::new();
        let brings = a.posterior.brings.get(index).unwrap_or(&empty);
        let mut order: Vec<usize> = (0..brings.len()).filter(|c| brings[*c] >= SHOWN_FROM).collect();
        order.sort_by(|x, y| brings[*y].total_cmp(&brings[*x]));
        let causes: Vec<Value> = order
            .into_iter()
            .filter_map(|c| {
                let e = a.graph.causes.get(c)?;
                Some(json!({"id": e.id, "end": e.end.map(|x| x.word()), "probability": nine_digits(brings[c])}))
            })
            .collect();
        let unlisted = a.posterior.unlisted.get(index).copied().unwrap_or(0.0);
        json!({"id": a.graph.complaint(event.complaint).id, "unlisted": nine_digits(unlisted), "causes": causes})
    };
    a.evidence.events.iter().enumerate().map(each).collect()
}
