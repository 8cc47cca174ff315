//! Letters twice as large, on phones: words and figures stand whole.

use super::{
    chrome::{Chrome, Script},
    pages::{complaints, demonstration, signed_in},
};

/// Words of headings and small tables that letters twice as large break over two lines, and cells
/// narrower than what they say.
const BROKEN: &str = "
const root = document.documentElement, found = new Set(), word = document.createRange();
for (const cell of document.querySelectorAll('.grid td')) {
  if (cell.scrollWidth > cell.clientWidth) found.add('too narrow for ' + cell.dataset.says);
}
document.querySelectorAll('.run-up details').forEach(one => one.open = true);
root.style.setProperty('font-size', '36px');
if (root.scrollWidth > innerWidth) found.add('the page is ' + root.scrollWidth + ' px wide');
for (const part of document.querySelectorAll('h1, .days tbody, #where ~ table')) {
  const walk = document.createTreeWalker(part, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) for (const one of walk.currentNode.data.matchAll(/\\p{L}+/gu)) {
    if (walk.currentNode.parentElement.closest('thead')) continue;
    word.setStart(walk.currentNode, one.index);
    word.setEnd(walk.currentNode, one.index + one[0].length);
    if (new Set([...word.getClientRects()].map(line => Math.round(line.top))).size > 1) found.add(one[0]);
  }
}
return [...found];";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn large_letters_break_no_word_of_a_heading_or_a_small_table() {
    let (server, link) = demonstration().await;
    let chrome = Chrome::open(Script::On).await;
    signed_in(&chrome, &server, &link).await;
    let mut wrong = Vec::new();
    for address in ["/venues/1/like-days", "/venues/1/weather", "/account"] {
        for width in [390, 320] {
            chrome.size(width, 844).await;
            chrome
                .goto(&format!("http://{}{address}", server.address))
                .await;
            let found = complaints(&chrome, BROKEN).await;
            wrong.extend(
                found
                    .iter()
                    .map(|what| format!("{address} {width}: {what}")),
            );
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
