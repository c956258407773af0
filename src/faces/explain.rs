//! `explain ID` and `compare A B`: what the knowledge says of an entry, and what tells two causes apart.

use super::Outcome;
use crate::graph::{CauseIx, FaultGraph};
use crate::inference::evidence::Evidence;
use crate::intake::reports::unknown;
use crate::session::repairs::how_to;
use crate::words::{capitalised, laid_out, listed};

/// Differences in strength below this tell nobody anything.
const TELLING: f64 = 0.15;

/// Explains a cause, complaint, sign, question or remedy.
///
/// # Errors
/// If nothing is called so.
pub fn explain(id: &str) -> Result<Outcome, String> {
    let g = super::graph(None)?;
    let text = cause_text(&g, id)
        .or_else(|| complaint_text(&g, id))
        .or_else(|| sign_text(&g, id))
        .or_else(|| g.questions.iter().find(|q| q.id == id).map(|q| format!("{}\n  Why: {}.\n", q.ask, q.why)))
        .or_else(|| g.remedies.iter().find(|r| r.id == id).map(|r| how_to(r, &Evidence::default())));
    text.map(|t| Outcome { text: laid_out(&t, 78), code: 0 }).ok_or_else(|| unknown("entry", id, &names(&g)))
}

fn names(g: &FaultGraph) -> Vec<&str> {
    let causes = g.causes.iter().map(|c| c.id.as_str());
    let rest = g.complaints.iter().map(|c| c.id.as_str()).chain(g.signs.iter().map(|s| s.id.as_str()));
    causes
        .chain(rest)
        .chain(g.questions.iter().map(|q| q.id.as_str()))
        .chain(g.remedies.iter().map(|r| r.id.as_str()))
        .collect()
}

fn percent(p: f64) -> String {
    format!("{} in 100", (p * 100.0).round())
}

fn cause_text(g: &FaultGraph, id: &str) -> Option<String> {
    let ix = g.find_causes(id).first().copied()?;
    let c = g.cause(ix);
    let mut text = format!("{} ({})\n{}\n", capitalised(&c.name), c.assembly, c.plain);
    text += &format!("To make sure: {}\nRiding: {}.\n", c.check, c.ride.plain());
    c.cautions.iter().for_each(|x| text += &format!("  {}\n", x.text));
    text += &format!("On arriving bikes of its kind: {:.1} in 100 ({})\n", c.base * 100.0, c.source);
    text += "Brings\n";
    g.brought_by(ix).for_each(|(x, f)| text += &format!("  {}: {}\n", g.complaint(x).name, percent(f.strength)));
    text += "Shows\n";
    g.signs_of(ix).for_each(|(s, d)| text += &format!("  {}: {}\n", g.sign(s).name, percent(d[1] + d[2])));
    let remedies: Vec<String> = g.remedies_of(ix).map(|(r, _)| how_to(g.remedy(r), &Evidence::default())).collect();
    Some(text + &remedies.concat())
}

fn complaint_text(g: &FaultGraph, id: &str) -> Option<String> {
    let ix = g.find_complaint(id)?;
    let c = g.complaint(ix);
    let mut causes: Vec<(f64, &str)> =
        g.firings(ix).map(|(x, f)| (g.cause(x).base * f.strength, g.cause(x).name.as_str())).collect();
    causes.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut text = format!("{}\n  Told by: {}\n", capitalised(&c.name), c.ask);
    let facets: Vec<&str> = c.facets.iter().map(|u| g.facet(u.facet).id.as_str()).collect();
    text += &format!("  Its facets: {}\n{} causes may bring it, most often\n", listed(&facets, "and"), causes.len());
    causes
        .iter()
        .take(12)
        .for_each(|(p, name)| text += &format!("  {name}: on {:.1} in 100 bikes of its kind\n", p * 100.0));
    Some(text)
}

fn sign_text(g: &FaultGraph, id: &str) -> Option<String> {
    let ix = g.find_signs(id).first().copied()?;
    let mut text = format!("{}\nShown by\n", capitalised(&g.sign(ix).name));
    g.shown_by(ix).for_each(|(c, d)| text += &format!("  {}: {}\n", g.cause(c).name, percent(d[1] + d[2])));
    text += &format!("  none of my causes: {}\nSettled by\n", percent(g.sign(ix).background));
    g.questions_on(ix).for_each(|q| text += &format!("  {}\n", g.question(q).ask));
    Some(text)
}

/// What tells two causes apart.
///
/// # Errors
/// If a cause is not called so.
pub fn compare(a: &str, b: &str) -> Result<Outcome, String> {
    let g = super::graph(None)?;
    let causes: Vec<&str> = g.causes.iter().map(|c| c.id.as_str()).collect();
    let find = |id: &str| g.find_causes(id).first().copied().ok_or_else(|| unknown("cause", id, &causes));
    let (a, b) = (find(a)?, find(b)?);
    let name = |c: CauseIx| g.cause(c).name.as_str();
    let mut rows = facets_apart(&g, a, b);
    rows.extend(signs_apart(&g, a, b));
    rows.sort_by(|x, y| y.0.total_cmp(&x.0));
    let mut text = format!("{} or {}\n", capitalised(name(a)), name(b));
    if rows.is_empty() {
        text += "  Nothing I know of tells them apart before the repair.\n";
    }
    rows.iter().take(12).for_each(|(_, row)| text += &format!("  {row}\n"));
    for c in [a, b] {
        text += &format!("To make sure of {}: {}\n", name(c), g.cause(c).check);
    }
    Ok(Outcome { text: laid_out(&text, 78), code: 0 })
}

fn facets_apart(g: &FaultGraph, a: CauseIx, b: CauseIx) -> Vec<(f64, String)> {
    let mut rows = Vec::new();
    for (complaint, ours) in g.brought_by(a) {
        let Some((_, theirs)) = g.brought_by(b).find(|(c, _)| *c == complaint) else { continue };
        for (pos, usage) in g.complaint(complaint).facets.iter().enumerate() {
            let (Some(p), Some(q)) = (ours.shapes.get(pos), theirs.shapes.get(pos)) else { continue };
            for (value, (x, y)) in g.facet(usage.facet).values.iter().zip(p.iter().zip(q)) {
                let skip = g.facet(usage.facet).yes_no && value.id == "no";
                if (x - y).abs() >= TELLING && !skip {
                    let row =
                        format!("{} {}: {} against {}", g.facet(usage.facet).ask, value.name, percent(*x), percent(*y));
                    rows.push(((x - y).abs(), row));
                }
            }
        }
    }
    rows
}

fn signs_apart(g: &FaultGraph, a: CauseIx, b: CauseIx) -> Vec<(f64, String)> {
    let chance = |cause: CauseIx, sign| g.signs_of(cause).find(|(s, _)| *s == sign).map(|(_, d)| d[1] + d[2]);
    let mut signs: Vec<_> = g.signs_of(a).chain(g.signs_of(b)).map(|(s, _)| s).collect();
    signs.sort();
    signs.dedup();
    signs
        .into_iter()
        .filter_map(|s| {
            let other = g.sign(s).background;
            let (x, y) = (chance(a, s).unwrap_or(other), chance(b, s).unwrap_or(other));
            let row = format!("{}: {} against {}", g.sign(s).name, percent(x), percent(y));
            ((x - y).abs() >= TELLING).then_some(((x - y).abs(), row))
        })
        .collect()
}
