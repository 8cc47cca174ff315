//! A real browser of phone size, driven by the WebDriver protocol. Dropping it ends it.

use std::{
    io::{BufRead, BufReader, Read, Write},
    net::{SocketAddr, TcpStream},
    process::{Child, Command, Stdio},
    time::{Duration, Instant},
};

use fantoccini::{Client, ClientBuilder, Locator, elements::Element, error::CmdError};
use hyper_util::client::legacy::connect::HttpConnector;
use rustix::process::{Pid, Signal, kill_process};
use serde_json::{Value, json};
use tempfile::TempDir;
use tokio::sync::{Semaphore, SemaphorePermit};

use crate::crash::harness::{http, process::ended_within};

/// How long a page may take to come, and how long between two looks at it.
const PATIENCE: Duration = Duration::from_secs(10);
const GLANCE: Duration = Duration::from_millis(50);

/// One browser at a time: two cores are soon busy.
static TURN: Semaphore = Semaphore::const_new(1);

/// May the pages run scripts?
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Script {
    On,
    Off,
}

pub struct Chrome {
    pub client: Client,
    driver: Child,
    address: SocketAddr,
    session: String,
    pub(super) profile: TempDir,
    _turn: SemaphorePermit<'static>,
}

impl Chrome {
    /// A fresh browser, 390 by 844.
    pub async fn open(script: Script) -> Self {
        let turn = TURN.acquire().await.expect("never closed");
        let profile = TempDir::new().expect("a throw-away folder");
        let (mut driver, address) = driver();
        let client = client(address, &profile, script).await;
        if client.is_none() {
            let _ = driver.kill();
        }
        let client = client.expect("chromium starts: tests/run installs it");
        let session = client
            .session_id()
            .await
            .expect("an answer")
            .expect("a session");
        let chrome = Self {
            client,
            driver,
            address,
            session,
            profile,
            _turn: turn,
        };
        chrome.size(390, 844).await;
        chrome
    }

    /// The page as wide and as high as a phone's.
    pub async fn size(&self, width: u32, height: u32) {
        self.devtools(
            "Emulation.setDeviceMetricsOverride",
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": true }),
        )
        .await;
    }

    /// The reader's own choice of colours: "light" or "dark".
    pub async fn scheme(&self, name: &str) {
        self.media(&[("prefers-color-scheme", name)]).await;
    }

    /// The reader's system chooses every colour, in its own light or dark ones.
    pub async fn forced_colours(&self, scheme: &str) {
        let wanted = [
            ("forced-colors", "active"),
            ("prefers-color-scheme", scheme),
        ];
        self.media(&wanted).await;
    }

    async fn media(&self, features: &[(&str, &str)]) {
        let features: Vec<_> = features
            .iter()
            .map(|(name, value)| json!({ "name": name, "value": value }))
            .collect();
        self.devtools(
            "Emulation.setEmulatedMedia",
            json!({ "features": features }),
        )
        .await;
    }

    async fn devtools(&self, command: &str, parameters: Value) {
        self.post(
            "goog/cdp/execute",
            &json!({ "cmd": command, "params": parameters }),
        )
        .await;
    }

    /// What the browser logged of its network since the last call: a method and its parameters each.
    pub async fn network(&self) -> Vec<Value> {
        let entries = self.post("se/log", &json!({ "type": "performance" })).await;
        let entries = entries.as_array().cloned().unwrap_or_default();
        entries
            .iter()
            .filter_map(|entry| serde_json::from_str(entry["message"].as_str()?).ok())
            .map(|event: Value| event["message"].clone())
            .collect()
    }

    /// Every address asked for since the last call by a page of `origin`.
    pub async fn asked_for(&self, origin: &str) -> Vec<String> {
        let events = self.network().await;
        events
            .iter()
            .filter(|event| event["method"] == "Network.requestWillBeSent")
            .map(|event| event["params"].clone())
            .filter(|sent| {
                sent["documentURL"]
                    .as_str()
                    .is_some_and(|by| by.starts_with(origin))
            })
            .filter_map(|sent| sent["request"]["url"].as_str().map(str::to_owned))
            .collect()
    }

