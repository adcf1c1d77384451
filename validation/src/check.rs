//! One check: what the engine says, what the source says, and the verdict.

use steadypull_engine::source::Source;

/// How close is close enough.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tolerance {
    /// To the last digits of a double: 1e-12 of the value.
    Exact,
    /// A share of the expected value.
    Rel(f64),
    /// An amount in the unit of the check.
    Abs(f64),
}

impl Tolerance {
    fn allows(self, expected: f64, got: f64) -> bool {
        let difference = (got - expected).abs();
        match self {
            Self::Exact => difference <= 1e-12 * expected.abs(),
            Self::Rel(share) => difference <= share * expected.abs(),
            Self::Abs(amount) => difference <= amount,
        }
    }

    /// The words for the table.
    pub fn words(self) -> String {
        match self {
            Self::Exact => "exact".into(),
            Self::Rel(share) => format!("{} of value", trim(share)),
            Self::Abs(amount) => format!("{} abs.", trim(amount)),
        }
    }
}

fn trim(value: f64) -> String {
    if value < 1e-3 {
        format!("{value:e}")
    } else {
        format!("{value}")
    }
}

/// What the engine's values are held against.
#[derive(Debug, Clone, PartialEq)]
pub enum Against {
    /// A value each.
    Values {
        /// What the source says.
        expected: Vec<f64>,
        /// How close.
        tolerance: Tolerance,
    },
    /// A band each, ends included.
    Bands(Vec<(f64, f64)>),
    /// Statements that the engine must make true (wording, order, presence).
    Statements(Vec<(&'static str, bool)>),
}

/// One check.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// The id of the published row.
    pub id: &'static str,
    /// What is checked.
    pub what: &'static str,
    /// Who says so, and how far that was seen.
    pub source: Source,
    /// Unit of the values; `-` for shares and ratios.
    pub unit: &'static str,
    /// What the source says.
    pub against: Against,
    /// Why this tolerance or band.
    pub reason: &'static str,
    /// What the engine says; empty for statements.
    pub got: Vec<f64>,
    /// What a reader should know: misprints, conflicts, limits.
    pub note: &'static str,
}

/// A check that does not know yet what it is held against.
pub struct Draft {
    id: &'static str,
    what: &'static str,
    source: Source,
    unit: &'static str,
}

/// Starts a check.
pub fn check(id: &'static str, what: &'static str, source: Source, unit: &'static str) -> Draft {
    Draft {
        id,
        what,
        source,
        unit,
    }
}

impl Draft {
    /// Holds values against values.
    pub fn values(
        self,
        got: impl Into<Vec<f64>>,
        expected: impl Into<Vec<f64>>,
        tolerance: Tolerance,
        reason: &'static str,
    ) -> Check {
        self.against(
            Against::Values {
                expected: expected.into(),
                tolerance,
            },
            reason,
            got.into(),
        )
    }

    /// Holds values against bands.
    pub fn bands(
        self,
        got: impl Into<Vec<f64>>,
        bands: impl Into<Vec<(f64, f64)>>,
        reason: &'static str,
    ) -> Check {
        self.against(Against::Bands(bands.into()), reason, got.into())
    }

    /// Asks that statements be true.
    pub fn statements(self, statements: impl Into<Vec<(&'static str, bool)>>) -> Check {
        self.against(
            Against::Statements(statements.into()),
            "each must hold",
            Vec::new(),
        )
    }

    fn against(self, against: Against, reason: &'static str, got: Vec<f64>) -> Check {
        let Self {
            id,
            what,
            source,
            unit,
        } = self;
        Check {
            id,
            what,
            source,
            unit,
            against,
            reason,
            got,
            note: "",
        }
    }
}

impl Check {
    /// Adds what a reader should know.
    pub fn note(self, note: &'static str) -> Self {
        Self { note, ..self }
    }

    /// Why it does not hold, if it does not.
    fn fault(&self) -> Option<String> {
        match &self.against {
            Against::Values {
                expected,
                tolerance,
            } => self.compare(expected.len(), |i, got| {
                let wanted = expected[i];
                let held = wanted.is_finite() && tolerance.allows(wanted, got);
                (!held).then(|| format!("value {}: {got} against {wanted}", i + 1))
            }),
            Against::Bands(bands) => self.compare(bands.len(), |i, got| {
                let (low, high) = bands[i];
                let held = low <= got && got <= high;
                (!held).then(|| format!("value {}: {got} outside {low} to {high}", i + 1))
            }),
            Against::Statements(statements) if statements.is_empty() => {
                Some("nothing to compare".into())
            }
            Against::Statements(statements) => statements
                .iter()
                .find(|s| !s.1)
                .map(|s| format!("not so: {}", s.0)),
        }
    }

