//! Drum, supply and motor of a winch, and a haul in time.

use crate::check::{Tolerance, check, checks};
use crate::situations::{haul_winch, winch_line};
use steadypull_engine::plan::{Cable, WinchPlate};
use steadypull_engine::pull::winch::drum::PACKING;
use steadypull_engine::pull::winch::preset::preset;
use steadypull_engine::pull::winch::supply::{
    AWG_SOURCE, COPPER_SOURCE, awg_diameter, awg_section, cable_resistance,
};
use steadypull_engine::pull::winch::{
    Drum, End, HaulLoad, HaulOutcome, HaulSetup, run, winch_pull,
};
use steadypull_engine::source::{Source, Status};
use steadypull_engine::units::{Area, Force, Length};

const TM_TABLE: Source = Source::new(
    "US Army TM 9-2320-338-10, WP 0084, table 2",
    Status::Read,
);
const LAYER_RULE: Source = Source::new("constant-torque drum", Status::Computed);
const J706: Source = Source::new("SAE J706-2017, third-party summary", Status::Read);
const CURRENT: Source = Source::new("common practice", Status::CommonPractice);

/// Pull by layer, lbf, of a drum with `q = 2 d/D_1` of the table and 7/8 in rope.
fn table_pulls() -> Vec<f64> {
    let rope = Length::from_inch(0.875);
    let bare = rope * (2.0 / 0.100651 - 1.0);
    let mut winch = haul_winch();
    winch.rated_pull = Force::from_lbf(20_000.0);
    winch.drum_diameter = bare;
    (1..=5)
        .map(|layer| {
            winch.layer = layer;
            winch_pull(&winch, rope).to_lbf()
        })
        .collect()
}

/// A haul with this line pull on the first layer, one part of line.
fn haul_at(pull: Force, metres: f64) -> HaulOutcome {
    let (mut winch, line) = (haul_winch(), winch_line());
    winch.paid_out = line.length - Length::new(3.0);
    run(&HaulSetup {
        winch: &winch,
        line: &line,
        load: HaulLoad {
            slide: pull,
            suction: Force::ZERO,
            fixed: false,
        },
        advantage: 1.0,
        haul_per_metre: 1.0,
        distance: Length::new(metres),
        walks_at: None,
    })
    .expect("a sound plate")
}

fn currents() -> Vec<f64> {
    let found = preset("WG-E42").expect("a preset");
    let WinchPlate::Electric(plate) = found.plate else {
        return Vec::new();
    };
    let ends = [plate.rows.first(), plate.rows.last()];
    ends.iter().flatten().map(|r| r.current.get()).collect()
}

