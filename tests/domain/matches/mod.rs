//! Mirrors `src/domain/matches`.

mod figures;
mod results;

use peglore::domain::matches::{section_heading, section_words};

#[test]
fn a_section_is_called_one_once_whatever_its_name() {
    for (name, words, heading) in [
        ("A", "section A", "Section A"),
        ("Section A", "section A", "Section A"),
        ("SECTION  2", "section 2", "Section 2"),
        ("Sectional", "section Sectional", "Section Sectional"),
    ] {
        assert_eq!(section_words(name), words);
        assert_eq!(section_heading(name), heading);
    }
}
