//! The ladder: every method of the trade, least hazardous first.
//!
//! A method works when it shifts the casualty with the policy's probability, no link
//! in its rig is outside policy at the design load, and no chance of harm (a working
//! load limit passed, a part let go, an anchor yielded) is over policy's. The first that works is the one to use,
//! after digging where only digging makes it work. Kinetic never comes before a
//! less hazardous method that works, nor before a steady tow has been tried.

use super::kinetic_study::{KineticStudy, kinetic_study, shifts_at};
use super::pull_chances::Happens;
use super::rung::{Rung, Verdict};
use super::rung_chances::RungChances;
use super::window_words::closed_window;
use crate::chance::{Column, LogNormal, quantile, standard_error};
use crate::line::Law;
use crate::plan::{Method, Plan, Policy};
use crate::pull::PullError;
use crate::pull::many::Pulls;
use crate::pull::winch::pull_in_use;
use crate::rig::loads::strength;
use crate::rig::{LinkKind, LinkState, LoadPath, find_path, load_links, proposals};
use crate::situation::resistance::{SAMPLES, air_down_grip_factor, driven_share};
use crate::situation::{Resistance, Treatment, TugAbility, resistance, soil_facts, tug_ability};
use crate::units::{Energy, Force};

/// Why a method that has been tried is not taken again.
const TRIED: &str = "it has been tried and did not shift the casualty";
/// Stream of the grip on traction boards.
const BOARD_STREAM: u64 = 101;
/// First stream of the anchors' hold.
const ANCHOR_STREAM: u64 = 400;

/// The ladder and what it was worked out from.
#[derive(Debug, Clone, PartialEq)]
pub struct Ladder {
    /// One rung a method, least hazardous first.
    pub rungs: Vec<Rung>,
    /// The methods in the order to try them.
    pub sequence: Vec<Method>,
    /// Resistance as found.
    pub found: Resistance,
    /// What the tug can do.
    pub tug: TugAbility,
    /// The kinetic pull, where there is a rig for one, as found.
    pub kinetic: Option<KineticStudy>,
}

struct Bench<'a> {
    plan: &'a Plan,
    found: Resistance,
    dug: Resistance,
    tug: TugAbility,
}

impl<'a> Bench<'a> {
    fn of(plan: &'a Plan) -> Self {
        Self {
            plan,
            found: with(plan, false, false),
            dug: with(plan, true, false),
            tug: tug_ability(&plan.tug, plan.seed),
        }
    }

    /// The rungs but for that of a kinetic pull.
    fn without_kinetic(&self) -> Vec<Rung> {
        let [aired, aired_dug] = [false, true].map(|dug| with(self.plan, dug, true));
        let mut rungs = vec![self.dig(), self.boards(&aired, &aired_dug)];
        let steady = [Method::SteadyTow, Method::WinchSingle, Method::WinchMulti];
        rungs.extend(steady.map(|method| self.steady(method)));
        rungs
    }

    fn ladder(self, rungs: Vec<Rung>, sequence: Vec<Method>) -> Ladder {
        Ladder {
            rungs,
            sequence,
            found: self.found,
            tug: self.tug,
            kinetic: None,
        }
    }
}

fn with(plan: &Plan, dug: bool, aired_down: bool) -> Resistance {
    let treatment = Treatment { dug, aired_down };
    resistance(&plan.casualty, treatment, plan.seed, plan.units)
}

/// Works out the ladder, its kinetic pulls run by `pulls`.
pub fn ladder(plan: &Plan, pulls: &dyn Pulls) -> Result<Ladder, PullError> {
    let bench = Bench::of(plan);
    let mut kinetic = None;
    let mut rungs = bench.without_kinetic();
    rungs.push(bench.kinetic(&mut kinetic, pulls)?);
    let sequence = settle(plan, &mut rungs);
    Ok(Ladder {
        kinetic,
        ..bench.ladder(rungs, sequence)
    })
}

