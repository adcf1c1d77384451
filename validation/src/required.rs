//! Every id that must be checked, and those put off with a reason.

/// The published rows that the models must answer to.
pub const REQUIRED: &[&str] = &[
    "CV-MIRE-01",
    "CV-MIRE-04",
    "CV-GRADE-01",
    "CV-GRADE-02",
    "CV-OVERT-01",
    "CV-GROUND-01",
    "CV-GROUND-02",
    "CV-SUCK-01",
    "CV-SUCK-02",
    "CV-TACK-01",
    "CV-TACK-02",
    "CV-TACK-03",
    "CV-DIST-01",
    "CV-DIST-02",
    "CV-DIST-03",
    "CV-DIST-04",
    "CV-BLOCK-01",
    "CV-BLOCK-02",
    "CV-BLOCK-03",
    "CV-LLF-01",
    "CV-LLF-02",
    "CV-LLF-03",
    "CV-SHEAVE-01",
    "CV-SHEAVE-02",
    "CV-MA-01",
    "CV-CAP-01",
    "CV-BRIDLE-01",
    "CV-BRIDLE-02",
    "CV-SLING-01",
    "CV-SLING-02",
    "CV-CAT-01",
    "CV-CAT-02",
    "CV-SHK-01",
    "CV-SHK-02",
    "CV-SHK-03",
    "CV-SHK-05",
    "CV-SHK-06",
    "CV-EYE-01",
    "CV-SHK-07",
    "CV-SHK-08",
    "CV-WIRE-02",
    "CV-WIRE-04",
    "CV-WIRE-05",
    "CV-CLIP-01",
    "CV-CLIP-02",
    "CV-AGE-01",
    "CV-AGE-02",
    "CV-KNOT-01",
    "CV-KNOT-02",
    "CV-DF-01",
    "CV-STRAP-01",
    "CV-STRAP-03",
    "CV-STRAP-05",
    "CV-STRAP-06",
    "CV-STRAP-07",
    "CV-STRAP-11",
    "CV-NYL-01",
    "CV-NYL-02",
    "CV-NYL-03",
    "CV-NYL-04",
    "CV-NYL-05",
    "CV-EA-01",
    "CV-EA-02",
    "CV-EA-03",
    "CV-EA-04",
    "CV-SYN-01",
    "CV-SYN-03",
    "CV-SYN-04",
    "CV-SNAP-01",
    "CV-SNAP-04",
    "CV-SNAP-05",
    "CV-ROD-01",
    "CV-ROD-02",
    "CV-ROD-03",
    "CV-ROD-04",
    "CV-ROD-06",
    "CV-ROD-07",
    "CV-ROD-08",
    "CV-ROD-09",
    "CV-ROD-10",
    "CV-ROD-11",
    "CV-ROD-13",
    "CV-ROD-14",
    "CV-DAMP-01",
    "CV-UNL-01",
    "CV-KIN-01",
    "CV-KIN-02",
    "CV-KIN-03",
    "CV-KIN-05",
    "CV-KIN-06",
    "CV-KIN-07",
    "CV-KIN-08",
    "CV-KIN-09",
    "CV-DRAG-01",
    "CV-DRAG-03",
    "CV-SLIDE-01",
    "CV-ROLL-01",
    "CV-ROLL-02",
    "CV-MU-01",
    "CV-PICK-01",
    "CV-PICK-02",
    "CV-PICK-05",
    "CV-DEAD-01",
    "CV-DEAD-02",
    "CV-DEAD-03",
    "CV-DEAD-04",
    "CV-TREE-01",
    "CV-TREE-02",
    "CV-TREE-03",
    "CV-ANCH-01",
    "CV-INJ-01",
    "CV-INJ-02",
    "CV-INJ-03",
    "CV-INJ-06",
    "CV-INJ-09",
    "CV-INJ-10",
    "CV-INJ-12",
    "TF-01",
    "TF-02",
    "TF-03",
    "TF-04",
    "TF-05",
    "TF-06",
    "TF-07",
    "TF-08",
    "TF-09",
    "CV-DRUM-01",
    "CV-DRUM-02",
    "CV-J706-01",
    "CV-CABLE-01",
    "CV-CABLE-02",
    "CV-AMP-01",
    "CV-IND-KIN-1",
    "CV-IND-KIN-2",
    "CV-IND-RIG-1",
    "CV-IND-RIG-2",
    "CV-IND-RIG-3",
    "CV-IND-RIG-4",
    "CV-IND-RIG-5",
    "CV-IND-RIG-6",
    "CV-IND-ROD-1",
    "CV-IND-ROD-2",
    "CV-WAVE-01",
    "CV-WAVE-02",
    "CV-WAVE-03",
    "CV-WAVE-04",
    "CV-CONV-01",
    "CV-CONV-02",
    "CV-AUDIT-01",
    "CV-AUDIT-02",
    "CV-IND-RECOIL-1",
    "CV-IND-RECOIL-2",
    "CV-IND-RECOIL-3",
    "CV-IND-RECOIL-4",
    "CV-LOW-01",
    "CV-LOW-02",
    "CV-LOW-03",
    "CV-LOW-04",
    "CV-LOW-05",
    "CV-LOW-06",
    "CV-LOW-07",
    "CV-CHANCE-01",
    "CV-CHANCE-02",
    "CV-CHANCE-03",
    "CV-CHANCE-04",
    "CV-CHANCE-05",
    "CV-CHANCE-06",
    "CV-CFC-01",
    "CV-CFC-03",
    "CV-CFC-04",
    "CV-CFC-06",
    "CV-CFC-07",
    "CV-CFC-08",
    "CV-CFC-09",
    "CV-CAL-01",
    "CV-CAL-02",
    "CV-TOL-01",
    "CV-TOL-02",
    "CV-TOL-04",
    "CV-TOL-06",
];

/// Rows not checked yet, and why. A row here that is checked fails a test.
pub const DEFERRED: &[(&str, &str)] = &[];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cases::TOPICS;
    use crate::check::is_of;

    // By name, not by running them: each check's own test holds its name to its id.
    fn names() -> impl Iterator<Item = &'static str> {
        TOPICS.iter().flat_map(|topic| topic.names).copied()
    }

    fn checked(id: &str) -> bool {
        names().any(|name| is_of(name, id))
    }

    #[test]
    fn every_required_row_is_checked_or_put_off_with_a_reason() {
        let put_off = |id: &str| {
            DEFERRED
                .iter()
                .any(|(row, why)| *row == id && !why.is_empty())
        };
        let missing: Vec<_> = REQUIRED
            .iter()
            .filter(|id| !checked(id) && !put_off(id))
            .collect();
        assert!(
            missing.is_empty(),
            "neither checked nor put off: {missing:?}"
        );
    }

    #[test]
    fn nothing_is_put_off_that_is_checked_or_not_required() {
        for (id, _) in DEFERRED {
            assert!(!checked(id), "{id} is checked: take it off the list");
            assert!(REQUIRED.contains(id), "{id} is not required");
        }
    }

    #[test]
    fn no_check_has_an_id_of_its_own_making() {
        for name in names() {
            assert!(
                REQUIRED.iter().any(|id| is_of(name, id)),
                "{name} is of no row"
            );
        }
    }
}
