//! One rule a file; a rule's code is its file's name.
//!
//! A rule reads the whole knowledge and says every place that breaks it, with
//! the mend. Rules never change anything and know nothing of graph or engine.
//! `duplicate-id` stands in [`super::Knowledge`], which alone sees the layers apart;
//! `cannot-open`, `cannot-read`, `unknown-field`, `missing-field` and
//! `unknown-word` belong to [`super::read`]; `two-meanings` and `unheard-wording` to
//! whoever hears the wordings.

mod bad_id;
mod cause_without_remedy;
mod dangling_name;
mod no_base_rate;
mod not_a_probability;
mod orphan_sign;
mod repeated_key;
mod shares_do_not_sum;
mod silent_cause;
mod stop_without_caution;
mod unasked_sign;
pub mod wording;
mod wrong_shape;

use super::Knowledge;
use super::format::Placed;
use crate::snag::Snag;
use crate::words;

/// Every code a snag of knowledge can have.
pub const CODES: &[&str] = &[
    "bad-id",
    "cannot-open",
    "cannot-read",
    "cause-without-remedy",
    "dangling-name",
    "duplicate-id",
    "missing-field",
    "no-base-rate",
    "not-a-probability",
    "orphan-sign",
    "repeated-key",
    "shares-do-not-sum",
    "silent-cause",
    "stop-without-caution",
    "two-meanings",
    "unasked-sign",
    "unheard-wording",
    "unknown-field",
    "unknown-word",
    "wrong-shape",
];

/// Runs every rule.
pub fn all(knowledge: &Knowledge) -> Vec<Snag> {
    let mut report = Report { knowledge, snags: Vec::new() };
    for rule in [
        bad_id::check,
        cause_without_remedy::check,
        dangling_name::check,
        no_base_rate::check,
        not_a_probability::check,
        orphan_sign::check,
        repeated_key::check,
        shares_do_not_sum::check,
        silent_cause::check,
        stop_without_caution::check,
        unasked_sign::check,
        wrong_shape::check,
    ] {
        rule(&mut report);
    }
    report.snags
}

/// Where rules write what they find.
struct Report<'k> {
    knowledge: &'k Knowledge,
    snags: Vec<Snag>,
}

impl Report<'_> {
    fn say<T>(&mut self, code: &'static str, at: &Placed<T>, headline: String, mend: &str) {
        self.say_with_nearest(code, at, headline, None, mend);
    }

    fn say_with_nearest<T>(
        &mut self,
        code: &'static str,
        at: &Placed<T>,
        headline: String,
        nearest: Option<String>,
        mend: &str,
    ) {
        self.snags.push(Snag { code, place: self.knowledge.place(at), headline, nearest, mend: mend.to_owned() });
    }
}

/// Splits `sign@front` into the sign and its end.
pub(crate) fn end_of(name: &str) -> (&str, Option<&str>) {
    name.split_once('@').map_or((name, None), |(sign, end)| (sign, Some(end)))
}

fn nearest_of<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<String> {
    words::nearest(name, known).map(|n| format!("`{n}`"))
}
