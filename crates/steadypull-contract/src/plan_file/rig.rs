//! `[rig]`: the rig wanted; without it the tool proposes one.

use steadypull_engine::plan::{Method, Rig};

use super::defaults;
use super::limits;
use super::names::Names;
use super::path;
use super::section::Section;
use super::value::{Fault, Text};

/// Longest path.
const MOST_STEPS: usize = 40;

pub(super) fn rig(file: &Section, names: &Names) -> Option<Option<Rig>> {
    let section = file.table("rig");
    if !file.has("rig") {
        return Some(None);
    }
    let method = section.key::<Method>("method").need();
    let kinetic = method.is_none_or(|method| method == Method::Kinetic);
    let steps = section.items::<Text>("path", MOST_STEPS);
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
    let steps = steps?;
    let sound = path::check(&section, method, &steps, names);
    let path = steps.into_iter().map(|(_, step)| step.0).collect();
    sound.then_some(())?;
    Some(Some(Rig {
        method: method?,
        path,
        layout: None,
        run_up_speed: run_up_speed?,
        slack: slack?,
    }))
}