    /// What pages tried since the last call that their content security policy forbids.
    pub async fn offences(&self) -> Vec<String> {
        let entries = self.post("se/log", &json!({ "type": "browser" })).await;
        let entries = entries.as_array().cloned().unwrap_or_default();
        entries
            .iter()
            .filter_map(|entry| entry["message"].as_str())
            .filter(|message| message.contains("Content Security Policy"))
            .map(str::to_owned)
            .collect()
    }

    /// Gives the browser a cookie, `name=value`, at the site whose page is open.
    pub async fn keep_cookie(&self, pair: &str) {
        let (name, value) = pair.split_once('=').expect("a name and a value");
        let cookie = json!({ "cookie": { "name": name, "value": value, "path": "/" } });
        self.post("cookie", &cookie).await;
    }

    async fn post(&self, command: &str, body: &Value) -> Value {
        let body = body.to_string();
        let request = format!(
            "POST /session/{}/{command} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            self.session,
            self.address,
            body.len()
        );
        let reply = http::exchange(self.address, request.as_bytes()).await;
        let reply = reply.expect("the driver answers");
        assert_eq!(reply.status, 200, "{command}: {}", reply.text());
        let answer: Value = serde_json::from_slice(&reply.body).expect("JSON");
        answer["value"].clone()
    }

    pub async fn goto(&self, address: &str) {
        self.client.goto(address).await.expect("the page loads");
    }

    /// A cookie of this browser, as it sends it.
    pub async fn cookie(&self, name: &str) -> String {
        let cookie = self.client.get_named_cookie(name).await;
        let cookie = cookie.expect("the cookie is there");
        format!("{name}={}", cookie.value())
    }

    /// Waits a little for what the locator names: a page may still be on its way.
    async fn found(&self, locator: Locator<'_>) -> Result<Element, CmdError> {
        let wait = self.client.wait().at_most(PATIENCE);
        wait.every(GLANCE).for_element(locator).await
    }

    pub async fn find(&self, css: &str) -> Element {
        match self.found(Locator::Css(css)).await {
            Ok(element) => element,
            Err(e) => panic!(
                "no {css} on {}: {e}\n{}",
                self.here().await,
                self.words().await
            ),
        }
    }

    /// A link by the words on it.
    pub async fn link(&self, words: &str) -> Element {
        match self.found(Locator::LinkText(words)).await {
            Ok(element) => element,
            Err(e) => panic!(
                "no link “{words}” on {}: {e}\n{}",
                self.here().await,
                self.words().await
            ),
        }
    }

    pub async fn tap(&self, css: &str) {
        self.find(css)
            .await
            .click()
            .await
            .unwrap_or_else(|e| panic!("{css}: {e}"));
    }

    pub async fn tap_link(&self, words: &str) {
        self.link(words)
            .await
            .click()
            .await
            .unwrap_or_else(|e| panic!("{words}: {e}"));
    }

    /// Types over what a field holds.
    pub async fn write(&self, name: &str, text: &str) {
        let field = self.find(&format!("[name=\"{name}\"]")).await;
        field.clear().await.expect("it can be emptied");
        field.send_keys(text).await.expect("it can be typed into");
    }

    /// Sets a date or a time, whose keys differ from one country's phone to the next.
    pub async fn set(&self, name: &str, value: &str) {
        self.client
            .execute(
                "document.getElementsByName(arguments[0])[0].value = arguments[1]",
                vec![json!(name), json!(value)],
            )
            .await
            .expect("the field is there");
    }

    pub async fn choose(&self, name: &str, value: &str) {
        self.find(&format!("select[name=\"{name}\"]"))
            .await
            .select_by_value(value)
            .await
            .unwrap_or_else(|e| panic!("{name} has no {value}: {e}"));
    }

    pub async fn here(&self) -> String {
        self.client.current_url().await.expect("a page").to_string()
    }

    /// What the page says; nothing while it is being left for another.
    pub async fn words(&self) -> String {
        match self.client.find(Locator::Css("body")).await {
            Ok(body) => body.text().await.unwrap_or_default(),
            Err(_) => String::new(),
        }
    }

