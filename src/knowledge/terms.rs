//! Closed lists of the format, each with its plain wording.

use serde::{Deserialize, Serialize};

macro_rules! closed_list {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal, $plain:literal;)* }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum $name { $($(#[$vdoc])* #[serde(rename = $word)] $variant,)* }

        impl $name {
            /// Every member, in order.
            pub const ALL: &'static [Self] = &[$(Self::$variant),*];
            /// The word in files, options and machine output.
            pub fn word(self) -> &'static str { match self { $(Self::$variant => $word),* } }
            /// The word for people.
            pub fn plain(self) -> &'static str { match self { $(Self::$variant => $plain),* } }
            /// Finds a member by its word.
            pub fn find(word: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|x| x.word() == word)
            }
        }
    };
}

closed_list! {
    /// Whether the bike may be ridden.
    Ride {
        /// It may be ridden.
        Ride = "Ride", "you may ride it";
        /// Slowly, carefully, not far.
        Gently = "Gently", "ride gently, and only as far as you must";
        /// Not at all.
        Stop = "Stop", "do not ride it";
    }
}

closed_list! {
    /// Where somebody asks or does something.
    Venue {
        /// On the telephone: only what can be told.
        Telephone = "telephone", "on the telephone";
        /// By the road, no tools to speak of.
        Roadside = "roadside", "at the roadside";
        /// At home, a few tools.
        Home = "home", "at home";
        /// At the workshop's stand.
        Bench = "bench", "at the workshop's stand";
    }
}

closed_list! {
    /// Who reports.
    Reporter {
        /// The rider.
        Rider = "rider", "the rider";
        /// A mechanic.
        Mechanic = "mechanic", "a mechanic";
        /// An instrument.
        Gauge = "gauge", "an instrument";
    }
}

closed_list! {
    /// What a check puts in motion or touches that can hurt.
    Motion {
        /// Riding the bike.
        Riding = "Riding", "riding";
        /// A wheel or cranks spinning.
        SpinningWheel = "SpinningWheel", "a spinning wheel";
        /// A part that may be hot.
        HotPart = "HotPart", "a part that may be hot";
        /// Mains electricity.
        Mains = "Mains", "mains electricity";
        /// The battery.
        Battery = "Battery", "the battery";
    }
}

closed_list! {
    /// What stands behind a number.
    Standing {
        /// A published source.
        Published = "Published", "published";
        /// Common practice of the trade.
        CommonPractice = "CommonPractice", "common practice, no source";
        /// Somebody's judgement.
        Judgement = "Judgement", "judgement";
    }
}

closed_list! {
    /// The five words of an answer.
    Word {
        /// Certain it does.
        Sure = "sure", "yes, certain";
        /// I think so.
        ThinkSo = "think-so", "I think so";
        /// Can't tell.
        CannotTell = "cannot-tell", "can't tell";
        /// I think not.
        ThinkNot = "think-not", "I think not";
        /// Certain it doesn't.
        SureNot = "sure-not", "no, certain";
    }
}

