//! `peglore account`: accounts from the machine itself, for when nobody can sign in.

use std::path::Path;

use clap::Subcommand;

use super::{Ending, data_folder::DataFolder};
use crate::{
    actions::{By, accounts, one_time_links},
    domain::accounts::{Role, folded_name},
    store,
    web::state::Clock,
};

#[derive(Subcommand)]
pub enum What {
    /// List the accounts.
    List,
    /// Make an account and print its invite, good for seven days.
    Invite {
        /// The sign-in name.
        name: String,
        /// member, organiser or administrator.
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
    let folder = DataFolder::with_record(data)?;
    let now = Clock::system().now();
    let db = folder.open(now).await?;
    let site = folder.settings.public_address.as_ref().map_or_else(
        || format!("http://{}", folder.settings.listen),
        |public| format!("{}{}", public.origin, public.prefix),
    );
    match what {
        What::List => {
            for account in store::accounts::all(&mut *db.read().await?).await? {
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
            println!("{site}/links/{secret}");
        }
        What::Reset { name } => {
            let account =
                store::accounts::by_name_key(&mut *db.read().await?, &folded_name(&name)).await?;
            let account = account.ok_or_else(|| {
                Ending::Sentence(format!(
                    "nobody signs in as “{name}”; “account list” shows who does"
                ))
            })?;
            println!(
                "{site}/links/{}",
                one_time_links::offer_reset(&db, now, &By::CommandLine, &account.pid).await?
            );
        }
    }
    db.close().await;
    Ok(())
}
