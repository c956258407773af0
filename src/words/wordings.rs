//! Thousands of wordings made ready for matching: every word is read once, and stems are numbers.

use std::collections::HashMap;

use itertools::Itertools;
use serde::{Deserialize, Serialize};

use super::stems::{Alike, Stems, as_one};

/// A place in a wording.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Slot {
    /// The number of what fits there.
    pub fits: u32,
    /// True if it may stand further from the place before it.
    pub apart: bool,
}

/// Stems, or several that fit one place, by number.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
struct Numbered {
    /// A stem; nothing where several fit.
    stems: Vec<String>,
    /// What fits, where several do.
    several: Vec<Vec<u32>>,
}

impl Numbered {
    fn add(&mut self, stem: &str, several: Vec<u32>) -> u32 {
        self.stems.push(stem.to_owned());
        self.several.push(several);
        u32::try_from(self.stems.len() - 1).unwrap_or(u32::MAX)
    }
}

/// Wordings as they are matched, each known by its place; they belong to owners, numbered in order.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Wordings {
    numbered: Numbered,
    /// The places of all, one after another.
    slots: Vec<Slot>,
    /// Where each ends, and whose it is.
    ends: Vec<(usize, usize)>,
}

impl Wordings {
    /// Reads what each owner says.
    pub fn of<'a>(stems: &Stems, owners: impl IntoIterator<Item = &'a [String]>) -> Self {
        let mut numbering = Numbering::new(stems);
        let mut new = Self::default();
        for (owner, say) in
            owners.into_iter().enumerate().flat_map(|(owner, says)| says.iter().map(move |s| (owner, s)))
        {
            for wording in numbering.wordings(say) {
                new.slots.extend(wording);
                new.ends.push((new.slots.len(), owner));
            }
        }
        new.numbered = numbering.numbered;
        new
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.ends.len()
    }

    /// True if there is none.
    pub fn is_empty(&self) -> bool {
        self.ends.is_empty()
    }

    /// The places of a wording, and its owner.
    pub fn get(&self, at: usize) -> Option<(&[Slot], usize)> {
        let (end, owner) = *self.ends.get(at)?;
        let start = at.checked_sub(1).and_then(|before| self.ends.get(before)).map_or(0, |(end, _)| *end);
        Some((self.slots.get(start..end)?, owner))
    }

    /// All stems with their numbers.
    pub fn stems(&self) -> impl Iterator<Item = (&str, u32)> {
        self.numbered.stems.iter().map(String::as_str).zip(0..).filter(|(stem, _)| !stem.is_empty())
    }

    /// Numbers are below this.
    pub fn numbers(&self) -> usize {
        self.numbered.stems.len()
    }

    /// True if a stem fits a place.
    pub fn fits(&self, place: u32, stem: u32) -> bool {
        place == stem || self.fitting(&place).contains(&stem)
    }

    /// The stems that fit a place.
    pub fn fitting<'a>(&'a self, place: &'a u32) -> &'a [u32] {
        match self.numbered.several.get(*place as usize) {
            Some(stems) if !stems.is_empty() => stems,
            _ => std::slice::from_ref(place),
        }
    }
}

/// Reads wordings, and numbers their stems as they come.
struct Numbering<'a> {
    stems: &'a Stems,
    numbered: Numbered,
    by_stem: HashMap<String, u32>,
    /// By number: whether the stem counts.
    counts: Vec<bool>,
    alike: Alike<u32>,
    /// Words read before; each may be two stems, or several that fit one place.
    words: HashMap<&'a str, Vec<u32>>,
}

impl<'a> Numbering<'a> {
    /// Begins with the words that are read alike.
    fn new(stems: &'a Stems) -> Self {
        let mut new = Self {
            stems,
            numbered: Numbered::default(),
            by_stem: HashMap::new(),
            counts: Vec::new(),
            alike: Alike::new(),
            words: HashMap::new(),
        };
        for (first, list) in stems.alike.iter().sorted_by_key(|(first, _)| *first) {
            let first = new.number(first);
            let list = list.iter().map(|(says, own)| (new.all(says), new.all(own))).collect();
            new.alike.insert(first, list);
        }
        new
    }

