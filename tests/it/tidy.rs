//! House rules, as tests: what reviews would otherwise have to say again and again.
//!
//! Each rule reads the text of the repository, not the program, and names
//! every place that breaks it at once, with the reason for the rule.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use std::fs;
use std::path::{Path, PathBuf};

use knockwise::built_in;
use knockwise::knowledge::check::{CODES, wording};
use knockwise::knowledge::read;
use knockwise::review;
use knockwise::snag::Source;

/// Modules from ground to roof. A module imports only from rows above its own here.
const ROWS: &[&[&str]] = &[
    &["words", "probability", "quantity", "markup"],
    &["snag"],
    &["knowledge"],
    &["graph", "gauge"],
    &["built_in"],
    &["inference"],
    &["inquiry", "intake", "casebook", "review"],
    &["session", "practice", "desk", "trial"],
    &["faces"],
    &["cli"],
];

/// The first rows, which never print and read neither clock nor environment.
const QUIET_ROWS: usize = 8;

/// All that may stand at the top of the repository, besides names with a dot.
const TOP: &[&str] =
    &["Cargo.toml", "Cargo.lock", "README.md", "DEVELOPERS.md", "src", "knowledge", "tests", "examples", "target"];

/// Files longer than this are two files.
const LONGEST: usize = 600;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Files below a folder with an ending, in the order of their names.
fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut entries: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            found.extend(files(&path, ending));
        } else if path.to_string_lossy().ends_with(ending) {
            found.push(path);
        }
    }
    found
}

/// A file of `src`: path inside it, and numbered lines of its code without tests and comments.
struct Code {
    path: String,
    lines: Vec<(usize, String)>,
}

impl Code {
    /// The module of the top level to which the file belongs.
    fn module(&self) -> &str {
        let first = self.path.split('/').next().unwrap();
        first.strip_suffix(".rs").unwrap_or(first)
    }

    fn row(&self) -> Option<usize> {
        row_of(self.module())
    }
}

fn row_of(module: &str) -> Option<usize> {
    ROWS.iter().position(|row| row.contains(&module))
}

fn code() -> Vec<Code> {
    let src = root().join("src");
    files(&src, ".rs")
        .iter()
        .map(|path| Code {
            path: path.strip_prefix(&src).unwrap().to_string_lossy().replace('\\', "/"),
            lines: without_tests(&fs::read_to_string(path).unwrap()),
        })
        .collect()
}

/// Lines of code proper: whatever `#[cfg(test)]` stands before is left out up to
/// the line that closes it at the same depth, and so are comments.
fn without_tests(text: &str) -> Vec<(usize, String)> {
    let mut kept = Vec::new();
    let mut lines = text.lines().enumerate();
    while let Some((n, line)) = lines.next() {
        let bare = line.trim_start();
        if bare.starts_with("#[cfg(test)]") {
            let depth = line.len() - bare.len();
            for (_, inner) in lines.by_ref() {
                let inner_depth = inner.len() - inner.trim_start().len();
                let closes = inner.trim_start().starts_with('}') || inner.trim_end().ends_with(';');
                if inner_depth == depth && closes {
                    break;
                }
            }
        } else if !bare.starts_with("//") {
            let code = line.split_once(" // ").map_or(line, |(code, _)| code);
            kept.push((n + 1, code.to_owned()));
        }
    }
    kept
}

/// Modules that a line names as `crate::module`, also in `crate::{one::X, two}`.
fn named_modules(text: &str) -> Vec<String> {
    let word = |s: &str| s.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
    let mut found = Vec::new();
    for (at, _) in text.match_indices("crate::") {
        let rest = &text[at + "crate::".len()..];
        match rest.strip_prefix('{') {
            None => found.push(word(rest)),
            Some(group) => {
                let mut depth = 0;
                let mut start = true;
                for (i, c) in group.char_indices() {
                    match c {
                        '{' => depth += 1,
                        '}' if depth == 0 => break,
                        '}' => depth -= 1,
                        ',' if depth == 0 => start = true,
                        c if start && c.is_alphabetic() => {
                            found.push(word(&group[i..]));
                            start = false;
                        }
                        _ => {}
                    }
                }
            }
        }
    }
    found
}

