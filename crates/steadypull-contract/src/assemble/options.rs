//! The `options` area.

use steadypull_engine::chance::standard_error;
use steadypull_engine::options::{Ladder, Probability, Rung, RungChances, Verdict};
use steadypull_engine::plan::Method;
use steadypull_engine::rig::LoadedLink;

use super::method_name;
use crate::answer::{LinkLoad, Options, RungRisks, RungVerdict};

pub(super) fn options(ladder: &Ladder) -> Options {
    Options {
        ladder: ladder.rungs.iter().map(rung).collect(),
    }
}

fn rung(rung: &Rung) -> crate::answer::Rung {
    let (stoppable, how_to_stop) = stopping(rung.method);
    crate::answer::Rung {
        method: method_name(rung.method),
        verdict: verdict(rung.verdict),
        reason: rung.reason.clone(),
        shift_probability: rung.shift,
        shift_probability_error: rung.shift.map(|p| standard_error(p, rung.samples)),
        shift_probability_after_digging: rung.shift_dug,
        risks: rung.chances.as_ref().map(risks),
        needed_n: rung.needed.map(|f| f.get()),
        available_n: rung.available.map(|f| f.get()),
        peak_load_n: rung.peak.map(|f| f.get()),
        stored_energy_j: rung.stored.map(|e| e.get()),
        stoppable,
        how_to_stop: how_to_stop.into(),
        links: rung.links.iter().map(link_load).collect(),
        model: model(rung.method).into(),
    }
}

fn risks(chances: &RungChances) -> RungRisks {
    RungRisks {
        passes_wll: probability(chances.passes_wll),
        likeliest_past_wll: chances.likeliest_past_wll.clone(),
        lets_go: probability(chances.lets_go),
        likeliest_to_go: chances.likeliest_to_go.clone(),
        anchor_yields: chances.anchor_yields.map(probability),
        tug_slides: chances.tug_slides.map(probability),
    }
}

pub(super) fn probability(found: Probability) -> crate::answer::Probability {
    crate::answer::Probability {
        value: found.value,
        low: found.low,
        high: found.high,
    }
}

pub(super) fn link_load(link: &LoadedLink) -> LinkLoad {
    LinkLoad {
        name: link.link.name.clone(),
        peak_load_n: link.load.get(),
        share_of_wll: link
            .link
            .derated_wll()
            .filter(|f| f.get() > 0.0)
            .map(|wll| link.load / wll),
        share_of_mbs: link
            .link
            .derated_mbs()
            .filter(|f| f.get() > 0.0)
            .map(|mbs| link.load / mbs),
    }
}

fn verdict(verdict: Verdict) -> RungVerdict {
    match verdict {
        Verdict::First => RungVerdict::First,
        Verdict::Step => RungVerdict::Step,
        Verdict::Reserve => RungVerdict::Reserve,
        Verdict::TooWeak => RungVerdict::TooWeak,
        Verdict::NotOnHand => RungVerdict::NotOnHand,
        Verdict::RuledOut => RungVerdict::RuledOut,
    }
}

fn stopping(method: Method) -> (bool, &'static str) {
    match method {
        Method::ClearAndDig | Method::AirDownAndBoards => (true, "anybody: the driver lifts off"),
        Method::SteadyTow => (
            true,
            "anybody calls stop; the tug's driver lifts off and the line goes down",
        ),
        Method::WinchSingle | Method::WinchMulti => (
            true,
            "anybody calls stop; the winch operator lets go of the control",
        ),
        Method::Lower => (
            true,
            "anybody calls stop; whoever tends the brake holds the line",
        ),
        Method::Kinetic => (
            false,
            "nobody, once the run-up has begun: the energy is already in the tug",
        ),
    }
}

fn model(method: Method) -> &'static str {
    match method {
        Method::ClearAndDig => "own drive in the soil against the resistance dug to the hubs",
        Method::AirDownAndBoards => {
            "own drive on boards and soft tyres (Brixius 1987, from memory) against the resistance"
        }
        Method::SteadyTow => {
            "grip and drive of the tug on its own ground against the break-out resistance"
        }
        Method::WinchSingle => {
            "rated pull on the drum layer in use, held by the tug's grip as an anchor"
        }
        Method::WinchMulti => "the same through one block with its efficiency",
        Method::Lower => "weight along the slope less rolling, held by the brake",
        Method::Kinetic => {
            "two masses and the line's path law in time, against the break-out resistance of a fast pull"
        }
    }
}
