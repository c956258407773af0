//! Speed as ratios: our whole process beside a trivial program's, started the same way.
//!
//! `cargo bench` prints both; compare the medians.

use std::process::{Command, Stdio};

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