#[track_caller]
fn none(broken: Vec<String>, rule: &str) {
    assert!(broken.is_empty(), "{rule}:\n  {}", broken.join("\n  "));
}

#[test]
fn imports_run_one_way() {
    let mut broken = Vec::new();
    for file in code() {
        let Some(own) = file.row() else {
            // The crate's tour, its door and its build script stand outside the rows.
            if !matches!(file.path.as_str(), "lib.rs" | "main.rs" | "build.rs") {
                broken.push(format!("src/{} belongs to no row: add its module to ROWS", file.path));
            }
            continue;
        };
        let whole: String = file.lines.iter().map(|(_, l)| format!("{l}\n")).collect();
        for other in named_modules(&whole) {
            if other != file.module() && row_of(&other).is_some_and(|row| row >= own) {
                broken.push(format!("src/{} names crate::{other}", file.path));
            }
        }
    }
    none(broken, "a module imports only from rows before its own, never from a neighbour");
}

#[test]
fn no_file_is_too_long() {
    let mut broken = Vec::new();
    for path in files(&root().join("src"), ".rs") {
        let n = fs::read_to_string(&path).unwrap().lines().count();
        if n > LONGEST {
            broken.push(format!("{}: {n} lines", path.display()));
        }
    }
    none(broken, "a file of more than 600 lines is two files");
}

#[test]
fn the_top_holds_what_it_should() {
    let names = fs::read_dir(root()).unwrap().map(|e| e.unwrap().file_name().to_string_lossy().into_owned());
    let broken = names.filter(|n| !n.starts_with('.') && !TOP.contains(&n.as_str())).collect();
    none(broken, "these do not belong at the top of the repository");
}

#[test]
fn every_code_has_a_bad_file() {
    let bad = root().join("tests/bad");
    // A folder that cannot be opened is no file.
    let all = [CODES, wording::CODES, review::CODES].concat();
    let needed = all.iter().filter(|c| **c != "cannot-open");
    let broken = needed.filter(|c| !bad.join(format!("{c}.ron")).exists()).map(|c| (*c).to_owned()).collect();
    none(broken, "write tests/bad/<code>.ron for these codes");
}

/// Places in the code where one of some words stands.
fn places(files: &[Code], words: &[&str]) -> Vec<String> {
    let mut found = Vec::new();
    for file in files {
        for (n, line) in &file.lines {
            for word in words.iter().filter(|w| stands(line, w)) {
                found.push(format!("src/{}, line {n}: {word}", file.path));
            }
        }
    }
    found
}

