//! A winch from the plan file to the answer.

use steadypull_contract::answer::{Answer, HaulEnd, Severity};
use steadypull_contract::{answer_plan, plan_file::read_plan};
use steadypull_engine::plan::{Plan, WinchDrive, WinchPlate};
use steadypull_engine::units::{Force, Length};

const BEFORE: &str = r#"
[casualty]
mass = "2.2 t"
sits_in = "clay"
sunk_to = "wheel"
free_after = "5 m"

[casualty.point.rear]
kind = "rated"
wll = "4.5 t"
mbs = "13.5 t"

[tug]
mass = "3.5 t"
surface = "dry-road"

[line.winch-line]
material = "hmpe"
length = "26 m"
mbs = "9 t"

[block.block-1]
wll = "9 t"
mbs = "18 t"

[shackle.soft-1]
kind = "soft"
mbs = "15 t"

[rig]
method = "winch-single"
path = ["casualty.rear", "soft-1", "winch-line", "tug.winch"]

[tug.winch]
line = "winch-line"
line_diameter = "10 mm"
"#;

fn read(winch: &str) -> Plan {
    let text = format!("{BEFORE}{winch}");
    read_plan(&text).unwrap_or_else(|problems| panic!("{}", problems.report("plan.toml", &text)))
}

fn answered(winch: &str) -> Answer {
    answer_plan(&read(winch)).unwrap_or_else(|error| panic!("{error}"))
}

fn codes(answer: &Answer) -> Vec<&str> {
    answer.findings.iter().map(|f| f.code.as_str()).collect()
}

#[test]
fn a_preset_alone_is_a_winch() {
    for (preset, drive) in [
        ("WG-E42", WinchDrive::Electric),
        ("WG-E42-24", WinchDrive::Electric),
        ("WG-H80", WinchDrive::Hydraulic),
        ("WG-L15", WinchDrive::Hand),
    ] {
        let plan = read(&format!("preset = \"{preset}\"\n"));
        let winch = plan.tug.winch.as_ref().expect("a winch");
        assert_eq!(winch.drive, drive);
        let answer = answer_plan(&plan).expect("an answer");
        let haul = answer.pull.winch.as_ref().expect("a haul");
        assert!(haul.design.energy.error_share.abs() < 1e-3, "{preset}");
        assert_eq!(
            haul.design.electric.is_some(),
            drive == WinchDrive::Electric
        );
        assert!(answer.non_finite().is_empty());
    }
}

#[test]
fn few_defaults_are_listed_for_a_winch() {
    let plan = read("rated_pull = \"4 t\"\n");
    let of_the_plate = ["preset", "paid_out", "least_wraps", "packing"];
    for key in of_the_plate {
        let key = format!("tug.winch.{key}");
        let count = plan.assumed.iter().filter(|a| a.key == key).count();
        assert_eq!(count, 1, "{key}");
    }
    let winch = plan
        .assumed
        .iter()
        .filter(|a| a.key.starts_with("tug.winch."));
    // Drive, layer, drum, speed, height, mount as before, and the four.
    assert_eq!(winch.count(), 7 + of_the_plate.len());
}

#[test]
fn a_plan_without_a_winch_lists_none_of_it() {
    let text = "[casualty]\nmass = \"2.6 t\"\nsits_in = \"clay\"\n[tug]\nmass = \"2.9 t\"\nsurface = \"grass\"\n";
    let plan = read_plan(text).expect("a plan");
    assert!(plan.assumed.iter().all(|a| !a.key.contains("winch")));
}

#[test]
fn the_voltage_picks_the_preset_and_the_rating_scales_it() {
    let plan = read("rated_pull = \"8.4 t\"\nvolts = \"24 V\"\n");
    let winch = plan.tug.winch.expect("a winch");
    assert_eq!(winch.preset.as_deref(), Some("WG-E42-24"));
    let WinchPlate::Electric(plate) = winch.plate else {
        panic!("no motor")
    };
    let last = plate.rows.last().expect("rows");
    assert!((last.pull / Force::from_tf(8.4) - 1.0).abs() < 1e-12);
    // Twice the pull at the same speed: twice the power, twice the current.
    assert!((last.current.get() - 400.0).abs() < 1e-9);
}

#[test]
fn the_layer_follows_from_the_line_paid_out() {
    let layer = |out: &str| {
        let plan = read(&format!("preset = \"WG-E42\"\npaid_out = \"{out}\"\n"));
        plan.tug.winch.expect("a winch").layer
    };
    assert_eq!(
        [layer("24 m"), layer("20 m"), layer("12 m"), layer("0 m")],
        [1, 2, 3, 5]
    );
    let plan = read("preset = \"WG-E42\"\nlayer = 2\n");
    let out = plan.tug.winch.expect("a winch").paid_out;
    assert!(
        out > Length::new(16.5) && out < Length::new(21.8),
        "{out:?}"
    );
}

