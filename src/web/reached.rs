//! The address by which a browser reached the site, for links that are copied and handed on.

use std::{
    convert::Infallible,
    net::{IpAddr, SocketAddr},
};

use axum::{
    extract::{ConnectInfo, FromRequestParts},
    http::{HeaderMap, HeaderName, header, request::Parts, uri::Authority},
};

use super::state::Site;
use crate::settings::Settings;

/// `https://example.org/club`: the setting `public_address`, or else what was asked for; empty
/// where the request does not name its host, or a proxy names only its own way to this program.
pub struct Reached(pub String);

impl Reached {
    /// Does it open on this very machine and nowhere else?
    pub fn is_only_here(&self) -> bool {
        let host = self.0.split_once("://");
        host.is_some_and(|(_, host)| is_loopback(host))
    }
}

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
        Some(host) if is_loopback(&host) && through_proxy(settings, peer, headers) => String::new(),
        Some(host) => format!("{}://{host}", scheme(settings, peer, headers, &host)),
        None => String::new(),
    }
}

/// An address that means this very machine, with its port or without: reached by it through a
/// proxy, it is the proxy's own way here and no use to anybody else.
fn is_loopback(host: &str) -> bool {
    let Ok(authority) = host.parse::<Authority>() else {
        return false;
    };
    let name = authority.host().trim_matches(['[', ']']);
    name == "localhost"
        || name.ends_with(".localhost")
        || name.parse().is_ok_and(|ip: IpAddr| ip.is_loopback())
}

/// Did a proxy hand this on? A listed one, or whatever adds the headers that proxies add.
fn through_proxy(settings: &Settings, peer: Option<SocketAddr>, headers: &HeaderMap) -> bool {
    let says =
        |name: &HeaderName| *name == header::FORWARDED || name.as_str().starts_with("x-forwarded-");
    listed(settings, peer) || headers.keys().any(says)
}

fn listed(settings: &Settings, peer: Option<SocketAddr>) -> bool {
    peer.is_some_and(|peer| settings.trusted_proxies.contains(&peer.ip()))
}

/// The site itself speaks plain http. That it was reached by https, a listed proxy may say, or
/// the browser in its `Origin`.
fn scheme(
    settings: &Settings,
    peer: Option<SocketAddr>,
    headers: &HeaderMap,
    host: &str,
) -> &'static str {
    let told = one(headers, "x-forwarded-proto").filter(|_| listed(settings, peer));
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

    #[test]
    fn an_address_of_this_machine_is_told_from_one_that_others_reach() {
        for here in [
            "http://127.0.0.1:8103",
            "http://localhost",
            "http://[::1]:8080",
        ] {
            assert!(Reached(here.to_owned()).is_only_here(), "{here}");
        }
        for elsewhere in ["http://bank.example:8080", "http://192.0.2.7", ""] {
            assert!(!Reached(elsewhere.to_owned()).is_only_here(), "{elsewhere}");
        }
    }

    #[test]
    fn a_proxy_that_asks_by_its_own_way_here_gives_no_address() {
        let none = Settings::default();
        let proxy = SocketAddr::from(([127, 0, 0, 1], 40_000));
        let listed = Settings {
            trusted_proxies: vec![proxy.ip()],
            ..Settings::default()
        };
        for own in ["127.0.0.1:8080", "localhost", "LOCALHOST:80", "[::1]:8080"] {
            let bare = headers(&[("host", own)]);
            assert_eq!(reached(&listed, Some(proxy), &bare), "", "{own}");
            let alone = format!("http://{}", own.to_lowercase());
            assert_eq!(reached(&none, Some(proxy), &bare), alone);
            for added in ["x-forwarded-for", "x-forwarded-host", "forwarded"] {
                let through = headers(&[("host", own), (added, "for=192.0.2.7")]);
                assert_eq!(reached(&none, Some(proxy), &through), "", "{own} {added}");
            }
        }
        let named = headers(&[("host", "bank.example"), ("x-forwarded-for", "192.0.2.7")]);
        assert_eq!(reached(&listed, Some(proxy), &named), "http://bank.example");
    }
}
