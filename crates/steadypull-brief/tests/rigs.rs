//! A rig laid out on the ground: every part of line labelled, every node drawn,
//! no words upon other words, at every width that people read.

mod fixtures;

use std::sync::Arc;

use steadypull_brief::content::{Block, Topic, brief};
use steadypull_brief::{BriefError, Figure, figure, html};
use steadypull_contract::answer::{Answer, LinkKind, PlanPoint};
use steadypull_contract::show::Units;
use usvg::fontdb;

/// A text as it stands on its sheet.
#[derive(Debug)]
struct Seen {
    words: String,
    size: f64,
    /// Left, top, right, bottom.
    edges: [f32; 4],
}

fn fonts() -> Arc<fontdb::Database> {
    let mut fonts = fontdb::Database::new();
    fonts.load_font_data(include_bytes!("../fonts/OpenSans-Regular.ttf").to_vec());
    fonts.load_font_data(include_bytes!("../fonts/OpenSans-Bold.ttf").to_vec());
    Arc::new(fonts)
}

/// Every text of a drawing with the box that its letters fill.
fn texts(svg: &str) -> Vec<Seen> {
    let options = usvg::Options {
        font_family: "Open Sans".into(),
        fontdb: fonts(),
        ..usvg::Options::default()
    };
    let tree = usvg::Tree::from_str(svg, &options).expect("an SVG that can be drawn");
    let mut found = Vec::new();
    collect(tree.root(), &mut found);
    found
}

fn collect(group: &usvg::Group, found: &mut Vec<Seen>) {
    for node in group.children() {
        match node {
            usvg::Node::Group(group) => collect(group, found),
            usvg::Node::Text(text) => {
                let edges = text.abs_bounding_box();
                let chunks = text.chunks();
                found.push(Seen {
                    words: chunks.iter().map(|c| c.text()).collect(),
                    size: f64::from(chunks[0].spans()[0].font_size().get()),
                    edges: [edges.left(), edges.top(), edges.right(), edges.bottom()],
                });
            }
            _ => {}
        }
    }
}

fn overlap(a: &Seen, b: &Seen) -> bool {
    let ([al, at, ar, ab], [bl, bt, br, bb]) = (a.edges, b.edges);
    // Boxes hold the room over and under letters too: a third of it may meet.
    let lap = 0.3 * a.size.min(b.size) as f32;
    al < br && bl < ar && at + lap < bb && bt + lap < ab
}

/// The figure alone, then as a phone and as a printed page show it.
fn drawn(answer: &Answer, which: Figure) -> Vec<String> {
    let page = html(answer, Units::Metric, "").expect("a page");
    let mut found = vec![figure(answer, which, Units::Metric).expect("a figure")];
    for width in ["narrow", "wide"] {
        let id = format!("aria-labelledby=\"{}-{width}-title", which.name());
        let at = page.find(&id).expect("drawn at this width");
        let from = page[..at].rfind("<svg").expect("an SVG");
        let to = at + page[at..].find("</svg>").expect("its end") + "</svg>".len();
        found.push(page[from..to].to_string());
    }
    found
}

/// A rig of so many parts of line in a zigzag between blocks.
fn zigzag(parts: usize) -> Answer {
    let mut answer = fixtures::redirected_double_line();
    let outlines = &mut answer.standoff.outlines;
    let block = outlines
        .iter()
        .find(|o| o.what == "block")
        .cloned()
        .expect("a block");
    let line = outlines
        .iter()
        .find(|o| o.what == "line")
        .cloned()
        .expect("a line");
    let place = |i: usize| PlanPoint {
        x_m: 2.0 * i as f64,
        y_m: if i.is_multiple_of(2) { 0.0 } else { 6.0 },
    };
    for i in 0..parts {
        outlines.push(steadypull_contract::answer::Outline {
            name: format!("zigzag-{i}"),
            points: vec![place(i), place(i + 1)],
            tension_n: Some(40_000.0 + 100.0 * i as f64),
            ..line.clone()
        });
        outlines.push(steadypull_contract::answer::Outline {
            name: format!("turn-{i}"),
            points: vec![place(i)],
            ..block.clone()
        });
    }
    answer
}

#[test]
fn every_part_of_line_has_its_tension_and_every_turn_its_name() {
    let answer = fixtures::redirected_double_line();
    for svg in drawn(&answer, Figure::PlanView) {
        let seen = texts(&svg);
        let count = |words: &str| seen.iter().filter(|t| t.words == words).count();
        for run in &answer.rig.as_ref().expect("laid out").runs {
            for part in &run.parts {
                let tension = Units::Metric.force(part.tension_n);
                let alike = answer.standoff.outlines.iter();
                let alike = alike
                    .filter(|o| o.tension_n == Some(part.tension_n))
                    .count();
                assert_eq!(count(&tension), alike, "{} to {}", part.from, part.to);
            }
        }
        for name in [
            "block-1",
            "block-2",
            "tree-a",
            "tree-b",
            "front",
            "tug.winch",
        ] {
            assert_eq!(count(name), 1, "{name}");
        }
        for vehicle in ["CASUALTY", "TUG"] {
            assert_eq!(count(vehicle), 1, "{vehicle}");
        }
    }
}

#[test]
fn no_words_stand_on_other_words_and_none_are_too_small_to_read() {
    for answer in [fixtures::redirected_double_line(), zigzag(12)] {
        for (i, svg) in drawn(&answer, Figure::PlanView).iter().enumerate() {
            let seen = texts(svg);
            assert!(seen.len() > 15, "{}", seen.len());
            for (n, a) in seen.iter().enumerate() {
                assert!(a.size >= 10.0, "{a:?}");
                assert!(
                    a.edges[0] >= -0.5,
                    "{a:?} hangs over the edge of drawing {i}"
                );
                for b in &seen[n + 1..] {
                    assert!(!overlap(a, b), "drawing {i}: {a:?} on {b:?}");
                }
            }
        }
    }
}

