//! All fits of the demonstration club, and the page of like days while they are made again.

use std::{
    path::Path,
    time::{Duration, Instant},
};

use peglore::{actions::keep_fits, domain::dates, store::Db};
use sqlx::{Connection, SqliteConnection, sqlite::SqliteConnectOptions};
use tempfile::TempDir;

use super::{child::Server, http::Client, reports, rounds::percentile, table::Table};

/// What is asked for: the page that reads the fits.
const PAGE: &str = "/venues/1/like-days";
/// Askings at rest.
const AT_REST: usize = 300;
/// Fits that have not begun by then never will.
const PATIENCE: Duration = Duration::from_secs(90);
/// A pause between two askings, so that the fits have a core to be made on.
const PAUSE: Duration = Duration::from_millis(5);

pub async fn measure(table: &mut Table) {
    let folder = TempDir::new().expect("a throw-away folder");
    let demo = Server::demo(folder.path(), "usual").await;
    let cookie = demo.sign_in(0).await;
    demo.stop();
    all(table, folder.path()).await;
    let server = Server::serve(folder.path()).await;
    let mut client = Client::connect(&server.address, &cookie)
        .await
        .expect("it answers");
    let mut rest = Vec::new();
    for _ in 0..AT_REST {
        rest.push(asked(&mut client).await);
    }
    let mut busy = while_fitting(&server, folder.path(), &cookie, &mut client).await;
    let words = |times: &mut Vec<f64>| {
        times.sort_by(f64::total_cmp);
        let (half, most) = (percentile(times, 0.5), percentile(times, 0.99));
        format!("{half:.1} and {most:.1} of {}", times.len())
    };
    table.note(
        "like days at rest, milliseconds to half of the answers and to 99 in 100",
        words(&mut rest),
    );
    table.note("the same while fits were made", words(&mut busy));
}

/// Makes every fit anew in this process.
async fn all(table: &mut Table, folder: &Path) {
    let mut connection = open(folder, false).await;
    sqlx::query("DELETE FROM fits")
        .execute(&mut connection)
        .await
        .expect("fits may be forgotten");
    connection.close().await.expect("it closes");
    let db = Db::open(folder).await.expect("the demonstration's file");
    let now = dates::Instant(jiff::Timestamp::now().as_second());
    let (begun, on_core) = (Instant::now(), processor_seconds());
    let round = keep_fits::refresh(&db, now).await.expect("fits are made");
    let (wall, core) = (begun.elapsed().as_secs_f64(), processor_seconds() - on_core);
    db.close().await;
    table.note(
        "fits of the demonstration club, and seconds by the clock on the wall",
        format!("{} in {wall:.1}, {} failed", round.made, round.failed),
    );
    table.aim(
        "all fits of the demonstration club, seconds of one core",
        format!("{core:.1}"),
        "under 20",
        core < 20.0 && round.made > 0 && round.failed == 0,
    );
}

async fn asked(client: &mut Client) -> f64 {
    let begun = Instant::now();
    let answer = client.get(PAGE).await.expect("it answers");
    assert_eq!(answer.status, 200, "{PAGE}");
    begun.elapsed().as_secs_f64() * 1e3
}

/// Reports once, so that fits go stale, and asks until they have been made again; milliseconds
/// of the answers that were asked for while one was being made.
async fn while_fitting(
    server: &Server,
    folder: &Path,
    cookie: &str,
    client: &mut Client,
) -> Vec<f64> {
    let peg = reports::pegs(server, "1").await.remove(0);
    let mut phone = Client::connect(&server.address, cookie)
        .await
        .expect("it answers");
    reports::send(&mut phone, &peg).await;
    let mut looking = open(folder, true).await;
    let begun = Instant::now();
    let mut times = Vec::new();
    while begun.elapsed() < PATIENCE {
        let states: (i64, i64) = sqlx::query_as(
            "SELECT COUNT(*) FILTER (WHERE attempt_state = 'running'),
                    COUNT(*) FILTER (WHERE attempt_state = 'wanted') FROM fits",
        )
        .fetch_one(&mut looking)
        .await
        .expect("fits can be read");
        let took = asked(client).await;
        match states {
            (0, 0) if !times.is_empty() => break,
            (0, _) => {}
            _ => times.push(took),
        }
        tokio::time::sleep(PAUSE).await;
    }
    assert!(!times.is_empty(), "no fit was made within {PATIENCE:?}");
    times
}

async fn open(folder: &Path, read_only: bool) -> SqliteConnection {
    let options = SqliteConnectOptions::new()
        .filename(folder.join(peglore::store::FILE_NAME))
        .busy_timeout(Duration::from_secs(5))
        .read_only(read_only);
    SqliteConnection::connect_with(&options)
        .await
        .expect("the demonstration's file")
}

/// Seconds of processor time this process has had, proc(5): hundredths in fields 14 and 15.
fn processor_seconds() -> f64 {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    // The second field is a name in brackets, which may hold spaces.
    let after = stat.rsplit(')').next().unwrap_or_default();
    let fields = after.split_whitespace().skip(11).take(2);
    fields
        .filter_map(|ticks| ticks.parse::<f64>().ok())
        .sum::<f64>()
        / 100.0
}
