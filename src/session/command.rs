//! One table of what can be typed: it feeds the parser, the help, completion and the README.

/// What a line asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Command {
    /// Nothing typed.
    Nothing,
    /// A number: an option of the question, or of a list.
    Pick(usize),
    /// Can't tell.
    CannotTell,
    /// Why this question.
    Why,
    /// Take the last answer back.
    Back,
    /// May I ride it.
    Ride,
    /// What was heard in this place of the list is wrong.
    Wrong(usize),
    /// What was heard under these words is wrong.
    WrongOf(String),
    /// What a word means; other words are speech.
    WhatIs(String),
    /// The ranking now.
    Likely,
    /// Everything taken down so far.
    Heard,
    /// How to mend the cause in this place of the ranking.
    Mend(usize),
    /// What speaks for and against the cause in this place of the ranking.
    Reasons(usize),
    /// The same for the likeliest cause that has these words in its name.
    ReasonsOf(String),
    /// What to do about the likeliest cause that has these words in its name; other words are speech.
    MendOf(String),
    /// How the likeliest cause that has these words in its name is made sure of; other words are speech.
    CheckOf(String),
    /// The figures of the remedy that was shown.
    Settings,
    /// What tells two causes apart, by their places or names.
    Compare(String, String),
    /// The last remedy cured it.
    Cured,
    /// The remedy of the cause in this place cured it.
    CuredBy(usize),
    /// The last remedy changed nothing.
    Unchanged,
    /// The last remedy made it better, not good.
    Better,
    /// The last remedy made it worse.
    Worse,
    /// The remedy of the cause in this place was tried before, in vain.
    Tried(usize),
    /// The same of the likeliest cause that has these words in its name; other words are speech.
    TriedOf(String),
    /// Answer the question in this place of the answers anew.
    Change(usize),
    /// Ask another question instead.
    Another,
    /// Help.
    Help,
    /// End of the sitting.
    Leave,
    /// Anything else: the rider speaks.
    Say(String),
}

/// A word that can be typed.
pub struct Entry {
    /// The word.
    pub word: &'static str,
    /// Other words for it.
    pub also: &'static [&'static str],
    /// What follows it, if anything.
    pub takes: &'static str,
    /// What it does.
    pub help: &'static str,
}

