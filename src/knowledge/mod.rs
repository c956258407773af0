//! The file format and nothing derived from it.
//!
//! [`Knowledge`] is everything that was read, merged over its layers, with the
//! texts kept so that every id and number can be shown where it stands.
//! [`Knowledge::load`] always gives what could be read together with all snags
//! of all files at once. Only this module and the case book read files; it
//! judges shapes and names, never what a number does to an answer.
//!
//! Reading order: [`terms`] (closed lists), [`format`](mod@format) (the shapes), [`read`]
//! (cutting and reading), [`check`] (one rule a file).

pub mod check;
pub mod format;
pub mod read;
pub mod terms;

use std::collections::BTreeMap;

use crate::snag::{Place, Snag, Source};
use crate::words;
use format::{Id, Placed};

/// An entry that can be named.
pub trait Named {
    /// What this kind is called in sentences.
    const KIND: &'static str;
    /// Its name.
    fn id(&self) -> &Id;
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $field:ident : $type:ident = $word:literal, $plain:literal;)*) => {
        /// Everything that was read.
        #[derive(Debug, Clone, Default)]
        pub struct Knowledge {
            /// The texts, in order of reading.
            pub texts: Vec<Source>,
            $($(#[$doc])* pub $field: Vec<format::$type>,)*
        }

        const KINDS: &[&str] = &[$($word),*];

        $(impl Named for format::$type {
            const KIND: &'static str = $plain;
            fn id(&self) -> &Id { &self.id }
        })*

        impl Knowledge {
            fn take(&mut self, source: &Source, cut: &read::Cut, left: usize) -> Option<Snag> {
                let kind = source.text.get(cut.kind.clone()).unwrap_or_default();
                let whole = source.text.get(cut.whole.start + kind.len()..cut.whole.end).unwrap_or_default();
                match kind {
                    $($word => match read::options().from_str::<format::$type>(whole) {
                        Ok(entry) => { self.$field.push(entry); None }
                        Err(error) => {
                            let body = read::Cut { kind: cut.kind.clone(), whole: cut.whole.start + kind.len()..cut.whole.end };
                            Some(read::refused(source, &body, &error, left))
                        }
                    },)*
                    other => Some(Snag {
                        code: "unknown-word",
                        place: Some(source.place(cut.kind.start, other.len())),
                        headline: format!("there is no kind of entry called `{other}`"),
                        nearest: words::nearest(other, KINDS.iter().copied()).map(|n| format!("`{n}`")),
                        mend: format!("write {}", words::listed(KINDS, "or")),
                    }),
                }
            }

            /// Lays a later layer over this one: same name replaces, new name adds.
            fn overlay(&mut self, upper: Self) {
                self.texts.extend(upper.texts);
                $(lay(&mut self.$field, upper.$field);)*
            }

            /// Adds what another file holds, whatever its names.
            fn join(&mut self, other: Self) {
                $(self.$field.extend(other.$field);)*
            }

            /// Entries that share a name within their kind.
            fn duplicates(&self) -> Vec<Snag> {
                let mut snags = Vec::new();
                $(self.twice(&self.$field, &mut snags);)*
                snags
            }
        }
    };
}

kinds! {
    /// Sources of numbers.
    sources: Source = "Source", "source";
    /// Named strengths.
    steps: Step = "Step", "step";
    /// Answer tables.
    tables: AnswerTable = "AnswerTable", "answer table";
    /// Reporters.
    reporters: ReporterEntry = "Reporter", "reporter";
    /// Bike facts.
    facts: BikeFact = "BikeFact", "bike fact";
    /// Facets.
    facets: Facet = "Facet", "facet";
    /// Complaints.
    complaints: Complaint = "Complaint", "complaint";
    /// Signs.
    signs: Sign = "Sign", "sign";
    /// Causes.
    causes: Cause = "Cause", "cause";
    /// Questions.
    questions: Question = "Question", "question";
    /// Remedies.
    remedies: Remedy = "Remedy", "remedy";
    /// Cautions.
    cautions: Caution = "Caution", "caution";
    /// Red flags.
    flags: RedFlag = "RedFlag", "red flag";
    /// Phrases.
    phrases: Phrase = "Phrase", "phrase";
    /// How riders tell of causes.
    tellings: Telling = "Telling", "telling";
    /// Numbers that riders say.
    amounts: Amount = "Amount", "amount";
    /// Words read as one.
    alike: Alike = "Alike", "word";
    /// Words of one class.
    classes: Wordclass = "Wordclass", "word class";
    /// Words that say how others are meant.
    lists: Wordlist = "Wordlist", "word list";
    /// Hard words and names.
    glosses: Gloss = "Gloss", "gloss";
    /// Gauge limits.
    limits: Limit = "Limit", "limit";
}

fn lay<T: Named>(lower: &mut Vec<T>, upper: Vec<T>) {
    let places: BTreeMap<String, usize> = lower.iter().enumerate().map(|(i, e)| (e.id().value.clone(), i)).collect();
    for entry in upper {
        match places.get(&entry.id().value).and_then(|i| lower.get_mut(*i)) {
            Some(old) => *old = entry,
            None => lower.push(entry),
        }
    }
}

impl Knowledge {
    /// Reads layers, each laid over the one before, and checks the whole.
    ///
    /// Gives what could be read, and every snag of every file in file order.
    pub fn load(layers: Vec<Vec<Source>>) -> (Self, Vec<Snag>) {
        let mut whole = Self::default();
        let mut snags = Vec::new();
        for layer in layers {
            let mut read = Self::default();
            for (file, bad) in Self::files(&layer) {
                snags.extend(bad);
                read.join(file);
            }
            read.texts = layer;
            snags.extend(read.duplicates());
            whole.overlay(read);
        }
        snags.extend(check::all(&whole));
        whole.in_file_order(&mut snags);
        (whole, snags)
    }

    /// A wording with its word classes written out: `<lights>` is `light|lamp`.
    pub fn written_out(&self, say: &str) -> String {
        let classes = self.classes.iter().filter(|_| say.contains('<'));
        classes.fold(say.to_owned(), |say, c| say.replace(&format!("<{}>", c.id.value), &c.say.join("|")))
    }

    /// Sorts what is said of the files as the files were read.
    pub fn in_file_order(&self, snags: &mut [Snag]) {
        snags.sort_by_key(|s| s.place.as_ref().map(|p| (self.rank_of(&p.file), p.line, p.column)));
    }

    /// The position of a file among those read; later layers come later.
    pub fn rank_of(&self, file: &str) -> Option<usize> {
        self.texts.iter().position(|t| t.name == file)
    }

    /// Reads files side by side, and gives them in their order.
    fn files(layer: &[Source]) -> Vec<(Self, Vec<Snag>)> {
        let one = |source: &Source| {
            let mut file = Self::default();
            let (cuts, mut snags) = read::cut(source);
            for cut in &cuts {
                snags.extend(file.take(source, cut, cuts.len() - 1));
            }
            (file, snags)
        };
        // Long files first would be fairer; halves by bytes are fair enough.
        let total: usize = layer.iter().map(|s| s.text.len()).sum();
        let mut seen = 0;
        let first = layer.iter().take_while(|s| {
            seen += s.text.len();
            seen <= total / 2
        });
        let (front, back) = layer.split_at(first.count());
        std::thread::scope(|scope| {
            let helper = scope.spawn(|| back.iter().map(one).collect::<Vec<_>>());
            let mut files: Vec<_> = front.iter().map(one).collect();
            // A reader that fell over has read nothing; the checks will miss its names.
            files.extend(helper.join().unwrap_or_default());
            files
        })
    }

    /// Finds where a placed value stands.
    pub fn place<T>(&self, placed: &Placed<T>) -> Option<Place> {
        let (source, offset) = self.text_of(placed)?;
        Some(source.place(offset, placed.length))
    }

    /// Finds where words of a text of an entry stand, or else the entry's name.
    pub fn place_of_words(&self, entry: &Id, text: &str, words: &str) -> Option<Place> {
        let (source, start) = self.text_of(entry)?;
        let found = source.text.get(start..).and_then(|rest| {
            let text = rest.find(text)?;
            Some(text + rest.get(text..)?.find(words)?)
        });
        found.map_or_else(|| self.place(entry), |at| Some(source.place(start + at, words.len())))
    }

    /// The stem of the file in which something stands: the assembly of a cause.
    pub fn assembly<T>(&self, placed: &Placed<T>) -> &str {
        self.text_of(placed).map_or("", |(source, _)| source.stem())
    }

    fn text_of<T>(&self, placed: &Placed<T>) -> Option<(&Source, usize)> {
        self.texts.iter().find_map(|source| {
            let offset = placed.address.checked_sub(source.text.as_ptr() as usize)?;
            (offset < source.text.len()).then_some((source, offset))
        })
    }

    fn twice<T: Named>(&self, entries: &[T], snags: &mut Vec<Snag>) {
        let mut first: BTreeMap<&str, &Id> = BTreeMap::new();
        for entry in entries {
            let id = entry.id();
            if let Some(other) = first.get(id.as_str()) {
                let there = self.place(*other);
                snags.push(Snag {
                    code: "duplicate-id",
                    place: self.place(id),
                    headline: format!("a second {} is called `{}`", T::KIND, id.value),
                    nearest: there.map(|p| format!("the first one, {}, line {}", p.file, p.line)),
                    mend: "give one of the two another name, or delete it".to_owned(),
                });
            } else {
                first.insert(id.as_str(), id);
            }
        }
    }
}