closed_list! {
    /// What words do to what is said beside them, or what they are as an answer.
    Manner {
        /// They carry nothing for a match.
        Small = "Small", "carry nothing";
        /// Common words that are no slip of another.
        Plain = "Plain", "are common words and no slips";
        /// They turn round what follows.
        Negates = "Negates", "turn round what follows";
        /// They look like a negation and are none.
        Affirms = "Affirms", "look like a negation and are none";
        /// They weaken what is said.
        Hedges = "Hedges", "weaken what is said";
        /// Somebody does not know.
        Unknown = "Unknown", "say that somebody does not know";
        /// A part is as it should be.
        Sound = "Sound", "say that a part is as it should be";
        /// It stops: what is told beside it is when it does not come.
        Ceases = "Ceases", "say that it stops";
        /// It is no longer so.
        Over = "Over", "say that it is no longer so";
        /// The sentence turns.
        Turns = "Turns", "turn the sentence";
        /// What follows is a circumstance.
        When = "When", "begin a circumstance";
        /// What follows is when it comes after all.
        Unless = "Unless", "begin an exception";
        /// Said of another bike.
        Elsewhere = "Elsewhere", "speak of another bike";
        /// A wish, a guess, a question: said of no bike.
        Aside = "Aside", "say a wish, a guess or a question";
        /// What the sentence tells is taken back.
        Withdrawn = "Withdrawn", "take back what the sentence tells";
        /// A name follows.
        Names = "Names", "stand before a name";
        /// What was tried changed nothing.
        Vain = "Vain", "say that it changed nothing";
        /// It goes on: so it does where what was done changed nothing, and elsewhere.
        GoesOn = "GoesOn", "say that it goes on";
        /// A short answer: it is so.
        Yes = "Yes", "answer yes";
        /// It is not so.
        No = "No", "answer no";
        /// It may be so.
        Probably = "Probably", "answer that it may be so";
        /// It is hardly so.
        Unlikely = "Unlikely", "answer that it is hardly so";
        /// It was looked for in vain.
        FindsNothing = "FindsNothing", "say that a thing was looked for in vain";
        /// An answer of somebody else follows.
        PassedOn = "PassedOn", "pass on the answer of somebody else";
        /// Thanks behind an answer.
        Thanks = "Thanks", "thank";
        /// The answer is the rear.
        Rear = "Rear", "answer that it is the rear";
        /// All is as it should be; whether that is a yes or a no depends on what was asked.
        Well = "Well", "say that what was asked about is well";
        /// They stand beside such a word and say nothing more.
        BesideWell = "BesideWell", "stand beside a word that says that all is well";
        /// It is mended.
        Cures = "Cures", "say that it is mended";
        /// The same, once a remedy was shown.
        CuresThen = "CuresThen", "say after a remedy that it is mended";
        /// Work was done.
        WorkDone = "WorkDone", "say that work was done";
        /// A part was replaced.
        Replaced = "Replaced", "say that a part was replaced";
        /// Ways of doing one kind of work.
        Works = "Works", "name one kind of work";
        /// Names of one part.
        Parts = "Parts", "name one part";
        /// It is better, and not good.
        Betters = "Betters", "say that it is better and not good";
        /// It is so since the work.
        Since = "Since", "say that it is so since the work";
        /// It is there still.
        Remains = "Remains", "say that it is there still";
        /// Nothing else is left.
        OnlyLeft = "OnlyLeft", "say that nothing else is left";
        /// One of several is spoken of.
        OneOfThem = "OneOfThem", "speak of one of several things told";
        /// Something is asked that tells nothing of the bike.
        Asks = "Asks", "begin a question to the program";
        /// Of those: whether it may be ridden.
        AsksLeave = "AsksLeave", "ask whether it may be ridden";
        /// Of those: how tight or how far.
        AsksSettings = "AsksSettings", "ask how tight or how far";
        /// Of those: what the work takes.
        AsksCost = "AsksCost", "ask what the work takes: minutes, tools, parts, cost";
        /// Somebody goes to look.
        Waits = "Waits", "say that somebody goes to look";
        /// A cause is said not to be it.
        RulesOut = "RulesOut", "say that a cause is not it";
        /// Something else is told that the bike does.
        OneMore = "OneMore", "tell of one more thing";
        /// More is told than that it is mended.
        TellsMore = "TellsMore", "tell more than that it is mended";
        /// It is there no more.
        Vanished = "Vanished", "say of a thing told before that it is there no more";
        /// Behind a "don't know": the rest is known.
        Presumes = "Presumes", "ask behind a not knowing about what is known to be so";
        /// With these somebody asks whether a thing is so.
        Wonders = "Wonders", "begin a question whether a thing is so";
        /// What such a question is about.
        Things = "Things", "name what a question is about";
        /// Whether it matters: it is so.
        Bearable = "Bearable", "ask whether it matters, of what is so";
        /// Another bike is only likened.
        Likens = "Likens", "liken to another bike";
        /// Before these a "no" stands by itself.
        Speaks = "Speaks", "go on behind a no that stands by itself";
        /// The bike is told of again, after a wish or a guess.
        Resumes = "Resumes", "tell of the bike again behind a wish or a guess";
        /// Somebody mends his own words.
        Mends = "Mends", "mend what was said before";
        /// Who rides.
        Persons = "Persons", "name who rides";
        /// What riders do, or leave.
        Rides = "Rides", "name what riders do or leave";
        /// What stands before a comma goes on.
        Relates = "Relates", "go on behind a comma with what stands before it";
        /// They make a circumstance the only one.
        Narrows = "Narrows", "stand before a circumstance and tell nothing";
        /// Another part of the clause begins.
        Joins = "Joins", "begin another part of a clause";
        /// With a question mark behind it, what begins so asks.
        BeginsQuestion = "BeginsQuestion", "begin what ends with a question mark";
        /// Before a question they say nothing.
        LeadsIn = "LeadsIn", "stand before a question and say nothing";
    }
}

impl Manner {
    /// True if the words are looked for among others; the rest are an answer by themselves, or one word alone.
    pub fn marks(self) -> bool {
        !matches!(self, Self::Small | Self::Plain) && self < Self::Yes
    }

    /// True if one word of them does something to the clause in which it stands, wherever that is.
    pub fn is_role(self) -> bool {
        matches!(self, Self::No | Self::Well) || (Self::Vanished..=Self::Joins).contains(&self)
    }
}
