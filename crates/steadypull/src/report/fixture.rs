//! Invented answers, to see every kind of line a report can hold. They check
//! the layout, never a number.

use steadypull_contract::answer::*;

fn range(low_n: f64, median_n: f64, high_n: f64) -> ForceRange {
    ForceRange {
        low_n,
        median_n,
        high_n,
    }
}

/// An answer with every part filled in, and out of policy.
pub fn answer() -> Answer {
    Answer {
        contract_version: CONTRACT_VERSION,
        plan: plan(),
        verdict: Verdict {
            headline: "Do not pull with this rig".into(),
            within_policy: false,
            first_method: Some(MethodName::ClearAndDig),
            sequence: vec![MethodName::ClearAndDig, MethodName::SteadyTow],
            reasons: vec![
                "The rear hitch of the tug is a tow ball: it never carries a recovery \
                           load, whatever is stamped on it."
                    .into(),
            ],
        },
        situation: situation(),
        options: Options {
            ladder: vec![rung(), rung_without_gear()],
        },
        load_path: load_path(),
        rig: None,
        pull: Pull {
            kinetic: Some(kinetic()),
            missing: None,
            winch: Some(super::winch::sample::haul()),
        },
        let_go: LetGo {
            load_case: "at the peak of the pull".into(),
            cases: vec![case()],
            partings: vec![],
            faces: vec![face()],
            worst: Some("bow shackle".into()),
            injury_energy_j: 79.0,
            injury_source: "invented source".into(),
            shelter: "no vehicle shelters anybody".into(),
            missing: None,
        },
        standoff: standoff(),
        lowering: None,
        findings: vec![finding(Severity::Critical), finding(Severity::Note)],
        cautions: cautions(),
    }
}

/// An answer with a rig laid out on the ground.
pub fn laid_out_answer() -> Answer {
    let mut answer = answer();
    let mut branch = link(LinkState::Within, Some(0.2));
    branch.name = "trunk strap".into();
    branch.run = Some("redirect".into());
    branch.joins = Some("block-2".into());
    answer.load_path.links.push(branch);
    answer.rig = Some(rig());
    answer
}

fn rig() -> RigState {
    let part = |from: &str, to: &str, holds: &[&str]| RigPart {
        from: from.into(),
        to: to.into(),
        tension_n: 18_500.0,
        length_m: 12.3,
        holds: holds.iter().map(|h| h.to_string()).collect(),
    };
    RigState {
        motion: RigMotion::HaulingIn,
        haul_n: 18_500.0,
        pull_n: 31_000.0,
        pull_direction_deg: -0.3,
        pull_rise_deg: 4.0,
        ideal_advantage: 1.96,
        real_advantage: 1.675,
        efficiency: Some(0.855),
        haul_per_metre: 1.96,
        movement_m: 4.0,
        hauled_in_m: 7.84,
        paid_out_m: 41.2,
        greatest_haul_n: Some(20_700.0),
        greatest_haul_set_by: Some("bow shackle".into()),
        residual: 3e-12,
        anchors: Vec::new(),
        nodes: vec![
            node("block-2", RigNodeKind::Block, Some(48.4)),
            node("tug.winch", RigNodeKind::Winch, None),
        ],
        runs: vec![
            RigRun {
                name: "haul".into(),
                words: "hauled in at tug.winch, from tree-a to tug.winch".into(),
                hauled: true,
                slack: false,
                rest_m: 45.0,
                length_m: 24.6,
                parts: vec![
                    part("tree-a", "block-2", &["strap-a", "winch-line"]),
                    part("block-2", "tug.winch", &["winch-line"]),
                ],
            },
            RigRun {
                name: "belay-with-a-name-that-goes-on-for-longer-than-a-line".into(),
                words: "keeps its length, from tree-b to casualty.rear".into(),
                hauled: false,
                slack: true,
                rest_m: 13.0,
                length_m: 12.3,
                parts: vec![part("tree-b", "casualty.rear", &["belay-line"])],
            },
        ],
    }
}

fn node(name: &str, kind: RigNodeKind, included: Option<f64>) -> RigNode {
    RigNode {
        name: name.into(),
        kind,
        x_m: 17.1,
        y_m: -2.97,
        z_m: 0.6,
        fixed: included.is_none(),
        load_n: 32_090.0,
        load_direction_deg: Some(-165.8),
        load_rise_deg: Some(-0.2),
        included_angle_deg: included,
        side_angle_deg: included.is_none().then_some(7.1),
        travel_per_metre: 0.02,
        travel_direction_deg: included.map(|_| 80.0),
    }
}

