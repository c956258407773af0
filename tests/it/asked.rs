//! Asking as a stranger does, through `rank`, and reading the answer.

use knockwise::faces::answered::Answered;
use knockwise::faces::rank::{Request, answer};
use knockwise::graph::{Cause, Remedy};

/// What is told.
#[derive(Clone, Default)]
pub struct Told(pub Request);

impl Told {
    pub fn say(text: &str) -> Self {
        Self::default().and_say(text)
    }

    pub fn and_say(mut self, text: &str) -> Self {
        self.0.say.push(text.to_owned());
        self
    }

    pub fn bike(mut self, pair: &str) -> Self {
        self.0.bike.push(pair.to_owned());
        self
    }

    pub fn report(mut self, pair: &str) -> Self {
        self.0.report.push(pair.to_owned());
        self
    }

    pub fn measure(mut self, reading: &str) -> Self {
        self.0.measure.push(reading.to_owned());
        self
    }

    #[track_caller]
    pub fn asked(mut self) -> Judged {
        let defaults = Request { by: "rider".to_owned(), at: "home".to_owned(), ..Request::default() };
        if self.0.by.is_empty() {
            (self.0.by, self.0.at) = (defaults.by, defaults.at);
        }
        match answer(&self.0) {
            Ok(answered) => Judged(answered),
            Err(trouble) => panic!("{trouble}"),
        }
    }
}

/// The answer.
pub struct Judged(pub Answered);

impl Judged {
    /// Ids of the causes in order, each once: front and rear are one cause here.
    pub fn order(&self) -> Vec<&str> {
        let mut ids: Vec<&str> = Vec::new();
        for cause in self.0.posterior.ranking() {
            let id = self.0.graph.cause(cause).id.as_str();
            if !ids.contains(&id) {
                ids.push(id);
            }
        }
        ids
    }

    /// The place of a cause in the order, from 1.
    #[track_caller]
    pub fn place(&self, id: &str) -> usize {
        match self.order().iter().position(|o| *o == id) {
            Some(at) => at + 1,
            None => panic!("no cause is called {id}"),
        }
    }

    #[track_caller]
    pub fn leads(&self, id: &str) -> &Self {
        let top: Vec<&str> = self.order().into_iter().take(5).collect();
        assert_eq!(top.first(), Some(&id), "in order: {top:?}");
        self
    }

    #[track_caller]
    pub fn not_among(&self, first: usize, id: &str) -> &Self {
        let place = self.place(id);
        assert!(place > first, "{id} stands in place {place}: {:?}", self.order().into_iter().take(5));
        self
    }

    #[track_caller]
    pub fn advice(&self, word: &str) -> &Self {
        assert_eq!(self.0.ride.0.word().to_lowercase(), word);
        self
    }

    /// The highest chance of a cause, front or rear.
    #[track_caller]
    pub fn chance(&self, id: &str) -> f64 {
        let found = self.0.graph.find_causes(id);
        assert!(!found.is_empty(), "no cause is called {id}");
        found.into_iter().map(|c| self.0.posterior.ranked_by(c)).fold(0.0, f64::max)
    }

    #[track_caller]
    pub fn cause(&self, id: &str) -> &Cause {
        match self.0.graph.find_causes(id).first() {
            Some(cause) => self.0.graph.cause(*cause),
            None => panic!("no cause is called {id}"),
        }
    }

    #[track_caller]
    pub fn check_says(&self, id: &str, words: &[&str]) -> &Self {
        let check = self.cause(id).check.to_lowercase();
        for word in words {
            assert!(check.contains(word), "the check of {id} does not say '{word}': {check}");
        }
        self
    }

    /// The remedy that is offered for this cause; it must be among those proposed.
    #[track_caller]
    pub fn offered(&self, id: &str) -> &Remedy {
        match self.0.inquiry.remedies.iter().map(|p| self.0.graph.remedy(p.remedy)).find(|r| r.id == id) {
            Some(remedy) => remedy,
            None => panic!("remedy {id} is not offered"),
        }
    }

    /// Any remedy of the knowledge.
    #[track_caller]
    pub fn remedy(&self, id: &str) -> &Remedy {
        match self.0.graph.remedies.iter().find(|r| r.id == id) {
            Some(remedy) => remedy,
            None => panic!("no remedy is called {id}"),
        }
    }
}

/// The steps that hold these words stand in this order, each after the one before.
#[track_caller]
pub fn steps_in_order(remedy: &Remedy, words: &[&str]) {
    let mut from = 0;
    for word in words {
        let found = remedy.steps.iter().skip(from).position(|s| s.to_lowercase().contains(word));
        match found {
            Some(at) => from += at + 1,
            None => panic!("no step with '{word}' after the {from} before it in {}: {:#?}", remedy.id, remedy.steps),
        }
    }
}

/// Some caution of the remedy says this.
#[track_caller]
pub fn cautioned(remedy: &Remedy, words: &str) {
    let texts: Vec<String> = remedy.cautions.iter().map(|c| c.text.to_lowercase()).collect();
    assert!(texts.iter().any(|t| t.contains(words)), "no caution of {} says '{words}': {texts:#?}", remedy.id);
}
