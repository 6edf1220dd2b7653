//! `schema`: the JSON Schema (2020-12) of what a command answers with `--json`, derived from the types it is made of.

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde_json::{Value, json};

use crate::cli::error::Failed;
use crate::cli::scan::Scanned;
use crate::cli::screen::Noted;
use crate::cli::{Context, Error};
use crate::report::{
    air, batch, begin_here, calendar, can, caution, climate, codes, cure, due, grit, kit, ledger,
    lot, pace, paper, plan, promise, quote, racks, rags, receipt, remind, schema, setup, shell,
    ship, spares, stock, today, trace,
};
use crate::shop::nearest::by_nearness;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The command, or error for what any of them says instead; without it, all there are
    command: Vec<String>,
}

/// Puts one answer's schema among the definitions and gives the reference to it.
type Put = fn(&mut SchemaGenerator) -> Schema;

/// An answer as it stands on the screen, with what is said beside any.
fn of<R: JsonSchema>(generator: &mut SchemaGenerator) -> Schema {
    generator.subschema_for::<Noted<'_, R>>()
}

/// A line of JSON that is no whole answer.
fn line<R: JsonSchema>(generator: &mut SchemaGenerator) -> Schema {
    generator.subschema_for::<R>()
}

/// What each command may answer. The tests hold every answer they see against it.
const ANSWERS: &[(&str, &[Put])] = &[
    ("tackfree", &[of::<today::Today>, of::<begin_here::BeginHere>]),
    ("air", &[of::<air::AirShown>]),
    ("batch cancel", RECEIPT),
    ("batch change", RECEIPT),
    ("batch close", RECEIPT),
    ("batch list", &[of::<batch::BatchList>]),
    ("batch open", RECEIPT),
    ("batch show", &[of::<batch::BatchShown>]),
    ("begin", RECEIPT),
    ("calendar", &[of::<calendar::Written>]),
    ("can empty", RECEIPT),
    ("can list", &[of::<can::CanList>]),
    ("can open", RECEIPT),
    ("card", &[of::<paper::card::Cards>, of::<paper::slip::Slip>, of::<paper::actions::Actions>]),
    (
        "caution",
        &[
            of::<caution::answer::Answer>,
            of::<caution::topic::TopicShown>,
            of::<caution::sources::StatementShown>,
            of::<caution::TopicList>,
            of::<caution::sources::Sources>,
        ],
    ),
    ("climate add", &[of::<climate::ReadingTaken>]),
    ("climate import", &[of::<climate::imported::Imported>]),
    ("climate show", &[of::<climate::room::RoomsShown>]),
    ("cure", &[of::<cure::Cures>]),
    ("done", RECEIPT),
    ("due", &[of::<due::Due>]),
    (
        "grit",
        &[
            of::<grit::LadderShown>,
            of::<grit::GradeShown>,
            of::<grit::Elsewhere>,
            of::<grit::SkipsShown>,
            of::<grit::StripsShown>,
        ],
    ),
    ("kit", &[of::<kit::KitShown>]),
    ("ledger backup", &[of::<ledger::BackupReport>]),
    ("ledger check", &[of::<ledger::CheckReport>]),
    ("ledger export", &[of::<ledger::Exported>]),
    ("ledger import", &[of::<ledger::RestoreReport>]),
    ("ledger list", &[of::<ledger::EntryList>]),
    ("ledger restore", &[of::<ledger::RestoreReport>]),
    ("lot give", RECEIPT),
    ("lot hold", RECEIPT),
    ("lot join", RECEIPT),
    ("lot list", &[of::<lot::LotList>]),
    ("lot move", RECEIPT),
    ("lot reject", RECEIPT),
    ("lot release", RECEIPT),
    ("lot rework", RECEIPT),
    ("lot show", &[of::<lot::LotShown>]),
    ("lot split", RECEIPT),
    ("lot start", RECEIPT),
    ("note", RECEIPT),
    ("pace", &[of::<pace::PaceShown>]),
    ("pace time", RECEIPT),
    ("plan", &[of::<plan::PlanReport>]),
    ("promise", &[of::<promise::PromiseReport>]),
    ("quote", &[of::<quote::Quote>]),
    ("racks", &[of::<racks::Racks>]),
    ("rags", &[of::<rags::RagsList>]),
    ("rags done", RECEIPT),
    ("remind clear", &[of::<remind::PutOff>]),
    ("remind install", &[of::<remind::Installed>, of::<remind::Plan>]),
    ("remind later", &[of::<remind::PutOff>]),
    ("remind remove", &[of::<remind::Installed>]),
    ("remind send", &[of::<remind::Sent>]),
    ("remind test", &[of::<remind::Sent>]),
    ("remind watch", &[of::<remind::Sent>]),
    ("scan", &[line::<Scanned<'_>>, of::<codes::Codes>]),
    ("schema", &[of::<schema::SchemaList>, line::<Schema>]),
    ("setup check", &[of::<setup::SetupChanges>]),
    ("setup kinds", &[of::<setup::KindsShown>]),
    ("setup load", &[of::<setup::SetupChanges>]),
    ("setup new", &[of::<setup::SetupWritten>]),
    ("setup shell", &[of::<shell::ShellWritten>]),
    ("setup show", &[of::<setup::SetupShown>]),
    ("ship", &[of::<ship::Shipped>]),
    ("ship cancel", RECEIPT),
    ("ship list", &[of::<ship::ShipmentList>]),
    ("ship return", RECEIPT),
    ("ship show", &[of::<ship::Shipment>]),
    ("spares", &[of::<spares::SparesShown>, of::<spares::BatchSpares>]),
    ("stock", &[of::<stock::StockShown>]),
    ("stock add", RECEIPT),
    ("stock count", RECEIPT),
    ("stock moisture", RECEIPT),
    ("today", &[of::<today::Today>]),
    ("touch", RECEIPT),
    ("trace", &[of::<trace::Trace>]),
    ("undo", RECEIPT),
    ("wall", &[of::<paper::wall::Wall>]),
    ("error", &[line::<Failed<'_>>]),
];

/// What most commands that record answer.
const RECEIPT: &[Put] = &[of::<receipt::Receipt>];

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let names = || ANSWERS.iter().map(|(name, _)| *name);
    if args.command.is_empty() {
        return context.screen.show(&schema::SchemaList { commands: names().collect() });
    }
    let asked = args.command.join(" ");
    let Some((_, answers)) = ANSWERS.iter().find(|(name, _)| *name == asked) else {
        let near = by_nearness(&asked, names()).into_iter().take(6).collect::<Vec<_>>().join(", ");
        let message = format!("no command called {asked:?} answers in JSON");
        return Err(Error::usage(message, format!("name one of these: {near}")));
    };
    let text = serde_json::to_string_pretty(&schema(answers)).map_err(std::io::Error::from)?;
    context.screen.write(&format!("{text}\n"))
}

fn schema(answers: &[Put]) -> Value {
    let mut generator = SchemaSettings::draft2020_12().for_serialize().into_generator();
    let any: Vec<Schema> = answers.iter().map(|put| put(&mut generator)).collect();
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "anyOf": any,
        "$defs": generator.take_definitions(true),
    })
}