/// What of the ladder decides which rig is shown, and its load, but for what takes many
/// runs: the rung of the plan's own rig alone, without its verdict; of a plan without a
/// rig every rung but that of a kinetic pull. A rung that is there is that of the whole
/// ladder, and where one of them works the sequence is that of the whole ladder too.
pub fn ladder_at_once(plan: &Plan) -> Ladder {
    let bench = Bench::of(plan);
    let steady = |method| (Method::SteadyTow..=Method::WinchMulti).contains(&method);
    let own = plan.rig.as_ref().map(|rig| rig.method);
    if own.is_some() || plan.lowering.is_some() {
        let rung = own.filter(|m| steady(*m)).map(|m| bench.steady(m));
        return bench.ladder(rung.into_iter().collect(), Vec::new());
    }
    let mut rungs = bench.without_kinetic();
    let sequence = settle(plan, &mut rungs);
    bench.ladder(rungs, sequence)
}

/// The load path that the rung of `method` has, without what a pull takes to work out; why
/// not where it has none.
pub fn path_of(plan: &Plan, method: Method) -> Result<LoadPath, String> {
    match method {
        Method::SteadyTow | Method::WinchSingle | Method::WinchMulti
            if plan.rig.as_ref().is_none_or(|own| own.method != method) =>
        {
            let Rung { path, reason, .. } = Bench::of(plan).steady(method);
            path.ok_or(reason)
        }
        Method::ClearAndDig | Method::AirDownAndBoards => Err("it needs no rig".into()),
        Method::Lower => Err("a lowering is planned in [lowering]".into()),
        _ => find_path(plan, method).map_err(|error| error.to_string()),
    }
}

