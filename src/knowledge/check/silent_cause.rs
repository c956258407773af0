//! A cause that brings nothing can never be found.

use super::Report;

pub(super) fn check(report: &mut Report<'_>) {
    for cause in &report.knowledge.causes {
        if cause.brings.is_empty() && cause.shows.0.is_empty() {
            let headline = format!("cause `{}` brings no complaint and shows no sign", cause.id.value);
            report.say("silent-cause", &cause.id, headline, "say what a rider notices of it, under `brings`");
        }
    }
}
