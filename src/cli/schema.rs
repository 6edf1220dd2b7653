//! `schema`: the JSON Schema (2020-12) of what a command answers with `--json`, derived from the types it is made of.

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde_json::{Value, json};

use crate::cli::error::Failed;
use crate::cli::scan::Scanned;
use crate::cli::screen::Noted;
use crate::cli::{Context, Error};
use crate::report::air::AirShown;
use crate::report::batch::{BatchList, BatchShown};
use crate::report::begin_here::BeginHere;
use crate::report::calendar::Written;
use crate::report::can::CanList;
use crate::report::caution::TopicList;
use crate::report::caution::answer::Answer;
use crate::report::caution::sources::{Sources, StatementShown};
use crate::report::caution::topic::TopicShown;
use crate::report::climate::added::ReadingTaken;
use crate::report::climate::imported::Imported;
use crate::report::climate::room::RoomsShown;
use crate::report::codes::Codes;
use crate::report::cure::Cures;
use crate::report::due::Due;
use crate::report::grit::{Elsewhere, GradeShown, LadderShown, SkipsShown, StripsShown};
use crate::report::kit::KitShown;
use crate::report::ledger::{BackupReport, CheckReport, EntryList, Exported, RestoreReport};
use crate::report::lot::{LotList, LotShown};
use crate::report::pace::PaceShown;
use crate::report::paper::actions::Actions;
use crate::report::paper::card::Cards;
use crate::report::paper::slip::Slip;
use crate::report::paper::wall::Wall;
use crate::report::plan::PlanReport;
use crate::report::promise::PromiseReport;
use crate::report::quote::Quote;
use crate::report::racks::Racks;
use crate::report::rags::RagsList;
use crate::report::receipt::Receipt;
use crate::report::remind::{Installed, Plan, PutOff, Sent};
use crate::report::schema::SchemaList;
use crate::report::setup::{KindsShown, SetupChanges, SetupShown, SetupWritten};
use crate::report::shell::ShellWritten;
use crate::report::ship::{Shipment, ShipmentList, Shipped};
use crate::report::spares::{BatchSpares, SparesShown};
use crate::report::stock::StockShown;
use crate::report::today::Today;
use crate::report::trace::Trace;
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
    ("tackfree", &[of::<Today>, of::<BeginHere>]),
    ("air", &[of::<AirShown>]),
    ("batch cancel", RECEIPT),
    ("batch change", RECEIPT),
    ("batch close", RECEIPT),
    ("batch list", &[of::<BatchList>]),
    ("batch open", RECEIPT),
    ("batch show", &[of::<BatchShown>]),
    ("begin", RECEIPT),
    ("calendar", &[of::<Written>]),
    ("can empty", RECEIPT),
    ("can list", &[of::<CanList>]),
    ("can open", RECEIPT),
    ("card", &[of::<Cards>, of::<Slip>, of::<Actions>]),
    (
        "caution",
        &[of::<Answer>, of::<TopicShown>, of::<StatementShown>, of::<TopicList>, of::<Sources>],
    ),
    ("climate add", &[of::<ReadingTaken>]),
    ("climate import", &[of::<Imported>]),
    ("climate show", &[of::<RoomsShown>]),
    ("cure", &[of::<Cures>]),
    ("done", RECEIPT),
    ("due", &[of::<Due>]),
    (
        "grit",
        &[
            of::<LadderShown>,
            of::<GradeShown>,
            of::<Elsewhere>,
            of::<SkipsShown>,
            of::<StripsShown>,
        ],
    ),
    ("kit", &[of::<KitShown>]),
    ("ledger backup", &[of::<BackupReport>]),
    ("ledger check", &[of::<CheckReport>]),
    ("ledger export", &[of::<Exported>]),
    ("ledger import", &[of::<RestoreReport>]),
    ("ledger list", &[of::<EntryList>]),
    ("ledger restore", &[of::<RestoreReport>]),
    ("lot give", RECEIPT),
    ("lot hold", RECEIPT),
    ("lot join", RECEIPT),
    ("lot list", &[of::<LotList>]),
    ("lot move", RECEIPT),
    ("lot reject", RECEIPT),
    ("lot release", RECEIPT),
    ("lot rework", RECEIPT),
    ("lot show", &[of::<LotShown>]),
    ("lot split", RECEIPT),
    ("lot start", RECEIPT),
    ("note", RECEIPT),
    ("pace", &[of::<PaceShown>]),
    ("pace time", RECEIPT),
    ("plan", &[of::<PlanReport>]),
    ("promise", &[of::<PromiseReport>]),
    ("quote", &[of::<Quote>]),
    ("racks", &[of::<Racks>]),
    ("rags", &[of::<RagsList>]),
    ("rags done", RECEIPT),
    ("remind clear", &[of::<PutOff>]),
    ("remind install", &[of::<Installed>, of::<Plan>]),
    ("remind later", &[of::<PutOff>]),
    ("remind remove", &[of::<Installed>]),
    ("remind send", &[of::<Sent>]),
    ("remind test", &[of::<Sent>]),
    ("remind watch", &[of::<Sent>]),
    ("scan", &[line::<Scanned<'_>>, of::<Codes>]),
    ("schema", &[of::<SchemaList>, line::<Schema>]),
    ("setup check", &[of::<SetupChanges>]),
    ("setup kinds", &[of::<KindsShown>]),
    ("setup load", &[of::<SetupChanges>]),
    ("setup new", &[of::<SetupWritten>]),
    ("setup shell", &[of::<ShellWritten>]),
    ("setup show", &[of::<SetupShown>]),
    ("ship", &[of::<Shipped>]),
    ("ship cancel", RECEIPT),
    ("ship list", &[of::<ShipmentList>]),
    ("ship return", RECEIPT),
    ("ship show", &[of::<Shipment>]),
    ("spares", &[of::<SparesShown>, of::<BatchSpares>]),
    ("stock", &[of::<StockShown>]),
    ("stock add", RECEIPT),
    ("stock count", RECEIPT),
    ("stock moisture", RECEIPT),
    ("today", &[of::<Today>]),
    ("touch", RECEIPT),
    ("trace", &[of::<Trace>]),
    ("undo", RECEIPT),
    ("wall", &[of::<Wall>]),
    ("error", &[line::<Failed<'_>>]),
];

/// What most commands that record answer.
const RECEIPT: &[Put] = &[of::<Receipt>];

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let names = || ANSWERS.iter().map(|(name, _)| *name);
    if args.command.is_empty() {
        return context.screen.show(&SchemaList { commands: names().collect() });
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