/// True if the word stands there and is not the tail of a longer name.
fn stands(line: &str, word: &str) -> bool {
    let begins = |at: usize| !line[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_');
    let tail = word.starts_with('.');
    line.match_indices(word).any(|(at, _)| tail || begins(at))
}

#[test]
fn nothing_gives_up() {
    let words = [".unwrap()", ".expect(", "panic!", "todo!", "unimplemented!", "unreachable!"];
    none(places(&code(), &words), "say it as a snag or an error; the rider cannot mend a panic");
}

#[test]
fn the_quiet_rows_are_quiet() {
    let mut files = code();
    files.retain(|f| f.row().is_some_and(|row| row < QUIET_ROWS));
    let words = [
        "println!",
        "eprintln!",
        "print!",
        "eprint!",
        "dbg!",
        "stdout(",
        "stderr(",
        "stdin(",
        "SystemTime",
        "Instant::",
        "std::time",
        "std::env",
        "env::var",
        "env::args",
    ];
    none(places(&files, &words), "only faces and the roof speak, and hand in clock and environment");
}

#[test]
fn nothing_is_left_for_later() {
    let mut broken = Vec::new();
    let folders = ["src", "tests", "examples", "knowledge"];
    let all = folders.iter().map(|f| root().join(f)).filter(|f| f.exists());
    // Spelt in two halves, or this file would find itself.
    let words = [concat!("TO", "DO"), concat!("FIX", "ME"), concat!("XX", "X"), concat!("HA", "CK")];
    for path in all.flat_map(|f| [files(&f, ".rs"), files(&f, ".ron")].concat()) {
        for (n, line) in fs::read_to_string(&path).unwrap().lines().enumerate() {
            if words.iter().any(|w| stands(line, w)) {
                broken.push(format!("{}, line {}", path.display(), n + 1));
            }
        }
    }
    none(broken, "do it now, or write it down where work is planned");
}

fn knowledge() -> Vec<Source> {
    let read = |path: PathBuf| Source {
        name: format!("knowledge/{}", path.file_name().unwrap().to_string_lossy()),
        text: fs::read_to_string(&path).unwrap(),
    };
    files(&root().join("knowledge"), ".ron").into_iter().map(read).collect()
}

#[test]
fn every_knowledge_file_is_readable_by_itself() {
    let sources = knowledge();
    assert!(!sources.is_empty());
    let broken = sources.iter().flat_map(|s| read::cut(s).1).map(|snag| snag.to_string()).collect();
    none(broken, "every file is one list of entries");
    let compiled_in: Vec<String> = built_in::sources().into_iter().map(|s| s.name).collect();
    assert_eq!(compiled_in, sources.iter().map(|s| s.name.clone()).collect::<Vec<_>>(), "all files are compiled in");
}

#[test]
fn knowledge_files_are_clean() {
    let mut broken = Vec::new();
    for source in knowledge() {
        for (n, line) in source.text.lines().enumerate() {
            if line != line.trim_end() || line.contains('\t') {
                broken.push(format!("{}, line {}", source.name, n + 1));
            }
        }
        if !source.text.ends_with('\n') {
            broken.push(format!("{} has no line end at its end", source.name));
        }
    }
    none(broken, "no blanks at line ends, no tabulators");
}

#[test]
fn every_folder_says_what_it_is() {
    let mut broken = Vec::new();
    let src = root().join("src");
    let mut folders: Vec<PathBuf> =
        files(&src, ".rs").iter().map(|f| f.parent().unwrap().to_owned()).filter(|f| *f != src).collect();
    folders.dedup();
    for folder in folders {
        // A folder is told of by its mod.rs, or by the file of its name beside it.
        let inside = folder.join("mod.rs");
        let told = if inside.exists() { inside } else { folder.with_extension("rs") };
        let text = fs::read_to_string(&told).unwrap_or_default();
        let lines = text.lines().take_while(|l| l.starts_with("//!")).count();
        if lines < 5 {
            broken.push(format!("{}: {lines} lines", told.display()));
        }
    }
    none(broken, "say in 5 lines or more what the folder is, knows and never does");
}

#[test]
fn the_rules_see_what_they_should() {
    assert_eq!(
        named_modules("use crate::{words, knowledge::{read, terms}, snag::Snag};"),
        ["words", "knowledge", "snag"]
    );
    assert_eq!(named_modules("let x = crate::graph::build(pub(crate) y);"), ["graph"]);
    let text = "a\n#[cfg(test)]\nmod tests {\n    fn f() {\n    }\n}\nb // c\n// d\n#[cfg(test)]\nuse x;\ne";
    let kept: Vec<String> = without_tests(text).into_iter().map(|(_, l)| l).collect();
    assert_eq!(kept, ["a", "b", "e"]);
    assert!(stands("x.unwrap()", ".unwrap()"));
    assert!(stands("println!(1)", "println!"));
    assert!(!stands("eprintln!(1)", "println!"));
}
