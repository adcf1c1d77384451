//! HTML and PDF print the same words, all of them, and are always the same.

mod fixtures;
#[path = "fixtures/plain.rs"]
mod plain;

use std::path::PathBuf;

use plain::plain;
use steadypull_brief::content::{Block, Topic, brief};
use steadypull_brief::{ChanceFigure, Studied, html, pdf};
use steadypull_contract::answer::Severity;
use steadypull_contract::show::Units;
use steadypull_contract::{ChanceOptions, ChanceRuns, chance};

const MADE: &str = "25 November 2026";

fn page(answer: &steadypull_contract::answer::Answer) -> String {
    html(answer, Units::Metric, MADE).expect("a page")
}

#[test]
fn every_word_of_the_model_is_on_the_page() {
    for (name, answer) in fixtures::all() {
        let page = plain(&page(&answer));
        for text in brief(&answer, Units::Metric, MADE).texts() {
            assert!(page.contains(&plain(&text)), "{name}: {text}");
        }
    }
}

#[test]
fn every_caution_is_in_the_model_and_on_the_page() {
    for (name, answer) in fixtures::all() {
        let texts = brief(&answer, Units::Metric, MADE).texts();
        let page = plain(&page(&answer));
        for caution in &answer.cautions {
            assert!(texts.contains(caution), "{name}");
            assert!(page.contains(caution.as_str()), "{name}");
        }
    }
}

#[test]
fn do_not_pull_stands_first_whenever_policy_or_a_finding_says_so() {
    let mut critical = fixtures::good_tow();
    critical
        .findings
        .push(fixtures::finding(Severity::Critical, "x", "y", "z"));
    let mut cases = fixtures::all();
    cases.push(("critical", critical));
    for (name, answer) in cases {
        let stop = !answer.verdict.within_policy || answer.has_critical();
        let page = page(&answer);
        assert_eq!(
            page.contains("<h2 id=\"verdict\">DO NOT PULL</h2>")
                || page.contains("<h2 id=\"verdict\">DO NOT LOWER</h2>"),
            stop,
            "{name}"
        );
        assert_eq!(page.contains("WITHIN POLICY"), !stop, "{name}");
        let first = page.find("id=\"verdict\"").expect("a verdict");
        assert!(first < page.find("id=\"s0\"").expect("a section"), "{name}");
    }
}

#[test]
fn a_lowering_has_its_own_limits_roles_and_stop_list() {
    let mut answer = fixtures::lowered();
    let texts = brief(&answer, Units::Metric, MADE).texts();
    for text in [
        "Brake hand, at most",
        "Belay hand",
        "Edge watcher",
        "Belay slack, never more than",
    ] {
        assert!(texts.iter().any(|t| t == text), "{text}");
    }
    assert!(texts.iter().any(|t| t.contains("below the vehicle")));
    assert!(
        texts
            .iter()
            .all(|t| !t.contains("run-up") && !t.contains("Driver, tug"))
    );
    answer.verdict.within_policy = false;
    assert!(page(&answer).contains("<h2 id=\"verdict\">DO NOT LOWER</h2>"));
    if let Some(lowering) = &mut answer.lowering {
        lowering.belay = None;
    }
    let texts = brief(&answer, Units::Metric, MADE).texts();
    assert!(texts.iter().any(|t| t.starts_with("NOBODY: no belay")));
}

#[test]
fn no_run_up_is_offered_when_the_pull_is_stopped_or_not_kinetic() {
    for answer in [
        fixtures::empty_window(),
        fixtures::refused_ball(),
        fixtures::good_tow(),
    ] {
        let texts = brief(&answer, Units::Metric, MADE).texts();
        assert!(
            !texts.iter().any(|t| t.contains("never faster than")),
            "{}",
            answer.plan.title
        );
    }
    let texts = brief(&fixtures::kinetic_pull(), Units::Metric, MADE).texts();
    assert!(texts.iter().any(|t| t == "Run-up, never faster than"));
    // The sure end of the window, not the likeliest.
    assert!(texts.iter().any(|t| t == "14.0 km/h"));
}

#[test]
fn markup_in_names_is_disarmed() {
    let page = page(&fixtures::long_names());
    assert!(!page.contains("<b>grün"));
    assert!(page.contains("&lt;b&gt;grün&amp;&quot;gelb&quot;&lt;/b&gt;"));
}

#[test]
fn page_needs_nothing_from_outside() {
    let page = page(&fixtures::kinetic_pull());
    assert!(!page.contains("<script") && !page.contains("<link") && !page.contains("<img"));
    assert!(
        !page
            .replace("http://www.w3.org/2000/svg", "")
            .contains("http")
    );
    for landmark in [
        "<html lang=\"en\">",
        "<header>",
        "<main>",
        "<footer>",
        "scope=\"col\"",
        "scope=\"row\"",
    ] {
        assert!(page.contains(landmark), "{landmark}");
    }
}

#[test]
fn identifiers_are_unique() {
    let page = page(&fixtures::kinetic_pull());
    let mut ids: Vec<&str> = page
        .split(" id=\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect();
    let all = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), all);
    assert!(all > 30);
}