impl Bench<'_> {
    /// Whether digging is still to be had: there are shovels, and it has not been
    /// done already (the plan then describes the casualty as dug).
    fn can_dig(&self) -> bool {
        self.plan.kit.aids.shovels > 0 && !self.tried(Method::ClearAndDig)
    }

    fn tried(&self, method: Method) -> bool {
        self.plan.tried.contains(&method)
    }

    fn wanted(&self) -> f64 {
        self.plan.policy.shift_probability
    }

    fn by_hand(&self, method: Method, shift: f64, shift_dug: f64, on_hand: bool) -> Rung {
        let best = shift.max(if self.can_dig() { shift_dug } else { 0.0 });
        let (verdict, reason) = if self.tried(method) {
            (Verdict::TooWeak, TRIED.to_string())
        } else if !on_hand {
            (Verdict::NotOnHand, "the kit has nothing for it".to_string())
        } else if best >= self.wanted() {
            (
                Verdict::First,
                "the casualty should drive out by itself".to_string(),
            )
        } else {
            (
                Verdict::Step,
                "lowers the load of every method after it; probably not enough alone".to_string(),
            )
        };
        Rung {
            method,
            verdict,
            reason,
            shift: Some(shift),
            shift_dug: Some(shift_dug),
            samples: SAMPLES,
            chances: None,
            needed: None,
            available: None,
            peak: None,
            stored: None,
            treatment: Treatment {
                dug: shift < self.wanted(),
                ..Treatment::default()
            },
            path: None,
            links: Vec::new(),
        }
    }

    fn dig(&self) -> Rung {
        let drives = |r: &Resistance| {
            if r.fixed_end {
                0.0
            } else {
                r.drives_out(|_| 0.0)
            }
        };
        let powered = self.plan.casualty.own_drive;
        let after = if powered { drives(&self.dug) } else { 0.0 };
        let mut rung = self.by_hand(
            Method::ClearAndDig,
            if powered { drives(&self.found) } else { 0.0 },
            after,
            self.plan.kit.aids.shovels > 0,
        );
        if rung.verdict == Verdict::NotOnHand {
            rung.reason = "there is no shovel in the kit".into();
        } else if self.found.fixed_end && rung.verdict == Verdict::Step {
            rung.reason = "what holds the casualty must be cleared before anything pulls".into();
        }
        rung
    }

    fn boards(&self, aired: &Resistance, aired_dug: &Resistance) -> Rung {
        let aids = &self.plan.kit.aids;
        let casualty = &self.plan.casualty;
        let on_hand = aids.boards.is_some_and(|b| b.count > 0) || aids.inflator;
        let soil = soil_facts(casualty.soil).grip;
        let boards = aids.boards.map_or(0.0, |b| {
            let wheels = (f64::from(b.count) / 4.0).min(1.0);
            (b.grip - soil).max(0.0) * wheels
        });
        let aired_gain = soil * (air_down_grip_factor(&casualty.vehicle) - 1.0);
        let carried = driven_share(casualty.vehicle.driven) * casualty.slope_along.cos();
        let extra = (boards + aired_gain) * carried * casualty.vehicle.mass.weight().get();
        let column = Column::new(self.plan.seed, BOARD_STREAM, SAMPLES);
        let grip = LogNormal::new(extra, 0.3);
        let drives = |r: &Resistance| {
            if r.fixed_end || !casualty.own_drive {
                return 0.0;
            }
            r.drives_out(|i| grip.quantile(column.level(i)))
        };
        self.by_hand(
            Method::AirDownAndBoards,
            drives(aired),
            drives(aired_dug),
            on_hand,
        )
    }

    /// The plan's own rig for a method; else the simplest proposed that works,
    /// or, where none does, the simplest.
    fn steady(&self, method: Method) -> Rung {
        let own = self.plan.rig.as_ref().is_some_and(|r| r.method == method);
        let paths = if own {
            find_path(self.plan, method).map(|path| vec![path])
        } else {
            proposals(self.plan, method)
        };
        let paths = match paths {
            Ok(paths) => paths,
            Err(error) => return not_on_hand(method, error.to_string()),
        };
        let mut rungs = paths.into_iter().map(|path| self.steady_with(method, path));
        let Some(simplest) = rungs.next() else {
            return not_on_hand(method, "there is no rig for it".into());
        };
        if self.would_work(&simplest) {
            return simplest;
        }
        rungs.find(|rung| self.would_work(rung)).unwrap_or(simplest)
    }

    fn would_work(&self, rung: &Rung) -> bool {
        let dug = rung.shift_dug.filter(|_| rung.treatment.dug);
        let best = rung.shift.unwrap_or(0.0).max(dug.unwrap_or(0.0));
        trouble(rung, &self.plan.policy).is_none() && best >= self.wanted()
    }

    fn steady_with(&self, method: Method, path: LoadPath) -> Rung {
        let winch = self.winch_force(&path);
        let anchors = self.anchor_limits(&path);
        let tug_share = path.tug_share();
        let available = |i: usize| {
            let tug = match winch {
                // A winch pulls no harder than its tug holds.
                Some(pull) => pull.get().min(self.anchor_sample(i) / tug_share),
                None => self.tug.steady_samples[i] * path.advantage,
            };
            // Nor does any rig pull harder than its anchors hold.
            anchors.iter().fold(tug, |most, limit| most.min(limit[i]))
        };
        let shift = |r: &Resistance| {
            if r.fixed_end {
                return 0.0;
            }
            let needed = r.break_out_samples();
            let out = (0..SAMPLES).filter(|&i| available(i) >= needed[i]).count();
            out as f64 / SAMPLES as f64
        };
        let (as_found, dug) = (shift(&self.found), shift(&self.dug));
        let digs = as_found < self.wanted() && self.can_dig() && dug > as_found;
        let meets = if digs { &self.dug } else { &self.found };
        let (slide, suction) = meets.design(self.plan.policy.design_quantile);
        let most = winch.unwrap_or(self.tug.steady.high * path.advantage);
        let needed = slide + suction;
        let peak = if meets.fixed_end {
            most
        } else {
            most.min(needed)
        };
        let links = load_links(&path.links, peak, method, &self.plan.policy);
        let chances = self.steady_chances(&path, winch, meets);
        Rung {
            method,
            verdict: Verdict::Reserve,
            reason: String::new(),
            shift: Some(as_found),
            shift_dug: Some(dug),
            samples: SAMPLES,
            chances: Some(chances),
            needed: Some(needed),
            available: Some(median((0..SAMPLES).map(available).collect())),
            peak: Some(peak),
            stored: Some(stored(&path, peak)),
            treatment: Treatment {
                dug: digs,
                aired_down: false,
            },
            links,
            path: Some(path),
        }
    }

    /// What a steady pull risks: the load rises until the casualty moves or the tug or
    /// winch can no more.
    fn steady_chances(
        &self,
        path: &LoadPath,
        winch: Option<Force>,
        meets: &Resistance,
    ) -> RungChances {
        let needed = meets.break_out_samples();
        let wanted = |i: usize| {
            let most = winch.map_or(self.tug.steady_samples[i] * path.advantage, Force::get);
            if meets.fixed_end {
                most
            } else {
                most.min(needed[i])
            }
        };
        let tug_share = path.tug_share();
        let hold = |i: usize| match winch {
            Some(_) => self.anchor_sample(i) / tug_share,
            None => f64::INFINITY,
        };
        let pulls: Vec<f64> = (0..SAMPLES).map(|i| wanted(i).min(hold(i))).collect();
        let slides: Vec<bool> = (0..SAMPLES).map(|i| wanted(i) > hold(i)).collect();
        let slides = winch.map(|_| slides.as_slice());
        RungChances::of_steady(&path.links, path.method, &pulls, slides, &self.plan.policy)
    }

    /// Greatest pull of the winch at the casualty, if the rig has one.
    fn winch_force(&self, path: &LoadPath) -> Option<Force> {
        if !matches!(path.method, Method::WinchSingle | Method::WinchMulti) {
            return None;
        }
        let (winch, line) = self.plan.winch_and_line()?;
        Some(pull_in_use(winch, line) * path.advantage)
    }

    /// Pull at the casualty at which each anchor yields, N, sample by sample.
    fn anchor_limits(&self, path: &LoadPath) -> Vec<Vec<f64>> {
        let anchors = path.links.iter().filter(|l| l.kind == LinkKind::Anchor);
        anchors
            .enumerate()
            .filter_map(|(k, link)| {
                let column = Column::new(self.plan.seed, ANCHOR_STREAM + k as u64, SAMPLES);
                let hold = strength(link).filter(|_| link.load_share > 0.0)?;
                let at = |i| hold.quantile(column.level(i)) / link.load_share;
                Some((0..SAMPLES).map(at).collect())
            })
            .collect()
    }

    fn anchor_sample(&self, i: usize) -> f64 {
        // Grip decides both; the steady sample of the same index had the same
        // grip, so a slippery draw is slippery for both.
        self.tug.anchor_samples[i]
    }

    /// The kinetic pull against the casualty as found, and dug where nothing as found
    /// will do; how it shifts as found and dug.
    fn kinetic_studies(&self, path: &LoadPath, pulls: &dyn Pulls) -> Result<Kinetic, PullError> {
        let of = |resistance| kinetic_study(self.plan, path.clone(), resistance, pulls);
        let shift = |study: &KineticStudy, at| study.chances.value(Happens::Shifts, at);
        if self.found.fixed_end {
            // Never pulled before it is cleared: what digging does is told, not planned.
            let study = of(&self.found)?;
            let dug = |_| shifts_at(self.plan, path, &self.dug, study.speed, pulls);
            return Ok(Kinetic {
                shift: 0.0,
                shift_dug: self.can_dig().then_some(()).map(dug).transpose()?,
                digs: false,
                study,
            });
        }
        // One speed tells whether the casualty as found is worth the whole study.
        let fastest = self.plan.policy.max_run_up;
        let as_found = |at| shifts_at(self.plan, path, &self.found, at, pulls);
        let found = if self.can_dig() && as_found(fastest)? < self.wanted() {
            None
        } else {
            Some(of(&self.found)?)
        };
        if let Some(study) = found
            .as_ref()
            .filter(|f| !f.window.is_empty() || !self.can_dig())
        {
            return Ok(Kinetic {
                shift: shift(study, study.speed),
                shift_dug: None,
                digs: false,
                study: study.clone(),
            });
        }
        let dug = of(&self.dug)?;
        let shift_dug = Some(shift(&dug, dug.speed));
        if !dug.window.is_empty() {
            return Ok(Kinetic {
                shift: as_found(dug.speed)?,
                shift_dug,
                digs: true,
                study: dug,
            });
        }
        let study = match found {
            Some(study) => study,
            None => of(&self.found)?,
        };
        Ok(Kinetic {
            shift: shift(&study, study.speed),
            shift_dug,
            digs: false,
            study,
        })
    }

    fn kinetic(
        &self,
        study: &mut Option<KineticStudy>,
        pulls: &dyn Pulls,
    ) -> Result<Rung, PullError> {
        let path = match find_path(self.plan, Method::Kinetic) {
            Ok(path) => path,
            Err(error) => return Ok(not_on_hand(Method::Kinetic, error.to_string())),
        };
        let worked = self.kinetic_studies(&path, pulls)?;
        let (shown, digs) = (&worked.study, worked.digs);
        let peak = if self.found.fixed_end {
            shown.fixed.peak_force
        } else {
            shown.design.peak_force
        };
        let meets = if digs { &self.dug } else { &self.found };
        let (slide, suction) = meets.design(self.plan.policy.design_quantile);
        let (verdict, reason) = match closed_window(shown, self.plan) {
            Some(why) => (Verdict::RuledOut, format!("do not: {why}")),
            None => (Verdict::Reserve, String::new()),
        };
        let rung = Rung {
            method: Method::Kinetic,
            verdict,
            reason,
            shift: Some(worked.shift),
            shift_dug: worked.shift_dug,
            samples: shown.chances.samples(),
            chances: Some(RungChances::of_kinetic(&shown.chances, shown.speed)),
            needed: Some(slide + suction * meets.fast_suction),
            available: Some(shown.fixed.peak_force),
            peak: Some(peak),
            stored: Some(stored(&path, peak)),
            treatment: Treatment {
                dug: digs,
                aired_down: false,
            },
            links: load_links(&path.links, peak, Method::Kinetic, &self.plan.policy),
            path: Some(path),
        };
        *study = Some(worked.study);
        Ok(rung)
    }
}

