//! Speed as ratios: our whole process beside a trivial program's, started the same way.
//!
//! `cargo bench` prints both; compare the medians.

use std::process::{Command, Stdio};

use knockwise::graph::build::build;
use knockwise::inference::{evidence::Evidence, infer};
use knockwise::inquiry::{Situation, inquire};
use knockwise::intake::Lexicon;
use knockwise::knowledge::Knowledge;
use knockwise::knowledge::terms::{Reporter, Venue};

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

const OPENINGS: [&str; 5] = [
    "it knocks at the front when I brake",
    "it creaks when I pedal hard",
    "the gears jump and it makes a clicking noise from the back, and the brake is weak",
    "the e-bike stays dead",
    "it goes soft overnight",
];

/// The choice of the next question alone, in one process.
#[divan::bench(args = OPENINGS)]
fn next_question(bencher: divan::Bencher, words: &str) {
    let graph = build(&Knowledge::built_in().0);
    let s = Situation { by: Reporter::Rider, at: Venue::Home };
    let mut evidence = Evidence::default();
    Lexicon::of(&graph).hear(words, s.by, s.at, &mut evidence);
    let Ok(posterior) = infer(&graph, &evidence) else { return };
    bencher.bench(|| inquire(&graph, &evidence, &posterior, s, &[]));
}
