//! Texts that stand in many rows of a file, kept once.

use std::collections::BTreeSet;
use std::sync::Arc;

/// The texts of a file so far.
#[derive(Debug, Default)]
pub(super) struct Texts(BTreeSet<Arc<str>>);

impl Texts {
    /// The same text, shared with the rows that said it before.
    pub fn once(&mut self, text: &Arc<str>) -> Arc<str> {
        if let Some(known) = self.0.get(text) {
            return known.clone();
        }
        self.0.insert(text.clone());
        text.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_said_again_is_the_one_kept() {
        let mut texts = Texts::default();
        let [first, again, other] = ["F3", "F3", "F4"].map(|text| texts.once(&text.into()));
        assert!(Arc::ptr_eq(&first, &again));
        assert_eq!((&*again, &*other), ("F3", "F4"));
    }
}
