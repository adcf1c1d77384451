//! Rigs that cannot be laid out, each with its fault.

use super::*;

#[test]
fn a_kinetic_pull_is_not_laid_out() {
    let fault = refused(Method::Kinetic, SINGLE, "kinetic");
    assert_eq!(fault.subject, RigSubject::Layout);
    let mut straight = plan(Method::WinchSingle, SINGLE);
    straight.rig.as_mut().unwrap().layout = None;
    assert!(graph(&straight).is_err());
    assert!(graph(&plan(Method::WinchSingle, &[])).is_err());
}

#[test]
fn names_and_loose_ends() {
    let winch = Method::WinchSingle;
    let fault = refused(
        winch,
        &[("m", &["casualty.rer", "winch-line", "tug.winch"])],
        "casualty.rer",
    );
    assert_eq!(fault.subject, stop("m", 0));
    let fault = refused(winch, &[("m", &["winch-line", "tug.winch"])], "loose end");
    assert_eq!(fault.subject, stop("m", 0));
    refused(
        winch,
        &[("m", &["casualty.rear", "winch-line"])],
        "loose end",
    );
    refused(winch, &[("m", &["casualty.rear"])], "no two ends");
    refused(
        winch,
        &[("m", &["wagon-3", "winch-line", "tug.winch"])],
        "is a vehicle",
    );
    refused(
        winch,
        &[("m", &["casualty.rear", "bow-1", "tug.winch"])],
        "no line in it",
    );
    refused(
        winch,
        &[(
            "m",
            &[
                "casualty.rear",
                "long-1",
                "tug.rear",
                "winch-line",
                "tug.winch",
            ],
        )],
        "in the middle",
    );
    refused(
        winch,
        &[(
            "m",
            &[
                "casualty.rear",
                "long-1",
                "bridle-e",
                "winch-line",
                "tug.winch",
            ],
        )],
        "in the middle",
    );
}

#[test]
fn lines_go_round_blocks_as_written() {
    let multi = Method::WinchMulti;
    let redirect = ("redirect", &["block-1", "strap-1", "tree-1"][..]);
    let again = [
        "tug.winch",
        "winch-line",
        "block-1",
        "winch-line",
        "casualty.rear",
    ];
    assert_eq!(
        refused(multi, &[("m", &again), redirect], "named again").subject,
        stop("m", 3)
    );
    let joined = [
        "tug.winch",
        "winch-line",
        "block-1",
        "long-1",
        "casualty.rear",
    ];
    refused(multi, &[("m", &joined), redirect], "straight into long-1");
    let shackled = [
        "casualty.rear",
        "bow-1",
        "block-1",
        "winch-line",
        "tug.winch",
    ];
    refused(
        multi,
        &[("m", &shackled), redirect],
        "no line goes round block-1",
    );
    let bare = ["casualty.rear", "block-1", "winch-line", "tug.winch"];
    refused(multi, &[("m", &bare), redirect], "no line between");
    let back = ["casualty.rear", "winch-line", "tug.winch"];
    let loop_back = ["block-1", "strap-2", "block-1", "bow-1", "tree-1"];
    refused(
        multi,
        &[("m", &back), ("loop", &loop_back)],
        "straight back",
    );
}

#[test]
fn parts_are_used_once() {
    let fault = refused(
        Method::WinchSingle,
        &[
            ("m", &["casualty.rear", "bow-1", "winch-line", "tug.winch"]),
            (
                "belay",
                &["casualty.rear-left", "bow-1", "long-1", "tree-1"],
            ),
        ],
        "bow-1 is in run m and in run belay",
    );
    assert_eq!(fault.subject, stop("belay", 1));
}

#[test]
fn blocks_and_rings_are_held_and_threaded() {
    let multi = Method::WinchMulti;
    let main = ("m", &["casualty.rear", "winch-line", "tug.winch"][..]);
    refused(
        multi,
        &[main, ("x", &["block-1", "strap-1", "tree-1"])],
        "one part of line",
    );
    refused(
        multi,
        &[
            ("m", &["casualty.rear", "long-1", "block-1"]),
            ("n", &["block-1", "winch-line", "tug.winch"]),
        ],
        "no line goes round block-1",
    );
    refused(
        multi,
        &[(
            "m",
            &[
                "tug.winch",
                "winch-line",
                "block-1",
                "bow-1",
                "casualty.rear",
            ],
        )],
        "nothing holds block-1",
    );
    refused(
        multi,
        &[main, ("x", &["ring-1", "strap-1", "tree-1"])],
        "only one run meets ring-1",
    );
    refused(
        multi,
        &[(
            "m",
            &[
                "tug.winch",
                "winch-line",
                "ring-1",
                "bow-1",
                "casualty.rear",
            ],
        )],
        "only one run meets",
    );
    refused(
        multi,
        &[
            (
                "m",
                &[
                    "tug.winch",
                    "winch-line",
                    "block-1",
                    "tree-1",
                    "block-1",
                    "bow-1",
                    "casualty.rear",
                ],
            ),
            ("x", &["block-1", "strap-1", "tree-2"]),
        ],
        "2 times",
    );
}