    /// A wording as it is matched: `front|rear` fits either, and what `&` joins may
    /// come in any order and further apart.
    fn wordings(&mut self, say: &'a str) -> Vec<Vec<Slot>> {
        let parts: Vec<Vec<u32>> = say.split(" & ").map(|part| self.wording(part)).collect();
        let slots = |(at, part): (usize, &Vec<u32>)| -> Vec<Slot> {
            part.iter().enumerate().map(|(i, fits)| Slot { fits: *fits, apart: at > 0 && i == 0 }).collect()
        };
        let joined = |order: Vec<&Vec<u32>>| order.into_iter().enumerate().flat_map(slots).collect();
        parts.iter().permutations(parts.len()).map(joined).collect()
    }

    /// What fits each place of a part.
    fn wording(&mut self, say: &'a str) -> Vec<u32> {
        let mut places = Vec::new();
        let mut run = Vec::new();
        for word in say.split(' ') {
            if word.contains('|') {
                places.extend(self.read_as_one(std::mem::take(&mut run)));
                places.extend(self.any_of(word));
            } else {
                run.extend_from_slice(self.word(word));
            }
        }
        places.extend(self.read_as_one(run));
        places
    }

    /// The stems of a word.
    fn word(&mut self, word: &'a str) -> &[u32] {
        if !self.words.contains_key(word) {
            let read = self.all(&self.stems.words(word));
            self.words.insert(word, read);
        }
        self.words.get(word).map_or(&[], Vec::as_slice)
    }

    /// Plain words that follow one another: made one where they are read alike, and only what counts is kept.
    fn read_as_one(&self, run: Vec<u32>) -> Vec<u32> {
        let mut read = as_one(&self.alike, run, |stem| stem, |_, stem| *stem);
        read.retain(|stem| self.counts.get(*stem as usize).copied().unwrap_or(true));
        read
    }

    /// The place that any of several words fit; none if none of them counts.
    fn any_of(&mut self, words: &'a str) -> Vec<u32> {
        if let Some(read) = self.words.get(words) {
            return read.clone();
        }
        let mut fitting = Vec::new();
        for word in words.split('|') {
            let read = self.word(word).to_vec();
            fitting.extend(self.read_as_one(read).pop());
        }
        if fitting.len() > 1 {
            self.counts.push(true);
            fitting = vec![self.numbered.add("", fitting)];
        }
        self.words.insert(words, fitting.clone());
        fitting
    }

    fn all(&mut self, stems: &[String]) -> Vec<u32> {
        stems.iter().map(|stem| self.number(stem)).collect()
    }

    fn number(&mut self, stem: &str) -> u32 {
        if let Some(known) = self.by_stem.get(stem) {
            return *known;
        }
        let new = self.numbered.add(stem, Vec::new());
        self.by_stem.insert(stem.to_owned(), new);
        self.counts.push(!self.stems.is_small(stem));
        new
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(wordings: &Wordings, stem: &str) -> Option<u32> {
        wordings.stems().find(|(text, _)| *text == stem).map(|(_, number)| number)
    }

    #[test]
    fn a_place_fits_any_of_its_words_and_words_read_alike_are_one() {
        let alike = ["seat post".to_owned()];
        let small = ["the".to_owned()];
        let stems = Stems::new([("seatpost", &alike[..])], &small);
        let none: [String; 0] = [];
        let say = ["the front|rear|the wheels can't hit the seat post".to_owned()];
        let wordings = Wordings::of(&stems, [&none[..], &say[..]]);
        let (wording, owner) = wordings.get(0).unwrap();
        let fitting: Vec<Vec<u32>> = wording.iter().map(|slot| wordings.fitting(&slot.fits).to_vec()).collect();
        let expected = [&["front", "rear"][..], &["wheel"], &["can"], &["not"], &["hit"], &["seatpost"]];
        let expected: Vec<Vec<u32>> =
            expected.iter().map(|stems| stems.iter().map(|s| number(&wordings, s).unwrap()).collect()).collect();
        assert_eq!((fitting, owner), (expected, 1));
        assert_eq!((number(&wordings, "saddle"), wordings.len()), (None, 1));
    }

    #[test]
    fn parts_come_in_any_order_and_further_apart() {
        let stems = Stems::new([], &[]);
        let say = ["brake cable & frayed & at".to_owned()];
        let wordings = Wordings::of(&stems, [&say[..]]);
        assert_eq!(wordings.len(), 6);
        let [brake, cable, frayed, at] = ["brake", "cabl", "fray", "at"].map(|s| number(&wordings, s).unwrap());
        let last: Vec<(u32, bool)> = wordings.get(5).unwrap().0.iter().map(|slot| (slot.fits, slot.apart)).collect();
        assert_eq!(last, [(at, false), (frayed, true), (brake, true), (cable, false)]);
    }
}