/// An answer with nothing to rig.
pub fn bare_answer() -> Answer {
    let mut answer = answer();
    answer.verdict.sequence.clear();
    answer.verdict.first_method = None;
    answer.load_path.links.clear();
    answer.load_path.missing = Some("no rig could be put together".into());
    answer.pull = Pull {
        kinetic: None,
        missing: Some("no kinetic line on hand".into()),
        winch: None,
    };
    answer.let_go.cases.clear();
    answer.let_go.missing = Some("nothing is loaded, so nothing flies".into());
    answer.findings.clear();
    answer.plan.assumed.clear();
    answer.plan.place = None;
    answer
}

fn plan() -> PlanSummary {
    PlanSummary {
        title: "A layout check".into(),
        place: Some("Lower paddock".into()),
        casualty: "wagon".into(),
        tug: "ute".into(),
        casualty_mass_kg: 2600.0,
        tug_mass_kg: 3100.0,
        crew: 3,
        bystanders: 1,
        seed: 7,
        inputs: vec!["casualty mass 2600 kg".into()],
        assumed: vec![AssumedDefault {
            key: "tug.grip".into(),
            value: "0.6".into(),
            reason: "assumed".into(),
        }],
        spreads: vec![],
        tested: vec![],
    }
}

fn situation() -> Situation {
    Situation {
        weight_n: 25_500.0,
        terms: vec![Term {
            name: "mire".into(),
            range: range(30e3, 40e3, 55e3),
            method: "2 times the weight".into(),
            source: "an invented handbook".into(),
            source_status: "assumed".into(),
        }],
        sliding: range(30e3, 40e3, 55e3),
        break_out: range(35e3, 45e3, 62e3),
        break_out_fast: range(38e3, 50e3, 70e3),
        design_n: 62e3,
        design_quantile: 0.95,
        design_over_weight: 2.43,
        fixed_end: true,
        held_by: Some("rock".into()),
        tug: TugAbility {
            steady_pull: range(9e3, 12e3, 16e3),
            limited_by: "grip".into(),
            winch_pull_n: None,
            anchor_hold: range(10e3, 14e3, 18e3),
        },
    }
}

fn rung() -> Rung {
    Rung {
        method: MethodName::Kinetic,
        verdict: RungVerdict::RuledOut,
        reason: "A link would pass its breaking strength".into(),
        shift_probability: Some(0.0004),
        shift_probability_error: Some(0.01),
        shift_probability_after_digging: Some(0.98),
        risks: Some(risks()),
        needed_n: Some(62e3),
        available_n: Some(120e3),
        peak_load_n: Some(120e3),
        stored_energy_j: Some(98e3),
        stoppable: false,
        how_to_stop: "nobody can".into(),
        links: vec![LinkLoad {
            name: "bow shackle".into(),
            peak_load_n: 120e3,
            share_of_wll: None,
            share_of_mbs: Some(0.5),
        }],
        model: "invented".into(),
    }
}

fn risks() -> RungRisks {
    let sure = |value| Probability {
        value,
        low: value * 0.5,
        high: value * 1.5,
    };
    RungRisks {
        passes_wll: sure(0.3),
        likeliest_past_wll: Some("bow shackle".into()),
        lets_go: sure(0.0123),
        likeliest_to_go: Some("strap".into()),
        anchor_yields: Some(sure(1e-4)),
        tug_slides: Some(sure(0.2)),
    }
}

fn rung_without_gear() -> Rung {
    Rung {
        method: MethodName::WinchMulti,
        verdict: RungVerdict::NotOnHand,
        shift_probability: None,
        shift_probability_error: None,
        shift_probability_after_digging: None,
        risks: None,
        needed_n: None,
        available_n: None,
        peak_load_n: None,
        stored_energy_j: None,
        stoppable: true,
        links: vec![],
        ..rung()
    }
}

fn load_path() -> LoadPath {
    LoadPath {
        method: Some(MethodName::Kinetic),
        proposed: false,
        load_case: "peak of the kinetic pull".into(),
        tension_n: 120e3,
        links: vec![
            link(LinkState::OverMbs, Some(1.3)),
            link(LinkState::Unrated, None),
        ],
        weakest: Some("bow shackle".into()),
        line_length_m: 9.0,
        missing: None,
    }
}

