//! The plan of a day: runs in order, what to stop for, and the sheet to fill in.

use steadypull_engine::show::Units;
use steadypull_engine::units::{Force, Length};

use super::order::{Factor, Run, blocks, setups};
use super::repeats::{Aim, Repeats, repeats_for};
use crate::problem::{Problem, in_range};

/// What ends a run, or the day, at once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stop {
    /// Someone or something inside the standoff.
    Inside(Length),
    /// A load at or above this: the highest that is planned for.
    Load(Force),
    /// A part has yielded, slipped, worn or heated visibly.
    Damage,
    /// An anchor or a vehicle has moved that should not.
    Moved,
    /// The cell's zero after a pull is off by more than this.
    Zero(Force),
    /// No contact with the driver or the observer.
    Contact,
}

impl Stop {
    /// The words for it.
    pub fn words(&self, units: Units) -> String {
        match self {
            Self::Inside(standoff) => {
                format!("anyone or anything inside {}", units.length(standoff.get()))
            }
            Self::Load(limit) => format!("a load of {} or more", units.force(limit.get())),
            Self::Damage => "a part yields, slips, wears or heats visibly".into(),
            Self::Moved => "an anchor or a parked vehicle moves".into(),
            Self::Zero(most) => format!(
                "the cell's zero after a pull is off by more than {}: that pull does not count",
                units.hand_force(most.get())
            ),
            Self::Contact => "no contact with driver or observer".into(),
        }
    }
}

/// A test day. It plans and certifies nothing: makers' ratings, local law and trained
/// practice stand above it.
#[derive(Debug, Clone, PartialEq)]
pub struct DayPlan {
    /// What is varied.
    pub factors: Vec<Factor>,
    /// Repeats and what they can show.
    pub repeats: Repeats,
    /// The wanted difference and what stands behind the repeats.
    pub aim: Aim,
    /// Pairs of set-ups that will be compared.
    pub comparisons: usize,
    /// The pulls, in order.
    pub runs: Vec<Run>,
    /// Seed of that order.
    pub seed: u64,
    /// Standoff, as given by the let-go model.
    pub standoff: Length,
    /// What to stop for.
    pub stops: Vec<Stop>,
}

/// Columns to fill in by hand at each run.
fn by_hand(units: Units) -> [String; 6] {
    let force = units.force_axis().name;
    [
        "time".into(),
        format!("zero before ({force})"),
        format!("peak ({force})"),
        format!("zero after ({force})"),
        "rest since last pull (min)".into(),
        "wet, wear, what happened".into(),
    ]
}

/// Drift of the cell's zero that voids a pull, over the load limit (common practice).
const ZERO_DRIFT: f64 = 0.005;

/// Plans a day: every set-up of the factors, all pairs compared.
///
/// `standoff` comes from the let-go model, `limit` is the lowest rating of what carries
/// the load; `highest` is the highest load that is planned for, people stand back for no more,
/// and it ends the day.
pub fn plan_day(
    factors: Vec<Factor>,
    aim: Aim,
    standoff: Length,
    (highest, limit): (Force, Force),
    seed: u64,
) -> Result<DayPlan, Problem> {
    in_range("the standoff, m", standoff.get(), 1.0, 1000.0)?;
    in_range("the load limit, N", limit.get(), 1.0, 1e8)?;
    in_range("the highest load, N", highest.get(), 1.0, limit.get())?;
    let setups = setups(&factors)?;
    let comparisons = setups.len() * (setups.len() - 1) / 2;
    let repeats = repeats_for(&aim, comparisons.min(1000))?;
    Ok(DayPlan {
        runs: blocks(&setups, repeats.each, seed),
        stops: vec![
            Stop::Inside(standoff),
            Stop::Load(highest),
            Stop::Damage,
            Stop::Moved,
            Stop::Zero(limit * ZERO_DRIFT),
            Stop::Contact,
        ],
        factors,
        repeats,
        aim,
        comparisons,
        seed,
        standoff,
    })
}