#[test]
fn the_haul_uses_the_advantage_of_the_rig() {
    let single = answered("preset = \"WG-E42\"\npaid_out = \"20 m\"\n");
    let text = format!("{BEFORE}preset = \"WG-E42\"\npaid_out = \"20 m\"\n")
        .replace("winch-single", "winch-multi")
        .replace(
            "\"soft-1\", \"winch-line\"",
            "\"soft-1\", \"block-1\", \"winch-line\"",
        );
    let double = answer_plan(&read_plan(&text).expect("a plan")).expect("an answer");
    let (one, two) = (
        single.pull.winch.expect("a haul"),
        double.pull.winch.expect("a haul"),
    );
    assert_eq!((one.haul_per_metre, two.haul_per_metre), (1.0, 2.0));
    assert!((two.advantage - 1.9).abs() < 1e-12);
    assert_eq!(
        (one.median.end, two.median.end),
        (HaulEnd::Arrived, HaulEnd::Arrived)
    );
    let ratio = one.median.greatest_line_pull_n / two.median.greatest_line_pull_n;
    assert!((ratio - 1.9).abs() < 1e-9, "{ratio}");
    assert!((two.median.line_in_m - 2.0 * one.median.line_in_m).abs() < 1e-6);
}

#[test]
fn what_is_wrong_is_found() {
    let few = answered("preset = \"WG-E42\"\npaid_out = \"25 m\"\n");
    assert!(codes(&few).contains(&"winch-wraps"));
    let finding = few.findings.iter().find(|f| f.code == "winch-wraps");
    assert_eq!(finding.map(|f| f.severity), Some(Severity::Critical));

    let layer = answered("preset = \"WG-E42\"\npaid_out = \"12 m\"\nlayer = 1\n");
    assert!(codes(&layer).contains(&"winch-layer"));

    let full = answered("preset = \"WG-E42\"\nflange_diameter = \"160 mm\"\npacking = \"80 %\"\n");
    assert!(
        codes(&full).contains(&"winch-drum-full"),
        "{:?}",
        codes(&full)
    );

    let flat = answered(
        "preset = \"WG-E42\"\nstate_of_charge = \"21 %\"\nalternator = \"0 A\"\nbattery_capacity = \"10 Ah\"\n",
    );
    assert!(
        codes(&flat).contains(&"winch-battery"),
        "{:?}",
        codes(&flat)
    );

    let weak = answered("rated_pull = \"0.4 t\"\n");
    assert!(
        codes(&weak).contains(&"winch-overload"),
        "{:?}",
        codes(&weak)
    );

    let flat_cable =
        answered("preset = \"WG-E42\"\ncable_length = \"50 m\"\ncable_section = \"6 mm2\"\n");
    assert!(
        codes(&flat_cable).contains(&"winch-stall"),
        "{:?}",
        codes(&flat_cable)
    );
}

#[test]
fn a_rig_without_a_winch_has_no_haul() {
    let text = format!("{BEFORE}preset = \"WG-E42\"\n")
        .replace("winch-single", "steady-tow")
        .replace(
            "\"winch-line\", \"tug.winch\"",
            "\"winch-line\", \"tug.front\"",
        )
        .replace(
            "[line.winch-line]",
            "[tug.point.front]\nkind = \"rated\"\nwll = \"4.5 t\"\n\n[line.winch-line]",
        );
    let plan = read_plan(&text).unwrap_or_else(|p| panic!("{}", p.report("plan.toml", &text)));
    assert!(answer_plan(&plan).expect("an answer").pull.winch.is_none());
}

#[test]
fn extremes_are_answered_without_a_number_that_is_none() {
    let extremes = [
        "preset = \"WG-E42\"\nstate_of_charge = \"0 %\"\nalternator = \"0 A\"\n",
        "preset = \"WG-E42\"\nbattery_resistance = \"500 mohm\"\ncable_length = \"50 m\"\ncable_section = \"2 mm2\"\n",
        "preset = \"WG-E42\"\nhot_after = \"5 s\"\ncools_in = \"600 min\"\nrest_until = \"40 C\"\n",
        "preset = \"WG-E42\"\nair_temperature = \"-40 C\"\nwinding_limit = \"250 C\"\nalternator = \"600 A\"\n",
        "preset = \"WG-E42\"\ndrum_diameter = \"20 mm\"\ndrum_width = \"20 mm\"\npacking = \"50 %\"\nleast_wraps = 40\n",
        "preset = \"WG-E42\"\nline_speed = \"3 m/s\"\nlayer = 12\n",
        "preset = \"WG-E42\"\npaid_out = \"0 m\"\n",
        "preset = \"WG-E42\"\npaid_out = \"26 m\"\n",
        "preset = \"WG-H80\"\nengine_share = \"5 %\"\n",
        "preset = \"WG-L15\"\nperson_power = \"5 W\"\nhandle_limit = \"1500 N\"\nline_speed = \"0.001 m/s\"\n",
        "rated_pull = \"1000 kN\"\nline_speed = \"0.001 m/s\"\n",
    ];
    for winch in extremes {
        let answer = answered(winch);
        let haul = answer.pull.winch.as_ref().expect(winch);
        for course in [&haul.design, &haul.median] {
            assert!(
                course.energy.error_share.abs() < 1e-3,
                "{winch}: {course:?}"
            );
            assert!(course.movement_m <= haul.distance_m + 1e-9, "{winch}");
        }
        assert!(answer.non_finite().is_empty(), "{winch}");
    }
}
