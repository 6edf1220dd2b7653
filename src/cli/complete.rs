//! What a shell puts in at the Tab key: commands and options, and the shop's own names out of its database.

use std::ffi::{OsStr, OsString};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use clap_complete::engine::{ArgValueCompleter, CompletionCandidate};
use clap_complete::env::{Bash, EnvCompleter, Fish, Powershell, Zsh};

use crate::cli::args;
use crate::cli::context::database;
use crate::cli::environment::Environment;
use crate::shop::Shop;
use crate::shop::setup::Setup;
use crate::store::{Scope, Store};

/// The variable that a shell's script asks with: it names the shell.
pub(crate) const VARIABLE: &str = "TACKFREE_COMPLETE";

/// The shells there are scripts for.
pub(crate) const SHELLS: [&dyn EnvCompleter; 4] = [&Bash, &Zsh, &Fish, &Powershell];

/// Answers a shell's script: what can stand where the Tab key was pressed. Where nothing can be said it stays silent.
pub(crate) fn run(
    shell: &str,
    args: Vec<OsString>,
    environment: &Environment,
    out: &mut dyn Write,
) -> u8 {
    let words: Vec<OsString> = args.into_iter().skip_while(|word| word != "--").skip(1).collect();
    let Some(completer) = SHELLS.into_iter().find(|known| known.name() == shell) else { return 2 };
    let names =
        Arc::new(Names { database: asked_for(&words, environment), shell: shell.to_owned() });
    let mut command = with_names(args::command(), &names);
    match completer.write_complete(&mut command, words, Some(Path::new(".")), out) {
        Ok(()) => 0,
        Err(_) => 1,
    }
}

/// The database that the words typed so far mean.
fn asked_for(words: &[OsString], environment: &Environment) -> Option<PathBuf> {
    let apart = words.windows(2).find(|pair| pair[0] == "--db").map(|pair| pair[1].clone());
    let joined =
        || words.iter().find_map(|word| Some(word.to_str()?.strip_prefix("--db=")?.into()));
    database(apart.or_else(joined).as_deref(), environment).ok()
}

/// Every argument that takes a name of the shop's is given those names, by what it is called in the help.
fn with_names(command: clap::Command, names: &Arc<Names>) -> clap::Command {
    let command = command.mut_args(|arg| {
        let kind = arg.get_value_names().and_then(<[_]>::first);
        let Some(all) = kind.and_then(|kind| all_of(kind.as_str())) else { return arg };
        let names = Arc::clone(names);
        arg.add(ArgValueCompleter::new(move |typed: &OsStr| names.beginning_with(typed, all)))
    });
    command.mut_subcommands(|sub| with_names(sub, names))
}

struct Names {
    database: Option<PathBuf>,
    shell: String,
}

impl Names {
    fn beginning_with(&self, typed: &OsStr, all: AllOf) -> Vec<CompletionCandidate> {
        let typed = typed.to_string_lossy().replace(['"', '\'', '\\'], "").to_lowercase();
        let shop = self.shop().unwrap_or_default();
        let mut names = all(&shop);
        names.retain(|name| name.to_lowercase().starts_with(&typed));
        names.iter().map(|name| CompletionCandidate::new(self.quoted(name))).collect()
    }

    fn shop(&self) -> Option<Shop> {
        let database = self.database.as_deref().filter(|path| path.exists())?;
        Some(Store::open(database).ok()?.load(&Scope::Open).ok()?.shop)
    }

    /// As it is typed in that shell; zsh and fish quote by themselves.
    fn quoted(&self, name: &str) -> String {
        let plain = |c: char| c.is_alphanumeric() || "-_.".contains(c);
        match self.shell.as_str() {
            "bash" => {
                let escaped = |c| if plain(c) { vec![c] } else { vec!['\\', c] };
                name.chars().flat_map(escaped).collect()
            }
            "powershell" if !name.chars().all(plain) => format!("'{}'", name.replace('\'', "''")),
            _ => name.to_owned(),
        }
    }
}

/// All names of one kind.
type AllOf = fn(&Shop) -> Vec<String>;

/// The names for an argument, by what it is called in the help; none where it takes no name of the shop's.
fn all_of(kind: &str) -> Option<AllOf> {
    Some(match kind {
        "LOT" | "FROM" => lots,
        "BATCH" => batches,
        "CAN" => cans,
        "ABOUT" => |shop| [lots(shop), batches(shop), cans(shop)].concat(),
        "SHIPMENT" => |shop| shop.shipments.keys().map(ToString::to_string).collect(),
        "RACK" => |shop| in_setup(shop, |setup| &setup.racks, |rack| &rack.name),
        "RECIPE" => |shop| in_setup(shop, |setup| &setup.recipes, |recipe| &recipe.name),
        "FINISH" => |shop| in_setup(shop, |setup| &setup.finishes, |finish| &finish.name),
        "ROOM" => |shop| in_setup(shop, |setup| &setup.rooms, |room| &room.name),
        _ => return None,
    })
}

fn lots(shop: &Shop) -> Vec<String> {
    shop.open_lots().map(|lot| lot.name.to_string()).collect()
}

fn batches(shop: &Shop) -> Vec<String> {
    let open = shop.batches.values().filter(|batch| batch.closed.is_none());
    open.map(|batch| batch.name.clone()).collect()
}

fn cans(shop: &Shop) -> Vec<String> {
    let open = shop.cans.values().filter(|can| can.emptied.is_none());
    open.map(|can| can.name.clone()).collect()
}

fn in_setup<T>(shop: &Shop, all: fn(&Setup) -> &Vec<T>, name: fn(&T) -> &String) -> Vec<String> {
    shop.setup.iter().flat_map(all).map(name).cloned().collect()
}
