//! Who is asking. The guard in front of every route looks the sign-in up once; handlers take
//! what it found through these extractors.

use std::net::{IpAddr, SocketAddr};

use axum::{
    extract::{ConnectInfo, FromRequestParts, Request, State},
    http::{Extensions, HeaderMap, Method, StatusCode, request::Parts},
    middleware::Next,
    response::{IntoResponse, Response},
};
use axum_extra::extract::CookieJar;

use super::{accounts::sign_in, errors::PageError, state::Site};
use crate::{
    actions::{By, sign_in as signing_in, tokens},
    domain::{accounts::Who, units::Units},
    settings::Settings,
    store::{marks::SettingsMark, sign_ins::SignedIn},
};

const HOUR: i64 = 3_600;
/// A sign-in unused for so long is over.
const IDLE: i64 = 30 * 24 * HOUR;
/// Officers give the password again after so long.
const OFFICER_TRUST: i64 = 12 * HOUR;

/// Anybody, signed in or not.
#[derive(Clone, Debug, Default)]
pub struct Visitor {
    pub who: Option<SignedIn>,
    /// The word of a notice to show.
    pub notice: Option<String>,
    /// Under which mark the head of the page stands, where it was read already.
    pub settings: Option<SettingsMark>,
}

/// Somebody signed in, and the rest as a visitor has it. The guard has let them through.
#[derive(Clone, Debug)]
pub struct Member {
    pub who: SignedIn,
    pub notice: Option<String>,
    pub settings: Option<SettingsMark>,
}

impl Visitor {
    pub fn by(&self) -> Option<By> {
        self.who.as_ref().map(by)
    }

    /// How figures are shown to them.
    pub fn units(&self) -> Units {
        let who = self.who.as_ref();
        who.map_or_else(Units::default, |who| who.units)
    }

    pub fn is_officer(&self) -> bool {
        self.who.as_ref().is_some_and(|who| who.role.is_officer())
    }
}

impl Member {
    pub fn by(&self) -> By {
        by(&self.who)
    }

    /// The same person as a page's frame wants them.
    pub fn visitor(&self) -> Visitor {
        Visitor {
            who: Some(self.who.clone()),
            notice: self.notice.clone(),
            settings: self.settings,
        }
    }
}

fn by(who: &SignedIn) -> By {
    By::Account {
        id: who.account,
        pid: who.pid.clone(),
        role: who.role,
        angler: who.angler,
    }
}

impl<S: Send + Sync> FromRequestParts<S> for Visitor {
    type Rejection = PageError;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, PageError> {
        let found = parts.extensions.get::<Self>().cloned();
        found.ok_or_else(|| PageError::Fault("a route without its guard".into()))
    }
}

impl<S: Send + Sync> FromRequestParts<S> for Member {
    type Rejection = PageError;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, PageError> {
        let visitor = Visitor::from_request_parts(parts, state).await?;
        Ok(Self {
            who: visitor.who.ok_or(PageError::NotAllowed)?,
            notice: visitor.notice,
            settings: visitor.settings,
        })
    }
}

/// The name of a cookie: browsers keep `__Host-` and `__Secure-` cookies from being set over plain http.
pub fn cookie_name(settings: &Settings, word: &str) -> String {
    match (settings.https(), settings.prefix().is_empty()) {
        (true, true) => format!("__Host-{word}"),
        (true, false) => format!("__Secure-{word}"),
        (false, _) => word.to_owned(),
    }
}

/// Looks the sign-in up and leaves it for the handlers, whatever the route.
pub async fn recognise(
    State(site): State<Site>,
    jar: CookieJar,
    mut request: Request,
    next: Next,
) -> Response {
    let notice = request.uri().query().and_then(|query| {
        let word = query
            .split('&')
            .find_map(|pair| pair.strip_prefix("done="))?;
        Some(word.to_owned())
    });
    let found = match jar.get(&cookie_name(&site.settings, "peglore")) {
        Some(cookie) => match signed_in(&site, cookie.value()).await {
            Ok(found) => found,
            Err(error) => return error.into_response(),
        },
        None => None,
    };
    let (who, settings) = found.unzip();
    if let Some(who) = &who {
        note_address(&site, who, peer(request.extensions()).ip());
    }
    request.extensions_mut().insert(Visitor {
        who,
        notice,
        settings,
    });
    next.run(request).await
}

