//! What tells two causes apart: what they bring and show in different strength.

use crate::graph::{CauseIx, ComplaintIx, FaultGraph};
use crate::probability::percent;
use crate::words::{capitalised, listed};

/// Differences in strength below this tell nobody anything.
const TELLING: f64 = 0.15;

/// The strongest differences of two causes, no more than `most`, and the check of each.
pub fn told_apart(g: &FaultGraph, a: CauseIx, b: CauseIx, most: usize) -> String {
    let name = |c: CauseIx| g.cause(c).name.as_str();
    let mut rows = facets_apart(g, a, b);
    rows.extend(signs_apart(g, a, b));
    rows.sort_by(|x, y| y.0.total_cmp(&x.0));
    let mut text = format!("{} (the first) or {} (the other)\n", capitalised(name(a)), name(b));
    let brings = |c: CauseIx| g.brought_by(c).map(|(complaint, _)| complaint).collect::<Vec<_>>();
    let (ours, theirs) = (brings(a), brings(b));
    if !ours.iter().any(|c| theirs.contains(c)) {
        let named =
            |all: &[ComplaintIx]| listed(&all.iter().map(|c| g.complaint(*c).name.as_str()).collect::<Vec<_>>(), "or");
        text +=
            &format!("  They bring different things. The first: {}. The other: {}.\n", named(&ours), named(&theirs));
    }
    if rows.is_empty() {
        text += "  Nothing I know of tells them apart before the repair.\n";
    }
    rows.iter().take(most).for_each(|(_, row)| text += &format!("  {row}\n"));
    for c in [a, b] {
        text += &format!("To make sure of {}: {}\n", name(c), g.cause(c).check);
    }
    text
}

/// How often with either, said so that it is understood without the heading in view.
fn either(first: f64, other: f64) -> String {
    format!("the first {}, the other {}", percent(first), percent(other))
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
                    let row = format!("{} {}: {}", g.facet(usage.facet).ask, value.name, either(*x, *y));
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
            let row = format!("{}: {}", g.sign(s).name, either(x, y));
            ((x - y).abs() >= TELLING).then_some(((x - y).abs(), row))
        })
        .collect()
}
