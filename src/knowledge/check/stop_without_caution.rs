//! Who is told not to ride is told why and what to do instead.

use super::Report;
use crate::knowledge::terms::Ride;

pub(super) fn check(report: &mut Report<'_>) {
    for cause in &report.knowledge.causes {
        if cause.ride == Ride::Stop && cause.cautions.is_empty() {
            let headline = format!("cause `{}` says do not ride, without a caution", cause.id.value);
            report.say("stop-without-caution", &cause.id, headline, "name a caution, such as `stop-riding`");
        }
    }
}