/// Everything that can be typed beside numbers and plain speech.
pub const TABLE: &[Entry] = &[
    Entry {
        word: "?",
        also: &[
            "dunno",
            "can't tell",
            "cannot tell",
            "don't know",
            "i don't know",
            "dont know",
            "i do not know",
            "i can't say",
            "no idea",
            "not sure",
            "hard to say",
            "he does not know",
            "he doesn't know",
            "she does not know",
            "she doesn't know",
            "they don't know",
            "he has no idea",
            "she has no idea",
            "he can't say",
            "he can't tell",
            "she can't tell",
            "they can't tell",
            "she can't say",
            "they can't say",
        ],
        takes: "",
        help: "you can't tell",
    },
    Entry {
        word: "why",
        also: &[
            "why do you ask",
            "which one do you mean",
            "why do you want to know that",
            "why is this asked",
            "why is that asked",
            "why this",
            "why this question",
            "what do you mean",
            "what does that mean",
        ],
        takes: "",
        help: "why this question is asked",
    },
    Entry {
        word: "another",
        also: &["next question", "another question", "ask me something else", "skip", "next"],
        takes: "",
        help: "ask me something else",
    },
    Entry {
        word: "likely",
        also: &[
            "what is it",
            "what may it be",
            "what could it be",
            "what can it be",
            "what else could it be",
            "what else can it be",
            "what else",
            "can it be two things",
            "could it be two things",
            "can it be both",
            "could it be both",
        ],
        takes: "",
        help: "what it may be, as things stand",
    },
    Entry {
        word: "ride",
        also: &["is it dangerous", "is it safe", "is it all right to ride", "can i go on riding it", "safe"],
        takes: "",
        help: "whether you may ride it, and why",
    },
    Entry { word: "compare", also: &[], takes: "N M", help: "what tells causes N and M apart, or two by name" },
    Entry {
        word: "reasons",
        also: &[
            "why do you think that",
            "why do you think so",
            "what makes you think that",
            "why that",
            "why that one",
        ],
        takes: "N",
        help: "what speaks for and against cause N, or one by name",
    },
    Entry {
        word: "mend",
        also: &[
            "how do i mend it",
            "how does it come off",
            "how do i fix it",
            "what do i do",
            "what do i do now",
            "how do i fix this",
            "how do i fix that",
            "how do i mend this",
            "how do i mend that",
            "what now",
            "what should i do",
            "how do i repair it",
            "how do i do that",
            "should i go to a shop",
            "do i need a mechanic",
        ],
        takes: "N",
        help: "how to make sure of cause N and mend it",
    },
    Entry {
        word: "settings",
        also: &[
            "how tight",
            "how tight should it be",
            "how tight does it go",
            "how slack should it be",
            "how loose should it be",
            "how much slack",
            "how much play should it have",
            "what torque",
            "how much torque",
            "how many newton metres",
            "how many nm",
            "how far",
        ],
        takes: "",
        help: "the figures of the work shown: how tight, how far, how much",
    },
    Entry {
        word: "cured",
        also: &[
            "fixed",
            "it works now",
            "that fixed it",
            "yes that fixed it",
            "that cured it",
            "that did it",
            "it is fixed",
            "it's fixed",
            "it's cured",
            "it is cured",
            "it stopped",
            "it is gone",
            "it's gone",
            "gone",
            "all good now",
            "solved",
            "works again",
            "it works again",
        ],
        takes: "",
        help: "the repair cured it; `cured N`: the one for cause N did",
    },
    Entry {
        word: "same",
        also: &[
            "unchanged",
            "it changed nothing",
            "no change",
            "still the same",
            "no better",
            "it did not help",
            "that did not help",
            "no difference",
            "it made no difference",
            "nothing changed",
            "still there",
            "still does it",
            "it still does it",
        ],
        takes: "",
        help: "the repair changed nothing",
    },
    Entry { word: "better", also: &[], takes: "", help: "the repair made it better, not good" },
    Entry { word: "worse", also: &[], takes: "", help: "the repair made it worse" },
    Entry { word: "tried", also: &[], takes: "N", help: "the remedy for cause N was tried before, in vain" },
    Entry { word: "change", also: &[], takes: "N", help: "answer question N of `heard` anew" },
    Entry { word: "heard", also: &[], takes: "", help: "what I have taken down" },
    Entry {
        word: "wrong",
        also: &[],
        takes: "N",
        help: "what I heard under number N of `heard`, or under a word, is wrong",
    },
    Entry {
        word: "undo",
        also: &["i take it back", "take that back", "take it back", "go back"],
        takes: "",
        help: "take the last answer back",
    },
    Entry { word: "help", also: &["h"], takes: "", help: "this list" },
    Entry {
        word: "leave",
        also: &[
            "quit",
            "exit",
            "bye",
            "stop",
            "enough",
            "that is all",
            "that's all",
            "nothing else",
            "nothing else is wrong",
        ],
        takes: "",
        help: "end, and keep the sitting",
    },
];

/// Numbers up to nine, as counted and as ordered.
const NUMBERS: &[&[&str]] = &[
    &["one", "first"],
    &["two", "second"],
    &["three", "third"],
    &["four", "fourth"],
    &["five", "fifth"],
    &["six", "sixth"],
    &["seven", "seventh"],
    &["eight", "eighth"],
    &["nine", "ninth"],
];

/// A number in figures, with a point or bracket behind it or not, or in a word.
pub(super) fn number(text: &str) -> Option<usize> {
    let text = text.trim_end_matches(['.', ')']);
    text.parse().ok().or_else(|| NUMBERS.iter().position(|words| words.contains(&text)).map(|n| n + 1))
}

