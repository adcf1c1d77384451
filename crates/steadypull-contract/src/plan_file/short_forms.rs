//! `layout = "..."`: the usual rigs in a few keys, which expand to the same runs
//! as written out. Lists go along the haul, from the tug towards the casualty.
//!
//! | form | runs |
//! |---|---|
//! | `single-line` | main: tug end, line, casualty end |
//! | `redirect` | main: tug end, line, redirect block, casualty end; redirect: that block, what it hangs on |
//! | `double-line` | main: tug end, line, block, dead end; moving: block, casualty end |
//! | `triple-line` | main: tug end, line, moving block, fixed block, dead end; moving: moving block, casualty end; fixed: fixed block, what it hangs on |
//!
//! A double or triple line may have a redirect too, the first the line goes round.

use core::ops::Range;

use steadypull_engine::plan::Method;

use super::defaults;
use super::names::Names;
use super::runs::WrittenRun;
use super::section::Section;
use super::value::{Fault, Named};
use super::words::{LaidForm, Words};

/// Most entries of one list.
const MOST_STEPS: usize = 20;

/// The keys of all short forms.
const KEYS: [&str; 8] = [
    "tug_end",
    "line",
    "redirect_block",
    "redirect_at",
    "blocks",
    "casualty_end",
    "fixed_at",
    "dead_end",
];

type Step = (Range<usize>, String);
type Steps = Vec<Step>;

/// Notes the keys of a short form that stand in a rig without one.
pub(super) fn none_here(rig: &Section) {
    rig.list_field::<LaidForm>("layout", None, false, false);
    list(rig);
    for key in KEYS.into_iter().filter(|key| rig.has(key)) {
        let fault = Fault::new("belongs to a short form, and rig.layout is not given".into());
        rig.note(key, fault.expecting(format!("layout = {}", words())));
    }
}

/// Lists the keys in the form.
fn list(rig: &Section) {
    for key in KEYS {
        match key {
            "line" | "redirect_block" => rig.list_field::<Named>(key, None, false, false),
            _ => rig.list_items::<Named>(key),
        }
    }
}

fn words() -> String {
    let all = LaidForm::ALL.iter().map(|(word, _)| format!("\"{word}\""));
    all.collect::<Vec<_>>().join(" or ")
}

/// The runs that the keys stand for; `None` if any is bad or missing.
pub(super) fn runs(
    rig: &Section,
    method: Option<Method>,
    names: &Names,
) -> Option<Vec<WrittenRun>> {
    let form = rig.key::<LaidForm>("layout").need();
    list(rig);
    let Some(form) = form else {
        // What is needed is not known, and no key is out of place.
        KEYS.iter().for_each(|key| {
            rig.has(key);
        });
        return None;
    };
    let tackle = matches!(form, LaidForm::DoubleLine | LaidForm::TripleLine);
    let redirects = rig.has("redirect_block") || rig.has("redirect_at");
    let asked = |key, wanted, what| asked(rig, form, key, wanted, what);
    let tug_end = tug_end(rig, method);
    let line = line(rig, method, names);
    let redirect = redirect(
        rig,
        form,
        form == LaidForm::Redirect || (tackle && redirects),
    );
    let blocks = asked(
        "blocks",
        tackle,
        "the names of its blocks, the moving one first",
    );
    let casualty_end = asked("casualty_end", true, CASUALTY_END);
    let fixed_at = asked("fixed_at", form == LaidForm::TripleLine, FIXED_AT);
    let dead_end = asked("dead_end", tackle, DEAD_END);
    let keys = Keys {
        blocks: right_number(rig, form, blocks?)?,
        tug_end: tug_end?,
        line: line?,
        redirect: redirect?,
        casualty_end: casualty_end?,
        fixed_at: fixed_at?,
        dead_end: dead_end?,
    };
    Some(keys.expanded(rig, form))
}

const TUG_END: &str = "what hauls, and the parts up to the line, such as [\"tug.rear\", \"bow-2\"]";
const REDIRECT_BLOCK: &str = "the NAME of the block or ring that the line goes round first";
const REDIRECT_AT: &str =
    "from that block to what it hangs on, such as [\"bow-2\", \"strap-1\", \"tree-1\"]";
const CASUALTY_END: &str =
    "from the line or moving block to the casualty, such as [\"bow-1\", \"casualty.rear\"]";
const FIXED_AT: &str =
    "from the fixed block to what it hangs on, such as [\"bow-3\", \"tug.front\"]";
const DEAD_END: &str =
    "from the line to what its end is made fast to, such as [\"bow-4\", \"tug.front\"]";

/// The keys as read.
struct Keys {
    tug_end: Steps,
    line: Step,
    redirect: Option<(Step, Steps)>,
    blocks: Steps,
    casualty_end: Steps,
    fixed_at: Steps,
    dead_end: Steps,
}

