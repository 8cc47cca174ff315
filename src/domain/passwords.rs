//! Which passwords will do: 8 characters or more, anything at all in them, but none of those that
//! are tried first.
//!
//! What is refused follows NIST SP 800-63B, section 5.1.1.2: dictionary words and what is commonly
//! made of them, repetitive or sequential characters, and words of the place itself (the sign-in
//! name, the club's name). Nothing else is asked: no capitals, no digits, no change from time to time.

mod common;
mod words;

use common::{core_of, is_common, squashed};

const FEWEST: usize = 8;
const MOST: usize = 256;

/// `Err` is the sentence for the form. `sign_in_name` and `club` may not be the password, nor be
/// it with some figures or marks put before or after.
pub fn judge(password: &str, sign_in_name: &str, club: &str) -> Result<(), String> {
    let length = password.chars().count();
    if length < FEWEST {
        return Err(
            "Choose a password of 8 characters or more. Three words in a row are easy to remember."
                .into(),
        );
    }
    if length > MOST {
        return Err("Choose a password of at most 256 characters.".into());
    }
    if is_made_of(password, sign_in_name) {
        return Err("Choose a password that is not your sign-in name.".into());
    }
    if is_made_of(password, club) {
        return Err("Choose a password that is not the club’s name.".into());
    }
    if is_common(password) {
        return Err("That is among the passwords that are tried first. Choose another; three words in a row, such as you would not say together, are easy to remember.".into());
    }
    Ok(())
}

fn is_made_of(password: &str, name: &str) -> bool {
    let name = squashed(name);
    !name.is_empty() && (squashed(password) == name || core_of(&squashed(password)) == name)
}
