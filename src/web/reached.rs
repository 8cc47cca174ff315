//! The address by which a browser reached the site, for links that are copied and handed on.

use std::{convert::Infallible, net::SocketAddr};

use axum::{
    extract::{ConnectInfo, FromRequestParts},
    http::{HeaderMap, header, request::Parts, uri::Authority},
};

use super::state::Site;
use crate::settings::Settings;

/// `https://example.org/club`: the setting `public_address`, or else what was asked for; empty
/// where the request does not name its host.
pub struct Reached(pub String);

impl FromRequestParts<Site> for Reached {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, site: &Site) -> Result<Self, Infallible> {
        let peer = parts.extensions.get::<ConnectInfo<SocketAddr>>();
        let peer = peer.map(|info| info.0);
        Ok(Self(reached(&site.settings, peer, &parts.headers)))
    }
}

fn reached(settings: &Settings, peer: Option<SocketAddr>, headers: &HeaderMap) -> String {
    if let Some(public) = &settings.public_address {
        return format!("{}{}", public.origin, public.prefix);
    }
    match one(headers, header::HOST.as_str()).and_then(plain_host) {
        Some(host) => format!("{}://{host}", scheme(settings, peer, headers, &host)),
        None => String::new(),
    }
}

/// The site itself speaks plain http. That it was reached by https, a listed proxy may say, or
/// the browser in its `Origin`.
fn scheme(
    settings: &Settings,
    peer: Option<SocketAddr>,
    headers: &HeaderMap,
    host: &str,
) -> &'static str {
    let listed = peer.is_some_and(|peer| settings.trusted_proxies.contains(&peer.ip()));
    let told = one(headers, "x-forwarded-proto").filter(|_| listed);
    let secure = match told {
        Some(told) => told.trim().eq_ignore_ascii_case("https"),
        None => one(headers, header::ORIGIN.as_str())
            .is_some_and(|origin| origin.eq_ignore_ascii_case(&format!("https://{host}"))),
    };
    if secure { "https" } else { "http" }
}

/// A header that is there exactly once.
fn one<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    let mut values = headers.get_all(name).iter();
    let first = values.next()?.to_str().ok()?;
    values.next().is_none().then_some(first)
}

/// A host with its port and nothing else, lower case.
fn plain_host(text: &str) -> Option<String> {
    let host: Authority = text.parse().ok()?;
    let plain = |c: char| c.is_ascii_alphanumeric() || ".-:[]".contains(c);
    host.as_str()
        .chars()
        .all(plain)
        .then(|| host.as_str().to_ascii_lowercase())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::PublicAddress;

    fn headers(pairs: &[(&'static str, &'static str)]) -> HeaderMap {
        let mut headers = HeaderMap::new();
        for (name, value) in pairs {
            headers.append(*name, value.parse().expect("plain"));
        }
        headers
    }

    #[test]
    fn the_address_is_the_setting_or_else_the_host_that_was_asked_for() {
        let none = Settings::default();
        let asked = headers(&[("host", "Bank.example:8080")]);
        assert_eq!(reached(&none, None, &asked), "http://bank.example:8080");
        let public = PublicAddress::parse("https://club.example/pegs").expect("an address");
        let set = Settings {
            public_address: Some(public),
            ..Settings::default()
        };
        assert_eq!(reached(&set, None, &asked), "https://club.example/pegs");
        for odd in ["", "me@bank.example", "bank.example/x", "bank\"><b>", "a b"] {
            let headers = headers(&[("host", odd)]);
            assert_eq!(reached(&none, None, &headers), "", "{odd:?}");
        }
        let twice = headers(&[("host", "a.example"), ("host", "b.example")]);
        assert_eq!(reached(&none, None, &twice), "");
    }

    #[test]
    fn https_is_believed_of_a_listed_proxy_or_the_browsers_own_origin() {
        let proxy = SocketAddr::from(([10, 0, 0, 1], 80));
        let listed = Settings {
            trusted_proxies: vec![proxy.ip()],
            ..Settings::default()
        };
        let told = headers(&[("host", "bank.example"), ("x-forwarded-proto", "https")]);
        assert_eq!(reached(&listed, Some(proxy), &told), "https://bank.example");
        assert_eq!(
            reached(&Settings::default(), Some(proxy), &told),
            "http://bank.example"
        );
        let origin = headers(&[("host", "bank.example"), ("origin", "https://bank.example")]);
        assert_eq!(
            reached(&Settings::default(), None, &origin),
            "https://bank.example"
        );
        let other = headers(&[("host", "bank.example"), ("origin", "https://else.example")]);
        assert_eq!(
            reached(&Settings::default(), None, &other),
            "http://bank.example"
        );
    }
}