impl Keys {
    fn expanded(self, rig: &Section, form: LaidForm) -> Vec<WrittenRun> {
        let run = |name: &str, key: &'static str, steps: Steps| WrittenRun {
            name: name.into(),
            span: rig.span_of(key),
            steps,
        };
        let mut main = self.tug_end;
        main.push(self.line);
        main.extend(self.redirect.iter().map(|(block, _)| block.clone()));
        main.extend(self.blocks.iter().cloned());
        let mut rest = Vec::new();
        if let Some((block, at)) = self.redirect {
            let steps = [block].into_iter().chain(at).collect();
            rest.push(run("redirect", "redirect_at", steps));
        }
        if let Some(moving) = self.blocks.first() {
            main.extend(self.dead_end);
            let steps = [moving.clone()].into_iter().chain(self.casualty_end);
            rest.push(run("moving", "casualty_end", steps.collect()));
        } else {
            main.extend(self.casualty_end);
        }
        if form == LaidForm::TripleLine
            && let Some(fixed) = self.blocks.get(1)
        {
            let steps = [fixed.clone()].into_iter().chain(self.fixed_at).collect();
            rest.push(run("fixed", "fixed_at", steps));
        }
        let mut runs = vec![run("main", "layout", main)];
        runs.extend(rest);
        runs
    }
}

fn is_winch_pull(method: Method) -> bool {
    matches!(method, Method::WinchSingle | Method::WinchMulti)
}

/// A list, empty where the form does not have it.
fn asked(
    rig: &Section,
    form: LaidForm,
    key: &'static str,
    wanted: bool,
    what: &str,
) -> Option<Steps> {
    if wanted {
        steps(rig, key, what)
    } else {
        not_for(rig, key, form).then(Vec::new)
    }
}

/// A list that the form needs.
fn steps(rig: &Section, key: &'static str, what: &str) -> Option<Steps> {
    let items = rig.items::<Named>(key, MOST_STEPS)?;
    if items.is_empty() {
        if rig.has(key) {
            rig.note(key, Fault::new("is empty".into()).expecting(what));
        } else {
            rig.note_missing(key, what.into());
        }
        return None;
    }
    Some(
        items
            .into_iter()
            .map(|(span, text)| (span, text.0))
            .collect(),
    )
}

/// Whether a key of another form is rightly absent.
fn not_for(rig: &Section, key: &'static str, form: LaidForm) -> bool {
    let there = rig.has(key);
    if there {
        let fault = Fault::new(format!("is not for a \"{}\"", form.word()));
        rig.note(
            key,
            fault.hinting("leave it out, choose another layout, or write the runs out"),
        );
    }
    !there
}

/// Where a winch pull begins is no question.
fn tug_end(rig: &Section, method: Option<Method>) -> Option<Steps> {
    if rig.has("tug_end") {
        return steps(rig, "tug_end", TUG_END);
    }
    if !is_winch_pull(method?) {
        rig.note_missing("tug_end", TUG_END.into());
        return None;
    }
    rig.assume("tug_end", "[\"tug.winch\"]", defaults::AT_THE_WINCH);
    Some(vec![(rig.span_of("layout"), "tug.winch".into())])
}

fn line(rig: &Section, method: Option<Method>, names: &Names) -> Option<Step> {
    let span = rig.span_of("line");
    if let Some(text) = rig.key::<Named>("line").maybe()? {
        return Some((span, text.0));
    }
    match &names.winch_line {
        Some(line) if is_winch_pull(method?) => {
            rig.assume("line", line, defaults::AT_THE_WINCH);
            Some((rig.span_of("layout"), line.clone()))
        }
        _ => {
            rig.note_missing("line", "the NAME of the line that is hauled".into());
            None
        }
    }
}

/// The redirect block with what it hangs on, if the form has it.
fn redirect(rig: &Section, form: LaidForm, wanted: bool) -> Option<Option<(Step, Steps)>> {
    if !wanted {
        let absent = not_for(rig, "redirect_block", form) & not_for(rig, "redirect_at", form);
        return absent.then_some(None);
    }
    let span = rig.span_of("redirect_block");
    let block = rig.key::<Named>("redirect_block").maybe();
    if let Some(None) = block {
        rig.note_missing("redirect_block", REDIRECT_BLOCK.into());
    }
    let at = steps(rig, "redirect_at", REDIRECT_AT);
    Some(Some(((span, block??.0), at?)))
}

/// One block for a double line, two for a triple.
fn right_number(rig: &Section, form: LaidForm, blocks: Steps) -> Option<Steps> {
    let wanted = match form {
        LaidForm::SingleLine | LaidForm::Redirect => 0,
        LaidForm::DoubleLine => 1,
        LaidForm::TripleLine => 2,
    };
    if blocks.len() == wanted {
        return Some(blocks);
    }
    let fault = Fault::new(format!(
        "names {} for a \"{}\"",
        match blocks.len() {
            1 => "1 block".to_string(),
            n => format!("{n} blocks"),
        },
        form.word()
    ));
    let expected = match wanted {
        1 => "one, which moves with the casualty; a redirect is given by redirect_block",
        _ => "two: the one that moves with the casualty, then the fixed one",
    };
    rig.note("blocks", fault.expecting(expected));
    None
}
