//! The Australian rule for recovery straps, as findings.
//!
//! The strap suits the lighter of the two vehicles: its breaking strength (MBS,
//! the least load needed to make it fail) is two to three times that vehicle's
//! greatest allowed mass (GVM). Label and packaging must say so and who made
//! it; nobody stands within one and a half unstretched strap lengths of either
//! vehicle, nor in the path. Lifting slings, tie-downs, wire cable, chain, rope
//! and ordinary tow straps are outside the rule.

use crate::finding::{Finding, Severity};
use crate::show::Units;
use crate::source::{Source, Status};
use crate::units::{Force, Length, Mass};

/// Rating, label and scope.
pub const SOURCE: Source = Source::new(
    "Consumer Goods (Motor Vehicle Recovery Straps) Safety Standard 2017 (F2017L01560)",
    Status::Read,
);
/// Bystander distance and instructions.
pub const REGULATION_SOURCE: Source = Source::new(
    "Trade Practices (Motor Vehicle Recovery Straps) Regulations 2010 reg. 8",
    Status::Read,
);

/// Least MBS over the lighter vehicle's GVM.
pub const RATIO_MIN: f64 = 2.0;
/// Greatest MBS over the lighter vehicle's GVM.
pub const RATIO_MAX: f64 = 3.0;
/// Bystander distance over unstretched strap length.
pub const BYSTANDER_LENGTHS: f64 = 1.5;

/// When the standard was made: year, month, day.
pub const MADE: (u16, u8, u8) = (2017, 11, 30);
/// When it came into force.
pub const IN_FORCE: (u16, u8, u8) = (2017, 12, 1);
/// Months in which the older regulations could be followed instead.
pub const TRANSITION_MONTHS: u8 = 24;

/// Year and month from which the standard stands alone.
pub fn sole_standard_from() -> (u16, u8) {
    let months = u16::from(IN_FORCE.1) - 1 + u16::from(TRANSITION_MONTHS);
    (IN_FORCE.0 + months / 12, (months % 12) as u8 + 1)
}

/// Least and greatest MBS for the lighter vehicle.
pub fn rating_range(lighter_gross_mass: Mass) -> (Force, Force) {
    let weight = lighter_gross_mass.weight();
    (weight * RATIO_MIN, weight * RATIO_MAX)
}

/// Distance bystanders keep from either vehicle.
pub fn bystander_distance(unstretched: Length) -> Length {
    unstretched * BYSTANDER_LENGTHS
}

/// Gear by the words of the rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GearKind {
    /// A strap meant to stretch in recovering a vehicle.
    RecoveryStrap,
    /// A lifting sling.
    LiftingSling,
    /// A tie-down.
    TieDown,
    /// Wire cable.
    WireCable,
    /// Chain.
    Chain,
    /// Rope.
    Rope,
    /// An ordinary tow strap.
    TowStrap,
}

/// Whether the rule speaks of this gear.
pub fn in_scope(kind: GearKind) -> bool {
    matches!(kind, GearKind::RecoveryStrap)
}

/// What is fixed to the strap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Label {
    /// The warning.
    pub warning: bool,
    /// Supplier's name or logo.
    pub supplier: bool,
    /// Batch or serial number.
    pub batch: bool,
    /// MBS in metric units.
    pub mbs: bool,
    /// Advice of two to three times GVM.
    pub ratio_advice: bool,
    /// Advice that it suit the lighter vehicle.
    pub lighter_vehicle: bool,
}

/// What is printed on the packaging.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Packaging {
    /// Brand or logo.
    pub brand: bool,
    /// How to reach the supplier.
    pub contact: bool,
    /// MBS.
    pub mbs: bool,
    /// Advice of two to three times GVM.
    pub ratio_advice: bool,
}

