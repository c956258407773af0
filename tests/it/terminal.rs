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
    /// The terminal's own path, as it tells it first.
    path: String,
}

impl Terminal {
    fn open(state: &str, columns: u16, arguments: &str) -> Self {
        Self::open_with(state, columns, arguments, true)
    }

    fn open_with(state: &str, columns: u16, arguments: &str, no_color: bool) -> Self {
        let folder = format!("{}/{state}", env!("CARGO_TARGET_TMPDIR"));
        let program = env!("CARGO_BIN_EXE_knockwise");
        let mut command = Command::new("sh");
        command.args(["-c", &format!("stty cols {columns} rows 60; tty; exec '{program}' {arguments}")]);
        command.env("XDG_STATE_HOME", folder).env("TERM", "xterm").env_remove("COLUMNS").env_remove("NO_COLOR");
        if no_color {
            command.env("NO_COLOR", "1");
        }
        let mut session = spawn_command(command, Some(PATIENCE_MS)).unwrap();
        let path = session.read_line().unwrap().trim().to_owned();
        Self { session, written: String::new(), columns, path }
    }

    /// Makes the window another size, as a person who drags its edge.
    #[track_caller]
    fn resize(&mut self, columns: u16) {
        let done = Command::new("stty").args(["-F", &self.path, "cols", &columns.to_string()]).status().unwrap();
        assert!(done.success(), "{}", self.path);
        self.columns = columns;
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
fn a_tab_completes_and_control_d_ends() {
    let mut t = Terminal::open("keys", 80, "");
    t.until(START);
    t.keys("lik\t\r");
    t.until("Tell me what the bike does");
    t.keys("half a wor\u{3}");
    t.until("Tell me what the bike does");
    t.keys("\u{4}");
    t.end();
    assert!(t.screen().contains("> likely"), "{}", t.screen());
    assert!(!t.screen().contains("The sitting is kept"), "nothing was told, so nothing is kept: {}", t.screen());
}

#[test]
fn control_c_leaves_the_question_and_an_empty_line_asks_it_again() {
    let mut t = Terminal::open("left", 80, "");
    t.until(START);
    t.keys("something rubs once every turn of the wheel\r");
    t.until("Why I ask");
    t.keys("\u{3}");
    t.until("That question is left");
    t.keys("1\r");
    t.until("No question stands");
    t.keys("\r");
    t.until("Why I ask");
    t.keys("leave\r");
    t.end();
    assert_eq!(t.screen().matches("Why I ask").count(), 2, "{}", t.screen());
}

#[test]
fn what_was_typed_before_comes_back_with_the_arrow_key() {
    let mut t = Terminal::open("arrow", 80, "");
    t.until(START);
    t.keys("it squeals at the back\r");
    t.until("Why I ask");
    t.keys("undo\r");
    t.until("Taken back: it squeals at the back");
    t.until(START);
    t.keys("\u{1b}[A\u{1b}[A\r");
    t.until("Why I ask");
    t.keys("leave\r");
    t.end();
}

const FAINT: &str = "\u{1b}[2m";

#[test]
fn hints_say_what_can_be_typed_where_faint_letters_are_wanted() {
    let mut t = Terminal::open_with("hints", 80, "", false);
    t.until("what the bike does, or help");
    t.keys("it squeals at the back\r");
    t.until("? or why");
    // The arrow key takes the rest of a word, never the advice.
    t.keys("lik\u{1b}[C\r");
    t.until("What may bring it");
    t.until("? or why");
    t.keys("mend\r");
    t.until("cured, better, same or worse");
    t.keys("leave\r");
    t.end();
    assert!(t.written.contains(FAINT) && t.screen().contains("> likely"), "{}", t.screen());

    let mut plain = Terminal::open("no-hints", 80, "");
    plain.until(START);
    plain.keys("it squeals at the back\r");
    plain.until("Why I ask");
    plain.keys("leave\r");
    plain.end();
    assert!(!plain.written.contains(FAINT) && !plain.written.contains("? or why"), "{:?}", plain.written);
}

/// The widest line that was written, prompts and typed lines left out.
fn widest(written: &str) -> usize {
    let shown =
        written.lines().map(|l| l.trim_end_matches('\r')).filter(|l| !l.contains("> ") && !l.contains('\u{1b}'));
    shown.map(|l| l.chars().count()).max().unwrap_or(0)
}

#[test]
fn a_window_made_narrower_is_heeded_from_the_next_answer_on() {
    let mut t = Terminal::open("resize", 90, "");
    t.until(START);
    t.keys("it knocks at the front when I brake\r");
    t.until("Why I ask");
    t.keys("reasons\r");
    t.until("Its numbers");
    t.keys("mend\r");
    t.until("`worse`");
    assert!(widest(&t.written) > 60, "wide lines on a wide window: {}", widest(&t.written));
    t.resize(50);
    let before = t.written.len();
    t.keys("\r");
    t.until("Why I ask");
    t.keys("mend\r");
    t.until("`worse`");
    t.keys("leave\r");
    t.end();
    let after = t.written[before..].split_once('\n').unwrap().1;
    assert!(widest(after) <= 50, "{after}");
}

#[test]
fn a_long_paste_is_heard_as_one_letter_to_its_end() {
    let mut t = Terminal::open("long-paste", 80, "");
    t.until(START);
    let lines: Vec<String> = (0..30).map(|i| format!("This is line {i} of a letter about lavender.")).collect();
    t.keys(&format!("\u{1b}[200~{}\nit squeals at the back\u{1b}[201~\r", lines.join("\n")));
    t.until("squeal or howl");
    t.until("Why I ask");
    t.keys("leave\r");
    t.end();
    assert_eq!(t.written.matches("I did not understand").count(), 0, "{}", t.screen());
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
fn a_paste_of_several_lines_is_heard_whole() {
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
    t.until("Why I ask");
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

/// A cure ends the sitting: nothing is left to be gone on with.
#[test]
fn a_cured_sitting_is_not_kept() {
    let kept = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("cured/knockwise/sitting");
    let mut t = Terminal::open("cured", 80, "");
    t.until(START);
    t.keys("the chain squeaks and is dry\r");
    t.until("What may bring it");
    t.keys("mend\r");
    t.until("Then say");
    assert!(kept.exists(), "it is kept at every step");
    t.keys("cured\r");
    t.until("Good, done: clean and oil the chain. To be sure");
    t.end();
    assert!(!kept.exists(), "{}", t.screen());
}

#[test]
fn a_new_sitting_moves_an_earlier_one_aside() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("aside/knockwise");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("sitting"), "said it squeals when I brake\n").unwrap();
    let mut t = Terminal::open("aside", 80, "");
    t.until("An earlier sitting is kept");
    t.keys("the chain squeaks and is dry\r");
    t.until("What may bring it");
    t.keys("leave\r");
    t.end();
    let kept = |name| std::fs::read_to_string(folder.join(name)).unwrap();
    assert!(kept("sitting").contains("chain squeaks"));
    assert_eq!(kept("sitting-before"), "said it squeals when I brake\n");
}

/// Whoever types faster than the program answers, or pastes where the terminal does not say so, loses nothing.
#[test]
fn lines_typed_ahead_are_all_heard() {
    let mut t = Terminal::open("ahead", 80, "");
    t.until(START);
    t.keys("it squeals at the back\rheard\rleave\r");
    t.until("Good luck with it");
    t.end();
    assert!(t.screen().contains("1. it makes a noise"), "{}", t.screen());
}