/// "Can she still ride it to work?" asks whether it may be ridden.
pub(super) fn asks_to_ride(lower: &str) -> bool {
    if ["is it safe ", "is it ok ", "is it okay ", "is it all right "].iter().any(|asks| lower.starts_with(asks)) {
        return lower.contains(" ride") || lower.contains(" pedal") || lower.contains(" cycle");
    }
    let mut words = lower.split(' ').skip_while(|word| ["why", "so", "and", "but"].contains(word)).peekable();
    let may = words.next().is_some_and(|word| ["can", "can't", "could", "may", "should"].contains(&word));
    let who = words.next().is_some_and(|word| ["i", "he", "she", "we", "they"].contains(&word));
    while words.next_if(|word| ["still", "not"].contains(word)).is_some() {}
    let does = (words.next(), words.next());
    let rides = matches!(
        does,
        (Some("ride" | "pedal" | "cycle"), _) | (Some("get" | "go"), Some("home")) | (Some("make"), Some("it"))
    );
    may && who && rides
}

/// "He asks if he may ride home" asks it for somebody else.
const ASKS_WHETHER: &[&str] =
    &[" asks if ", " asks whether ", " wants to know if ", " wants to know whether ", " asking if "];

/// "So she can ride it home?" asks it too.
fn says_to_ride(lower: &str) -> bool {
    let said: Vec<&str> = lower.split(' ').skip_while(|word| ["so", "and", "then", "but"].contains(word)).collect();
    let [who, may, rest @ ..] = said.as_slice() else { return false };
    asks_to_ride(&[&[*may, *who], rest].concat().join(" "))
}

/// Longer than this, it tells of the bike as well.
const MOST_WORDS_OF_RIDE: usize = 12;

/// Who begins so asks how to mend what follows.
const MENDS: &[&str] =
    &["mend ", "how do i fix ", "how do i mend ", "how do i repair ", "how can i fix ", "how can i mend "];

/// Who begins so asks how what follows is looked at.
const CHECKS: &[&str] = &[
    "how do i check for ",
    "how do i check ",
    "how can i check for ",
    "how can i check ",
    "how do i get at ",
    "how do i look at ",
    "how do i look for ",
    "how do i find out if it's ",
    "how do i know if it's ",
    "how do i know if it is ",
];

/// Who begins so asks what speaks for or against a cause.
const REASONS: &[&str] = &[
    "why not ",
    "why is it that and not ",
    "why that and not ",
    "why is it not ",
    "why isn't it ",
    "why do you think it's ",
    "why do you think it is ",
    "why do you think its ",
    "couldn't it be ",
    "couldn't it just be ",
    "could it not be ",
    "can't it be ",
    "could it be ",
    "can it be ",
    "could that be ",
    "might it be ",
    "may it be ",
    "how do i know it's not ",
    "how do i know its not ",
    "how do i know it is not ",
    "reasons for ",
    "reasons against ",
    "reasons ",
    "explain ",
    "what about ",
    "how about ",
];

/// Who begins so asks what tells two things apart.
const COMPARES: &[&str] = &[
    "compare ",
    "what tells ",
    "how do i tell ",
    "how can i tell ",
    "how do you tell ",
    "how is ",
    "how are ",
    "what is the difference between ",
    "what's the difference between ",
    "whats the difference between ",
];

/// The two that are held against each other: "compare 1 and 2", "what tells the cable from the hanger?".
fn compared(lower: &str) -> Option<(&str, &str)> {
    let begun = COMPARES.iter().find(|p| lower.starts_with(**p))?;
    let both = lower.strip_prefix(begun)?;
    let told = [" different from ", " different to ", " apart from ", " from ", " with ", " against ", " and ", " or "];
    let told = told.into_iter().find_map(|between| both.split_once(between));
    let told =
        told.or_else(|| both.split_once(' ').filter(|(one, other)| number(one).is_some() && number(other).is_some()));
    // "How is it now" compares nothing.
    let asks = !["how is ", "how are "].contains(begun) || both.contains(" different ");
    told.filter(|_| asks).map(|(one, other)| (unnumbered(one), unnumbered(other.trim_end_matches(" apart"))))
}