/// What is wrong with a strap's rating for these two vehicles.
pub fn rating_findings(
    strap: &str,
    mbs: Force,
    lighter_gross_mass: Mass,
    units: Units,
) -> Vec<Finding> {
    let (least, greatest) = rating_range(lighter_gross_mass);
    let ratio = mbs / lighter_gross_mass.weight();
    let say = |severity, code, message: String, remedy: &str| {
        vec![Finding::new(
            severity,
            code,
            strap,
            message,
            remedy,
            SOURCE.name,
        )]
    };
    let stated = format!(
        "its MBS of {} is {ratio:.2} times the lighter vehicle's GVM of {}",
        units.whole_mass(mbs.to_kgf()),
        units.whole_mass(lighter_gross_mass.get()),
    );
    if !ratio.is_finite() {
        let message = "its MBS or the lighter vehicle's GVM is not known".to_owned();
        return say(
            Severity::Critical,
            "strap-rating-unknown",
            message,
            "find both before a pull",
        );
    }
    // Compared in the same form as the limits: a ratio of just 2 is within.
    if mbs < least {
        let remedy = format!(
            "use a strap of at least {}",
            units.whole_mass(least.to_kgf())
        );
        return say(Severity::Critical, "strap-too-weak", stated, &remedy);
    }
    if mbs > greatest {
        let remedy = format!(
            "use a strap of at most {}: a stiffer one loads points and people harder",
            units.whole_mass(greatest.to_kgf())
        );
        return say(Severity::Warning, "strap-too-strong", stated, &remedy);
    }
    Vec::new()
}

/// One finding for each thing missing from the label.
pub fn label_findings(strap: &str, label: &Label) -> Vec<Finding> {
    missing(
        strap,
        "label",
        &[
            (label.warning, "label-warning", "the warning"),
            (
                label.supplier,
                "label-supplier",
                "the supplier's name or logo",
            ),
            (label.batch, "label-batch", "a batch or serial number"),
            (label.mbs, "label-mbs", "the MBS in metric units"),
            (
                label.ratio_advice,
                "label-ratio",
                "the advice of two to three times GVM",
            ),
            (
                label.lighter_vehicle,
                "label-lighter",
                "the advice to suit the lighter vehicle",
            ),
        ],
    )
}

/// One finding for each thing missing from the packaging.
pub fn packaging_findings(strap: &str, packaging: &Packaging) -> Vec<Finding> {
    missing(
        strap,
        "packaging",
        &[
            (packaging.brand, "packaging-brand", "a brand or logo"),
            (
                packaging.contact,
                "packaging-contact",
                "the supplier's contact",
            ),
            (packaging.mbs, "packaging-mbs", "the MBS"),
            (
                packaging.ratio_advice,
                "packaging-ratio",
                "the advice of two to three times GVM",
            ),
        ],
    )
}

fn missing(strap: &str, place: &str, items: &[(bool, &'static str, &str)]) -> Vec<Finding> {
    items
        .iter()
        .filter(|(there, _, _)| !there)
        .map(|(_, code, what)| {
            Finding::new(
                Severity::Warning,
                code,
                strap,
                format!("its {place} does not give {what}"),
                "take it out of use until its maker and strength are known",
                SOURCE.name,
            )
        })
        .collect()
}

/// The instructions that go with any recovery strap.
pub fn instructions(strap: &str) -> Vec<Finding> {
    let note = |code, message: &str, remedy: &str| {
        Finding::new(
            Severity::Note,
            code,
            strap,
            message,
            remedy,
            REGULATION_SOURCE.name,
        )
    };
    vec![
        note(
            "strap-wet",
            "wet, it is weaker and stretches less",
            "plan it as wet, or dry it first",
        ),
        note(
            "strap-damper",
            "a parted strap flies back",
            "drape a damper, a heavy bag or a blanket over it",
        ),
        note(
            "strap-points",
            "a tow ball or tie-down point is no recovery point",
            "use rated recovery points only",
        ),
        note(
            "strap-bystanders",
            "people in reach of a strap that parts can be killed",
            "keep everyone 1.5 unstretched lengths from either vehicle and out of the path",
        ),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rating_limits_belong_to_the_range() {
        let gvm = Mass::new(3000.0);
        let codes = |kg: f64| {
            rating_findings("strap", Force::from_kgf(kg), gvm, Units::Metric)
                .iter()
                .map(|f| f.code)
                .collect::<Vec<_>>()
        };
        assert_eq!(codes(5999.0), ["strap-too-weak"]);
        assert!(codes(6000.0).is_empty() && codes(9000.0).is_empty());
        assert_eq!(codes(9001.0), ["strap-too-strong"]);
        assert_eq!(codes(f64::NAN), ["strap-rating-unknown"]);
    }

    #[test]
    fn each_missing_line_of_a_label_is_named() {
        let bare = label_findings("strap", &Label::default());
        assert_eq!(bare.len(), 6);
        let only_batch = Label {
            warning: true,
            supplier: true,
            batch: false,
            mbs: true,
            ratio_advice: true,
            lighter_vehicle: true,
        };
        let found = label_findings("strap", &only_batch);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].code, "label-batch");
    }
}
