//! `explain ID` and `compare A B`: what the knowledge says of an entry, and what tells two causes apart.

use super::Outcome;
use crate::graph::FaultGraph;
use crate::inference::evidence::Evidence;
use crate::intake::reports::unknown;
use crate::probability::percent;
use crate::session::apart::told_apart;
use crate::session::repairs::how_to;
use crate::words::{capitalised, laid_out, listed};

/// Most differences of two causes that are said.
const MOST: usize = 12;

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
    Ok(Outcome { text: laid_out(&told_apart(&g, find(a)?, find(b)?, MOST), 78), code: 0 })
}