/// A name or number without what is said before it: "the number 2".
fn unnumbered(name: &str) -> &str {
    name.trim_start_matches("the ").trim_start_matches("number ")
}

/// The word that is asked about: "what is a head set?".
fn asked_about(lower: &str) -> Option<&str> {
    let begun =
        ["what is ", "what's ", "whats ", "what are ", "what does "].iter().find_map(|p| lower.strip_prefix(p))?;
    let named = begun.strip_suffix(" mean").or(Some(begun).filter(|_| !lower.starts_with("what does")))?;
    let bare = ["a ", "an ", "the "].iter().find_map(|p| named.strip_prefix(p));
    Some(bare.unwrap_or(named)).filter(|name| !name.is_empty() && name.split(' ').count() <= 4)
}

/// Reads a line. What is no word of the table is what the rider says.
pub fn read(line: &str) -> Command {
    let line = line.trim();
    if line.is_empty() {
        return Command::Nothing;
    }
    let lower = line.to_lowercase().replace('\u{2019}', "'");
    let bare = ["number ", "answer ", "option ", "the "].iter().find_map(|p| lower.strip_prefix(p)).unwrap_or(&lower);
    let bare = bare.strip_suffix(" one").unwrap_or(bare);
    if let Some(n) = number(bare) {
        return Command::Pick(n);
    }
    let lower = lower.trim_end_matches(['?', '.', '!']).trim_end();
    let lower = if lower.is_empty() { line } else { lower };
    let (head, rest) = lower.split_once(' ').map_or((lower, ""), |(h, r)| (h, r.trim()));
    // Thumbs leave apostrophes out.
    let plain = |words: &str| words.replace('\'', "");
    let typed = plain(lower);
    let whole = TABLE.iter().find(|e| e.word == lower || e.also.iter().any(|also| plain(also) == typed));
    let bare = lower.trim_start_matches("so ").trim_start_matches("and ");
    let asked = REASONS.iter().filter(|_| whole.is_none()).find_map(|p| bare.strip_prefix(p));
    let asked = asked.map(|rest| rest.split_once(" and not ").map_or(rest, |(one, _)| one));
    let asked = asked.map(|rest| rest.trim_start_matches("number ").trim_end_matches(" then"));
    if let Some(n) = asked.and_then(number) {
        return Command::Reasons(n);
    }
    if let Some(name) = asked {
        let name = ["the ", "something ", "anything "].iter().find_map(|p| name.strip_prefix(p)).unwrap_or(name);
        return Command::ReasonsOf(name.to_owned());
    }
    if let Some((one, other)) = compared(lower) {
        return Command::Compare(one.to_owned(), other.to_owned());
    }
    let bare_name = |name: &str| {
        let bare = ["the ", "my ", "a ", "an "].iter().find_map(|p| name.strip_prefix(p));
        bare.unwrap_or(name).to_owned()
    };
    if let Some(name) = CHECKS.iter().find_map(|p| lower.strip_prefix(p)) {
        return Command::CheckOf(bare_name(name));
    }
    let mended = MENDS.iter().find_map(|p| lower.strip_prefix(p)).filter(|name| !name.contains(['?', '.', '!']));
    if let Some(name) = mended.filter(|name| !matches!(*name, "it" | "this" | "that") && number(name).is_none()) {
        return Command::MendOf(bare_name(name));
    }
    if head == "wrong" && rest.is_empty() {
        // Which, is seen from the list.
        return Command::Heard;
    }
    if head == "tried" && !rest.is_empty() && number(rest).is_none() {
        return Command::TriedOf(rest.trim_start_matches("the ").to_owned());
    }
    let passed_on = ASKS_WHETHER.iter().find_map(|asks| Some(lower.split_once(asks)?.1));
    let asks = || {
        let says = line.ends_with('?') && says_to_ride(lower);
        says || asks_to_ride(lower) || passed_on.is_some_and(|asked| asks_to_ride(asked) || says_to_ride(asked))
    };
    if lower.split(' ').count() <= MOST_WORDS_OF_RIDE && asks() {
        return Command::Ride;
    }
    if head == "wrong" && !rest.is_empty() && number(rest).is_none() {
        return Command::WrongOf(rest.to_owned());
    }
    let number = if rest.is_empty() { Some(1) } else { number(rest) };
    if let Some(name) = asked_about(lower).filter(|_| whole.is_none()) {
        return Command::WhatIs(name.to_owned());
    }
    // A word said whole means the first of the list.
    let number = if whole.is_some() { Some(1) } else { number };
    if head == "cured"
        && let (None, Some(n)) = (whole, number)
    {
        return Command::CuredBy(n);
    }
    let entry = whole.or_else(|| TABLE.iter().find(|e| !e.takes.is_empty() && e.word == head && number.is_some()));
    match (entry.map(|e| e.word), number) {
        (Some("?"), _) => Command::CannotTell,
        (Some("why"), _) => Command::Why,
        (Some("another"), _) => Command::Another,
        (Some("ride"), _) => Command::Ride,
        (Some("wrong"), Some(n)) => Command::Wrong(n),
        (Some("likely"), _) => Command::Likely,
        (Some("reasons"), Some(n)) => Command::Reasons(n),
        (Some("mend"), Some(n)) => Command::Mend(n),
        (Some("settings"), _) => Command::Settings,
        // The two likeliest, where none are named.
        (Some("compare"), _) => Command::Compare("1".to_owned(), "2".to_owned()),
        (Some("cured"), _) => Command::Cured,
        (Some("same"), _) => Command::Unchanged,
        (Some("better"), _) => Command::Better,
        (Some("worse"), _) => Command::Worse,
        (Some("tried"), Some(n)) => Command::Tried(n),
        (Some("change"), Some(n)) => Command::Change(n),
        (Some("heard"), _) => Command::Heard,
        (Some("undo"), _) => Command::Back,
        (Some("help"), _) => Command::Help,
        (Some("leave"), _) => Command::Leave,
        _ => Command::Say(line.to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_the_table_are_read_and_speech_is_left() {
        assert_eq!(read("  MEND 2 "), Command::Mend(2));
        assert_eq!(read("mend"), Command::Mend(1));
        for three in ["3", "3.", "3)", "three", "number 3", "the third", "third one"] {
            assert_eq!(read(three), Command::Pick(3), "{three}");
        }
        assert_eq!(read("mend two"), Command::Mend(2));
        assert_eq!(read("mend the rotor"), Command::MendOf("rotor".into()));
        assert_eq!(read("reasons 2"), Command::Reasons(2));
        assert_eq!(read("why not the saddle?"), Command::ReasonsOf("saddle".into()));
        assert_eq!(read("what about number 2?"), Command::Reasons(2));
        assert_eq!(read("the chain slips"), Command::Say("the chain slips".into()));
        assert_eq!(read("can't tell"), Command::CannotTell);
        assert_eq!(read("wrong 2"), Command::Wrong(2));
        assert_eq!(read("wrong front"), Command::WrongOf("front".into()));
        assert_eq!(read("What is a head set?"), Command::WhatIs("head set".into()));
        assert_eq!(read("what does BB mean"), Command::WhatIs("bb".into()));
        assert_eq!(read("is it safe to ride?"), Command::Ride);
        let speech = "mend it how? it knocks";
        assert_eq!(read(speech), Command::Say(speech.into()));
        assert_eq!(read("why does it knock"), Command::Say("why does it knock".into()));
    }

    #[test]
    fn every_word_of_the_table_means_something() {
        for entry in TABLE {
            assert!(!matches!(read(entry.word), Command::Say(_)), "{}", entry.word);
            for also in entry.also {
                assert_eq!(read(also), read(entry.word), "{also}");
            }
        }
    }
}
