//! Closed lists of the format, each with its plain wording.

use serde::Deserialize;

macro_rules! closed_list {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal, $plain:literal;)* }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
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
