//! Yes-or-no facets take one chance, others a map; ends and degrees only where the sign has them.

use super::{Report, end_of};
use crate::knowledge::Knowledge;
use crate::knowledge::format::{Id, Shape, Sign, Strength};

pub(super) fn check(report: &mut Report<'_>) {
    let k = report.knowledge;
    for facet in &k.facets {
        if facet.values.is_empty() == facet.yes.is_none() {
            let headline = format!("facet `{}` needs either values or a chance of yes", facet.id.value);
            report.say("wrong-shape", &facet.id, headline, "write `values: [...]` or `yes: 0.3`");
        }
    }
    for (facet, s) in k.complaints.iter().flat_map(|c| &c.shares.0) {
        shape(report, facet, s);
    }
    for cause in &k.causes {
        for (facet, s) in cause.brings.iter().flat_map(|b| &b.facets.0) {
            shape(report, facet, s);
        }
        for brings in &cause.brings {
            if matches!(brings.strength.value, Strength::Degrees { .. }) {
                let headline = format!("complaint `{}` has no degrees", brings.complaint.value);
                report.say("wrong-shape", &brings.strength, headline, "write one number or step");
            }
        }
        for (name, strength) in &cause.shows.0 {
            let Some(sign) = at_end(report, k, name) else { continue };
            if !sign.degrees && matches!(strength.value, Strength::Degrees { .. }) {
                let headline = format!("sign `{}` has no degrees", sign.id.value);
                report.say(
                    "wrong-shape",
                    strength,
                    headline,
                    "write one number or step, or give the sign `degrees: true`",
                );
            }
        }
    }
    for question in &k.questions {
        let meant = question.options.iter().flat_map(|o| &o.means.0).map(|(sign, _)| sign);
        for name in question.settles.iter().chain(meant) {
            at_end(report, k, name);
        }
    }
    for question in k.questions.iter().filter(|q| q.settles.is_empty()) {
        let headline = format!("question `{}` settles nothing", question.id.value);
        report.say("wrong-shape", &question.id, headline, "name a sign under `settles`");
    }
    for question in k.questions.iter().filter(|q| q.options.is_empty() && q.settles.len() > 1) {
        let headline = format!("question `{}` settles several signs without options", question.id.value);
        report.say("wrong-shape", &question.id, headline, "write `options`, or ask for one sign");
    }
}

fn shape(report: &mut Report<'_>, facet: &Id, shape: &Shape) {
    let entry = report.knowledge.facets.iter().find(|f| f.id.value == facet.value);
    let Some(entry) = entry else { return };
    match (entry.values.is_empty(), shape) {
        (true, Shape::Values(_)) => {
            let headline = format!("`{}` is a yes-or-no facet", facet.value);
            report.say("wrong-shape", facet, headline, "write one number, the chance of yes");
        }
        (false, Shape::Yes(_)) => {
            let headline = format!("`{}` has values", facet.value);
            report.say("wrong-shape", facet, headline, "write a map of values and chances");
        }
        _ => {}
    }
}

/// The sign of a name, which may say the end; an end that the sign has not is told.
fn at_end<'k>(report: &mut Report<'_>, k: &'k Knowledge, name: &Id) -> Option<&'k Sign> {
    let (sign, end) = end_of(name.as_str());
    let sign = k.signs.iter().find(|s| s.id.value == sign)?;
    if let Some(end) = end.filter(|e| !matches!(*e, "front" | "rear") || !sign.ends) {
        let headline = format!("sign `{}` has no end `{end}`", sign.id.value);
        report.say("wrong-shape", name, headline, "write the sign alone, or with @front or @rear if it has ends");
    }
    Some(sign)
}
