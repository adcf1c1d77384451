//! The plan file: TOML text in, a [`Plan`] or every mistake in it out.
//!
//! Answers: what does this file say, and where is it wrong? Quantities are
//! strings with the unit that people write (`"2.6 t"`, `"30 ft"`); a bare
//! number where a unit is needed is a mistake. The reader goes on after a
//! mistake, so all of them are reported together. Whatever it fills in stands
//! in [`Plan::assumed`], with the reason.
//!
//! - [`problem`](Problem): a mistake with its place, and the report of them;
//! - `position`: byte offsets to lines and columns;
//! - `quantity`, `unit_table`: `2.6 t` to a [`Mass`](steadypull_engine::units::Mass);
//! - `value`, `words`: everything a key can hold;
//! - `reader`, `section`, `key`: the file, a table, a key while they are read;
//! - `limits`, `defaults`: allowed ranges and filled-in values, with reasons;
//! - `vehicle`, `points`, `winch`, `winch_plate`, `winch_drum`, `kit`, `line`, `rig`, `lowering`, `people`, `policy`: the tables;
//! - `line_files`, `line_file`: lines measured in tests, in files of their own;
//! - `site`: wind and ground between the vehicles;
//! - `body`: the outside of a vehicle, for what flies at it;
//! - `anchors`: what a rig is made fast to besides the tug;
//! - `places`, `ring`, `runs`, `short_forms`: rigs laid out on the ground;
//! - `number`, `spread`: what varies, and ranges and distributions as people write them;
//! - `listing`: the plan as a form, listed while it is read;
//! - `vary`, `parsed`: inputs replaced, and one file read many times over;
//! - `study_file`, `varied`: the study file of a sweep;
//! - `test_file/`: the test file and the day file of the tests area;
//! - `retold`: a written quantity in other units;
//! - `inputs`: the plan as lines for the brief;
//! - `asked`: quantities of the command line, written as here.

mod anchors;
mod asked;
mod body;
mod defaults;
mod entry;
mod inputs;
mod key;
mod kit;
mod limits;
mod line;
mod line_correlation;
mod line_file;
mod line_files;
mod listing;
mod lowering;
mod names;
mod number;
mod parsed;
mod path;
mod people;
mod places;
mod points;
mod policy;
mod position;
mod problem;
mod quantity;
mod reader;
mod references;
mod report;
mod retold;
mod rig;
mod ring;
mod runs;
mod section;
mod short_forms;
mod site;
mod spelling;
mod spread;
mod study_file;
mod syntax;
mod test_file;
mod unit_table;
mod value;
mod varied;
mod vary;
mod vehicle;
mod way;
mod winch;
mod winch_drum;
mod winch_plate;
mod words;

pub use asked::{
    asked_chance, asked_damper_mass, asked_distance, asked_energy, asked_grip, asked_stretch,
    asked_tether_length,
};
pub use inputs::inputs;
pub use line_file::check_line_file;
pub use line_files::{
    LINE_FILE_ENDING, LONGEST_LINE_FILE, LineFiles, PlanText, is_line_file, line_files_named,
};
pub(crate) use listing::as_json;
pub use parsed::{ParsedPlan, read_plan_with, variables};
pub use problem::{PlanProblems, Problem};
pub(crate) use quantity::short as short_words;
pub(crate) use references::referring;
pub use retold::retold;
pub(crate) use spelling::nearest as nearest_word;
pub use study_file::{Points, StudyFile, StudyInput, plan_of_study, read_study};
pub use test_file::{
    ByHandEvent, CellEntry, CellLaw, CellUncertainty, CertificateFile, Cleaning, CompareEntry, Day,
    DayFile, DisplacementFrom, EventRules, FilmedEvent, FitEntry, FootageEntry, HandMove,
    HungDamper, Iso376Class, PredictEntry, PullEntry, Resampling, SeenEvent, SetUpEntry, TestFile,
    ToleranceSide, ZeroFrom, read_day, read_tests,
};
pub use varied::Varied;
pub use vary::Variable;
pub(crate) use words::Words;

use names::Names;
use section::Section;
use steadypull_engine::plan::Method;
pub use steadypull_engine::plan::Plan;
use steadypull_engine::show::Units;
use value::Text;

/// Longest plan file that is read, bytes.
pub const LONGEST_PLAN: usize = 1 << 20;
/// Most methods that can be listed as tried.
const MOST_TRIED: usize = 12;

/// Reads a plan file, or says everything that is wrong with it.
pub fn read_plan<'t>(plan: impl Into<PlanText<'t>>) -> Result<Plan, PlanProblems> {
    ParsedPlan::new(plan)?.plan()
}

fn plan(file: &Section) -> Option<Plan> {
    let names = file.unlisted(|| Names::collect(file));
    let title = file
        .key::<Text>("title")
        .or("Recovery plan", "assumed: the file gives no title");
    let place = file.key::<Text>("place").maybe();
    let seed = file
        .key("seed")
        .within(&limits::SEED)
        .or("1", defaults::SEED);
    let tried = file.list::<Method>("tried", MOST_TRIED);
    let casualty = vehicle::casualty(file);
    let tug = vehicle::tug(file, &names);
    let kit = kit::kit(file, &names);
    let rig = rig::rig(file, &names);
    let known = lowering::Known {
        names: &names,
        casualty: casualty.as_ref(),
        kit: kit.as_ref(),
    };
    let lowering = lowering::lowering(file, &known);
    let people = people::people(file);
    let site = site::site(file);
    let policy = policy::policy(file);
    file.close();
    let tug = match (tug, &kit) {
        (Some(tug), Some(kit)) => winch_drum::with_its_line(file, tug, kit),
        (tug, _) => tug,
    };
    let (rig, runs) = match rig? {
        Some(wanted) => (Some(wanted.rig), wanted.runs),
        None => (None, Vec::new()),
    };
    let plan = Plan {
        title: title?.0,
        place: place?.map(|text| text.0),
        casualty: casualty?,
        tug: tug?,
        kit: kit?,
        rig,
        lowering: lowering?,
        people: people?,
        site: site?,
        policy: policy?,
        tried: tried?,
        seed: seed?,
        units: Units::default(),
        assumed: Vec::new(),
        spreads: Vec::new(),
        tested: Vec::new(),
    };
    runs::check(file, &plan, &runs);
    Some(plan)
}
