//! A key stands once in its map; the reader of RON would let the last one win.

use std::collections::BTreeSet;

use super::Report;
use crate::knowledge::format::{Id, Pairs, Shape};

pub(super) fn check(report: &mut Report<'_>) {
    let k = report.knowledge;
    for cause in &k.causes {
        once(report, &cause.fits);
        once(report, &cause.odds);
        once(report, &cause.shows);
        for brings in &cause.brings {
            once(report, &brings.facets);
            brings.facets.0.iter().for_each(|(_, s)| inside(report, s));
        }
        let complaints: Vec<&Id> = cause.brings.iter().map(|b| &b.complaint).collect();
        names_once(report, &complaints);
    }
    for complaint in &k.complaints {
        once(report, &complaint.shares);
        once(report, &complaint.hits);
        once(report, &complaint.needs);
        complaint.shares.0.iter().for_each(|(_, s)| inside(report, s));
        names_once(report, &complaint.facets.iter().collect::<Vec<_>>());
    }
    for facet in &k.facets {
        once(report, &facet.hits);
        names_once(report, &facet.values.iter().map(|v| &v.id).collect::<Vec<_>>());
    }
    for fact in &k.facts {
        names_once(report, &fact.values.iter().map(|v| &v.id).collect::<Vec<_>>());
    }
    k.signs.iter().for_each(|s| once(report, &s.noticed));
    k.cautions.iter().for_each(|c| once(report, &c.fits));
    k.remedies.iter().for_each(|r| once(report, &r.cures));
    k.questions.iter().flat_map(|q| &q.options).for_each(|o| once(report, &o.means));
}

fn inside(report: &mut Report<'_>, shape: &Shape) {
    if let Shape::Values(pairs) = shape {
        once(report, pairs);
    }
}

fn once<V>(report: &mut Report<'_>, pairs: &Pairs<V>) {
    names_once(report, &pairs.0.iter().map(|(key, _)| key).collect::<Vec<_>>());
}

fn names_once(report: &mut Report<'_>, names: &[&Id]) {
    let mut seen = BTreeSet::new();
    for name in names {
        if !seen.insert(name.as_str()) {
            let headline = format!("`{}` stands twice here", name.value);
            report.say("repeated-key", name, headline, "keep one of the two");
        }
    }
}