#[test]
fn both_are_always_the_same_bytes() {
    for (name, answer) in [
        ("kinetic", fixtures::kinetic_pull()),
        ("ball", fixtures::refused_ball()),
    ] {
        assert_eq!(page(&answer), page(&answer), "{name}");
        let first = pdf(&answer, Units::Metric, MADE).expect("a PDF");
        assert!(first.starts_with(b"%PDF-"), "{name}");
        assert!(
            first == pdf(&answer, Units::Metric, MADE).expect("a PDF"),
            "{name}"
        );
    }
}

#[test]
fn pdf_of_an_everyday_answer_has_two_pages() {
    for answer in [
        fixtures::good_tow(),
        fixtures::kinetic_pull(),
        fixtures::refused_ball(),
        fixtures::no_rig(),
    ] {
        let bytes = pdf(&answer, Units::Metric, MADE).expect("a PDF");
        let text = String::from_utf8_lossy(&bytes);
        let pages = text.matches("/Type/Page/").count() + text.matches("/Type /Page\n").count();
        assert_eq!(pages, 2, "{}", answer.plan.title);
    }
}

#[test]
fn checklist_takes_refused_parts_out() {
    let brief = brief(&fixtures::refused_ball(), Units::Metric, MADE);
    let section = brief
        .sections
        .iter()
        .find(|s| s.topic == Topic::Checklist)
        .expect("a checklist");
    let Block::List { items, .. } = &section.blocks[0] else {
        panic!("a list")
    };
    assert!(
        items
            .iter()
            .any(|i| i.starts_with("tow ball taken out of the load path"))
    );
}

#[test]
fn golden_page() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/golden/kinetic.html");
    // The fonts are checked by their own files, not in the golden page.
    let page: String = page(&fixtures::kinetic_pull())
        .lines()
        .filter(|l| !l.starts_with("@font-face"))
        .map(|l| format!("{l}\n"))
        .collect();
    if std::env::var_os("BLESS").is_some() {
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("the folder can be made");
        std::fs::write(&path, &page).expect("the golden file can be written");
    }
    let golden = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        golden == page,
        "the page differs from its golden file; look at it, then BLESS=1"
    );
}

/// A rig laid out on the ground has no arrival at a far vehicle: what leaves is told.
#[test]
fn the_worst_parting_of_a_laid_out_rig_is_never_said_not_to_arrive() {
    let mut answer = fixtures::good_tow();
    answer.let_go.cases.clear();
    answer.let_go.worst = Some("tree strap".into());
    answer.let_go.partings = vec![steadypull_contract::answer::Parting {
        part: "tree strap".into(),
        what: "line".into(),
        at: "tree to block 1".into(),
        x_m: 0.0,
        y_m: 0.0,
        z_m: 0.6,
        load_n: 42e3,
        released_energy_j: 4082.0,
        freed: vec![],
        holding: "nothing holds the casualty".into(),
        runs_left: vec![],
        casualty_held_by: vec![],
        slack_m: None,
        flights: vec![],
        side: "into the bight".into(),
        times_injury: 46.0,
    }];
    let page = plain(&page(&answer));
    assert!(page.contains("Worst let-go, as it leaves"));
    assert!(page.contains("nothing holds the casualty"));
    assert!(!page.contains("does not arrive"));
}

/// The studies that were asked for stand in the brief, each with its figures; a brief
/// without them does not mention them.
#[test]
fn studies_stand_in_the_brief_that_asked_for_them() {
    let text = include_str!("../../../examples/side-slope-bridle.toml");
    let plan = steadypull_contract::plan_file::read_plan(text).expect("it reads");
    let answer = steadypull_contract::answer_plan(&plan).expect("an answer");
    let options = ChanceOptions {
        runs: ChanceRuns::Count(64),
        ..ChanceOptions::default()
    };
    let never = std::sync::atomic::AtomicBool::new(false);
    let mut chance = chance(text, &options, &mut |_| (), &never).expect("it can be studied");
    chance.zone.computed_governs = true;
    let studied = Studied {
        answer: &answer,
        chance: Some(&chance),
        dampers: None,
    };
    let with = html(studied, Units::Metric, MADE).expect("a page");
    let without = html(&answer, Units::Metric, MADE).expect("a page");
    let drawn = pdf(studied, Units::Metric, MADE).expect("a PDF");
    assert!(drawn.starts_with(b"%PDF"));
    for which in ChanceFigure::ALL {
        let title = plain(which.title());
        assert!(plain(&with).contains(&title), "{title}");
        assert!(!plain(&without).contains(&title), "{title}");
        for size in ["wide", "narrow"] {
            let id = format!("id=\"{}-{size}-title\"", which.name());
            assert!(with.contains(&id), "{id}");
        }
    }
    for line in &chance.summary {
        let start = line.trim_end_matches('.');
        assert!(plain(&with).contains(&plain(start)), "{line}");
    }
    for text in brief(studied, Units::Metric, MADE).texts() {
        assert!(plain(&with).contains(&plain(&text)), "{text}");
    }
    // Where the rule sets the zone all round the plan view has it already.
    let mut ruled = chance.clone();
    ruled.zone.computed_governs = false;
    let ruled = Studied {
        chance: Some(&ruled),
        ..studied
    };
    let page = html(ruled, Units::Metric, MADE).expect("a page");
    assert!(!plain(&page).contains(ChanceFigure::ZoneMap.title()));
    assert!(plain(&page).contains(ChanceFigure::Tornado.title()));
}
