//! Settings: the table's defaults, mistakes and the words that answer them.

use peglore::settings::{PublicAddress, Settings, SettingsError, TABLE};

fn read(pairs: &[(&str, &str)]) -> Result<Settings, SettingsError> {
    let folder = std::env::temp_dir().join("peglore-no-such-folder");
    Settings::read(
        &folder,
        pairs
            .iter()
            .map(|(k, v)| (format!("PEGLORE_{k}"), (*v).to_owned())),
    )
}

#[test]
fn the_defaults_are_valid_and_every_setting_is_shown() {
    let shown: Vec<_> = Settings::default()
        .shown()
        .into_iter()
        .map(|(name, _)| name)
        .collect();
    let table: Vec<_> = TABLE.iter().map(|s| s.name).collect();
    assert_eq!(shown, table);
}

#[test]
fn a_misspelt_name_is_answered_with_the_nearest() {
    let error = read(&[("LISTNE", "127.0.0.1:1")]).expect_err("no such name");
    assert_eq!(error, SettingsError::Unknown("listne".into(), "listen"));
    let error = read(&[("PUBLIC_ADRESS", "x")]).expect_err("no such name");
    assert_eq!(
        error,
        SettingsError::Unknown("public_adress".into(), "public_address")
    );
    // Three letters off may be meant, four are another word.
    let error = read(&[("LTN", "x")]).expect_err("no such name");
    assert_eq!(error, SettingsError::Unknown("ltn".into(), "listen"));
    let error = read(&[("LN", "x")]).expect_err("no such name");
    assert_eq!(error, SettingsError::NoSuch("ln".into()));
}

#[test]
fn forty_mistakes_are_each_refused() {
    let bad = [
        ("LISTEN", "8080"),
        ("LISTEN", "localhost:8080"),
        ("LISTEN", "127.0.0.1"),
        ("LISTEN", "127.0.0.1:99999"),
        ("LISTEN", ""),
        ("LISTEN", "127.0.0.1:80 80"),
        ("LISTEN", "[::1"),
        ("LISTEN", "http://127.0.0.1:80"),
        ("PUBLIC_ADDRESS", "example.org"),
        ("PUBLIC_ADDRESS", "ftp://example.org"),
        ("PUBLIC_ADDRESS", "https://"),
        ("PUBLIC_ADDRESS", "https://a b"),
        ("PUBLIC_ADDRESS", "https://me@example.org"),
        ("PUBLIC_ADDRESS", "https://example.org/?x"),
        ("PUBLIC_ADDRESS", "https://example.org/#x"),
        ("PUBLIC_ADDRESS", "https:///club"),
        ("PUBLIC_ADDRESS", "https://example.org/a b"),
        ("PUBLIC_ADDRESS", "https://example.org/<x>"),
        ("PUBLIC_ADDRESS", "//example.org"),
        ("PUBLIC_ADDRESS", "https//example.org"),
        ("TRUSTED_PROXIES", "proxy"),
        ("TRUSTED_PROXIES", "10.0.0"),
        ("TRUSTED_PROXIES", "10.0.0.1 10.0.0.2"),
        ("TRUSTED_PROXIES", "10.0.0.0/8"),
        ("PASSWORD_MEMORY_KIB", "0"),
        ("PASSWORD_MEMORY_KIB", "1024"),
        ("PASSWORD_MEMORY_KIB", "-1"),
        ("PASSWORD_MEMORY_KIB", "46 MiB"),
        ("PASSWORD_MEMORY_KIB", "99999999"),
        ("PASSWORD_MEMORY_KIB", "4e4"),
        ("DISK_FLOOR_MIB", "0"),
        ("DISK_FLOOR_MIB", "lots"),
        ("DISK_FLOOR_MIB", "1.5"),
        ("DISK_FLOOR_MIB", "-5"),
        ("BACKUPS_KEPT", "0"),
        ("BACKUPS_KEPT", "all"),
        ("BACKUPS_KEPT", "14 days"),
        ("BACKUPS_KEPT", "99999"),
        ("BACKUP_KEPT", "14"),
        ("DATA", "/var"),
    ];
    assert_eq!(bad.len(), 40);
    for (name, value) in bad {
        let told = read(&[(name, value)]).map(|_| "accepted");
        let told = told.expect_err(name).to_string();
        let typed = name.to_lowercase();
        assert!(told.contains(&format!("“{typed}”")), "{name}: {told}");
        // A name that is none is answered with one that is; a value with what it should look like.
        if TABLE.iter().any(|setting| setting.name == typed) {
            let one = value.split(',').next().unwrap_or(value);
            assert!(told.contains(one) && told.contains(": "), "{name}: {told}");
        } else {
            let near = typed == "backup_kept";
            let answer = match near {
                true => "Did you mean “backups_kept”?",
                false => "there are listen, public_address, ",
            };
            assert!(told.contains(answer), "{name}: {told}");
        }
    }
}

#[test]
fn a_public_address_is_taken_apart() {
    let address = PublicAddress::parse("HTTPS://Example.org:443/club/").expect("plain");
    assert_eq!(
        (
            address.https,
            address.origin.as_str(),
            address.prefix.as_str()
        ),
        (true, "https://example.org", "/club")
    );
    let address = PublicAddress::parse("http://192.168.1.5:8080").expect("plain");
    assert_eq!(
        (
            address.https,
            address.origin.as_str(),
            address.prefix.as_str()
        ),
        (false, "http://192.168.1.5:8080", "")
    );
}

#[test]
fn a_file_is_read_with_comments_and_refused_by_line() {
    let folder = tempfile::tempdir().expect("a folder for the test");
    let with = |text: &str| {
        std::fs::write(folder.path().join("settings.txt"), text).expect("the folder takes a file");
        Settings::read(folder.path(), std::iter::empty())
    };
    let read = with("# ours\n\nlisten = 0.0.0.0:80\n").expect("well formed");
    assert_eq!(read.listen.to_string(), "0.0.0.0:80");
    // As an editor may save it that marks its texts as UTF-8.
    let marked = with("\u{feff}listen = 0.0.0.0:80\n").expect("well formed");
    assert_eq!(marked.listen.to_string(), "0.0.0.0:80");
    assert_eq!(
        with("listen 0.0.0.0:80").err(),
        Some(SettingsError::Line(1))
    );
}
