//! A training scene: the casualty at the origin, its tail towards the tug 25 m
//! off along x, whose nose with the winch points back at it.

use crate::line::{Condition, Material};
use crate::plan::Hitch;
use crate::plan::{
    Anchor, AnchorKind, AnchorVehicle, Block, BodyShape, Bridle, Casualty, DrivenWheels, Kit,
    Layout, Line, Method, Part, People, Place, Plan, PointKind, Policy, Pose, RecoveryPoint, Rig,
    Run, Shackle, ShackleKind, Soil, Surface, Tree, TreeSort, Tug, Vehicle, Winch, WinchDrive,
};
use crate::units::{Angle, Duration, Force, Length, Mass, Power, Pressure, Speed};

/// A plan with this rig.
pub fn plan(method: Method, runs: &[(&str, &[&str])]) -> Plan {
    Plan {
        title: "Wombat Gully".into(),
        place: None,
        casualty: casualty(),
        tug: tug(),
        kit: kit(),
        rig: Some(Rig {
            method,
            path: Vec::new(),
            layout: Some(Layout {
                casualty: pose(0.0, 0.0, 180.0),
                tug: pose(25.0, 0.0, 180.0),
                runs: runs.iter().map(run).collect(),
            }),
            run_up_speed: None,
            slack: Length::ZERO,
        }),
        site: Default::default(),
        people: People {
            crew: 2,
            bystanders: 0,
            bystanders_at: None,
        },
        policy: Policy::default(),
        tried: Vec::new(),
        lowering: None,
        seed: 1,
        units: Default::default(),
        assumed: Vec::new(),
        spreads: Vec::new(),
        tested: Vec::new(),
    }
}

fn run((name, path): &(&str, &[&str])) -> Run {
    Run {
        name: name.to_string(),
        path: path.iter().map(|step| step.to_string()).collect(),
    }
}

pub fn pose(x: f64, y: f64, facing_deg: f64) -> Pose {
    Pose {
        at: place(x, y, 0.0),
        facing: Angle::from_deg(facing_deg),
    }
}

pub fn place(x: f64, y: f64, z: f64) -> Place {
    Place {
        x: Length::new(x),
        y: Length::new(y),
        z: Length::new(z),
    }
}

fn casualty() -> Casualty {
    Casualty {
        vehicle: vehicle("Wagon 1"),
        sunk: None,
        soil: Soil::Clay,
        stuck_for: Duration::from_min(30.0),
        contact_area: None,
        slope_along: Angle::ZERO,
        slope_across: Angle::ZERO,
        held_by: None,
        locked_wheels: 0,
        own_drive: false,
        back_along_tracks: false,
        overturned: false,
        free_after: Length::new(3.0),
    }
}

fn tug() -> Tug {
    Tug {
        vehicle: vehicle("Wagon 2"),
        surface: Surface::Grass,
        grip: 0.5,
        grip_spread: 0.2,
        rolling: 0.08,
        slope_along: Angle::ZERO,
        power: Power::from_kw(100.0),
        max_drive: Force::from_kn(25.0),
        holds_drive: true,
        winch: Some(Winch {
            drive: WinchDrive::Electric,
            rated_pull: Force::from_lbf(9500.0),
            layer: 4,
            drum_diameter: Length::from_mm(64.0),
            drum_width: Length::from_mm(230.0),
            line: "winch-line".into(),
            line_speed: Speed::new(0.15),
            height: Length::new(0.6),
            forward: Length::new(2.3),
            mount_mass: Mass::new(35.0),
            mount_mbs: None,
            flange_diameter: None,
            line_diameter: None,
            packing: 0.8,
            least_wraps: 10,
            paid_out: Length::new(30.0),
            plate: crate::pull::winch::preset::preset("WG-E42")
                .expect("a preset")
                .plate,
            preset: None,
        }),
    }
}

fn vehicle(name: &str) -> Vehicle {
    Vehicle {
        name: name.into(),
        mass: Mass::new(2600.0),
        gross_mass: Mass::new(3000.0),
        driven: DrivenWheels::All,
        tyre_pressure: Pressure::from_psi(35.0),
        road_tyre_pressure: Pressure::from_psi(35.0),
        recovery_points: points(),
        shape: BodyShape::wagon(),
    }
}

