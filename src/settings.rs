//! Every setting, read once at start: its name, default and meaning stand in one table,
//! which the README and `peglore settings` are checked against.
//!
//! A setting comes from the environment (`PEGLORE_LISTEN`) or from `settings.txt` in the data
//! folder (`listen = 127.0.0.1:8080`); the environment wins. A name that is not in the table
//! stops the start with the nearest name that is.

use std::{
    collections::BTreeMap,
    net::{IpAddr, SocketAddr},
    path::Path,
};

/// Letters by which a misspelt name may differ from the one that is meant.
const MOST_LETTERS: usize = 3;

/// One row of the table.
pub struct Setting {
    pub name: &'static str,
    pub default: &'static str,
    pub meaning: &'static str,
}

pub const TABLE: [Setting; 6] = [
    Setting {
        name: "listen",
        default: "127.0.0.1:8080",
        meaning: "Address and port to answer on. 0.0.0.0:8080 lets other machines in.",
    },
    Setting {
        name: "public_address",
        default: "",
        meaning: "The address people type, such as https://example.org/club. Empty: whatever they typed.",
    },
    Setting {
        name: "trusted_proxies",
        default: "",
        meaning: "Addresses of proxies whose X-Forwarded-For is believed, separated by commas. Empty: nobody.",
    },
    Setting {
        name: "password_memory_kib",
        default: "47104",
        meaning: "Memory for hashing one password, KiB; 19456 at least.",
    },
    Setting {
        name: "disk_floor_mib",
        default: "64",
        meaning: "Below this much free disk, MiB, the server says it is not ready.",
    },
    Setting {
        name: "backups_kept",
        default: "14",
        meaning: "How many daily backups stay in the data folder's backups folder.",
    },
];

/// The settings, checked.
#[derive(Clone, Debug)]
pub struct Settings {
    pub listen: SocketAddr,
    pub public_address: Option<PublicAddress>,
    pub trusted_proxies: Vec<IpAddr>,
    pub password_memory_kib: u32,
    pub disk_floor_mib: u64,
    pub backups_kept: usize,
}

/// The address people type, taken apart.
#[derive(Clone, Debug, PartialEq)]
pub struct PublicAddress {
    pub https: bool,
    /// `https://example.org`, default port left out, lower case.
    pub origin: String,
    /// `/club`, or empty at the root; no slash at the end.
    pub prefix: String,
}

#[derive(Debug, thiserror::Error, PartialEq)]
pub enum SettingsError {
    #[error("there is no setting called “{0}”. Did you mean “{1}”?")]
    Unknown(String, &'static str),
    /// Nothing is near enough to be meant.
    #[error("there is no setting called “{0}”, in settings.txt or as PEGLORE_{upper}; there are {all}", upper = .0.to_uppercase(), all = names())]
    NoSuch(String),
    #[error("the setting “{name}” cannot be “{value}”: {why}")]
    Bad {
        name: &'static str,
        value: String,
        why: String,
    },
    #[error("line {0} of settings.txt is not “name = value”")]
    Line(usize),
    #[error("settings.txt cannot be read: {0}")]
    File(String),
}

/// Where a value comes from; one that stands nowhere is the default.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    File,
    Environment,
}

/// What is given, by name: the value and where it stands.
type Given = BTreeMap<&'static str, (String, Origin)>;

fn given(
    folder: &Path,
    environment: impl Iterator<Item = (String, String)>,
) -> Result<Given, SettingsError> {
    let mut given = Given::new();
    match std::fs::read_to_string(folder.join("settings.txt")) {
        Ok(text) => {
            let lines = lines(&text)?.into_iter();
            given.extend(lines.map(|(name, value)| (name, (value, Origin::File))));
        }
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => {}
        Err(e) => return Err(SettingsError::File(e.to_string())),
    }
    for (key, value) in environment {
        if let Some(name) = key.strip_prefix("PEGLORE_") {
            given.insert(known(&name.to_lowercase())?, (value, Origin::Environment));
        }
    }
    Ok(given)
}

/// Where the values come from that are no defaults, by name.
pub fn origins(
    folder: &Path,
    environment: impl Iterator<Item = (String, String)>,
) -> Result<BTreeMap<&'static str, Origin>, SettingsError> {
    let given = given(folder, environment)?.into_iter();
    Ok(given.map(|(name, (_, origin))| (name, origin)).collect())
}

impl Settings {
    /// Reads `settings.txt` in `folder`, if there is one, then the environment.
    pub fn read(
        folder: &Path,
        environment: impl Iterator<Item = (String, String)>,
    ) -> Result<Self, SettingsError> {
        Self::from(&given(folder, environment)?)
    }