    /// Waits a little for the page that says so.
    pub async fn says(&self, words: &str) {
        let until = Instant::now() + PATIENCE;
        loop {
            let page = self.words().await;
            if page.contains(words) {
                return;
            }
            assert!(
                Instant::now() < until,
                "no “{words}” on {} with {}:\n{page}",
                self.here().await,
                self.cookies().await
            );
            tokio::time::sleep(GLANCE).await;
        }
    }

    /// Waits a little for the page whose path, without what is asked of it, is `wanted`. What stands
    /// on the page before as well can only be looked for once this has come.
    pub async fn arrives(&self, wanted: impl Fn(&str) -> bool) {
        let until = Instant::now() + PATIENCE;
        loop {
            let here = self.here().await;
            if wanted(here.split(['?', '#']).next().unwrap_or_default()) {
                return;
            }
            assert!(
                Instant::now() < until,
                "still on {here}:\n{}",
                self.words().await
            );
            tokio::time::sleep(GLANCE).await;
        }
    }

    /// The names of the cookies that the browser would send here.
    async fn cookies(&self) -> String {
        match self.client.get_all_cookies().await {
            Ok(kept) if kept.is_empty() => "no cookie".to_owned(),
            Ok(kept) => (kept.iter().map(|cookie| cookie.name()))
                .collect::<Vec<_>>()
                .join(", "),
            Err(error) => format!("cookies unread: {error}"),
        }
    }

    /// Runs a script of ours in the page, whatever the page may run itself.
    pub async fn run(&self, script: &str, arguments: Vec<Value>) -> Value {
        self.client
            .execute(script, arguments)
            .await
            .expect("our script runs")
    }
}

impl Chrome {
    /// Ends the browser; the driver has done so when it answers.
    fn close(&self) -> std::io::Result<()> {
        let mut stream = TcpStream::connect(self.address)?;
        stream.set_read_timeout(Some(PATIENCE))?;
        let request = format!(
            "DELETE /session/{} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n",
            self.session, self.address
        );
        stream.write_all(request.as_bytes())?;
        stream.read_to_end(&mut Vec::new()).map(drop)
    }
}

impl Drop for Chrome {
    fn drop(&mut self) {
        // Told to stop, the driver may leave its browser behind, so that is closed first.
        if let Err(e) = self.close() {
            eprintln!("chromium: {e}");
        }
        let _ = kill_process(Pid::from_child(&self.driver), Signal::TERM);
        if ended_within(&mut self.driver, Duration::from_secs(5)).is_none() {
            let _ = self.driver.kill();
            let _ = self.driver.wait();
        }
    }
}

/// chromedriver on a port of its own choice.
fn driver() -> (Child, SocketAddr) {
    let mut driver = Command::new("chromedriver")
        .arg("--port=0")
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("chromedriver is installed: tests/run installs it");
    let mut lines = BufReader::new(driver.stdout.take().expect("piped")).lines();
    let port = lines
        .by_ref()
        .map_while(Result::ok)
        .find_map(|line| {
            let (_, port) = line.split_once("started successfully on port ")?;
            port.trim_end_matches('.').parse().ok()
        })
        .expect("chromedriver says where it answers");
    // It must never wait for somebody to read on.
    std::thread::spawn(move || lines.map_while(Result::ok).for_each(drop));
    (driver, SocketAddr::from(([127, 0, 0, 1], port)))
}

async fn client(address: SocketAddr, profile: &TempDir, script: Script) -> Option<Client> {
    let mut options = json!({
        "args": [
            "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
            "--disable-background-networking", "--disable-component-update", "--disable-sync",
            format!("--user-data-dir={}", profile.path().display()),
        ],
    });
    if script == Script::Off {
        options["prefs"] = json!({ "profile.managed_default_content_settings.javascript": 2 });
    }
    let wanted = json!({
        "browserName": "chrome",
        "goog:chromeOptions": options,
        "goog:loggingPrefs": { "performance": "ALL", "browser": "ALL" },
    });
    let wanted = wanted.as_object().expect("made as one").clone();
    let made = ClientBuilder::new(HttpConnector::new())
        .capabilities(wanted)
        .connect(&format!("http://{address}"))
        .await;
    made.inspect_err(|e| eprintln!("chromium: {e}")).ok()
}
