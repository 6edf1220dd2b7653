//! `grit`: ladders, grades, what a recipe skips, strips to cut.

use crate::cli::{Context, Error, number};
use crate::craft::grit::{Grade, GritError, System};
use crate::report::grit::{Elsewhere, GradeShown, LadderShown, SkipsShown, StripsShown};
use crate::store::Scope;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// A ladder such as P150..P400, or one grade: P180, "CAMI 220", "JIS 400"
    #[arg(value_name = "GRADES", required_unless_present_any = ["check", "strips"], conflicts_with_all = ["check", "strips"])]
    grades: Option<String>,
    /// Say what this recipe's sanding skips
    #[arg(long, value_name = "RECIPE", conflicts_with = "strips")]
    check: Option<String>,
    /// Say how many strips of this grade to cut for --pieces, when one does --strip of them
    #[arg(long, value_name = "GRADE", requires = "pieces", requires = "strip")]
    strips: Option<String>,
    /// With --strips: how many pieces
    #[arg(long, value_name = "N", requires = "strips", value_parser = number::pieces, allow_negative_numbers = true)]
    pieces: Option<u32>,
    /// With --strips: pieces one strip does
    #[arg(long, value_name = "N", requires = "strips", value_parser = number::whole("pieces a strip", 1..=10_000), allow_negative_numbers = true)]
    strip: Option<u32>,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    if let Some(recipe) = &args.check {
        return check(recipe, context);
    }
    if let Some(text) = &args.strips {
        let (pieces, strip) = (args.pieces.unwrap_or(0), args.strip.unwrap_or(0));
        let shown = StripsShown::new(grade(text)?, pieces, strip)?;
        return context.screen.show(&shown);
    }
    let text = args.grades.as_deref().unwrap_or_default();
    if let Some((from, to)) = text.split_once("..") {
        let shown = LadderShown::new(grade(from)?, grade(to)?)?;
        return context.screen.show(&shown);
    }
    match elsewhere(text)? {
        Some(shown) => context.screen.show(&shown),
        None => context.screen.show(&GradeShown::new(grade(text)?)),
    }
}

fn check(name: &str, context: &mut Context<'_>) -> Result<(), Error> {
    let loaded = context.load(&Scope::Open)?;
    let recipe = loaded.shop.known_recipe(name)?;
    let shown = SkipsShown::new(&recipe.name, recipe.sanding()).map_err(|error| {
        let next = "put its sand steps in order in the setup, then: tackfree setup load FILE";
        Error::usage(format!("recipe {name}: {error}"), next)
    })?;
    context.screen.show(&shown)
}

fn grade(text: &str) -> Result<Grade, Error> {
    Ok(text.parse()?)
}

/// A number of another system: "CAMI 220".
fn elsewhere(text: &str) -> Result<Option<Elsewhere>, Error> {
    let trimmed = text.trim();
    let split = trimmed
        .find(|c: char| c.is_ascii_digit() || matches!(c, ' ' | '#'))
        .unwrap_or(trimmed.len());
    let (word, number) = trimmed.split_at(split);
    let system = match word.to_ascii_uppercase().as_str() {
        "CAMI" => System::Cami,
        "JIS" => System::Jis,
        _ => return Ok(None),
    };
    let about =
        number.trim().trim_start_matches('#').parse().ok().and_then(|number| system.about(number));
    about.map(Elsewhere::new).map(Some).ok_or_else(|| {
        Error::usage(
            format!("{trimmed:?} has no published median here"),
            "give a number that system prints, such as \"CAMI 220\" or \"JIS 400\"",
        )
    })
}

/// The grade whose number is nearest.
fn near(found: &str) -> Option<Grade> {
    let number: f64 = found.trim().trim_start_matches(['P', 'p']).trim().parse().ok()?;
    let apart = |grade: &Grade| (f64::from(grade.number()) - number).abs();
    let near = Grade::all().min_by(|a, b| apart(a).total_cmp(&apart(b)))?;
    (apart(&near) < number / 2.0).then_some(near)
}

impl From<GritError> for Error {
    fn from(error: GritError) -> Self {
        let next = match &error {
            GritError::Unknown { found } => near(found)
                .map(|grade| format!("did you mean {grade}? A ladder is typed as P150..P400")),
            GritError::Coarser { from, to } => {
                Some(format!("turn it round: tackfree grit {to}..{from}"))
            }
            GritError::NoPieces { .. } => Some("give --strip as 1 or more".to_owned()),
            GritError::NoMedian { .. } => None,
        };
        let next =
            next.unwrap_or_else(|| "give a grade from P12 to P2500, such as P180".to_owned());
        Self::usage(error.to_string(), next)
    }
}
