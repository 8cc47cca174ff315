//! `peglore account`: accounts from the machine itself, for when nobody can sign in.

use std::path::Path;

use clap::Subcommand;

use super::{Ending, data_folder::DataFolder};
use crate::{
    actions::{By, accounts, one_time_links},
    domain::accounts::{Role, folded_name},
    settings::Settings,
    store,
    web::state::Clock,
};

#[derive(Subcommand)]
pub enum What {
    /// List who can sign in, and as what.
    List,
    /// Make an account and print its invite, good for seven days.
    Invite {
        /// The sign-in name.
        name: String,
        /// What they may do: member (report), organiser (also matches and waters) or administrator (also people).
        #[arg(long, default_value = "member")]
        role: String,
    },
    /// Print a link with which somebody sets a new password, good for a day.
    Reset {
        /// The sign-in name.
        name: String,
    },
}

pub async fn run(data: &Path, what: What) -> Result<(), Ending> {
    let folder = DataFolder::with_record(data, "Committee, People who sign in")?;
    let now = Clock::system().now();
    let db = folder.open(now).await?;
    match what {
        What::List => {
            let accounts = store::accounts::all(&mut *db.read().await?).await?;
            if accounts.is_empty() {
                println!(
                    "Nobody can sign in yet. “account invite NAME --role administrator” invites the first."
                );
            }
            for account in accounts {
                let state = match (account.disabled, account.phc) {
                    (Some(_), _) => ", disabled",
                    (None, None) => ", invite not used yet",
                    (None, Some(_)) => "",
                };
                println!("{}: {}{state}", account.name, account.role);
            }
        }
        What::Invite { name, role } => {
            let role = Role::parse(&role).ok_or_else(|| {
                Ending::Sentence(format!(
                    "there is no role “{role}”; it is member, organiser or administrator"
                ))
            })?;
            let (_, secret) = accounts::invite(&db, now, &By::CommandLine, &name, role).await?;
            let what = format!("An invite for {}, {role}", name.trim());
            tell(&folder.settings, &what, "seven days", &secret);
        }
        What::Reset { name } => {
            let account =
                store::accounts::by_name_key(&mut *db.read().await?, &folded_name(&name)).await?;
            let account = account.ok_or_else(|| {
                Ending::Sentence(format!(
                    "nobody signs in as “{name}”; “account list” shows who does"
                ))
            })?;
            let secret =
                one_time_links::offer_reset(&db, now, &By::CommandLine, &account.pid).await?;
            let (what, lasts) = match account.phc {
                Some(_) => ("A link for a new password", "24 hours"),
                None => ("An invite", "seven days"),
            };
            let what = format!("{what} for {}", account.name);
            tell(&folder.settings, &what, lasts, &secret);
        }
    }
    db.close().await;
    Ok(())
}

/// The link, whose it is and how long it lasts; and whether it opens anywhere else.
fn tell(settings: &Settings, what: &str, lasts: &str, secret: &str) {
    let site = settings.public_address.as_ref().map_or_else(
        || format!("http://{}", settings.listen),
        |public| format!("{}{}", public.origin, public.prefix),
    );
    println!("{what}. It works once, for {lasts}; hand it to nobody else:");
    println!("  {site}/links/{secret}");
    if settings.public_address.is_none() {
        println!(
            "It opens once the server runs. On other machines it may not open: the setting public_address is empty, so it begins with the address set here for this machine to listen on; a server started with another PEGLORE_LISTEN answers there instead. Replace {site} with the address that people type, or set public_address, and later links begin with it."
        );
    }
}
