//! From nothing to a signed-in administrator, as the manual says it; and the way back in from the
//! machine itself when nobody can sign in.

use std::{
    process::Command,
    time::{Duration, Instant},
};

use peglore::settings::Settings;
use tempfile::TempDir;

use super::harness::{
    http::{Browser, Reply},
    process::{self, Server, words},
};

/// The program with nothing set but a port that is free.
fn serve(data: &str) -> Server {
    let mut command = Command::new(env!("CARGO_BIN_EXE_peglore"));
    process::unset_settings(&mut command);
    command
        .env("PEGLORE_LISTEN", "127.0.0.1:0")
        .args(["serve", "--data", data]);
    Server::from(command)
}

fn visitor(server: &Server) -> Browser {
    Browser {
        address: server.address,
        cookie: String::new(),
    }
}

/// The path of the one-time link among what was printed.
fn link_in(printed: &str) -> Option<String> {
    let (_, rest) = printed.split_once("/links/")?;
    let secret = rest.split_whitespace().next()?;
    Some(format!("/links/{secret}"))
}

/// The browser that an answer signed in.
fn signed_in(server: &Server, reply: &Reply) -> Browser {
    let mut cookies = reply.head.lines().filter_map(|line| {
        let (name, value) = line.split_once(':')?;
        name.eq_ignore_ascii_case("set-cookie")
            .then(|| value.trim().split(';').next().unwrap_or(""))
    });
    let cookie = cookies.find(|pair| pair.starts_with("peglore="));
    Browser {
        address: server.address,
        cookie: cookie.expect("it signs in").to_owned(),
    }
}

async fn status(browser: &Browser, path: &str) -> u16 {
    browser.get(path).await.expect("an answer").status
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn from_no_folder_to_a_signed_in_administrator_within_a_minute() {
    let home = TempDir::new().expect("a throw-away folder");
    let data = home.path().join("club").to_string_lossy().into_owned();
    assert!(Settings::default().listen.ip().is_loopback());
    let began = Instant::now();

    let server = serve(&data);
    let link = link_in(&server.printed()).expect("the first start prints a link");
    let visitor_here = visitor(&server);
    assert_eq!(status(&visitor_here, "/committee/people").await, 401);
    // There is no account to guess at: nothing is let in by a name that others use.
    for name in ["admin", "administrator", "peglore", "root"] {
        let guess = format!("name={name}&password={name}");
        let guess = visitor_here.submit("/sign-in", &guess).await;
        assert_eq!(guess.expect("an answer").status, 401, "{name}");
    }
    let form = "name=Dot+Hazelpatch&password=wet+bank+cold+hands";
    let used = visitor_here.submit(&link, form).await.expect("an answer");
    assert_eq!(used.status, 303, "{}", used.text());
    let dot = signed_in(&server, &used);
    assert_eq!(status(&dot, "/committee/people").await, 200);
    let took = began.elapsed();
    assert!(took < Duration::from_secs(60), "{took:?}");

    // The link is spent, and later starts print none.
    assert_eq!(status(&visitor_here, &link).await, 404);
    assert!(server.terminate().0.success());
    let again = serve(&data);
    assert_eq!(link_in(&again.printed()), None, "{}", again.printed());
    assert!(again.terminate().0.success());
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_demonstration_lets_three_people_in_says_that_it_is_made_up_and_is_gone_when_stopped() {
    let place = TempDir::new().expect("a throw-away folder");
    let mut command = process::program();
    command.arg("demo").env("TMPDIR", place.path());
    let server = Server::from(command);
    assert!(server.address.ip().is_loopback());
    let kept = || std::fs::read_dir(place.path()).expect("there").count();
    assert_eq!(kept(), 1);

    let began = Instant::now();
    for (who, may) in [
        ("an angler", 403),
        ("an organiser", 403),
        ("an administrator", 200),
    ] {
        // The links are printed just after the address.
        let link = loop {
            let printed = server.printed();
            let line = printed.lines().find(|line| line.contains(who));
            if let Some(link) = line.and_then(link_in) {
                break link;
            }
            assert!(began.elapsed() < Duration::from_secs(10), "{printed}");
            tokio::time::sleep(Duration::from_millis(20)).await;
        };
        let used = visitor(&server).submit(&link, "").await;
        let person = signed_in(&server, &used.expect("an answer"));
        assert_eq!(status(&person, "/committee/people").await, may, "{who}");
        let again = visitor(&server).submit(&link, "").await;
        assert_eq!(again.expect("an answer").status, 404, "{who}");
        for page in ["/", "/venues", "/committee/people", "/no-such-page"] {
            let shown = person.get(page).await.expect("an answer").text();
            assert!(shown.contains("every figure are invented"), "{who}: {page}");
        }
    }
    assert!(server.terminate().0.success());
    assert_eq!(kept(), 0);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn whoever_forgot_the_password_is_let_in_from_the_machine_itself() {
    let home = TempDir::new().expect("a throw-away folder");
    let data = home.path().join("club").to_string_lossy().into_owned();
    let server = serve(&data);
    let link = link_in(&server.printed()).expect("the first start prints a link");
    let form = "name=Dot+Hazelpatch&password=wet+bank+cold+hands";
    let used = visitor(&server).submit(&link, form).await;
    let before = signed_in(&server, &used.expect("an answer"));
    assert!(server.terminate().0.success());

    let reset = process::run(&["account", "--data", &data, "reset", "dot hazelpatch"]);
    assert!(reset.status.success(), "{}", words(&reset.stderr));
    let told = words(&reset.stdout);
    assert!(
        told.contains("for Dot Hazelpatch. It works once, for 24 hours"),
        "{told}"
    );
    let link = link_in(&told).expect("it prints a link");
    let server = serve(&data);
    let form = "password=kettle+lantern+plum";
    let used = visitor(&server).submit(&link, form).await;
    let used = used.expect("an answer");
    assert_eq!(used.status, 303, "{}", used.text());

    let dot = signed_in(&server, &used);
    assert_eq!(status(&dot, "/committee/people").await, 200);
    // Whoever held the old sign-in is out.
    let before = Browser {
        address: server.address,
        ..before
    };
    assert_eq!(status(&before, "/account").await, 401);
}
