//! Did you mean: the nearest known word.
//!
//! Edit distance counts letters added, left out, changed or swapped with their
//! neighbour (Damerau 1964, optimal string alignment).

/// Longest word that is compared; longer ones are no slip of the pen.
const LONGEST: usize = 40;

/// The known word nearest to `word`, if it is near enough to be meant.
pub(crate) fn nearest<'w>(word: &str, known: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    let plain = plain(word);
    if plain.is_empty() || plain.len() > LONGEST {
        return None;
    }
    let allowed = (plain.len() / 3).max(1);
    known
        .into_iter()
        .map(|candidate| {
            let other = self::plain(candidate);
            let alike = plain.iter().zip(&other).take_while(|(a, b)| a == b).count();
            (distance(&plain, &other), alike, candidate)
        })
        .filter(|(edits, ..)| *edits <= allowed)
        // Of two as near, the one that begins alike for longer.
        .min_by_key(|(edits, alike, _)| (*edits, core::cmp::Reverse(*alike)))
        .map(|(.., candidate)| candidate)
}

/// Without case, and with one sort of joint between words.
fn plain(word: &str) -> Vec<char> {
    let joint = |c: char| matches!(c, ' ' | '_' | '-');
    word.trim()
        .chars()
        .flat_map(char::to_lowercase)
        .map(|c| if joint(c) { '-' } else { c })
        .take(LONGEST + 1)
        .collect()
}

fn distance(a: &[char], b: &[char]) -> usize {
    let mut before_last = vec![0; b.len() + 1];
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let changed = usize::from(a[i - 1] != b[j - 1]);
            row[j] = (last[j] + 1).min(row[j - 1] + 1).min(last[j - 1] + changed);
            let swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if swapped {
                row[j] = row[j].min(before_last[j - 2] + 1);
            }
        }
        before_last = core::mem::replace(&mut last, row);
    }
    last[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_recognised() {
        let known = ["mass", "gross_mass", "tow-ball", "tie-down-eye"];
        let cases = [
            ("maas", Some("mass")),
            ("mas", Some("mass")),
            ("msas", Some("mass")),
            ("towball", Some("tow-ball")),
            ("Tow ball", Some("tow-ball")),
            ("gross mass", Some("gross_mass")),
            ("weight", None),
            ("", None),
        ];
        for (word, meant) in cases {
            assert_eq!(nearest(word, known), meant, "{word}");
        }
        assert_eq!(nearest("rigg", ["ring", "rig"]), Some("rig"));
    }
}
