//! `[rig]`: the rig wanted; without it the tool proposes one.

use core::ops::Range;

use steadypull_engine::plan::{Layout, Method, Rig};
use steadypull_engine::units::{Length, Speed};

use super::defaults;
use super::limits;
use super::names::Names;
use super::path;
use super::places;
use super::runs::{self, WrittenRun};
use super::section::Section;
use super::short_forms;
use super::value::{Fault, Named};

/// Longest path.
const MOST_STEPS: usize = 40;

/// A rig with the places of its runs in the file; none for a straight path.
pub(super) struct Wanted {
    pub rig: Rig,
    pub runs: Vec<WrittenRun>,
}

/// What every rig has.
struct Common {
    method: Method,
    run_up_speed: Option<Speed>,
    slack: Length,
}

pub(super) fn rig(file: &Section, names: &Names) -> Option<Option<Wanted>> {
    let section = file.table("rig");
    if !file.has("rig") {
        return Some(None);
    }
    let method = section.key::<Method>("method").need();
    let kinetic = method.is_none_or(|method| method == Method::Kinetic);
    let steps = section.items::<Named>("path", MOST_STEPS);
    let laid_out = section.has("run") || section.has("layout");
    let runs = written(&section, method, names);
    let run_up_speed = section.key("run_up_speed").within(&limits::RUN_UP).maybe();
    let slack = section.key("slack").within(&limits::SLACK);
    let (text, reason) = if kinetic {
        defaults::KINETIC_SLACK
    } else {
        defaults::NO_SLACK
    };
    let slack = slack.or_else(|| method.map(|_| (text.into(), reason.into())));
    section.close();
    if !kinetic && section.has("run_up_speed") {
        let fault = Fault::new("is only for a kinetic pull".into());
        section.note(
            "run_up_speed",
            fault.hinting("leave it out, or set method = \"kinetic\""),
        );
    }
    if method.is_some_and(|method| method < Method::SteadyTow) {
        let fault = Fault::new("needs no rig".into())
            .expecting("a pull: \"steady-tow\", \"winch-single\", \"winch-multi\" or \"kinetic\"");
        section.note(
            "method",
            fault.hinting("leave [rig] out: the tool judges every method"),
        );
    }
    let common = || {
        Some(Common {
            method: method?,
            run_up_speed: run_up_speed?,
            slack: slack?,
        })
    };
    if laid_out {
        return laid(file, &section, runs, names, common()).map(Some);
    }
    if method == Some(Method::Lower) {
        let fault = Fault::new("is \"lower\", which is laid out on the ground".into())
            .expecting("a table [rig.run.NAME] for each line, or a layout");
        section.note("method", fault);
        return None;
    }
    straight(&section, method, steps?, names, common()).map(Some)
}

fn straight(
    section: &Section,
    method: Option<Method>,
    steps: Vec<(Range<usize>, Named)>,
    names: &Names,
    common: Option<Common>,
) -> Option<Wanted> {
    let sound = path::check(section, method, &steps, names);
    let path = steps.into_iter().map(|(_, step)| step.0).collect();
    sound.then_some(())?;
    Some(Wanted {
        rig: built(common?, path, None),
        runs: Vec::new(),
    })
}

fn built(common: Common, path: Vec<String>, layout: Option<Layout>) -> Rig {
    Rig {
        method: common.method,
        path,
        layout,
        run_up_speed: common.run_up_speed,
        slack: common.slack,
    }
}

/// The runs of a rig laid out on the ground, written out or by a short form.
fn written(section: &Section, method: Option<Method>, names: &Names) -> Option<Vec<WrittenRun>> {
    let forms = ["path", "run", "layout"].map(|key| (key, section.has(key)));
    let mut given = forms.iter().filter(|(_, there)| *there);
    if let (Some((first, _)), Some((second, _))) = (given.next(), given.next()) {
        let fault = Fault::new(format!("and rig.{first} are both given")).hinting(
            "choose one: path for a straight pull, run for lines written out, layout for a short form",
        );
        section.note(second, fault);
    }
    let written_out = runs::written(section);
    if section.has("layout") {
        let short = short_forms::runs(section, method, names);
        return if section.has("run") { None } else { short };
    }
    short_forms::none_here(section);
    written_out
}

fn laid(
    file: &Section,
    section: &Section,
    runs: Option<Vec<WrittenRun>>,
    names: &Names,
    common: Option<Common>,
) -> Option<Wanted> {
    let poses = ["casualty", "tug"].map(|key| places::needed_pose(&file.table(key)));
    let [casualty, tug] = poses;
    let method = common.as_ref().map(|common| common.method);
    let is_kinetic = method == Some(Method::Kinetic);
    let needs_no_rig = method.is_some_and(|method| method < Method::SteadyTow);
    if is_kinetic {
        let fault = Fault::new("is kinetic, and a kinetic pull is not laid out".into())
            .expecting("path = [...], one straight line from the casualty to the tug");
        section.note(
            "method",
            fault.hinting("a strap round a block stores energy where nobody looks for it"),
        );
    }
    let runs = runs?;
    let known = runs::all_known(section, &runs, names);
    runs::assume(file, &runs, names);
    if section.has("path") || is_kinetic || needs_no_rig || !known {
        return None;
    }
    let layout = Layout {
        casualty: casualty?,
        tug: tug?,
        runs: runs::runs_of(&runs),
    };
    Some(Wanted {
        rig: built(common?, Vec::new(), Some(layout)),
        runs,
    })
}