fn link(state: LinkState, share: Option<f64>) -> Link {
    Link {
        name: "bow shackle with a name that goes on for longer than a line has columns".into(),
        kind: LinkKind::Shackle,
        words: "forged bow shackle".into(),
        side: Side::Casualty,
        load_n: 120e3,
        wll_n: share.map(|_| 46e3),
        mbs_n: share.map(|_| 230e3),
        derated_wll_n: share.map(|_| 23e3),
        derated_mbs_n: share.map(|_| 92e3),
        deratings: vec![Derating {
            what: "side load".into(),
            factor: 0.5,
            source: "invented".into(),
        }],
        share_of_wll: share.map(|s| s * 4.0),
        share_of_mbs: share,
        parting_probability: share,
        weakest: true,
        state,
        because: "the load is 1.3 times what is left of its strength".into(),
        included_angle_deg: Some(60.0),
        mass_kg: 1.4,
        run: None,
        joins: None,
    }
}

fn kinetic() -> KineticPull {
    KineticPull {
        line: "strap".into(),
        rest_length_m: 9.0,
        run_up_speed_m_s: 3.3,
        run_up_planned: true,
        slack_m: 2.0,
        peak_force_n: 120e3,
        peak_force_fixed_n: 160e3,
        stretch_m: 1.8,
        stretch_share: 0.2,
        stored_energy_j: 98e3,
        movement_m: 0.4,
        shifted: false,
        casualty_peak_acceleration_m_s2: 8.0,
        tug_peak_deceleration_m_s2: 9.0,
        events: vec![PullEvent {
            time_s: 0.62,
            what: "taut".into(),
        }],
        audit: EnergyAudit {
            put_in_j: 100e3,
            kinetic_j: 1e3,
            stored_j: 2e3,
            dissipated_j: 97e3,
            error_share: 0.0001,
        },
        series: PullSeries {
            time_s: vec![0.0],
            force_n: vec![0.0],
            stretch_m: vec![0.0],
            tug_speed_m_s: vec![3.3],
            casualty_speed_m_s: vec![0.0],
            casualty_movement_m: vec![0.0],
        },
        window: RunUpWindow {
            least_m_s: Some(2.0),
            greatest_m_s: Some(4.1),
            empty: false,
            limited_by: "bow shackle".into(),
            words: "7.2 to 14.8 km/h".into(),
            limited_how: "the chance that it passes its working load limit".into(),
            sure_least_m_s: Some(2.2),
            sure_greatest_m_s: Some(3.9),
            possible_least_m_s: Some(1.9),
            possible_greatest_m_s: Some(4.2),
            opened_by: None,
            asked: AskedChances {
                shifts: 0.8,
                passes_wll: 0.05,
                lets_go: 1e-3,
                past_limit: 0.05,
            },
            chances: (0..5).map(|k| speed_chances(f64::from(k))).collect(),
            curve: vec![WindowPoint {
                speed_m_s: 2.0,
                peak_force_n: 70e3,
                movement_m: 0.1,
            }],
        },
        repeats: vec![RepeatPull {
            number: 1,
            peak_force_n: 120e3,
            movement_m: 0.4,
            set_m: 0.0,
        }],
        chances: PullChances {
            shifts: 0.3,
            passes_wll: 0.99999,
            parts: 0.2,
            samples: 1000,
        },
        at_run_up: speed_chances(3.3),
        line_model: "invented curve".into(),
    }
}

fn speed_chances(speed_m_s: f64) -> SpeedChances {
    let about = |value: f64| Probability {
        value,
        low: value * 0.8,
        high: (value * 1.2).min(1.0),
    };
    SpeedChances {
        speed_m_s,
        shifts: about((speed_m_s / 4.0).min(1.0)),
        passes_wll: about(speed_m_s / 40.0),
        lets_go: about(speed_m_s * speed_m_s * 1e-5),
        past_limits: vec![LimitChance {
            name: "people in the tug".into(),
            passes: about(0.01),
        }],
        stands: SpeedStands::TooSlowAndTooFast,
    }
}

