//! Which passwords will do: 8 characters or more, anything at all in them, but not a common one.

/// `Err` is the sentence for the form.
pub fn judge(password: &str, name: &str) -> Result<(), String> {
    let length = password.chars().count();
    if length < 8 {
        return Err(
            "Choose a password of 8 characters or more. Three words in a row are easy to remember."
                .into(),
        );
    }
    if length > 256 {
        return Err("Choose a password of at most 256 characters.".into());
    }
    if password.to_lowercase() == name.to_lowercase() {
        return Err("Choose a password that is not your sign-in name.".into());
    }
    Ok(())
}
