//! Every setting stands in the README, with its default.

use peglore::settings::TABLE;

#[test]
fn every_setting_is_documented_with_its_default_and_nothing_else_is() {
    let readme = include_str!("../../README.md");
    let rows: Vec<Vec<&str>> = readme
        .lines()
        .skip_while(|line| !line.starts_with("## Settings"))
        .skip(1)
        .take_while(|line| !line.starts_with("## "))
        .filter(|line| line.starts_with("| `"))
        .map(|line| line.split('|').map(str::trim).collect())
        .collect();
    let documented: Vec<&str> = rows.iter().map(|row| row[1].trim_matches('`')).collect();
    let known: Vec<&str> = TABLE.iter().map(|setting| setting.name).collect();
    assert_eq!(documented, known);
    for (row, setting) in rows.iter().zip(&TABLE) {
        let default = if setting.default.is_empty() {
            "empty"
        } else {
            setting.default
        };
        assert_eq!(row[2].trim_matches('`'), default, "{}", setting.name);
        assert!(row[3].len() > 10, "{} has no meaning", setting.name);
    }
}
