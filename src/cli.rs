//! Arguments in, exit code out: 0 answered, 1 nothing heard or snags found, 2 could not run.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

use crate::faces::{self, Outcome};

/// Finds out what is wrong with a bicycle.
#[derive(Debug, Parser)]
#[command(version, about)]
struct Arguments {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Ranks the causes of what is told.
    Rank(faces::rank::Request),
    /// Takes a reading: `gauge sag stroke=57mm sag=18mm`.
    Gauge {
        /// Name of the gauge.
        name: String,
        /// KEY=VALUE pairs.
        pairs: Vec<String>,
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
    /// Says every snag of every file.
    Check {
        /// The folder; the built-in knowledge if none is named.
        folder: Option<PathBuf>,
    },
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
    /// Counts the entries.
    Stats {
        /// The folder; the built-in knowledge if none is named.
        folder: Option<PathBuf>,
    },
}

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { 2 } else { 0 });
        }
    };
    let Some(command) = arguments.command else {
        return finish(faces::sitting::run());
    };
    finish(match command {
        Command::Rank(request) => faces::rank::run(&request),
        Command::Gauge { name, pairs } => faces::gauge::run(&name, &pairs),
        Command::Knowledge { act: Act::Check { folder } } => faces::knowledge::check(folder.as_deref()),
        Command::Explain { id } => faces::explain::explain(&id),
        Command::Compare { a, b } => faces::explain::compare(&a, &b),
        Command::Knowledge { act: Act::Find { word, folder } } => faces::knowledge::find(&word, folder.as_deref()),
        Command::Knowledge { act: Act::Draw { name, svg, folder } } => {
            faces::knowledge::draw(&name, svg.as_deref(), folder.as_deref())
        }
        Command::Knowledge { act: Act::Stats { folder } } => faces::knowledge::stats(folder.as_deref()),
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