/// Remembers whether all come from one address, for as long as no listed proxy passes them on.
fn note_address(site: &Site, who: &SignedIn, peer: IpAddr) {
    if site.settings.trusted_proxies.contains(&peer) {
        site.addresses.forget();
    } else {
        site.addresses.note(who.account, peer, site.now());
    }
}

/// Who holds the token, with the mark of what the club has set.
async fn signed_in(
    site: &Site,
    token: &str,
) -> Result<Option<(SignedIn, SettingsMark)>, PageError> {
    let holder = site.answers.signed_in(site, tokens::hash(token)).await?;
    let now = site.now();
    let found = holder.as_ref().clone();
    let Some((who, settings)) = found.filter(|(who, _)| now.0 - who.last_seen.0 < IDLE) else {
        return Ok(None);
    };
    if now.0 - who.last_seen.0 > HOUR && !site.db.writing_stopped() {
        signing_in::seen(&site.db, now, who.sign_in).await?;
    }
    Ok(Some((who, settings)))
}

/// When an officer is asked for an old password again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asks {
    /// When the form arrives: it is kept on the page that asks.
    AtTheForm,
    /// Before the form is shown: it sends a file, which no page can keep.
    BeforeTheForm,
}

/// Lets through whom the route admits. A visitor is shown the sign-in page, which keeps what was
/// typed and gives it back afterwards; an officer whose password is old is asked for it first.
pub async fn guard(
    State((site, who, asks)): State<(Site, Who, Asks)>,
    request: Request,
    next: Next,
) -> Response {
    let Some(visitor) = request.extensions().get::<Visitor>().cloned() else {
        return PageError::Fault("a route without its guard".into()).into_response();
    };
    let role = visitor.who.as_ref().map(|signed_in| signed_in.role);
    if !who.admits(role) {
        return match role {
            None => sign_in::ask(&site, request, sign_in::Why::SignedOut)
                .await
                .unwrap_or_else(IntoResponse::into_response),
            Some(_) => PageError::NotAllowed.into_response(),
        };
    }
    let changes = !matches!(
        *request.method(),
        Method::GET | Method::HEAD | Method::OPTIONS
    );
    let stale = visitor
        .who
        .as_ref()
        .is_some_and(|signed_in| site.now().0 - signed_in.reauth.0 > OFFICER_TRUST);
    if who >= Who::Organiser && stale && (changes || asks == Asks::BeforeTheForm) {
        return sign_in::ask(&site, request, sign_in::Why::PasswordOld)
            .await
            .unwrap_or_else(IntoResponse::into_response);
    }
    next.run(request).await
}

/// The address asking, believed from a proxy only when that proxy is listed.
pub fn address(settings: &Settings, peer: SocketAddr, headers: &HeaderMap) -> IpAddr {
    if !settings.trusted_proxies.contains(&peer.ip()) {
        return peer.ip();
    }
    headers
        .get_all("x-forwarded-for")
        .iter()
        .filter_map(|value| value.to_str().ok())
        .flat_map(|value| value.split(','))
        .filter_map(|one| one.trim().parse().ok())
        .rfind(|one| !settings.trusted_proxies.contains(one))
        .unwrap_or(peer.ip())
}

/// Whoever is at the other end of the connection.
fn peer(extensions: &Extensions) -> SocketAddr {
    extensions
        .get::<ConnectInfo<SocketAddr>>()
        .map_or(SocketAddr::from(([127, 0, 0, 1], 0)), |info| info.0)
}

/// The address asking, as a handler takes it.
pub struct Address(pub IpAddr);

impl FromRequestParts<Site> for Address {
    type Rejection = (StatusCode, &'static str);

    async fn from_request_parts(parts: &mut Parts, site: &Site) -> Result<Self, Self::Rejection> {
        let peer = peer(&parts.extensions);
        Ok(Self(address(&site.settings, peer, &parts.headers)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_forwarded_address_is_believed_from_a_listed_proxy_only() {
        let mut headers = HeaderMap::new();
        headers.insert(
            "x-forwarded-for",
            "203.0.113.9, 10.0.0.2".parse().expect("plain"),
        );
        let peer = SocketAddr::from(([10, 0, 0, 1], 80));
        let nobody = Settings::default();
        let listed = Settings {
            trusted_proxies: vec![[10, 0, 0, 1].into(), [10, 0, 0, 2].into()],
            ..Settings::default()
        };
        assert_eq!(address(&nobody, peer, &headers), peer.ip());
        assert_eq!(
            address(&listed, peer, &headers),
            IpAddr::from([203, 0, 113, 9])
        );
    }
}
