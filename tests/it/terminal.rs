//! The conversation on a real pseudo-terminal, seen through a screen of its size.

use std::process::Command;

use knockwise::session::command::TABLE;
use rexpect::session::{PtySession, spawn_command};

const PATIENCE_MS: u64 = 60_000;

/// A terminal and all that was written on it.
struct Terminal {
    session: PtySession,
    written: String,
    columns: u16,
}

impl Terminal {
    fn open(state: &str, columns: u16, arguments: &str) -> Self {
        let folder = format!("{}/{state}", env!("CARGO_TARGET_TMPDIR"));
        let program = env!("CARGO_BIN_EXE_knockwise");
        let mut command = Command::new("sh");
        command.args(["-c", &format!("stty cols {columns} rows 60; exec '{program}' {arguments}")]);
        command.env("XDG_STATE_HOME", folder).env("TERM", "xterm").env("NO_COLOR", "1").env_remove("COLUMNS");
        Self { session: spawn_command(command, Some(PATIENCE_MS)).unwrap(), written: String::new(), columns }
    }

    /// Waits until a text is written.
    #[track_caller]
    fn until(&mut self, text: &str) {
        let before = self.session.exp_string(text).unwrap();
        self.written += &before;
        self.written += text;
    }

    fn keys(&mut self, keys: &str) {
        self.session.send(keys).unwrap();
        self.session.flush().unwrap();
    }

    #[track_caller]
    fn end(&mut self) {
        let rest = self.session.exp_eof().unwrap();
        self.written += &rest;
    }

    /// What a person sees.
    fn screen(&self) -> String {
        let mut parser = vt100::Parser::new(200.try_into().unwrap(), self.columns.try_into().unwrap(), 0);
        parser.process(self.written.as_bytes());
        parser.screen().contents()
    }
}

const START: &str = "what else you can type)";

#[test]
fn a_tab_completes_and_control_c_leaves_the_line() {
    let mut t = Terminal::open("keys", 80, "");
    t.until(START);
    t.keys("lik\t\r");
    t.until("Tell me what the bike does");
    t.keys("half a wor\u{3}");
    t.until("That line is dropped");
    t.keys("\u{4}");
    t.end();
    assert!(t.screen().contains("> likely"), "{}", t.screen());
    assert!(!t.screen().contains("is kept"), "nothing was told, so nothing is kept: {}", t.screen());
}

#[test]
fn control_d_keeps_the_sitting_and_resume_goes_on() {
    let mut t = Terminal::open("kept", 80, "");
    t.until(START);
    t.keys("it knocks at the front when I brake\r");
    t.until("Why I ask");
    t.keys("1\r");
    t.until("Why I ask");
    t.keys("\u{4}");
    t.until("`knockwise resume` goes on with it");
    t.end();
    let mut again = Terminal::open("kept", 80, "resume");
    again.until("Here is where we were");
    again.until("Why I ask");
    again.keys("heard\r");
    again.until("You answered");
    again.keys("leave\r");
    again.end();
    assert!(again.screen().contains("a knock or clunk"), "{}", again.screen());
}

#[test]
fn a_paste_of_several_lines_is_several_things_said() {
    let mut t = Terminal::open("paste", 80, "");
    t.until(START);
    // Bracketed, as terminals hand over what is pasted.
    t.keys("\u{1b}[200~it squeals at the back\nand the chain slips\u{1b}[201~\r");
    t.until("squeal");
    t.until("chain jumps or slips");
    t.keys("leave\r");
    t.end();
}

#[test]
fn fifty_columns_are_enough_and_nothing_is_coloured() {
    let mut t = Terminal::open("narrow", 50, "");
    t.until(START);
    t.keys("the disc brake rubs all the time since I put the wheel back\r");
    t.until("you can't");
    t.keys("mend\r");
    t.until("`worse`");
    t.keys("leave\r");
    t.end();
    for line in t.written.lines().filter(|l| !l.contains("> ")) {
        let shown = line.trim_end_matches('\r');
        assert!(shown.chars().count() <= 50 || shown.contains('\u{1b}'), "{shown}");
    }
    // Colour would be an escape that ends in m with a number before it.
    assert!(!t.written.contains("\u{1b}[3") && !t.written.contains("\u{1b}[1m"), "{:?}", t.written);
}

#[test]
fn readme_names_every_word_that_can_be_typed() {
    let readme = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md")).unwrap();
    let readme = readme.replace('\n', " ");
    for entry in TABLE {
        let takes = if entry.takes.is_empty() { String::new() } else { format!(" {}", entry.takes) };
        assert!(readme.contains(&format!("`{}{takes}`", entry.word)), "README.md does not name `{}`", entry.word);
    }
}