pub fn points() -> Vec<RecoveryPoint> {
    [
        ("rear", -2.3, 0.0),
        ("rear-left", -2.3, 0.42),
        ("rear-right", -2.3, -0.42),
        ("front", 2.3, 0.0),
        ("front-left", 2.3, 0.42),
        ("front-right", 2.3, -0.42),
    ]
    .map(|(name, forward, offset)| RecoveryPoint {
        name: name.into(),
        kind: PointKind::Rated,
        wll: Some(Force::from_tf(4.5)),
        mbs: None,
        torn_off_mass: Mass::new(1.5),
        height: Length::new(0.6),
        offset: Length::new(offset),
        forward: Length::new(forward),
        side_angle: Angle::ZERO,
    })
    .into()
}

fn kit() -> Kit {
    let lines = [
        ("winch-line", 60.0),
        ("strap-1", 2.0),
        ("strap-2", 2.0),
        ("strap-3", 2.0),
        ("long-1", 18.0),
        ("long-2", 18.0),
        ("tow-1", 22.0),
    ];
    let lines = lines.map(|(name, length)| Part::Line(line(name, length)));
    let shackles = (1..10).map(|i| Part::Shackle(shackle(&format!("bow-{i}"))));
    let blocks = ["block-1", "block-2", "block-3", "block-4"].map(|name| block(name, None));
    let rings = ["ring-1", "ring-2"].map(|name| block(name, Some(0.15)));
    let bridles = [
        bridle("bridle-e", "casualty.rear", true),
        bridle("bridle-f", "casualty.rear", false),
        bridle("tug-bridle", "tug.front", false),
    ];
    let parts = lines
        .into_iter()
        .chain(shackles)
        .chain(blocks)
        .chain(rings)
        .chain(bridles);
    Kit {
        parts: parts.collect(),
        anchors: vec![
            tree("tree-1", 12.0, 8.0),
            tree("tree-2", 25.0, 10.0),
            wagon(),
        ],
        ..Kit::default()
    }
}

pub fn line(name: &str, length_m: f64) -> Line {
    let material = Material::Hmpe;
    let mbs = Force::from_tf(10.0);
    Line {
        name: name.into(),
        material,
        kinetic: false,
        length: Length::new(length_m),
        mbs,
        wll: None,
        mass_per_length: material.mass_per_length(mbs),
        curve: material.curve().unwrap(),
        condition: Condition::default(),
        labelled: true,
        hitch: Hitch::Straight,
        parts_at: None,
    }
}

fn shackle(name: &str) -> Shackle {
    Shackle {
        name: name.into(),
        kind: ShackleKind::Bow,
        wll: Some(Force::from_tf(4.75)),
        mbs: Force::from_tf(23.75),
        mass: Mass::new(1.3),
        side_angle: Angle::ZERO,
        pin_gap: None,
    }
}

fn block(name: &str, ring_friction: Option<f64>) -> Part {
    Part::Block(Block {
        name: name.into(),
        wll: Force::from_tf(8.0),
        mbs: Force::from_tf(16.0),
        efficiency: 0.9,
        ring_friction,
        sheave_diameter: Length::from_mm(80.0),
        mass: Mass::new(2.5),
    })
}

fn bridle(name: &str, points: &str, equalising: bool) -> Part {
    Part::Bridle(Bridle {
        line: line(name, 3.0),
        points: [format!("{points}-left"), format!("{points}-right")],
        span: Length::new(0.84),
        equalising,
    })
}

pub fn tree(name: &str, x: f64, y: f64) -> Anchor {
    Anchor {
        name: name.into(),
        place: place(x, y, 0.6),
        kind: AnchorKind::Tree(Tree {
            stem_diameter: Length::new(0.45),
            strap_height: Length::new(0.6),
            height: Length::new(15.0),
            sort: TreeSort::Other,
            sound: true,
        }),
    }
}

fn wagon() -> Anchor {
    let pose = pose(25.0, -6.0, 0.0);
    Anchor {
        name: "wagon-3".into(),
        place: pose.at,
        kind: AnchorKind::Vehicle(AnchorVehicle {
            pose,
            mass: Mass::new(2600.0),
            grip: 0.5,
            grip_spread: 0.2,
            slope_along: Angle::ZERO,
            chocked: true,
            tows: true,
            recovery_points: points(),
        }),
    }
}