#[test]
fn a_rig_of_fifty_parts_is_drawn_with_nothing_lost() {
    let answer = zigzag(50);
    let svg = figure(&answer, Figure::PlanView, Units::Metric).expect("a figure");
    let all: String = texts(&svg)
        .iter()
        .map(|t| format!("{} ", t.words))
        .collect();
    let all = all.replace('\u{a0}', " ");
    for i in 0..50 {
        let tension = Units::Metric.force(40_000.0 + 100.0 * f64::from(i));
        assert!(all.contains(&tension), "{tension}");
        assert!(
            all.contains(&format!("turn-{i} "))
                || all.contains(&format!("turn-{i};"))
                || all.contains(&format!("turn-{i}.")),
            "turn-{i}"
        );
    }
}

#[test]
fn slack_is_a_word_not_a_number() {
    let mut answer = fixtures::redirected_double_line();
    let line = answer
        .standoff
        .outlines
        .iter_mut()
        .find(|o| o.what == "line");
    line.expect("a line").tension_n = Some(0.0);
    let svg = figure(&answer, Figure::PlanView, Units::Metric).expect("a figure");
    assert!(texts(&svg).iter().any(|t| t.words == "slack"));
}

#[test]
fn the_strip_names_each_branch_once_and_numbers_every_link() {
    let answer = fixtures::redirected_double_line();
    for svg in drawn(&answer, Figure::LoadPathStrip) {
        let seen = texts(&svg);
        let count = |words: &str| seen.iter().filter(|t| t.words == words).count();
        let words: Vec<&str> = seen.iter().map(|t| t.words.as_str()).collect();
        // A narrow branch breaks its heading.
        let words = words.join(" ").replace('\u{a0}', " ");
        for node in ["block-1", "block-2"] {
            let heading = format!("Branch at {node}");
            assert_eq!(words.matches(&heading).count(), 1, "{heading}");
        }
        for number in 1..=answer.load_path.links.len() {
            assert_eq!(count(&number.to_string()), 1, "link {number}");
        }
    }
    let straight = figure(&fixtures::good_tow(), Figure::LoadPathStrip, Units::Metric);
    assert!(!straight.expect("a strip").contains("Branch"));
}

#[test]
fn the_brief_gives_the_haul_its_limit_and_the_part_that_sets_it() {
    let texts = brief(&fixtures::redirected_double_line(), Units::Metric, "").texts();
    let after = |name: &str| {
        let at = texts.iter().position(|t| t == name).expect(name);
        (texts[at + 1].as_str(), texts[at + 2].as_str())
    };
    assert_eq!(
        after("Never haul past"),
        ("20.7 kN", "bow-2 is then at what it may carry")
    );
    assert!(
        texts
            .iter()
            .any(|t| t == "A load cell at the haul passes 20.7 kN.")
    );
    assert!(!texts.iter().any(|t| t == "Never load the line past"));
}

#[test]
fn roles_and_checks_are_those_of_the_rig() {
    let roles = |answer: &Answer| {
        let brief = brief(answer, Units::Metric, "");
        let section = brief.sections.into_iter().find(|s| s.topic == Topic::Roles);
        match &section.expect("roles").blocks[0] {
            Block::Pairs(pairs) => pairs.iter().map(|p| p.name.clone()).collect::<Vec<_>>(),
            other => panic!("{other:?}"),
        }
    };
    let laid_out = fixtures::redirected_double_line();
    for role in ["Winch operator", "Anchor watcher", "Bight keeper"] {
        assert!(roles(&laid_out).iter().any(|r| r == role), "{role}");
        assert!(
            !roles(&fixtures::good_tow()).iter().any(|r| r == role),
            "{role}"
        );
    }
    let mut winched = fixtures::good_tow();
    winched.load_path.links[5].kind = LinkKind::Winch;
    assert_eq!(
        roles(&winched).last().map(String::as_str),
        Some("Winch operator")
    );
    let texts = brief(&laid_out, Units::Metric, "").texts();
    for start in [
        "block-1, block-2: side plates closed",
        "Nobody in the bight",
        "tree-a, tree-b: sound and alive",
        "Anchor tree-b: 32.1 kN asked of it",
    ] {
        assert!(texts.iter().any(|t| t.starts_with(start)), "{start}");
    }
}

#[test]
fn odd_numbers_are_drawn_or_refused() {
    for odd in [0.0, -0.0, 1e-300, 1e300, -1e300, f64::NAN, f64::INFINITY] {
        for every in [1, 2, 3] {
            let mut answer = fixtures::redirected_double_line();
            let outlines = answer.standoff.outlines.iter_mut();
            for outline in outlines.step_by(every) {
                outline.tension_n = outline.tension_n.map(|_| odd);
                outline.points.iter_mut().for_each(|p| p.x_m = odd);
            }
            let rig = answer.rig.as_mut().expect("laid out");
            (rig.haul_n, rig.efficiency, rig.real_advantage) = (odd, Some(odd), odd);
            rig.nodes.iter_mut().for_each(|n| n.load_n = odd);
            match figure(&answer, Figure::PlanView, Units::Imperial) {
                Ok(svg) => {
                    assert!(!svg.contains("=\"NaN") && !svg.contains("=\"inf"), "{odd}");
                    texts(&svg);
                }
                Err(BriefError::NothingToDraw { .. }) => {}
                Err(error) => panic!("{odd}: {error}"),
            }
        }
    }
}