    fn from(given: &Given) -> Result<Self, SettingsError> {
        let text = |name: &'static str| {
            let default = TABLE
                .iter()
                .find(|s| s.name == name)
                .map_or("", |s| s.default);
            given
                .get(name)
                .map_or(default, |(value, _)| value.trim())
                .to_owned()
        };
        Ok(Self {
            listen: parsed(
                "listen",
                &text("listen"),
                "it should look like 127.0.0.1:8080",
            )?,
            public_address: match text("public_address") {
                empty if empty.is_empty() => None,
                address => Some(PublicAddress::parse(&address)?),
            },
            trusted_proxies: text("trusted_proxies")
                .split(',')
                .map(str::trim)
                .filter(|one| !one.is_empty())
                .map(|one| {
                    parsed(
                        "trusted_proxies",
                        one,
                        "each should be an address such as 10.0.0.2",
                    )
                })
                .collect::<Result<_, _>>()?,
            password_memory_kib: within(
                "password_memory_kib",
                &text("password_memory_kib"),
                19_456..=1_048_576,
            )?,
            disk_floor_mib: within("disk_floor_mib", &text("disk_floor_mib"), 1..=1_048_576)?,
            backups_kept: within("backups_kept", &text("backups_kept"), 1..=3_650)?,
        })
    }

    /// The part of every address before the site's own, such as `/club`; empty at the root.
    pub fn prefix(&self) -> &str {
        self.public_address
            .as_ref()
            .map_or("", |address| &address.prefix)
    }

    pub fn https(&self) -> bool {
        self.public_address
            .as_ref()
            .is_some_and(|address| address.https)
    }

    /// Name and value of every setting, in the table's order. None of them is a secret.
    pub fn shown(&self) -> Vec<(&'static str, String)> {
        let proxies: Vec<_> = self
            .trusted_proxies
            .iter()
            .map(ToString::to_string)
            .collect();
        vec![
            ("listen", self.listen.to_string()),
            (
                "public_address",
                self.public_address
                    .as_ref()
                    .map_or(String::new(), |a| format!("{}{}", a.origin, a.prefix)),
            ),
            ("trusted_proxies", proxies.join(", ")),
            ("password_memory_kib", self.password_memory_kib.to_string()),
            ("disk_floor_mib", self.disk_floor_mib.to_string()),
            ("backups_kept", self.backups_kept.to_string()),
        ]
    }
}

impl Default for Settings {
    fn default() -> Self {
        Self::from(&Given::new()).expect("the defaults in the table are valid, as a test shows")
    }
}

impl PublicAddress {
    /// Reads `https://example.org/club`.
    pub fn parse(text: &str) -> Result<Self, SettingsError> {
        let bad = |why: &str| SettingsError::Bad {
            name: "public_address",
            value: text.to_owned(),
            why: why.to_owned(),
        };
        let (scheme, rest) = text
            .split_once("://")
            .ok_or_else(|| bad("it should begin with https:// or http://"))?;
        let https = match scheme.to_ascii_lowercase().as_str() {
            "https" => true,
            "http" => false,
            _ => return Err(bad("it should begin with https:// or http://")),
        };
        let (host, path) = rest.split_at(rest.find('/').unwrap_or(rest.len()));
        if host.is_empty()
            || host.contains(['@', ' ', '?', '#'])
            || path.contains(['?', '#', ' ', '"', '<', '%'])
        {
            return Err(bad(
                "it should be a plain address such as https://example.org/club",
            ));
        }
        let host = host.to_ascii_lowercase();
        let host = host
            .strip_suffix(if https { ":443" } else { ":80" })
            .unwrap_or(&host);
        Ok(Self {
            https,
            origin: format!("{}://{host}", if https { "https" } else { "http" }),
            prefix: path.trim_end_matches('/').to_owned(),
        })
    }
}

fn lines(text: &str) -> Result<Vec<(&'static str, String)>, SettingsError> {
    // Some editors begin a text with a mark of their own.
    text.trim_start_matches('\u{feff}')
        .lines()
        .enumerate()
        .map(|(number, line)| (number + 1, line.trim()))
        .filter(|(_, line)| !line.is_empty() && !line.starts_with('#'))
        .map(|(number, line)| {
            let (name, value) = line.split_once('=').ok_or(SettingsError::Line(number))?;
            Ok((known(name.trim())?, value.trim().to_owned()))
        })
        .collect()
}

fn known(name: &str) -> Result<&'static str, SettingsError> {
    let nearest = TABLE
        .iter()
        .min_by_key(|setting| distance(setting.name, name))
        .expect("the table is not empty");
    match distance(nearest.name, name) {
        0 => Ok(nearest.name),
        1..=MOST_LETTERS => Err(SettingsError::Unknown(name.to_owned(), nearest.name)),
        _ => Err(SettingsError::NoSuch(name.to_owned())),
    }
}

fn names() -> String {
    TABLE.map(|setting| setting.name).join(", ")
}

fn parsed<T: std::str::FromStr>(
    name: &'static str,
    value: &str,
    why: &str,
) -> Result<T, SettingsError> {
    value.parse().map_err(|_| SettingsError::Bad {
        name,
        value: value.to_owned(),
        why: why.to_owned(),
    })
}

fn within<T>(
    name: &'static str,
    value: &str,
    range: std::ops::RangeInclusive<T>,
) -> Result<T, SettingsError>
where
    T: std::str::FromStr + PartialOrd + std::fmt::Display,
{
    let why = format!(
        "it should be a whole number from {} to {}",
        range.start(),
        range.end()
    );
    let number: T = parsed(name, value, &why)?;
    if !range.contains(&number) {
        return Err(SettingsError::Bad {
            name,
            value: value.to_owned(),
            why,
        });
    }
    Ok(number)
}

/// Letters to change, add or drop between two names (Levenshtein 1966).
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let change = diagonal + usize::from(x != *y);
            diagonal = row[j + 1];
            row[j + 1] = change.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}