checks! {
    cv_drum_01 => check("CV-DRUM-01", "line pull by layer, 20 000 lbf on the first", TM_TABLE, "lbf")
        .values(
            table_pulls(),
            [20_000.0, 18_173.0, 16_663.0, 15_361.0, 14_254.0],
            Tolerance::Rel(2e-3),
            "one ratio of rope to drum fits all five rows",
        )
        .note("drum and rope of that winch are not published; their ratio is fitted (CV-DRUM-02)");
    cv_drum_02 => check("CV-DRUM-02", "layer rule at q = 0.100651", LAYER_RULE, "lbf")
        .values(
            table_pulls(),
            [20_000.0, 18_171.1, 16_648.6, 15_361.5, 14_259.2],
            Tolerance::Abs(1.0),
            "figures as printed",
        );
    cv_drum_02_geometry => check("CV-DRUM-02", "P_1/P_n from drum geometry over 1 + (n - 1) q, layers 1 to 8", LAYER_RULE, "-")
        .values(
            {
                let mm = Length::from_mm;
                let drum = Drum::new(mm(64.0), mm(230.0), mm(11.0), PACKING);
                (1..=8)
                    .map(|n| drum.layer_factor(n) / (1.0 + f64::from(n - 1) * 2.0 * 11.0 / 75.0))
                    .collect::<Vec<_>>()
            },
            [1.0; 8],
            Tolerance::Exact,
            "the rule is the geometry",
        );
    cv_j706_01 => check("CV-J706-01", "line held over that wound without a gap", J706, "-")
        .bands(
            {
                // Narrow line, so that whole wraps do not hide the factor.
                let mm = Length::from_mm;
                let wound = |packing| {
                    Drum::new(mm(64.0), mm(230.0), mm(2.0), packing).length_in(4)
                };
                [PACKING, wound(PACKING) / wound(1.0)]
            },
            [(0.7, 0.9), (0.7, 0.9)],
            "drum capacity factor K of 0.7 to 0.9",
        );
    cv_cable_01 => check("CV-CABLE-01", "50 mm2 of copper, 4 m out and back: resistance, drop at 400 A", COPPER_SOURCE, "mohm; V")
        .values(
            {
                let ohm = cable_resistance(Cable {
                    length: Length::new(4.0),
                    section: Area::new(50e-6),
                });
                [ohm.to_mohm(), ohm.get() * 400.0]
            },
            [2.7584, 1.10336],
            Tolerance::Rel(1e-5),
            "figures as printed",
        );
    cv_cable_02 => check("CV-CABLE-02", "AWG 4, 2, 1, 1/0, 2/0: diameter", AWG_SOURCE, "mm")
        .values(
            [4, 2, 1, 0, -1].map(|n| awg_diameter(n).to_mm()),
            [5.18940, 6.54371, 7.34814, 8.25146, 9.26583],
            Tolerance::Rel(1e-4),
            "figures as printed",
        );
    cv_cable_02_resistance => check("CV-CABLE-02", "AWG 4, 2, 1, 1/0, 2/0: resistance at 20 C", AWG_SOURCE, "ohm/km")
        .values(
            // Half a kilometre each way.
            [4, 2, 1, 0, -1].map(|n| {
                cable_resistance(Cable { length: Length::new(500.0), section: awg_section(n) }).get()
            }),
            [0.81511, 0.51262, 0.40653, 0.32239, 0.25567],
            Tolerance::Rel(1e-4),
            "figures as printed",
        );
    cv_amp_01 => check("CV-AMP-01", "12 V preset: current at no load, at rated pull", CURRENT, "A")
        .bands(currents(), [(60.0, 100.0), (350.0, 450.0)], "the band of practice")
        .note("the preset was drawn up from this band");
    cv_amp_01_duty => check("CV-AMP-01", "12 V preset near rated pull: haul before rest, mean rest", CURRENT, "s")
        .bands(
            {
                let rated = haul_winch().rated_pull;
                let out = haul_at(rated * 0.95, 2.0);
                [out.first_rest_s.unwrap_or(0.0), out.resting_s / f64::from(out.rests.max(1))]
            },
            [(40.0, 90.0), (120.0, 900.0)],
            "about 1 min of hard pulling, then minutes of rest",
        )
        .note("the winding's heat was chosen for a minute at rated pull");
    cv_amp_01_books => check("CV-AMP-01", "that haul: battery and alternator over heat and work", Source::new("conservation of energy", Status::Computed), "-")
        .values(
            {
                let books = haul_at(haul_winch().rated_pull * 0.6, 8.0).books;
                [books.put_in() / books.came_out()]
            },
            [1.0],
            Tolerance::Rel(1e-3),
            "0.1 % asked",
        );
    cv_drum_02_haul => check("CV-DRUM-02", "a haul in time ends where the load passes the pull of the layer: line in", LAYER_RULE, "m")
        .values(
            {
                let (mut winch, line) = (haul_winch(), winch_line());
                let drum = Drum::of(&winch, &line);
                winch.layer = 3;
                let third = winch_pull(&winch, winch.diameter_of(&line));
                let wound = (drum.length_in(2) + drum.length_in(3)) / 2.0;
                winch.paid_out = line.length - wound;
                let out = run(&HaulSetup {
                    winch: &winch,
                    line: &line,
                    load: HaulLoad { slide: third * 0.999, suction: Force::ZERO, fixed: false },
                    advantage: 1.0,
                    haul_per_metre: 1.0,
                    distance: Length::new(9.0),
                    walks_at: None,
                }).expect("a sound plate");
                let stopped = if out.end == End::Overload { 1.0 } else { 0.0 };
                [out.line_in.get(), stopped]
            },
            {
                let drum = Drum::of(&haul_winch(), &winch_line());
                [(drum.length_in(3) - drum.length_in(2)).get() / 2.0, 1.0]
            },
            Tolerance::Rel(1e-6),
            "the edge of the layer",
        )
        .note("statics gives the place; the second value is 1 for a stop at the rating");
}
