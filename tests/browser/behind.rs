//! Pages of the demonstration that no link leads to before files are brought in: what the columns
//! of a sheet hold, who is meant, what would change, and where two sources of weather disagree.

use peglore::{domain::dates::Day, web::links::escaped};

use crate::crash::harness::http::{Browser, Reply, exchange};

/// A name in doubt, one that is new, a water that is not there, and a weight that is none.
const DOUBTFUL: &str = "Date,Match,Venue,Peg,Angler,Weight\n\
2019-01-05,Frost Cup 1,Quillet Water,14,Dot Hazelpach,12-8\n\
2019-01-05,Frost Cup 1,Quillet Water,15,Wyn Ashgrove,4-2\n\
2019-01-05,Frost Cup 1,Quillet Water,16,Ned Furrowby,oops\n\
2019-01-12,Frost Cup 2,Quilet,1,Jem Coppleway,7-0\n";
const PLAIN: &str = "Date,Match,Venue,Peg,Angler,Weight\n\
2019-01-19,Frost Cup 3,Quillet Water,1,Dot Hazelpatch,7-0\n";

/// What the columns of both hold, and what they leave out.
const SAID: [(&str, &str); 10] = [
    ("column-0", "date"),
    ("column-1", "match"),
    ("column-2", "venue"),
    ("column-3", "peg"),
    ("column-4", "angler"),
    ("column-5", "weight"),
    ("hours", "5"),
    ("group-carp", "on"),
    ("group-silvers", "on"),
    ("pegs_allotted", "bag"),
];

const SAID_OF_WEATHER: [(&str, &str); 7] = [
    ("act", "look"),
    ("whose", "new"),
    ("day_ends", "09:00"),
    ("credited", "yes"),
    ("col_0", "date"),
    ("col_1", "min-c"),
    ("col_2", "max-c"),
];

/// Lays one sheet out and saves another; the same with two files of weather that say otherwise
/// than the club. The addresses of their pages.
pub async fn files(browser: &Browser, today: Day) -> Vec<String> {
    let laid_out = sheet(browser, DOUBTFUL).await;
    let saved = sheet(browser, PLAIN).await;
    let done = led_to(browser, &saved, &[]).await;
    assert!(done.ends_with("?done=imported"), "{done}");

    let first = weather(browser, today, ("Harl Top", 30)).await;
    let page = browser.get(&first).await.expect("an answer").text();
    let seen = page.split("name=\"seen\" value=\"").nth(1);
    let seen = seen.and_then(|rest| rest.split('"').next());
    let save = [("act", "save"), ("seen", seen.expect("a save button"))];
    led_to(browser, &first, &save).await;
    let second = weather(browser, today, ("Harl Foot", 29)).await;

    vec![
        format!("{laid_out}/columns"),
        format!("{laid_out}/names"),
        laid_out,
        saved,
        first,
        second,
        "/venues/1/weather/conflicts".to_owned(),
    ]
}

/// A sheet whose columns are told: its page.
async fn sheet(browser: &Browser, text: &str) -> String {
    let columns = upload(browser, "/imports/new", text).await;
    let page = columns.trim_end_matches("/columns").to_owned();
    led_to(browser, &columns, &SAID).await;
    page
}

/// A day as warm as this, and one that cannot be read, of a source of this name: the page of its file.
async fn weather(browser: &Browser, today: Day, (name, warm): (&str, i64)) -> String {
    let (one, two) = (today.plus(-4), today.plus(-3));
    let text = format!("date,min_c,max_c\n{one},-9,{warm}\n{two},-9,oops\n");
    let page = upload(browser, "/venues/1/weather/import", &text).await;
    let mut said = SAID_OF_WEATHER.to_vec();
    said.push(("new_name", name));
    led_to(browser, &page, &said).await;
    page
}

async fn led_to(browser: &Browser, path: &str, fields: &[(&str, &str)]) -> String {
    let pairs: Vec<_> = fields
        .iter()
        .map(|(name, value)| format!("{}={}", escaped(name), escaped(value)))
        .collect();
    let reply = browser.submit(path, &pairs.join("&")).await;
    taken(path, &reply.expect("an answer"))
}

/// Sends a file as a browser does (RFC 7578): where it leads to.
async fn upload(browser: &Browser, path: &str, text: &str) -> String {
    let body = format!(
        "--our-own-line\r\nContent-Disposition: form-data; name=\"kind\"\r\n\r\nresults\r\n\
         --our-own-line\r\nContent-Disposition: form-data; name=\"file\"; filename=\"old.csv\"\r\n\
         Content-Type: text/csv\r\n\r\n{text}\r\n--our-own-line--\r\n"
    );
    let request = format!(
        "POST {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nCookie: {}\r\nSec-Fetch-Site: same-origin\r\n\
         Content-Type: multipart/form-data; boundary=our-own-line\r\nContent-Length: {}\r\n\r\n{body}",
        browser.address,
        browser.cookie,
        body.len()
    );
    let reply = exchange(browser.address, request.as_bytes()).await;
    taken(path, &reply.expect("an answer"))
}

fn taken(path: &str, reply: &Reply) -> String {
    assert_eq!(reply.status, 303, "{path}: {}", reply.text());
    let to = reply.header("location").expect("a redirect says where");
    to.to_owned()
}
