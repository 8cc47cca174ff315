//! A command line that was mistyped, answered in one sentence of our own: what is wrong, the word
//! that was perhaps meant, and how the command is typed.

use std::{error::Error, ffi::OsString, process::ExitCode};

use clap::{
    Command, CommandFactory,
    error::{ContextKind, ErrorKind},
};

use super::CommandLine;

/// Says what is wrong, or shows the help that was asked for.
pub fn told(error: &clap::Error) -> ExitCode {
    let typed: Vec<OsString> = std::env::args_os().skip(1).collect();
    match sentence(error, &typed) {
        Some(sentence) => eprintln!("peglore: {sentence}"),
        // Help and version, and what hardly ever happens, the parser shows itself.
        None => {
            let _ = error.print();
        }
    }
    ExitCode::from(u8::try_from(error.exit_code()).unwrap_or(2))
}

fn sentence(error: &clap::Error, typed: &[OsString]) -> Option<String> {
    let said = |kind| {
        let said = error.get(kind).map(ToString::to_string);
        said.filter(|words| !words.is_empty())
    };
    let meant = |kind| match said(kind) {
        Some(words) => format!(". Did you mean “{words}”?"),
        None => String::new(),
    };
    let argument = said(ContextKind::InvalidArg);
    let value = said(ContextKind::InvalidValue);
    let wrong = match error.kind() {
        ErrorKind::MissingRequiredArgument => format!("still to be given: {}", argument?),
        ErrorKind::InvalidSubcommand => format!(
            "there is no command “{}”{}",
            said(ContextKind::InvalidSubcommand)?,
            meant(ContextKind::SuggestedSubcommand)
        ),
        ErrorKind::MissingSubcommand => format!(
            "still to be given: what to do, one of {}",
            said(ContextKind::ValidSubcommand)?
        ),
        ErrorKind::UnknownArgument => {
            let argument = argument?;
            let nothing = match argument.starts_with('-') {
                true => format!("there is no option “{argument}” here"),
                false => format!("“{argument}” is one word too many"),
            };
            nothing + &meant(ContextKind::SuggestedArg)
        }
        ErrorKind::ArgumentConflict if argument == said(ContextKind::PriorArg) => {
            format!("“{}” is given twice", argument?)
        }
        ErrorKind::InvalidValue => {
            let argument = argument?;
            let wrong = match value {
                Some(value) => format!("{argument} cannot be “{value}”"),
                None => format!("{argument} is given without what belongs after it"),
            };
            match said(ContextKind::ValidValue) {
                Some(words) => format!("{wrong}; it is one of: {words}"),
                None => wrong,
            }
        }
        ErrorKind::ValueValidation => {
            let why = error.source().map(|why| format!(": {why}"));
            format!(
                "{} cannot be “{}”{}",
                argument?,
                value?,
                why.unwrap_or_default()
            )
        }
        _ => return None,
    };
    let usage = said(ContextKind::Usage).unwrap_or_default();
    Some(wrong + &typed_so(&usage, &command_of(typed)))
}

/// The command that was meant, as far as its words were typed: `peglore import sheet`.
fn command_of(typed: &[OsString]) -> String {
    let mut command: Command = CommandLine::command();
    let mut words = vec![command.get_name().to_owned()];
    for word in typed {
        if let Some(within) = command.find_subcommand(word).cloned() {
            words.push(within.get_name().to_owned());
            command = within;
        }
    }
    words.join(" ")
}

/// How the command is typed, where that is known, and where its help is.
fn typed_so(usage: &str, command: &str) -> String {
    let usage = usage.trim().trim_start_matches("Usage:").trim();
    let typed = match usage.is_empty() {
        true => String::new(),
        false => format!("\n  Type:  {usage}"),
    };
    format!("{typed}\n  More:  {command} --help")
}

#[cfg(test)]
mod tests {
    use std::ffi::OsString;

    use clap::Parser;

    use super::sentence;
    use crate::cli::CommandLine;

    #[test]
    fn what_is_mistyped_is_answered_in_our_own_words_with_the_nearest_that_is_right() {
        for (typed, words) in [
            (&["backup"][..], "still to be given: --data <FOLDER>"),
            (
                &["bakcup"],
                "there is no command “bakcup”. Did you mean “backup”?",
            ),
            (
                &["backup", "--dta", "x"],
                "there is no option “--dta” here. Did you mean “--data”?",
            ),
            (&["verify", "x", "y"], "“y” is one word too many"),
            (
                &["demo", "--size", "huge"],
                "cannot be “huge”; it is one of: usual, large",
            ),
            (
                &["backup", "--data"],
                "is given without what belongs after it",
            ),
            (
                &["import", "--data", "x", "undo", "one"],
                "cannot be “one”: it wants the number of the file",
            ),
            (&["backup"], "\n  More:  peglore backup --help"),
            (&["bakcup"], "\n  More:  peglore --help"),
            (
                &["import", "--data", "x", "sheet"],
                "\n  More:  peglore import sheet --help",
            ),
            (
                &["import", "--data", "x", "sheet", "a.csv", "--pegs", "odd"],
                "\n  More:  peglore import sheet --help",
            ),
        ] {
            let line = std::iter::once("peglore").chain(typed.iter().copied());
            let typed: Vec<OsString> = typed.iter().map(OsString::from).collect();
            let error = CommandLine::try_parse_from(line).err();
            let error = error.expect("it is refused");
            let told = sentence(&error, &typed).unwrap_or_default();
            assert!(told.contains(words), "no “{words}” in {told}");
            assert!(!told.contains("error:"), "{told}");
        }
    }

    #[test]
    fn help_is_no_mistake() {
        let asked = CommandLine::try_parse_from(["peglore", "--help"]).err();
        assert_eq!(sentence(&asked.expect("it is shown"), &[]), None);
    }
}
