//! Thousands of wordings made ready for matching: every word is read once, and stems are numbers.

use std::collections::HashMap;

use itertools::Itertools;

use super::stems::{Alike, Stems, as_one};

/// Numbers for stems, and for several that fit one place.
#[derive(Default)]
pub struct Numbers {
    by_text: HashMap<String, u32>,
    /// By number: the stems that fit, if there are several.
    several: Vec<Vec<u32>>,
}

impl Numbers {
    /// The number of a stem, if any wording holds it.
    pub fn of(&self, stem: &str) -> Option<u32> {
        self.by_text.get(stem).copied()
    }

    /// How many were given.
    pub fn len(&self) -> usize {
        self.several.len()
    }

    /// True if none was given.
    pub fn is_empty(&self) -> bool {
        self.several.is_empty()
    }

    /// True if a stem fits a place.
    pub fn fits(&self, place: u32, stem: u32) -> bool {
        place == stem || self.fitting(&place).contains(&stem)
    }

    /// The stems that fit a place.
    pub fn fitting<'a>(&'a self, place: &'a u32) -> &'a [u32] {
        match self.several.get(*place as usize) {
            Some(stems) if !stems.is_empty() => stems,
            _ => std::slice::from_ref(place),
        }
    }
}

/// A place in a wording.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slot {
    /// The number of what fits there.
    pub fits: u32,
    /// True if it may stand further from the place before it.
    pub apart: bool,
}

/// Places in order.
pub type Wording = Vec<Slot>;

/// Reads wordings, and numbers their stems as they come.
pub struct Numbering<'a> {
    stems: &'a Stems,
    numbers: Numbers,
    /// By number: whether the stem counts.
    counts: Vec<bool>,
    alike: Alike<u32>,
    /// Words read before; each may be two stems, or several that fit one place.
    words: HashMap<&'a str, Vec<u32>>,
}

impl<'a> Numbering<'a> {
    /// Begins with the words that are read alike.
    pub fn new(stems: &'a Stems) -> Self {
        let mut new =
            Self { stems, numbers: Numbers::default(), counts: Vec::new(), alike: Alike::new(), words: HashMap::new() };
        for (first, list) in &stems.alike {
            let first = new.number(first);
            let list = list.iter().map(|(says, own)| (new.all(says), new.all(own))).collect();
            new.alike.insert(first, list);
        }
        new
    }

    /// A wording as it is matched: `front|rear` fits either, and what `&` joins may
    /// come in any order and further apart.
    pub fn wordings(&mut self, say: &'a str) -> Vec<Wording> {
        let parts: Vec<Vec<u32>> = say.split(" & ").map(|part| self.wording(part)).collect();
        let slots = |(at, part): (usize, &Vec<u32>)| -> Wording {
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
            let read = match self.words.get(word) {
                Some(read) => read,
                None => {
                    let read = if word.contains('|') { self.any_of(word) } else { self.all(&self.stems.words(word)) };
                    self.words.entry(word).or_insert(read)
                }
            };
            if word.contains('|') {
                let read = read.clone();
                self.close(&mut run, &mut places);
                places.extend(read);
            } else {
                run.extend(read);
            }
        }
        self.close(&mut run, &mut places);
        places
    }

    /// The numbers given.
    pub fn done(self) -> Numbers {
        self.numbers
    }

    /// Ends a run of plain words: made one where they are read alike, and only what counts is kept.
    fn close(&self, run: &mut Vec<u32>, places: &mut Vec<u32>) {
        let read = as_one(&self.alike, std::mem::take(run), |stem| stem, |_, stem| *stem);
        places.extend(read.into_iter().filter(|stem| self.counts.get(*stem as usize).copied().unwrap_or(true)));
    }

    /// The place that any of several words fit; none if none of them counts.
    fn any_of(&mut self, words: &str) -> Vec<u32> {
        let stems: Vec<String> = words.split('|').filter_map(|word| self.stems.one(word)).collect();
        let fitting = self.all(&stems);
        if fitting.len() < 2 {
            return fitting;
        }
        let place = self.number(words);
        if let Some(several) = self.numbers.several.get_mut(place as usize) {
            *several = fitting;
        }
        vec![place]
    }

    fn all(&mut self, stems: &[String]) -> Vec<u32> {
        stems.iter().map(|stem| self.number(stem)).collect()
    }

    fn number(&mut self, text: &str) -> u32 {
        if let Some(known) = self.numbers.of(text) {
            return known;
        }
        let new = u32::try_from(self.counts.len()).unwrap_or(u32::MAX);
        self.numbers.by_text.insert(text.to_owned(), new);
        self.numbers.several.push(Vec::new());
        self.counts.push(!self.stems.is_small(text));
        new
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_fits_any_of_its_words_and_words_read_alike_are_one() {
        let alike = ["seat post".to_owned()];
        let small = ["the".to_owned()];
        let stems = Stems::new([("seatpost", &alike[..])], &small);
        let mut numbering = Numbering::new(&stems);
        let wording = numbering.wordings("the front|rear|the wheels can't hit the seat post").remove(0);
        let numbers = numbering.done();
        let fitting: Vec<Vec<u32>> = wording.iter().map(|slot| numbers.fitting(&slot.fits).to_vec()).collect();
        let expected = [&["front", "rear"][..], &["wheel"], &["can"], &["not"], &["hit"], &["seatpost"]];
        let expected: Vec<Vec<u32>> =
            expected.iter().map(|stems| stems.iter().map(|s| numbers.of(s).unwrap()).collect()).collect();
        assert_eq!(fitting, expected);
        assert_eq!(numbers.of("saddle"), None);
    }

    #[test]
    fn parts_come_in_any_order_and_further_apart() {
        let stems = Stems::new([], &[]);
        let mut numbering = Numbering::new(&stems);
        let orders = numbering.wordings("brake cable & frayed & at");
        let numbers = numbering.done();
        assert_eq!(orders.len(), 6);
        let [brake, cable, frayed, at] = ["brake", "cabl", "fray", "at"].map(|s| numbers.of(s).unwrap());
        let last: Vec<(u32, bool)> = orders[5].iter().map(|slot| (slot.fits, slot.apart)).collect();
        assert_eq!(last, [(at, false), (frayed, true), (brake, true), (cable, false)]);
    }
}
