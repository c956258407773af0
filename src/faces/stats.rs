//! `knowledge stats`: how much is known, by file and in all, on what it rests, and where it is thin.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use crate::knowledge::check::end_of;
use crate::knowledge::format::{Cause, Id, Shape, Strength};
use crate::knowledge::terms::{Reporter, Standing, Venue};
use crate::knowledge::{Knowledge, Named};
use crate::words::{counted, wrapped};

/// Columns of a terminal that everybody has.
const COLUMNS: usize = 78;
/// Names shown of a gap.
const SHOWN: usize = 12;

/// Everything that is counted, as text.
pub(super) fn text(k: &Knowledge) -> String {
    [by_file(k), standing(k), causes_of_complaints(k), places(k), gaps(k)].join("\n")
}

fn by_file(k: &Knowledge) -> String {
    let mut rows: BTreeMap<&str, [usize; 5]> = BTreeMap::new();
    fn count<'k, T: Named>(k: &'k Knowledge, rows: &mut BTreeMap<&'k str, [usize; 5]>, entries: &[T], column: usize) {
        for entry in entries {
            let row = rows.entry(k.assembly(entry.id())).or_default();
            row[column] += 1;
        }
    }
    count(k, &mut rows, &k.causes, 0);
    count(k, &mut rows, &k.signs, 1);
    count(k, &mut rows, &k.questions, 2);
    count(k, &mut rows, &k.remedies, 3);
    count(k, &mut rows, &k.phrases, 4);
    let line = |name: &str, n: &[usize; 5]| {
        let [causes, signs, questions, remedies, phrases] = n;
        format!("{name:<22}{causes:>8}{signs:>8}{questions:>11}{remedies:>10}{phrases:>9}\n")
    };
    let mut text =
        format!("{:<22}{:>8}{:>8}{:>11}{:>10}{:>9}\n", "", "causes", "signs", "questions", "remedies", "phrases");
    let mut all = [0; 5];
    for (file, row) in &rows {
        text += &line(file, row);
        all.iter_mut().zip(row).for_each(|(sum, n)| *sum += n);
    }
    text += &line("in all", &all);
    let rest = [
        counted(k.complaints.len(), "complaint", "complaints"),
        counted(k.facets.len(), "facet", "facets"),
        counted(k.facts.len(), "bike fact", "bike facts"),
        counted(k.cautions.len(), "caution", "cautions"),
        counted(k.flags.len(), "red flag", "red flags"),
        counted(k.glosses.len(), "gloss", "glosses"),
    ];
    text + &wrapped(&rest.join(", "), COLUMNS, "", "") + "\n"
}

/// Numbers of a shape.
fn numbers(shape: &Shape) -> usize {
    match shape {
        Shape::Yes(_) => 1,
        Shape::Values(pairs) => pairs.0.len(),
    }
}

/// Numbers by what stands behind them; a named strength rests on its own source.
fn standing(k: &Knowledge) -> String {
    let of_source = |id: &Id| k.sources.iter().find(|s| s.id.value == id.value).map(|s| s.standing);
    let mut rows: BTreeMap<Option<Standing>, usize> = BTreeMap::new();
    let mut add = |standing: Option<Standing>, n: usize| *rows.entry(standing).or_default() += n;
    for cause in &k.causes {
        let own = of_source(&cause.source);
        let base = usize::from(cause.base.is_some()) + 2 * usize::from(cause.ends.is_some());
        let facets: usize = cause.brings.iter().flat_map(|b| &b.facets.0).map(|(_, s)| numbers(s)).sum();
        add(own, base + cause.odds.0.len() + facets);
        for strength in cause.brings.iter().map(|b| &b.strength).chain(cause.shows.0.iter().map(|(_, s)| s)) {
            match &strength.value {
                Strength::Step(word) => {
                    let step = k.steps.iter().find(|s| s.id.value == *word);
                    add(step.and_then(|s| of_source(&s.source)), 1);
                }
                Strength::Chance(_) => add(own, 1),
                Strength::Degrees { .. } => add(own, 2),
            }
        }
    }
    k.signs.iter().for_each(|e| add(of_source(&e.source), 1));
    k.facts.iter().for_each(|e| add(of_source(&e.source), e.values.len()));
    k.steps.iter().for_each(|e| add(of_source(&e.source), 1));
    k.tables.iter().for_each(|e| add(of_source(&e.source), 10));
    k.limits.iter().for_each(|e| add(of_source(&e.source), 1));
    for e in &k.complaints {
        let hits: usize = e.hits.0.iter().map(|(_, h)| h.0.len()).sum();
        add(of_source(&e.source), 1 + hits + e.shares.0.iter().map(|(_, s)| numbers(s)).sum::<usize>());
    }
    for e in &k.remedies {
        add(of_source(&e.source), 1 + 2 * e.cures.0.len() + usize::from(e.price.is_some()));
    }
    k.facets.iter().for_each(|e| add(None, e.values.len() + e.hits.0.len() + usize::from(e.yes.is_some()) + 1));
    k.questions.iter().for_each(|_| add(None, 1));
    let mut text = String::from("Numbers by what stands behind them\n");
    for standing in Standing::ALL {
        let n = rows.get(&Some(*standing)).copied().unwrap_or_default();
        let _ = writeln!(text, "{n:>8}  {}", standing.plain());
    }
    let _ = writeln!(text, "{:>8}  no source named: facets, and minutes of questions", rows.get(&None).unwrap_or(&0));
    text
}