#[test]
fn the_haul_is_one_and_reaches_the_casualty() {
    let single = Method::WinchSingle;
    refused(
        single,
        &[("m", &["casualty.rear", "tow-1", "tug.front"])],
        "nothing hauls this rig",
    );
    refused(
        single,
        &[
            ("m", &["casualty.rear", "winch-line", "tug.winch"]),
            ("n", &["casualty.rear-left", "tow-1", "tug.winch"]),
        ],
        "both end at the winch",
    );
    refused(
        single,
        &[("m", &["casualty.rear", "long-1", "tug.winch"])],
        "another line than its own",
    );
    refused(
        single,
        &[("m", &["tree-1", "winch-line", "tug.winch"])],
        "no run reaches the casualty",
    );
    refused(
        single,
        &[
            ("m", &["tree-1", "winch-line", "tug.winch"]),
            ("n", &["casualty.rear", "long-1", "tree-2"]),
        ],
        "does not reach the casualty",
    );
    refused(
        Method::SteadyTow,
        &[
            (
                "m",
                &[
                    "tug.front-left",
                    "winch-line",
                    "block-1",
                    "bow-1",
                    "tug.front-right",
                ],
            ),
            ("x", &["block-1", "bow-2", "casualty.rear"]),
        ],
        "hauled at both ends",
    );
    refused(
        single,
        &[
            ("m", &["casualty.rear", "winch-line", "tug.winch"]),
            ("x", &["ring-1", "strap-1", "ring-2"]),
            ("y", &["ring-1", "strap-2", "ring-2"]),
        ],
        "nothing fixed",
    );
}

#[test]
fn lines_reach() {
    let fault = refused(
        Method::WinchMulti,
        &[
            ("main", &["casualty.rear", "winch-line", "tug.winch"]),
            ("belay", &["casualty.rear-left", "strap-1", "tree-1"]),
        ],
        "tree-1 cannot be reached from casualty.rear-left",
    );
    assert_eq!(fault.subject, RigSubject::Run("belay".into()));
    // 12.4 m from (2.3, -0.42) to (12, 8): at least 10.8 m short of 2 m.
    assert!(
        fault.message.contains("10.8 m too short"),
        "{}",
        fault.message
    );
    let fault = refused(
        Method::WinchMulti,
        &[
            (
                "main",
                &[
                    "casualty.rear",
                    "winch-line",
                    "block-1",
                    "bow-4",
                    "tug.winch",
                ],
            ),
            ("x", &["block-1", "strap-1", "ring-1"]),
            ("y", &["ring-1", "strap-2", "tree-1"]),
            ("z", &["ring-1", "strap-3", "casualty.rear"]),
        ],
        "another line",
    );
    assert_eq!(fault.subject, stop("main", 4));
    refused(
        Method::WinchMulti,
        &[
            (
                "main",
                &[
                    "casualty.rear",
                    "bow-4",
                    "winch-line",
                    "block-1",
                    "tug.winch",
                ],
            ),
            ("x", &["block-1", "bow-1", "ring-1"]),
            ("y", &["ring-1", "strap-2", "tree-1"]),
            ("z", &["ring-1", "strap-3", "casualty.rear"]),
        ],
        "too short",
    );
}

#[test]
fn enough_line_and_enough_wraps() {
    let says = |length_m: f64, said: &str| {
        let faults = with_line(SINGLE, length_m).expect_err("too little line");
        assert!(faults[0].message.contains(said), "{faults:#?}");
    };
    // 20.4 m from point to winch, 0.1 m of it the shackle.
    says(15.0, "needs 20.4 m of line as it lies and has 15.1 m");
    says(21.0, "wraps on the drum; 10 must stay");
    // Ten wraps of a 64 mm drum and a line of about 14 mm are about 2.5 m.
    assert!(with_line(SINGLE, 23.5).is_ok());
    // A double line takes twice that: 20.3 m, and 22.4 m back to the tree at (25, 10).
    assert!(with_line(DOUBLE, 44.0).is_err());
    assert!(with_line(DOUBLE, 48.0).is_ok());
}

#[test]
fn lines_only_pull() {
    let fault = refused(
        Method::WinchSingle,
        &[("m", &["casualty.front", "winch-line", "tug.winch"])],
        "it cannot push",
    );
    assert!(fault.message.contains("casualty.front"));
    let slack = [
        (
            "main",
            &[
                "casualty.rear",
                "bow-1",
                "winch-line",
                "block-1",
                "tug.winch",
            ][..],
        ),
        ("hanger", &["block-1", "long-1", "tree-1"]),
    ];
    refused(Method::WinchMulti, &slack, "straight past block-1");
    let opposite = [
        ("one", &["casualty.rear", "tow-1", "tug.front"][..]),
        (
            "two",
            &["casualty.front", "winch-line", "tree-1", "wagon-3.rear"],
        ),
    ];
    let mut against = plan(Method::SteadyTow, &opposite);
    against.kit.anchors[0] = scene::tree("tree-1", -15.0, 0.0);
    let faults = graph(&against).expect_err("pulls cancel");
    assert!(
        faults[0].message.contains("pulls on it cancel"),
        "{faults:#?}"
    );
}

#[test]
fn what_is_no_number_is_refused() {
    for bad in [f64::NAN, f64::INFINITY] {
        let mut lost = plan(Method::WinchSingle, SINGLE);
        let layout = lost.rig.as_mut().and_then(|rig| rig.layout.as_mut());
        layout.unwrap().tug.at.x = Length::new(bad);
        assert!(graph(&lost).unwrap_err()[0].message.contains("no number"));
        assert!(
            with_line(SINGLE, bad).unwrap_err()[0]
                .message
                .contains("no number")
        );
    }
}

#[test]
fn a_strap_that_never_comes_taut_moves_nothing() {
    // 36 m of strap over 20 m: the ring reaches the winch first.
    let fault = refused(
        Method::WinchSingle,
        &[
            ("haul", &["tug.winch", "winch-line", "ring-1"]),
            (
                "strap",
                &["ring-1", "long-1", "bow-1", "long-2", "casualty.rear"],
            ),
        ],
        "does not move the casualty",
    );
    assert_eq!(fault.subject, RigSubject::Layout);
}
