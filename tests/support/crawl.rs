//! Every page a reader can reach: what the routes' own table offers, filled with records that are
//! there, and every link on those pages.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use axum::http::{Method, StatusCode};
use peglore::web::routes;

use super::{Actor, Answer, pages::links_of};

/// Pages read of one path: further ones differ by what stands behind the question mark.
const EACH: usize = 4;

/// What stands in the braces of the routes' addresses.
pub type Places<'a> = &'a [(&'a str, &'a str)];

/// The address of a route with `places` filled in.
pub fn filled(path: &str, places: Places<'_>) -> String {
    path.split('/')
        .map(|part| {
            let named = part.strip_prefix('{').and_then(|rest| rest.split_once('}'));
            match named {
                Some((name, after)) => {
                    let known = places.iter().find(|(place, _)| *place == name);
                    format!("{}{after}", known.map_or("1", |(_, value)| value))
                }
                None => part.to_owned(),
            }
        })
        .collect::<Vec<_>>()
        .join("/")
}

/// Every answer that `actor` gets, by address.
pub async fn crawl(actor: &Actor, places: Places<'_>) -> BTreeMap<String, Answer> {
    crawl_after(actor, places, async || {}).await
}

/// The same, with something done before each page is asked for.
pub async fn crawl_after(
    actor: &Actor,
    places: Places<'_>,
    before: impl AsyncFn(),
) -> BTreeMap<String, Answer> {
    let mut waiting: VecDeque<String> = routes::table()
        .iter()
        .filter(|route| route.method == Method::GET && !route.path.starts_with("/static"))
        .map(|route| filled(route.path, places))
        .collect();
    let mut seen: BTreeSet<String> = waiting.iter().cloned().collect();
    let mut of_path: BTreeMap<String, usize> = BTreeMap::new();
    let mut answers = BTreeMap::new();
    while let Some(address) = waiting.pop_front() {
        before().await;
        let answer = actor.get(&address).await;
        if answer.status == StatusCode::OK {
            for link in links_of(&answer.body) {
                let path = link.split('?').next().unwrap_or_default();
                let so_far = of_path.entry(path.to_owned()).or_default();
                if *so_far < EACH && seen.insert(link.clone()) {
                    *so_far += 1;
                    waiting.push_back(link);
                }
            }
        }
        answers.insert(address, answer);
    }
    answers
}