/// The kinetic pull as it is shown.
struct Kinetic {
    study: KineticStudy,
    /// Whether it is studied after digging.
    digs: bool,
    shift: f64,
    shift_dug: Option<f64>,
}

fn not_on_hand(method: Method, reason: String) -> Rung {
    Rung {
        method,
        verdict: Verdict::NotOnHand,
        reason,
        shift: None,
        shift_dug: None,
        samples: 0,
        chances: None,
        needed: None,
        available: None,
        peak: None,
        stored: None,
        treatment: Treatment::default(),
        path: None,
        links: Vec::new(),
    }
}

fn median(mut samples: Vec<f64>) -> Force {
    samples.sort_by(f64::total_cmp);
    Force::new(quantile(&samples, 0.5))
}

/// Energy in the lines of `path` with `pull` at the casualty.
pub fn stored(path: &LoadPath, pull: Force) -> Energy {
    if let Some(rig) = &path.laid_out {
        return rig.stored(&path.lines, pull);
    }
    let laws: Vec<(Law, f64)> = path
        .line_laws()
        .into_iter()
        .map(|(law, l)| (law, l.get()))
        .collect();
    let share = path
        .links
        .iter()
        .find(|l| {
            matches!(
                l.kind,
                crate::rig::LinkKind::Line | crate::rig::LinkKind::KineticLine
            )
        })
        .map_or(1.0, |l| l.load_share);
    let tension = pull.get() * share;
    Energy::new(
        laws.iter()
            .map(|(law, l)| law.energy(law.strain_at(tension)) * l)
            .sum(),
    )
}

