//! A site of its own for each test: a real database file copied from one migrated template, the
//! real router, a clock that stands still until told. Actors read like the bank.

pub mod crawl;
pub mod days;
pub mod fishing;
pub mod pages;
pub mod planted;
mod planted_rows;
pub mod record;
pub mod reports;

use std::{
    path::Path,
    sync::{
        Arc, OnceLock,
        atomic::{AtomicI64, Ordering},
    },
};

use axum::{
    Router,
    body::Body,
    http::{Method, Request, StatusCode, header},
};
use http_body_util::BodyExt;
use peglore::{
    actions::{By, accounts, one_time_links, sign_in::SignInAnswer},
    domain::{accounts::Role, dates::Instant},
    settings::Settings,
    store::{self, Db},
    web::{
        self,
        state::{Clock, Site},
    },
};
use tempfile::TempDir;
use tower::ServiceExt;

/// Saturday 14 November 2026, 12:00 UTC.
pub const NOON: i64 = 1_794_657_600;

pub struct TestSite {
    pub site: Site,
    pub router: Router,
    clock: Arc<AtomicI64>,
    _folder: TempDir,
}

/// Somebody with a browser: signed in, or not.
pub struct Actor {
    router: Router,
    cookie: Option<String>,
}

/// What came back.
pub struct Answer {
    pub status: StatusCode,
    pub location: Option<String>,
    pub headers: axum::http::HeaderMap,
    pub body: String,
}

impl TestSite {
    pub async fn new() -> Self {
        Self::with(Settings::default()).await
    }

    pub async fn with(settings: Settings) -> Self {
        let folder = TempDir::new().expect("a throw-away folder");
        std::fs::copy(template().await, folder.path().join(store::FILE_NAME))
            .expect("the template is there");
        let db = Db::open(folder.path())
            .await
            .expect("a fresh database opens");
        let clock = Arc::new(AtomicI64::new(NOON));
        let reads = clock.clone();
        let settings = Settings {
            password_memory_kib: 19_456,
            ..settings
        };
        let site = Site::new(
            db,
            settings,
            Clock::from(move || Instant(reads.load(Ordering::SeqCst))),
        );
        Self {
            router: web::site(site.clone()),
            site,
            clock,
            _folder: folder,
        }
    }

    /// Stops the site and starts it again over the same record.
    pub async fn restarted(self) -> Self {
        let settings = self.site.settings.clone();
        self.site.db.close().await;
        let db = Db::open(self._folder.path())
            .await
            .expect("the record opens again");
        let reads = self.clock.clone();
        let clock = Clock::from(move || Instant(reads.load(Ordering::SeqCst)));
        let site = Site::new(db, settings, clock);
        Self {
            router: web::site(site.clone()),
            site,
            clock: self.clock,
            _folder: self._folder,
        }
    }

    /// A browser that holds this cookie.
    pub fn browser(&self, cookie: impl Into<String>) -> Actor {
        Actor {
            router: self.router.clone(),
            cookie: Some(cookie.into()),
        }
    }

    pub fn pass(&self, seconds: i64) {
        self.clock.fetch_add(seconds, Ordering::SeqCst);
    }

    pub fn visitor(&self) -> Actor {
        Actor {
            router: self.router.clone(),
            cookie: None,
        }
    }

    /// A visitor of other pages than the site's own.
    pub fn visitor_of(&self, router: Router) -> Actor {
        Actor {
            router,
            cookie: None,
        }
    }

    pub async fn member(&self) -> Actor {
        self.somebody("Member", Role::Member).await
    }

    pub async fn other_member(&self) -> Actor {
        self.somebody("Other member", Role::Member).await
    }

    pub async fn organiser(&self) -> Actor {
        self.somebody("Organiser", Role::Organiser).await
    }

    pub async fn administrator(&self) -> Actor {
        self.somebody("Administrator", Role::Administrator).await
    }

    /// The address of an invite that nobody has opened yet.
    pub async fn invited(&self, name: &str, role: Role) -> String {
        let now = self.site.now();
        let (_, secret) = accounts::invite(&self.site.db, now, &By::CommandLine, name, role)
            .await
            .expect("the name is free");
        format!("/links/{secret}")
    }

    /// Makes an account and signs it in, without the cost of a password.
    pub async fn somebody(&self, name: &str, role: Role) -> Actor {
        let now = self.site.now();
        let (account, _) = accounts::invite(&self.site.db, now, &By::CommandLine, name, role)
            .await
            .expect("the name is free");
        let secret = one_time_links::demo_link(&self.site.db, now, account)
            .await
            .expect("a link");
        let answer = one_time_links::use_link(
            &self.site.db,
            &self.site.hasher,
            now,
            &secret,
            None,
            None,
            "a test",
        )
        .await
        .expect("the link works");
        let SignInAnswer::In { token, .. } = answer else {
            panic!("the link signs in");
        };
        Actor {
            router: self.router.clone(),
            cookie: Some(format!("peglore={token}")),
        }
    }
}

impl Actor {
    /// The cookie that signs this browser in; empty for a visitor.
    pub fn cookie(&self) -> String {
        self.cookie.clone().unwrap_or_default()
    }

    pub async fn get(&self, path: &str) -> Answer {
        self.send(Method::GET, path, Vec::new(), "").await
    }

