//! The published tables of `validation/reference/`, compiled in.
//!
//! A column that is missing or holds no numbers comes out empty or NaN, and
//! the check that asked for it fails.

/// A table: column names and rows of cells.
pub struct Table {
    names: Vec<String>,
    rows: Vec<Vec<String>>,
}

macro_rules! tables {
    ($($name:ident)+) => {$(
        #[doc = concat!("`reference/", stringify!($name), ".csv`")]
        pub fn $name() -> Table {
            Table::read(include_str!(concat!("../reference/", stringify!($name), ".csv")))
        }
    )+};
}

tables! {
    aged_nylon bend_dd block_angle cfc_coefficients deadman ground_factor knots lead_line_factor line_props mire
    nylon_double_braid pickets rolling shackle_wll tolerance_factors wire_clips
}

impl Table {
    fn read(text: &str) -> Self {
        let mut lines = text
            .lines()
            .filter(|line| !line.trim().is_empty())
            .map(cells);
        Self {
            names: lines.next().unwrap_or_default(),
            rows: lines.collect(),
        }
    }

    /// The cells of a column.
    pub fn words(&self, name: &str) -> Vec<&str> {
        let Some(at) = self.names.iter().position(|n| n == name) else {
            return Vec::new();
        };
        self.rows
            .iter()
            .map(|row| row.get(at).map_or("", String::as_str))
            .collect()
    }

    /// The numbers of a column.
    pub fn numbers(&self, name: &str) -> Vec<f64> {
        self.words(name)
            .iter()
            .map(|cell| cell.parse().unwrap_or(f64::NAN))
            .collect()
    }
}

/// The cells of one line; a quoted cell may hold commas.
fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            _ => {
                if let Some(cell) = cells.last_mut() {
                    cell.push(c);
                }
            }
        }
    }
    cells
}

/// A value of the independent integrations: the row of `file` that starts with
/// `case` and names `quantity`; no number if there is none.
pub fn independent(file: &str, case: &[&str], quantity: &str) -> f64 {
    let text = match file {
        "kinetic_pull" => include_str!("../independent/kinetic_pull.csv"),
        "recoil" => include_str!("../independent/recoil.csv"),
        "rod_end_mass" => include_str!("../independent/rod_end_mass.csv"),
        "recoil_peers" => include_str!("../independent/recoil_peers.csv"),
        "rig_statics" => include_str!("../independent/rig_statics.csv"),
        _ => return f64::NAN,
    };
    text.lines()
        .map(|line| line.split(',').collect::<Vec<_>>())
        .find(|cells| {
            cells.len() > case.len() + 1
                && cells[..case.len()] == *case
                && cells[case.len()] == quantity
        })
        .and_then(|cells| cells[case.len() + 1].parse().ok())
        .unwrap_or(f64::NAN)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quoted_commas_and_missing_columns() {
        let table = Table::read("a,b,source\n1,2,\"x, y\"\n3,z,w\n");
        assert_eq!(table.numbers("a"), [1.0, 3.0]);
        assert!(table.numbers("b")[1].is_nan());
        assert_eq!(table.words("source"), ["x, y", "w"]);
        assert!(table.numbers("c").is_empty());
    }

    #[test]
    fn every_table_names_a_source_in_every_row() {
        let tables = [
            aged_nylon(),
            bend_dd(),
            block_angle(),
            deadman(),
            ground_factor(),
            knots(),
            lead_line_factor(),
            line_props(),
            mire(),
            nylon_double_braid(),
            pickets(),
            rolling(),
            shackle_wll(),
            wire_clips(),
        ];
        for table in tables {
            let sources = table.words("source");
            assert!(
                !sources.is_empty() && sources.iter().all(|s| !s.is_empty()),
                "{:?}",
                table.names
            );
        }
    }
}