/// Gives every rung that stands its verdict and reason; the order to try them.
fn settle(plan: &Plan, rungs: &mut [Rung]) -> Vec<Method> {
    let wanted = plan.policy.shift_probability;
    let mut first: Option<Method> = rungs[..2]
        .iter()
        .find(|r| r.verdict == Verdict::First)
        .map(|r| r.method);
    for rung in &mut rungs[..2] {
        if rung.verdict == Verdict::First && first != Some(rung.method) {
            rung.verdict = Verdict::Reserve;
        }
    }
    let tow_tried = plan.tried.contains(&Method::SteadyTow);
    let tow_stands =
        rungs[2].verdict != Verdict::NotOnHand && trouble(&rungs[2], &plan.policy).is_none();
    for rung in &mut rungs[2..] {
        if matches!(rung.verdict, Verdict::NotOnHand | Verdict::RuledOut) {
            continue;
        }
        let best = rung.shift.unwrap_or(0.0).max(if rung.treatment.dug {
            rung.shift_dug.unwrap_or(0.0)
        } else {
            0.0
        });
        let after = if rung.treatment.dug {
            " after digging"
        } else {
            ""
        };
        // Tried as found, or dug and tried: it is not asked to work again.
        let tried = plan.tried.contains(&rung.method) && !rung.treatment.dug;
        let close = if near(best, wanted, rung.samples) {
            "; so near to what is asked that sampling alone could turn it"
        } else {
            ""
        };
        (rung.verdict, rung.reason) = if let Some(trouble) = trouble(rung, &plan.policy) {
            (Verdict::RuledOut, trouble)
        } else if tried {
            (Verdict::TooWeak, TRIED.into())
        } else if best < wanted {
            (
                Verdict::TooWeak,
                format!(
                    "the chance that it shifts the casualty is {:.0} %{after}, under the {:.0} % asked{close}",
                    best * 100.0,
                    wanted * 100.0
                ),
            )
        } else if first.is_some() {
            (Verdict::Reserve, "a less hazardous method works".into())
        } else if rung.method == Method::Kinetic && !tow_tried && tow_stands {
            (
                Verdict::Reserve,
                "only after a steady tow has been tried".into(),
            )
        } else {
            first = Some(rung.method);
            (
                Verdict::First,
                format!("the least hazardous method that works{after}{close}"),
            )
        };
    }
    // A fixed end is no pull at all until it is cleared, kinetic least of all.
    let kinetic = rungs.iter_mut().find(|r| r.method == Method::Kinetic);
    if let (Some(hold), Some(kinetic)) = (&plan.casualty.held_by, kinetic)
        && hold.yields_at.is_none()
        && kinetic.verdict != Verdict::NotOnHand
    {
        kinetic.verdict = Verdict::RuledOut;
        kinetic.reason = format!(
            "a {} holds the casualty: it is a fixed end, and the rig would take the tug's whole energy",
            hold.what
        );
    }
    order(rungs, first, tow_tried)
}

