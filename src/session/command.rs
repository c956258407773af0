//! What a line asks for: a word of the table, a number, a question in other words, or speech.

pub use super::table::{Entry, TABLE};

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
    /// Another bike, and what is told of it.
    New(String),
    /// Help.
    Help,
    /// End of the sitting.
    Leave,
    /// Anything else: the rider speaks.
    Say(String),
}

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

/// Who goes on so after "how do I" asks how to mend what follows.
const MENDS: &[&str] = &["mend ", "fix ", "repair "];

/// Passed on, it asks whether what follows is the cause: "he asks if it could be the rim tape".
const MAY_BE: &[&str] = &["it could be ", "it can be ", "it might be ", "it may be ", "it is ", "it's "];

/// Who goes on so after "how do I" asks how what follows is looked at.
const CHECKS: &[&str] = &[
    "check for ",
    "check ",
    "get at ",
    "look at ",
    "look for ",
    "make sure of ",
    "make sure it's ",
    "find out if it's ",
    "find out if it is ",
    "know if it's ",
    "know if it is ",
    "see if it's ",
    "see if it is ",
];

/// What somebody asks how to do, where it is one of these: "how would he check the rim tape himself?"
fn asked_how<'l>(lower: &'l str, does: &[&str]) -> Option<&'l str> {
    let rest = lower.strip_prefix("how ")?;
    let (one, rest) = rest.split_once(' ')?;
    let (other, rest) = rest.split_once(' ')?;
    let may = |word| ["do", "does", "can", "could", "would", "should", "will"].contains(&word);
    let who = |word| ["i", "we", "you", "he", "she", "they", "one"].contains(&word);
    // Passed on, it is "how he can check".
    let asks = (may(one) && who(other)) || (who(one) && may(other));
    let name = does.iter().find_map(|does| rest.strip_prefix(does)).filter(|_| asks)?;
    let own = [" himself", " herself", " myself", " yourself", " themselves", " ourselves"];
    Some(own.iter().find_map(|own| name.strip_suffix(own)).unwrap_or(name))
}

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

/// Before "next caller" these say nothing.
const BEFORE_ANOTHER: &[&str] = &[
    "ok", "okay", "right", "no", "so", "and", "now", "well", "then", "that's", "thats", "this", "is", "a", "an", "the",
    "here's", "it's",
];

/// What is told of another bike: "ok, next caller. Her fork sits low."
fn of_another(line: &str) -> Option<&str> {
    let (mut rest, mut found) = (line, None);
    // "A different bike, new customer" says it twice.
    while let Some(behind) = names_another(rest) {
        (rest, found) = (behind, Some(behind));
    }
    found
}

/// What stands behind words that name another bike or caller, where a line begins with them.
fn names_another(line: &str) -> Option<&str> {
    fn split(text: &str) -> (&str, &str) {
        text.split_once(['.', ':', ';', '!', ',']).unwrap_or((text, ""))
    }
    let (first, behind) = split(line);
    let alone = BEFORE_ANOTHER.contains(&first.trim().to_lowercase().as_str());
    let (head, rest) = if alone { split(behind) } else { (first, behind) };
    let lower = head.to_lowercase().replace('\u{2019}', "'");
    let mut words = lower.split_whitespace().skip_while(|word| BEFORE_ANOTHER.contains(word));
    // "New bike, the chain squeaks" tells of a bike that is new.
    let other = matches!(
        (words.next()?, words.next()?),
        ("next" | "new" | "another" | "different", "caller" | "customer") | ("next" | "another" | "different", "bike")
    );
    let ends = words.all(|word| ["please", "now", "then", "already"].contains(&word));
    (other && ends).then_some(rest.trim())
}

/// "He asks how he can check that" asks it for somebody else.
fn passed_on_as_asked(lower: &str) -> &str {
    let asked = ["he asks ", "she asks ", "they ask ", "asks ", "he wants to know ", "she wants to know "]
        .iter()
        .find_map(|p| lower.strip_prefix(p));
    asked.unwrap_or(lower).trim_start_matches("so ").trim_start_matches("and ")
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
    if let Some(rest) = of_another(line) {
        return Command::New(rest.to_owned());
    }
    let lower = lower.trim_end_matches(['?', '.', '!']).trim_end();
    let lower = if lower.is_empty() { line } else { lower };
    let (head, rest) = lower.split_once(' ').map_or((lower, ""), |(h, r)| (h, r.trim()));
    // Thumbs leave apostrophes out.
    let plain = |words: &str| words.replace('\'', "");
    let typed = plain(lower);
    let bare = lower.trim_start_matches("so ").trim_start_matches("and ");
    let is = |e: &&Entry| e.word == lower || e.also.iter().any(|also| plain(also) == typed || *also == bare);
    let whole = TABLE.iter().find(is);
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
    let asked = passed_on_as_asked(lower);
    if let Some(name) = asked_how(asked, CHECKS) {
        return Command::CheckOf(bare_name(name));
    }
    let mended = asked_how(asked, MENDS).or_else(|| lower.strip_prefix("mend "));
    match mended.filter(|name| !name.contains(['?', '.', '!'])) {
        Some("it" | "this" | "that") => return Command::Mend(1),
        Some(name) if number(name).is_none() => return Command::MendOf(bare_name(name)),
        _ => {}
    }
    let passed_on = ASKS_WHETHER.iter().find_map(|asks| Some(lower.split_once(asks)?.1));
    if let Some(name) = passed_on.and_then(|asked| MAY_BE.iter().find_map(|p| asked.strip_prefix(p))) {
        return Command::ReasonsOf(bare_name(name));
    }
    if head == "wrong" && rest.is_empty() {
        // Which, is seen from the list.
        return Command::Heard;
    }
    if head == "tried" && !rest.is_empty() && number(rest).is_none() {
        return Command::TriedOf(rest.trim_start_matches("the ").to_owned());
    }
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
        (Some("new"), _) => Command::New(String::new()),
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
        assert_eq!(read("ok next caller. Her fork sits low"), Command::New("Her fork sits low".into()));
        assert_eq!(read("no, that's a different bike, new customer"), Command::New(String::new()));
        assert_eq!(read(&"next caller, ".repeat(100_000)), Command::New(String::new()));
        let new = "new bike, the chain squeaks";
        assert_eq!(read(new), Command::Say(new.into()));
        for check in ["how do I check the rim tape?", "he asks how he can check the rim tape himself"] {
            assert_eq!(read(check), Command::CheckOf("rim tape".into()), "{check}");
        }
        assert_eq!(read("how would i check number 2?"), Command::CheckOf("number 2".into()));
        assert_eq!(read("so what do i do now?"), Command::Mend(1));
        assert_eq!(read("how does she mend it"), Command::Mend(1));
        assert_eq!(read("how can I fix the rotor?"), Command::MendOf("rotor".into()));
        assert_eq!(read("she asks if it could be the rim tape"), Command::ReasonsOf("rim tape".into()));
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
