//! Words riders use, and how they are read.

use serde::Deserialize;

use super::Id;
use crate::knowledge::terms::Manner;

entry! {
    /// Words riders use.
    Phrase {
        /// Name.
        id: Id,
        /// Wordings.
        say: Vec<String>,
        /// What they mean.
        means: Vec<Id>,
        /// What they say is not so.
        #[serde(default)]
        denies: Vec<Id>,
        /// Remedies they say were done; that counts where they say that it changed nothing.
        #[serde(default)]
        tried: Vec<Id>,
        /// What else they may mean: what is worth asking.
        #[serde(default)]
        or: Vec<Id>,
    }
}

entry! {
    /// How riders with one cause tell of it, before anybody knows.
    Telling {
        /// The cause.
        id: Id,
        /// What they say.
        said: Vec<String>,
    }
}

entry! {
    /// Numbers with units that riders say, and the gauge that reads them.
    Amount {
        /// Name.
        id: Id,
        /// Name of the gauge.
        gauge: Id,
        /// What the numbers are to the gauge, in the order in which they are said; `left+right` is one number for both.
        keys: Vec<Id>,
        /// Words beside them, in the same sentence; any of these.
        near: Vec<String>,
        /// Where it takes two words to know them: any of these must stand there too.
        #[serde(default)]
        also: Vec<String>,
    }
}

entry! {
    /// Words that are read as one: other spellings, other forms, other names of a part.
    Alike {
        /// What they are read as.
        id: Id,
        /// The words.
        say: Vec<String>,
    }
}

entry! {
    /// Words of one class: `<lights>` in a wording is any of them.
    Wordclass {
        /// Name.
        id: Id,
        /// The words, one each.
        say: Vec<String>,
    }
}

entry! {
    /// Words that say how the words beside them are meant.
    Wordlist {
        /// Name.
        id: Id,
        /// What they do.
        does: Manner,
        /// The words.
        say: Vec<String>,
    }
}