fn case() -> LetGoCase {
    let arrival = Arrival {
        time_s: 0.09,
        speed_m_s: 80.0,
        energy_j: 5200.0,
        height_m: 1.1,
        strikes: "the screen".into(),
    };
    LetGoCase {
        link: "bow shackle".into(),
        parts_at: Side::Casualty,
        flies: "the strap with half a shackle".into(),
        tension_n: 120e3,
        stored_energy_j: 98e3,
        hardware_mass_kg: 1.4,
        launch_speed_m_s: 95.0,
        launch_energy_j: 6300.0,
        arrival: None,
        arrival_bare: Some(arrival),
        times_injury: 0.0,
        energy_along: vec![EnergyAt {
            distance_m: 5.0,
            energy_j: 5900.0,
        }],
        rests_x_m: 12.0,
        rests_y_m: -0.5,
        reach_m: 2.5,
        free_reach_m: 30.0,
        dampers: vec![DamperFlight {
            name: "bag".into(),
            speed_m_s: 14.0,
            energy_j: 490.0,
            slipped_m: 0.2,
        }],
        tethers: vec![TetherOutcome {
            name: "second strap".into(),
            parts: true,
            parts_at_s: Some(0.05),
            peak_load_n: 40e3,
            energy_capacity_j: 2e3,
            energy_asked_j: 6e3,
        }],
        vehicle_moved_m: 0.2,
        audit_error_share: 0.0002,
        side: side(),
        path: FlightPath {
            time_s: vec![0.0],
            x_m: vec![0.0],
            y_m: vec![0.0],
            z_m: vec![0.8],
            speed_m_s: vec![0.0],
        },
    }
}

fn shield() -> Shield {
    Shield {
        what: "mesh screen".into(),
        holds: Some(false),
        rated_energy_j: Some(2000.0),
        margin: Some(0.4),
        perforated_from_j: None,
        source: "the rating stated in the plan".into(),
    }
}

fn face() -> FaceStruck {
    FaceStruck {
        vehicle: Side::Tug,
        face: BodyFace::Windscreen,
        strikes: 3,
        runs: 14,
        link: "bow shackle".into(),
        speed_m_s: 77.0,
        energy_j: 5000.0,
        shields: vec![shield()],
        glass_is_guarded: Some(false),
    }
}

fn side() -> FlyingSide {
    FlyingSide {
        flies_to: Side::Tug,
        parts: "at the casualty".into(),
        inside_at_m: None,
        places: Vec::new(),
        stays: "casualty.rear on Wagon 1".into(),
        stays_mass_kg: 1.5,
        snaps_back: None,
        comes_to: "the front of Wagon 2".into(),
        things: vec![FlyingThing {
            what: "the strap with half a shackle".into(),
            sort: FlyingSort::Hardware,
            mass_kg: 1.4,
            speed_m_s: 95.0,
            energy_j: 6300.0,
            meets: Meeting::Strikes,
            strike: Some(Strike {
                face: BodyFace::Windscreen,
                time_s: 0.1,
                height_m: 1.3,
                behind_m: 1.5,
                side_m: 0.1,
                speed_m_s: 85.0,
                normal_speed_m_s: 60.0,
                energy_j: 5100.0,
                windscreen_test_j: Some(88.65),
                shields: vec![shield()],
                glass_is_guarded: Some(false),
            }),
            passes: None,
            rests_x_m: 12.0,
            rests_y_m: -0.5,
            hazardous: vec![Hazardous {
                criterion_j: 79.0,
                source: "invented source".into(),
                from_x_m: 0.2,
                to_x_m: 9.0,
                lowest_m: 0.5,
                highest_m: 1.3,
                body: "legs to trunk".into(),
            }],
        }],
        whip: Some(Whip {
            at_least_m_s: 120.0,
            at_most_m_s: 300.0,
            time_s: 0.2,
            x_m: 18.0,
            y_m: 0.0,
            height_m: 0.4,
        }),
    }
}

fn standoff() -> Standoff {
    Standoff {
        rule_m: 13.5,
        rule: "1.5 line lengths (invented source)".into(),
        computed_reach_m: 30.0,
        computed_governs: true,
        quantile: 0.95,
        runs: 64,
        failed_runs: 1,
        zone: vec![PlanPoint { x_m: 0.0, y_m: 0.0 }],
        rule_zone: vec![],
        behind_casualty_m: 13.5,
        behind_tug_m: 30.0,
        beside_m: 13.5,
        outlines: vec![],
        places: vec![Place {
            who: "bystanders".into(),
            place: "beyond 30 m, to one side".into(),
        }],
        danger_areas: vec![],
    }
}

fn finding(severity: Severity) -> Finding {
    Finding {
        severity,
        code: "tow-ball".into(),
        subject: "hitch".into(),
        message: "A tow ball never carries a recovery load.".into(),
        remedy: "Use a rated recovery point.".into(),
        source: "common practice".into(),
    }
}

fn cautions() -> Vec<String> {
    vec![
        "Estimates from stated models and inputs.".into(),
        "Certifies nothing; follow the makers' ratings.".into(),
    ]
}