    fn compare(
        &self,
        wanted: usize,
        fault: impl Fn(usize, f64) -> Option<String>,
    ) -> Option<String> {
        if wanted == 0 {
            return Some("nothing to compare".into());
        }
        if wanted != self.got.len() {
            return Some(format!("{} values against {wanted}", self.got.len()));
        }
        self.got.iter().enumerate().find_map(|(i, &got)| {
            if got.is_finite() {
                fault(i, got)
            } else {
                Some(format!("value {}: {got}", i + 1))
            }
        })
    }
}

/// Whether a check holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Verdict {
    /// It holds.
    Holds,
    /// It does not, and why.
    Fails(String),
}

/// A check with its verdict.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The check.
    pub check: Check,
    /// Whether it holds.
    pub verdict: Verdict,
}

impl Outcome {
    /// Judges a check.
    pub fn judge(check: Check) -> Self {
        let verdict = check.fault().map_or(Verdict::Holds, Verdict::Fails);
        Self { check, verdict }
    }

    /// Whether it holds.
    pub fn holds(&self) -> bool {
        self.verdict == Verdict::Holds
    }

    /// Signed relative differences of the values that have one.
    pub fn relative_differences(&self) -> Vec<f64> {
        self.pairs()
            .iter()
            .map(|(expected, got)| got / expected - 1.0)
            .collect()
    }

    /// (expected, got) of the values that are not expected to be nothing.
    pub fn pairs(&self) -> Vec<(f64, f64)> {
        match &self.check.against {
            Against::Values { expected, .. } => expected
                .iter()
                .copied()
                .zip(self.check.got.iter().copied())
                .filter(|(expected, _)| *expected != 0.0)
                .collect(),
            _ => Vec::new(),
        }
    }
}

/// Turns `name => check;` rows into a topic: a list of its checks, and a test
/// for each under its name, which must begin with the check's id.
macro_rules! checks {
    ($($name:ident => $check:expr;)*) => {
        /// The names of the checks of this topic, which begin with their ids.
        #[cfg(test)]
        pub const NAMES: &[&str] = &[$(stringify!($name)),*];

        /// The checks of this topic, worked out.
        pub fn checks() -> Vec<$crate::check::Check> {
            vec![$($name()),*]
        }

        $(fn $name() -> $crate::check::Check { $check })*

        #[cfg(test)]
        mod tests {
            $(
                #[test]
                fn $name() {
                    $crate::check::assert_holds(stringify!($name), super::$name());
                }
            )*
        }
    };
}
pub(crate) use checks;

/// Whether a check of this name is one of the row `id`: `cv_mire_01` and
/// `cv_mire_01_words` are both of CV-MIRE-01.
#[cfg(test)]
pub fn is_of(name: &str, id: &str) -> bool {
    let row = id.to_lowercase().replace('-', "_");
    name.strip_prefix(&row)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with('_'))
}

/// Fails unless the check holds and its name begins with its id.
#[cfg(test)]
pub fn assert_holds(name: &str, check: Check) {
    assert!(is_of(name, check.id), "{name} holds {}", check.id);
    let outcome = Outcome::judge(check);
    assert_eq!(outcome.verdict, Verdict::Holds, "{}", outcome.check.id);
}

#[cfg(test)]
mod tests {
    use super::*;
    use steadypull_engine::source::Status;

    fn draft() -> Draft {
        check(
            "CV-X",
            "a check of checks",
            Source::new("invented", Status::Assumed),
            "-",
        )
    }

    fn fails(check: Check) -> bool {
        !Outcome::judge(check).holds()
    }

    #[test]
    fn nothing_to_compare_fails() {
        assert!(fails(draft().values([], [], Tolerance::Abs(1.0), "")));
        assert!(fails(draft().bands([], [], "")));
        assert!(fails(draft().statements([])));
    }

    #[test]
    fn unequal_lengths_fail() {
        assert!(fails(draft().values(
            [1.0],
            [1.0, 2.0],
            Tolerance::Abs(9.0),
            ""
        )));
        assert!(fails(draft().bands([1.0, 2.0], [(0.0, 9.0)], "")));
    }

    #[test]
    fn no_number_fails() {
        for odd in [f64::NAN, f64::INFINITY] {
            assert!(fails(draft().values(
                [odd],
                [1.0],
                Tolerance::Rel(f64::INFINITY),
                ""
            )));
            assert!(fails(draft().values(
                [1.0],
                [odd],
                Tolerance::Rel(f64::INFINITY),
                ""
            )));
            assert!(fails(draft().bands([odd], [(0.0, f64::INFINITY)], "")));
        }
    }

    #[test]
    fn off_either_way_fails() {
        for got in [0.98, 1.02] {
            assert!(fails(draft().values(
                [got],
                [1.0],
                Tolerance::Rel(0.01),
                ""
            )));
            assert!(fails(draft().bands([got], [(0.99, 1.01)], "")));
        }
        assert!(fails(draft().statements([("so", true), ("not so", false)])));
        assert!(!fails(draft().values(
            [1.009],
            [1.0],
            Tolerance::Abs(0.01),
            ""
        )));
    }
}