impl DayPlan {
    /// The record sheet: a head, then a row a run with the cells to fill in left empty.
    pub fn sheet(&self, units: Units) -> Vec<Vec<String>> {
        let names = self.factors.iter().map(|f| f.name.clone());
        let (head, by_hand) = (["run", "block"].map(String::from), by_hand(units));
        let mut rows = vec![
            head.into_iter()
                .chain(names)
                .chain(by_hand.clone())
                .collect(),
        ];
        for (i, run) in self.runs.iter().enumerate() {
            let levels = self.factors.iter().zip(&run.setup);
            let mut row = vec![(i + 1).to_string(), run.block.to_string()];
            row.extend(levels.map(|(f, level)| f.levels[*level].clone()));
            row.extend(by_hand.iter().map(|_| String::new()));
            rows.push(row);
        }
        rows
    }
}

#[cfg(test)]
mod tests {
    use super::super::repeats::Spread;
    use super::*;

    fn factor(name: &str, levels: &[&str]) -> Factor {
        Factor {
            name: name.into(),
            levels: levels.iter().map(|l| (*l).into()).collect(),
        }
    }

    fn loads(highest_kn: f64, limit_kn: f64) -> (Force, Force) {
        (Force::from_kn(highest_kn), Force::from_kn(limit_kn))
    }

    fn plan(seed: u64) -> DayPlan {
        let factors = vec![
            factor("line", &["strap", "rope"]),
            factor("run-up", &["2 m/s", "3 m/s"]),
        ];
        let aim = Aim {
            difference: 6e3,
            spread: Spread::Guessed(3e3),
            power: 0.8,
            confidence: 0.95,
        };
        plan_day(factors, aim, Length::new(22.0), loads(34.0, 44.0), seed).unwrap()
    }

    #[test]
    fn each_block_holds_each_setup_once_and_the_seed_settles_the_order() {
        let day = plan(4);
        assert_eq!(day.comparisons, 6);
        assert_eq!(day.runs.len(), 4 * day.repeats.each);
        for block in 1..=day.repeats.each {
            let mut seen: Vec<_> = day
                .runs
                .iter()
                .filter(|r| r.block == block)
                .map(|r| r.setup.clone())
                .collect();
            seen.sort();
            assert_eq!(seen, [[0, 0], [0, 1], [1, 0], [1, 1]]);
        }
        assert_eq!(day.runs, plan(4).runs);
        assert_ne!(day.runs, plan(5).runs);
        assert!(day.repeats.guessed);
    }

    #[test]
    fn the_sheet_has_a_row_a_run_and_the_stops_say_their_limits() {
        let day = plan(4);
        let sheet = day.sheet(Units::Metric);
        assert_eq!(sheet.len(), day.runs.len() + 1);
        assert!(
            sheet
                .iter()
                .all(|row| row.len() == 2 + 2 + by_hand(Units::Metric).len())
        );
        assert!(["strap", "rope"].contains(&sheet[1][2].as_str()));
        let words: Vec<String> = day.stops.iter().map(|s| s.words(Units::Metric)).collect();
        assert!(words.iter().any(|w| w.contains("inside 22.0 m")));
        // The day ends at the highest load planned; the zero goes by what the rig may carry.
        assert!(words.iter().any(|w| w.contains("34.0 kN")));
        assert!(words.iter().any(|w| w.contains("220 N")));
    }

    #[test]
    fn bad_days_say_why() {
        let aim = plan(1).aim;
        let one = vec![factor("line", &["strap"])];
        let said = plan_day(one, aim, Length::new(20.0), loads(40.0, 40.0), 1).unwrap_err();
        assert!(said.to_string().contains("levels of a factor"));
        assert!(plan_day(vec![], aim, Length::new(20.0), loads(40.0, 40.0), 1).is_err());
        let two = vec![factor("line", &["strap", "rope"])];
        assert!(
            plan_day(
                two.clone(),
                aim,
                Length::new(f64::NAN),
                loads(40.0, 40.0),
                1
            )
            .is_err()
        );
        let said = plan_day(two, aim, Length::new(20.0), loads(41.0, 40.0), 1).unwrap_err();
        assert!(said.to_string().contains("highest load"), "{said}");
    }
}
