//! Shares of exclusive values and rows of answer tables sum to 1.

use super::Report;
use crate::knowledge::format::{Id, Number, Shape, Value};

/// Hand-written shares are rounded; this much is forgiven and scaled away.
const ROUNDING: f64 = 0.011;

pub(super) fn check(report: &mut Report<'_>) {
    let k = report.knowledge;
    for fact in &k.facts {
        values(report, &fact.id, &fact.values);
    }
    for facet in k.facets.iter().filter(|f| !f.values.is_empty()) {
        values(report, &facet.id, &facet.values);
    }
    for table in &k.tables {
        for row in [&table.there, &table.missing] {
            let numbers = [&row.0, &row.1, &row.2, &row.3, &row.4];
            sum(report, &table.id, &numbers, "the chances in a row of");
        }
    }
    let shapes = k.causes.iter().flat_map(|c| &c.brings).flat_map(|b| &b.facets.0);
    for (facet, shape) in shapes.chain(k.complaints.iter().flat_map(|c| &c.shares.0)) {
        if let Shape::Values(pairs) = shape {
            let total: f64 = pairs.0.iter().map(|(_, n)| n.value).sum();
            let whole =
                k.facets.iter().find(|f| f.id.value == facet.value).is_some_and(|f| f.values.len() == pairs.0.len());
            if total > 1.0 + ROUNDING || (whole && total < 1.0 - ROUNDING) {
                let mend = "make them sum to 1, or leave some out: what is left is shared by the background";
                say(report, facet, total, "the chances of", mend);
            }
        }
    }
}

fn values(report: &mut Report<'_>, id: &Id, values: &[Value]) {
    let numbers: Vec<&Number> = values.iter().map(|v| &v.share).collect();
    sum(report, id, &numbers, "the shares of");
}

fn sum(report: &mut Report<'_>, id: &Id, numbers: &[&Number], what: &str) {
    let total: f64 = numbers.iter().map(|n| n.value).sum();
    if (total - 1.0).abs() > ROUNDING {
        say(report, id, total, what, "make them sum to 1");
    }
}

fn say(report: &mut Report<'_>, id: &Id, total: f64, what: &str, mend: &str) {
    let headline = format!("{what} `{}` sum to {:.3}", id.value, total);
    report.say("shares-do-not-sum", id, headline, mend);
}