    /// Bytes that an address sends to a browser, which asks for it compressed: head and body.
    pub async fn weigh(&self, path: &str) -> usize {
        let mut request = Request::get(path).header(header::ACCEPT_ENCODING, "gzip");
        if let Some(cookie) = &self.cookie {
            request = request.header(header::COOKIE, cookie);
        }
        let request = request.body(Body::empty()).expect("a well-formed request");
        let router = self.router.clone();
        let response = router.oneshot(request).await.expect("it always answers");
        assert_eq!(response.status(), StatusCode::OK, "{path}");
        let lines = response.headers().iter();
        let head: usize = lines
            .map(|(name, value)| name.as_str().len() + value.len() + 4)
            .sum();
        let body = response.into_body().collect().await.expect("a whole body");
        head + body.to_bytes().len()
    }

    /// Sends a form as the page's own browser would.
    pub async fn submit(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let body: Vec<_> = fields
            .iter()
            .map(|(name, value)| {
                format!(
                    "{}={}",
                    web::links::escaped(name),
                    web::links::escaped(value)
                )
            })
            .collect();
        self.send(
            Method::POST,
            path,
            body.join("&").into_bytes(),
            "application/x-www-form-urlencoded",
        )
        .await
    }

    /// Sends a form with one file, as the page's own browser would.
    pub async fn upload(
        &self,
        path: &str,
        fields: &[(&str, &str)],
        file: (&str, &str, &[u8]),
    ) -> Answer {
        let (field, name, bytes) = file;
        let line = "----peglore-test-line";
        let mut body = Vec::new();
        for (name, value) in fields {
            body.extend(
                format!(
                    "--{line}\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n"
                )
                .as_bytes(),
            );
        }
        body.extend(format!("--{line}\r\nContent-Disposition: form-data; name=\"{field}\"; filename=\"{name}\"\r\nContent-Type: text/csv\r\n\r\n").as_bytes());
        body.extend(bytes);
        body.extend(format!("\r\n--{line}--\r\n").as_bytes());
        self.send(
            Method::POST,
            path,
            body,
            &format!("multipart/form-data; boundary={line}"),
        )
        .await
    }

    pub async fn send(&self, method: Method, path: &str, body: Vec<u8>, kind: &str) -> Answer {
        let mut request = Request::builder()
            .method(method)
            .uri(path)
            .header("sec-fetch-site", "same-origin");
        if !kind.is_empty() {
            request = request.header(header::CONTENT_TYPE, kind);
        }
        if let Some(cookie) = &self.cookie {
            request = request.header(header::COOKIE, cookie);
        }
        self.send_as_is(
            request
                .body(Body::from(body))
                .expect("a well-formed request"),
        )
        .await
    }

    /// Sends a request exactly as it was made, without this browser's headers.
    pub async fn send_as_is(&self, request: Request<Body>) -> Answer {
        let response = self
            .router
            .clone()
            .oneshot(request)
            .await
            .expect("the router always answers");
        let (parts, body) = response.into_parts();
        let bytes = body.collect().await.expect("a whole body").to_bytes();
        Answer {
            status: parts.status,
            location: parts
                .headers
                .get(header::LOCATION)
                .and_then(|v| v.to_str().ok())
                .map(str::to_owned),
            headers: parts.headers,
            body: String::from_utf8_lossy(&bytes).into_owned(),
        }
    }
}

impl Answer {
    /// The sign-in cookie that was set, as a browser sends it back.
    #[track_caller]
    pub fn signed_in(&self) -> String {
        self.headers
            .get_all(header::SET_COOKIE)
            .iter()
            .filter_map(|value| value.to_str().ok())
            .filter_map(|value| value.split(';').next())
            .find(|pair| pair.starts_with("peglore=") && pair.len() > 20)
            .expect("a sign-in cookie is set")
            .to_owned()
    }

    /// The page was shown.
    #[track_caller]
    pub fn shown(self) -> Self {
        assert_eq!(self.status, StatusCode::OK, "{}", self.body);
        self
    }

    /// The form was taken: the address it leads to.
    #[track_caller]
    pub fn taken(self) -> String {
        assert_eq!(self.status, StatusCode::SEE_OTHER, "{}", self.body);
        self.location.expect("a redirect says where")
    }

    /// The form came back with this sentence on it.
    #[track_caller]
    pub fn asks(self, sentence: &str) -> Self {
        assert_eq!(
            self.status,
            StatusCode::UNPROCESSABLE_ENTITY,
            "{}",
            self.body
        );
        assert!(
            self.body.contains(sentence),
            "no “{sentence}” in {}",
            self.body
        );
        self
    }

    #[track_caller]
    pub fn says(&self, words: &str) -> &Self {
        assert!(self.body.contains(words), "no “{words}” in {}", self.body);
        self
    }

    #[track_caller]
    pub fn does_not_say(&self, words: &str) -> &Self {
        assert!(!self.body.contains(words), "“{words}” is in {}", self.body);
        self
    }
}

/// One migrated database, made once for the whole run.
async fn template() -> &'static Path {
    static MADE: OnceLock<TempDir> = OnceLock::new();
    static MAKING: tokio::sync::Mutex<()> = tokio::sync::Mutex::const_new(());
    let _one_at_a_time = MAKING.lock().await;
    if MADE.get().is_none() {
        let folder = TempDir::new().expect("a throw-away folder");
        let db = Db::open(folder.path()).await.expect("migrations run");
        db.close().await;
        let _ = MADE.set(folder);
    }
    let folder = MADE.get().expect("just made");
    Box::leak(folder.path().join(store::FILE_NAME).into_boxed_path())
}
