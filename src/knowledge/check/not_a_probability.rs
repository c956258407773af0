//! Chances lie between 0 and 1; base rates, backgrounds and strengths are neither.

use super::Report;
use crate::knowledge::format::{Number, Placed, Shape, Strength};

pub(super) fn check(report: &mut Report<'_>) {
    let k = report.knowledge;
    for step in &k.steps {
        open(report, &step.number, "a step");
    }
    for table in &k.tables {
        for row in [&table.there, &table.missing] {
            for n in [&row.0, &row.1, &row.2, &row.3, &row.4] {
                open(report, n, "the chance of an answer");
            }
        }
    }
    for v in k.facts.iter().flat_map(|f| &f.values).chain(k.facets.iter().flat_map(|f| &f.values)) {
        open(report, &v.share, "a share");
    }
    for facet in &k.facets {
        facet.yes.iter().for_each(|n| open(report, n, "a share"));
        facet.hits.0.iter().for_each(|(_, n)| open(report, n, "how often the true value is named"));
        minutes(report, &facet.minutes);
    }
    for complaint in &k.complaints {
        open(report, &complaint.background, "a background");
        complaint.shares.0.iter().for_each(|(_, s)| shape(report, s));
        for (_, n) in complaint.hits.0.iter().flat_map(|(_, hits)| &hits.0) {
            open(report, n, "how often the true value is named");
        }
    }
    for sign in &k.signs {
        open(report, &sign.background, "a background");
    }
    for cause in &k.causes {
        cause.base.iter().for_each(|n| open(report, n, "a base rate"));
        if let Some(ends) = &cause.ends {
            open(report, &ends.front, "a base rate");
            open(report, &ends.rear, "a base rate");
        }
        for (_, n) in &cause.odds.0 {
            if !(0.01..=100.0).contains(&n.value) {
                let headline = format!("{} multiplies odds by less than 0.01 or more than 100", n.value);
                report.say("not-a-probability", n, headline, "write a multiplier such as 3 or 0.5");
            }
        }
        for brings in &cause.brings {
            strength(report, &brings.strength);
            brings.facets.0.iter().for_each(|(_, s)| shape(report, s));
        }
        cause.shows.0.iter().for_each(|(_, s)| strength(report, s));
    }
    for question in &k.questions {
        minutes(report, &question.minutes);
    }
    for remedy in &k.remedies {
        minutes(report, &remedy.minutes);
        if let Some(price) = &remedy.price
            && !(0.0..=100_000.0).contains(&price.value)
        {
            let headline = format!("the price is {}", price.value);
            report.say("not-a-probability", price, headline, "write minutes of a workshop's work, 0 or more");
        }
        for (_, works) in &remedy.cures.0 {
            open(report, &works.rider, "the chance that a remedy works");
            open(report, &works.mechanic, "the chance that a remedy works");
        }
    }
}

fn open(report: &mut Report<'_>, n: &Number, what: &str) {
    if !(n.value > 0.0 && n.value < 1.0) {
        judge(report, n, n.value, what);
    }
}

fn judge<T>(report: &mut Report<'_>, at: &Placed<T>, value: f64, what: &str) {
    let headline = format!("{what} is {value}; it lies between 0 and 1, and is neither");
    let mend = match value {
        // No workshop has seen everything.
        1.0 => "for nearly always write 0.99".to_owned(),
        0.0 => "for hardly ever write 0.01 or less".to_owned(),
        v if v > 1.0 && v < 100.0 => format!("for {v} in 100 write {}", v / 100.0),
        _ => "write a number such as 0.05".to_owned(),
    };
    report.say("not-a-probability", at, headline, &mend);
}

fn strength(report: &mut Report<'_>, s: &Placed<Strength>) {
    match s.value {
        Strength::Chance(p) if !(p > 0.0 && p < 1.0) => judge(report, s, p, "a strength"),
        Strength::Degrees { slight, strong }
            if !(slight >= 0.0 && strong >= 0.0 && slight + strong > 0.0 && slight + strong < 1.0) =>
        {
            judge(report, s, slight + strong, "the sum of slight and strong");
        }
        _ => {}
    }
}

fn shape(report: &mut Report<'_>, s: &Shape) {
    match s {
        Shape::Yes(n) => open(report, n, "the chance of yes"),
        Shape::Values(pairs) => pairs.0.iter().for_each(|(_, n)| open(report, n, "the chance of a value")),
    }
}

fn minutes(report: &mut Report<'_>, n: &Number) {
    if !(n.value > 0.0 && n.value <= 10_000.0) {
        let headline = format!("it takes {} minutes", n.value);
        report.say("not-a-probability", n, headline, "write minutes, more than 0 and at most 10000");
    }
}
