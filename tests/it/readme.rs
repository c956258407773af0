//! Every command in README.md is run as it stands there.

use std::process::Command;

/// The ways in which the text calls the program.
const CALLS: &[&str] = &["cargo run --release -- ", "knockwise "];

/// Commands in indented or fenced lines, with the number of their line. A
/// backslash at the end joins the next line; a `$ ` before the command is dropped.
fn commands(text: &str) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    let mut fenced = false;
    let mut lines = text.lines().enumerate();
    while let Some((n, line)) = lines.next() {
        let bare = line.trim_start();
        if bare.starts_with("```") || bare.starts_with("~~~") {
            fenced = !fenced;
            continue;
        }
        if !fenced && !line.starts_with("    ") && !line.starts_with('\t') {
            continue;
        }
        let mut whole = bare.strip_prefix("$ ").unwrap_or(bare).trim_end().to_owned();
        while let Some(begun) = whole.strip_suffix('\\') {
            let next = lines.next().map_or("", |(_, l)| l.trim());
            whole = format!("{begun}{next}");
        }
        if let Some(arguments) = CALLS.iter().find_map(|call| whole.strip_prefix(call)) {
            found.push((n + 1, arguments.to_owned()));
        }
    }
    found
}

/// Splits as a shell does: quotes, a backslash before a letter, `#` comments,
/// and nothing of what follows a pipe or an arrow.
fn split(arguments: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut word: Option<String> = None;
    let mut quote = None;
    let mut letters = arguments.chars();
    while let Some(c) = letters.next() {
        match (c, quote) {
            (c, Some(q)) if c == q => quote = None,
            ('\\', None | Some('"')) => word.get_or_insert_default().extend(letters.next()),
            (c, Some(_)) => word.get_or_insert_default().push(c),
            ('\'' | '"', None) => {
                quote = Some(c);
                word.get_or_insert_default();
            }
            ('|' | '>' | '<' | ';' | '&', None) => break,
            ('#', None) if word.is_none() => break,
            (c, None) if c.is_whitespace() => words.extend(word.take()),
            (c, None) => word.get_or_insert_default().push(c),
        }
    }
    assert!(quote.is_none(), "a quote stays open in: {arguments}");
    words.extend(word);
    words
}

#[test]
fn every_command_of_the_readme_runs() {
    let root = env!("CARGO_MANIFEST_DIR");
    let text = std::fs::read_to_string(format!("{root}/README.md")).unwrap();
    let commands = commands(&text);
    assert!(!commands.is_empty(), "README.md shows no command at all");
    let mut broken = Vec::new();
    for (line, arguments) in commands {
        // What a sample writes, it writes into a folder that is thrown away.
        let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("readme-{line}"));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).unwrap();
        for shared in ["knowledge", "tests", "examples"] {
            #[cfg(unix)]
            std::os::unix::fs::symlink(format!("{root}/{shared}"), folder.join(shared)).unwrap();
        }
        let run = Command::new(env!("CARGO_BIN_EXE_knockwise"))
            .args(split(&arguments))
            .current_dir(if cfg!(unix) { folder.as_path() } else { std::path::Path::new(root) })
            .stdin(std::process::Stdio::null())
            .output()
            .unwrap();
        if !matches!(run.status.code(), Some(0 | 1)) {
            let why = String::from_utf8_lossy(&run.stderr).into_owned();
            broken.push(format!("README.md, line {line}: {arguments}\n  {:?}: {why}", run.status.code()));
        }
    }
    assert!(broken.is_empty(), "these commands do not run:\n{}", broken.join("\n"));
}

#[test]
fn commands_are_found_and_split_as_a_shell_does() {
    let text = "knockwise is no command here\n\n    cargo run --release -- rank --say 'a b'\n    cargo test\n\n\
                ```sh\n$ knockwise gauge sag \\\n  stroke=57mm  # why\nknockwise rank --json | head -1\n```\nknockwise no\n";
    let found: Vec<(usize, Vec<String>)> = commands(text).into_iter().map(|(n, a)| (n, split(&a))).collect();
    let words = |all: &[&str]| all.iter().map(|w| (*w).to_owned()).collect::<Vec<_>>();
    assert_eq!(
        found,
        [
            (3, words(&["rank", "--say", "a b"])),
            (7, words(&["gauge", "sag", "stroke=57mm"])),
            (9, words(&["rank", "--json"])),
        ]
    );
    assert_eq!(split(r#"--say "it's \"odd\"" '' x\ y"#), ["--say", "it's \"odd\"", "", "x y"]);
}