/// Whether a probability from so many samples could lie on the other side of `wanted`:
/// its 90 % sampling error reaches that far.
fn near(found: f64, wanted: f64, samples: usize) -> bool {
    (found - wanted).abs() < 1.645 * standard_error(found, samples)
}

/// What a rig fails on, if anything: at the design load first, then by chance.
fn trouble(rung: &Rung, policy: &Policy) -> Option<String> {
    let by_chance = || rung.chances.as_ref().and_then(|c| c.trouble(policy));
    overloaded(rung).or_else(by_chance)
}

/// What is overloaded at the design load, if anything.
fn overloaded(rung: &Rung) -> Option<String> {
    let worst = rung
        .links
        .iter()
        .filter(|l| l.state != LinkState::Within)
        .max_by_key(|l| match l.state {
            LinkState::Refused => 4,
            LinkState::OverMbs => 3,
            LinkState::OverWll => 2,
            LinkState::OverPolicy => 1,
            LinkState::Within => 0,
        })?;
    let name = &worst.link.name;
    Some(match worst.state {
        LinkState::Refused => {
            format!(
                "{name} is refused: {}",
                worst.link.refused.clone().unwrap_or_default()
            )
        }
        LinkState::OverMbs => format!("{name} would pass its breaking strength"),
        LinkState::OverWll => format!("{name} would pass its working load limit"),
        _ => format!("{name} would have less in hand than the policy asks"),
    })
}

fn order(rungs: &mut [Rung], first: Option<Method>, tow_tried: bool) -> Vec<Method> {
    let kinetic_waits = rungs
        .iter()
        .find(|r| r.method == Method::Kinetic)
        .is_some_and(|r| r.verdict == Verdict::Reserve && first.is_none());
    let mut sequence: Vec<Method> = rungs
        .iter()
        .filter(|r| matches!(r.verdict, Verdict::Step))
        .map(|r| r.method)
        .collect();
    if kinetic_waits && !tow_tried {
        if let Some(tow) = rungs.iter_mut().find(|r| r.method == Method::SteadyTow)
            && tow.verdict == Verdict::TooWeak
        {
            tow.verdict = Verdict::Step;
            tow.reason = format!("{}; try it before any kinetic pull", tow.reason);
            sequence.push(tow.method);
        }
        sequence.push(Method::Kinetic);
    }
    // Steps come before the method they ease.
    sequence.retain(|m| first.is_none_or(|f| *m < f));
    sequence.extend(first);
    sequence
}
