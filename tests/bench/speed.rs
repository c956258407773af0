//! Speed as ratios: our whole process beside a trivial program's, started the same way.
//!
//! `cargo bench` prints both; compare the medians.

use std::process::{Command, Stdio};

use knockwise::graph::FaultGraph;
use knockwise::graph::build::build;
use knockwise::inference::evidence::Evidence;
use knockwise::inference::{Posterior, infer};
use knockwise::inquiry::{Situation, inquire, inquire_weighing};
use knockwise::intake::Lexicon;
use knockwise::knowledge::Knowledge;
use knockwise::knowledge::terms::{Reporter, Venue};
use unicode_segmentation::UnicodeSegmentation;

fn main() {
    divan::main();
}

fn run(program: &str, arguments: &[&str]) {
    let done = Command::new(program).args(arguments).stdin(Stdio::null()).stdout(Stdio::null()).status();
    assert!(done.is_ok_and(|s| s.success()), "{program} did not run");
}

#[divan::bench]
fn trivial_program() {
    run("true", &[]);
}

#[divan::bench]
fn rank_whole_process() {
    run(env!("CARGO_BIN_EXE_knockwise"), &["rank", "--json", "--say", "it knocks at the front when I brake"]);
}

/// From the start to the first prompt, and out again.
#[divan::bench]
fn conversation_to_first_prompt() {
    run(env!("CARGO_BIN_EXE_knockwise"), &[]);
}

#[divan::bench]
fn read_and_check_knowledge() {
    run(env!("CARGO_BIN_EXE_knockwise"), &["knowledge", "check"]);
}

/// A letter of 300 words, as people write them.
fn letter() -> String {
    let set = include_str!("../heard/open.jsonl");
    let texts = set.lines().filter_map(|l| serde_json::from_str::<serde_json::Value>(l).ok());
    let words: Vec<String> = texts
        .filter_map(|v| v["text"].as_str().map(str::to_owned))
        .flat_map(|t| t.split_whitespace().map(str::to_owned).collect::<Vec<_>>())
        .take(300)
        .collect();
    words.join(" ")
}

/// Beside hearing: the same letter cut into words by the library, and nothing more.
#[divan::bench]
fn letter_cut_into_words(bencher: divan::Bencher) {
    let letter = letter();
    bencher.bench(|| letter.unicode_words().map(str::to_lowercase).collect::<Vec<_>>());
}

#[divan::bench]
fn letter_of_300_words_heard(bencher: divan::Bencher) {
    let (knowledge, _) = Knowledge::built_in();
    let graph = build(&knowledge);
    let lexicon = Lexicon::of(&graph);
    let letter = letter();
    bencher.bench_local(|| lexicon.hear(&letter, Reporter::Rider, Venue::Home, &mut Evidence::default()));
}

/// The lexicon made ready, once a start.
#[divan::bench]
fn lexicon_made_ready(bencher: divan::Bencher) {
    let (knowledge, _) = Knowledge::built_in();
    let graph = build(&knowledge);
    bencher.bench_local(|| Lexicon::of(&graph).graph.phrases.len());
}

const OPENINGS: [&str; 5] = [
    "it knocks at the front when I brake",
    "it creaks when I pedal hard",
    "the gears jump and it makes a clicking noise from the back, and the brake is weak",
    "the e-bike stays dead",
    "it goes soft overnight",
];

const RIDER: Situation = Situation { by: Reporter::Rider, at: Venue::Home };

fn told(graph: &FaultGraph, words: &str) -> Option<(Evidence, Posterior)> {
    let mut evidence = Evidence::default();
    Lexicon::of(graph).hear(words, RIDER.by, RIDER.at, &mut evidence);
    let posterior = infer(graph, &evidence).ok()?;
    Some((evidence, posterior))
}

/// The choice of the next question alone, in one process.
#[divan::bench(args = OPENINGS)]
fn next_question(bencher: divan::Bencher, words: &str) {
    let graph = build(&Knowledge::built_in().0);
    let Some((evidence, posterior)) = told(&graph, words) else { return };
    bencher.bench(|| inquire(&graph, &evidence, &posterior, RIDER, &[]));
}

/// The same with every question weighed exactly (up to 64), none sorted out by its rough worth.
#[divan::bench(args = OPENINGS)]
fn next_question_all_weighed(bencher: divan::Bencher, words: &str) {
    let graph = build(&Knowledge::built_in().0);
    let Some((evidence, posterior)) = told(&graph, words) else { return };
    bencher.bench(|| inquire_weighing(&graph, &evidence, &posterior, RIDER, &[], usize::MAX));
}
