//! Arguments in, exit code out: 0 answered, 1 nothing heard or snags found, 2 could not run.

use std::ffi::OsString;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::error::ErrorKind;
use clap::{Parser, Subcommand};

use crate::faces::{self, Outcome};
use crate::words::{harmless, shortened};

/// Finds out what is wrong with a bicycle.
#[derive(Debug, Parser)]
#[command(version, about, args_conflicts_with_subcommands = true)]
struct Arguments {
    #[command(flatten)]
    held: faces::sitting::Held,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Takes up the last sitting, or one kept in a file.
    Resume {
        /// The file.
        file: Option<PathBuf>,
        /// Lays a folder over the built-in knowledge, as when the sitting was held.
        #[arg(long, value_name = "DIR")]
        knowledge: Option<PathBuf>,
    },
    /// Ranks the causes of what is told.
    Rank(faces::rank::Request),
    /// Takes a reading: `gauge sag stroke=57mm sag=18mm`.
    Gauge {
        /// Name of the gauge; all are listed without it.
        name: Option<String>,
        /// KEY=VALUE pairs; without them the gauge tells what it asks for.
        pairs: Vec<String>,
        /// Writes the picture to this file as SVG.
        #[arg(long, value_name = "FILE")]
        svg: Option<PathBuf>,
    },
    /// Explains a cause, complaint, sign, question or remedy.
    Explain {
        /// Its id.
        id: String,
    },
    /// Says what tells two causes apart.
    Compare {
        /// One cause.
        a: String,
        /// The other.
        b: String,
    },
    /// Looks after the knowledge.
    Knowledge {
        #[command(subcommand)]
        act: Act,
    },
}

#[derive(Debug, Subcommand)]
enum Act {
    /// Says every snag of every file, and counts what else an author would want to know.
    Check(faces::knowledge::Check),
    /// Finds entries by a word.
    Find {
        /// The word.
        word: String,
        /// The folder; the built-in knowledge if none is named.
        folder: Option<PathBuf>,
    },
    /// Draws the surroundings of an entry, or an assembly.
    Draw {
        /// Id of an entry, or name of an assembly.
        name: String,
        /// Writes SVG to this file instead of DOT to the output.
        #[arg(long, value_name = "FILE")]
        svg: Option<PathBuf>,
        /// A folder laid over the built-in knowledge.
        folder: Option<PathBuf>,
    },
    /// Plays the knowledge against made bikes and measures how well it finds what is wrong.
    Trial(faces::trial::Request),
    /// Counts the entries, by file and in all, and names the widest gaps.
    Stats {
        /// A folder laid over the built-in knowledge.
        folder: Option<PathBuf>,
        /// Reads the folder alone.
        #[arg(long, requires = "folder")]
        alone: bool,
    },
}

/// Runs the program.
pub fn main() -> ExitCode {
    let given: Vec<OsString> = std::env::args_os().collect();
    let arguments = match Arguments::try_parse_from(&given) {
        Ok(arguments) => arguments,
        Err(error) => return refuse(&given, error),
    };
    let Some(command) = arguments.command else {
        return finish(faces::sitting::run(&arguments.held, None));
    };
    finish(match command {
        Command::Resume { file, knowledge } => {
            let held = faces::sitting::Held { knowledge, ..arguments.held };
            faces::sitting::run(&held, Some(file.as_deref()))
        }
        Command::Rank(request) => faces::rank::run(&request),
        Command::Gauge { name, pairs, svg } => faces::gauge::run(name.as_deref(), &pairs, svg.as_deref()),
        Command::Knowledge { act: Act::Check(request) } => faces::knowledge::check(&request),
        Command::Explain { id } => faces::explain::explain(&id),
        Command::Compare { a, b } => faces::explain::compare(&a, &b),
        Command::Knowledge { act: Act::Find { word, folder } } => faces::knowledge::find(&word, folder.as_deref()),
        Command::Knowledge { act: Act::Draw { name, svg, folder } } => {
            faces::knowledge::draw(&name, svg.as_deref(), folder.as_deref())
        }
        Command::Knowledge { act: Act::Trial(request) } => faces::trial::trial(&request),
        Command::Knowledge { act: Act::Stats { folder, alone } } => faces::knowledge::stats(folder.as_deref(), alone),
    })
}

fn finish(outcome: Result<Outcome, String>) -> ExitCode {
    match outcome {
        Ok(Outcome { text, code }) => {
            if !text.is_empty() {
                faces::show(&text);
            }
            ExitCode::from(code)
        }
        Err(why) => {
            faces::complain(&why);
            ExitCode::from(2)
        }
    }
}

/// Says why the arguments cannot be taken, or the help that was asked for.
fn refuse(given: &[OsString], error: clap::Error) -> ExitCode {
    if !error.use_stderr() {
        let _ = error.print();
        return ExitCode::SUCCESS;
    }
    match given.iter().position(|a| a.to_str().is_none()).filter(|_| error.kind() == ErrorKind::InvalidUtf8) {
        Some(n) => {
            let shown = given.get(n).map(tame).unwrap_or_default();
            faces::complain(&format!("argument {n} is not UTF-8 text: `{shown}`; write it in UTF-8"));
        }
        None => {
            // The same error, quoting what was written without obeying it.
            let error = Arguments::try_parse_from(given.iter().map(tame)).err().unwrap_or(error);
            let _ = error.print();
        }
    }
    ExitCode::from(2)
}

fn tame(argument: &OsString) -> String {
    shortened(&harmless(&argument.to_string_lossy()), 120)
}