fn causes_of(k: &Knowledge, complaint: &Id) -> usize {
    k.causes.iter().filter(|c| c.brings.iter().any(|b| b.complaint.value == complaint.value)).count()
}

fn causes_of_complaints(k: &Knowledge) -> String {
    let mut rows: Vec<(usize, &str)> = k.complaints.iter().map(|c| (causes_of(k, &c.id), c.id.as_str())).collect();
    rows.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(b.1)));
    let cells: Vec<String> = rows.iter().map(|(n, id)| format!("{n:>6}  {id:<18}")).collect();
    let lines = cells.chunks(3).map(|row| format!("{}\n", row.concat().trim_end()));
    format!("Causes by complaint\n{}", lines.collect::<String>())
}

fn places(k: &Knowledge) -> String {
    let count = |who: Reporter, at: Venue| {
        let asked =
            |q: &&crate::knowledge::format::Question| q.at.contains(&at) && (q.by.is_empty() || q.by.contains(&who));
        k.questions.iter().filter(asked).count()
    };
    let mut text = format!("{:<28}{:>8}{:>12}\n", "Questions about signs", "rider", "mechanic");
    for at in Venue::ALL {
        let (rider, mechanic) = (count(Reporter::Rider, *at), count(Reporter::Mechanic, *at));
        let _ = writeln!(text, "  {:<26}{rider:>8}{mechanic:>12}", at.plain());
    }
    text
}

fn gaps(k: &Knowledge) -> String {
    let answered: std::collections::BTreeSet<&str> = k
        .questions
        .iter()
        .filter(|q| q.by.is_empty() || q.by.contains(&Reporter::Rider))
        .filter(|q| q.at.iter().any(|at| *at != Venue::Bench))
        .flat_map(|q| &q.settles)
        .map(|s| end_of(s.as_str()).0)
        .collect();
    let causes = |wanted: &dyn Fn(&Cause) -> bool| -> Vec<&str> {
        k.causes.iter().filter(|c| wanted(c)).map(|c| c.id.as_str()).collect()
    };
    let untold = |c: &Cause| !c.shows.0.iter().any(|(s, _)| answered.contains(end_of(s.as_str()).0));
    let few = |c: &&crate::knowledge::format::Complaint| causes_of(k, &c.id) < 5;
    let complaints: Vec<&str> = k.complaints.iter().filter(few).map(|c| c.id.as_str()).collect();
    let rows = [
        ("causes without a sign", causes(&|c| c.shows.0.is_empty())),
        ("causes with one sign only", causes(&|c| c.shows.0.len() == 1)),
        ("causes of which the rider can answer no sign", causes(&untold)),
        ("complaints with fewer than five causes", complaints),
        ("causes that bring no complaint", causes(&|c| c.brings.is_empty())),
    ];
    let mut text = String::from("Widest gaps\n");
    for (what, names) in rows.iter().filter(|(_, names)| !names.is_empty()) {
        let more = names.len().saturating_sub(SHOWN);
        let shown: Vec<&str> = names.iter().take(SHOWN).copied().collect();
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        let line = format!("{} {what}: {}{more}", names.len(), shown.join(", "));
        // Names are typed, so they are not broken at their hyphens.
        let options = textwrap::Options::new(COLUMNS).initial_indent("  ").subsequent_indent("    ");
        text += &textwrap::fill(&line, options.word_splitter(textwrap::WordSplitter::NoHyphenation));
        text.push('\n');
    }
    text
}
