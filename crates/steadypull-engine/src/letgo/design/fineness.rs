//! How finely a line with dampers is cut, and what finer runs could still add.
//!
//! Whether flying hardware runs squarely into a damper, and how much line is drawn
//! through its grip after a miss, is settled in the bight that forms round it. That is
//! resolved once segments are about as short as the distance at which hardware and damper
//! touch; longer ones catch too much and drag too much, so that energies come out too low.
//! Measured over 64 draws against 128 segments on 9 and 10 m of line (nylon at 1 t and
//! polyester at 1.75 t, six set-ups of one to three dampers): the 95 % quantile of the
//! most energetic thing was off by
//!
//! | segments | length | off by |
//! |---|---|---|
//! | 16 | 0.6 m | -84 to +1 % |
//! | 32 | 0.3 m | -31 to +12 % |
//! | 64 | 0.15 m | -16 to +21 % |
//! | 96 | 0.1 m | -11 to +20 % |
//!
//! Single draws go up and down by more; the distribution over the draws does not. So a
//! check is made with segments of the touching distance, spread over three numbers of
//! them, and an energy counts with a fifth more than was run; with longer segments more in
//! proportion, as the error falls as one over their number. Numerical viscosity hardly
//! matters from 32 segments on (0.1 to 1 tried): hardware that weighs a segment or more
//! gets a quarter of it, which allows longer steps.

use crate::letgo::Setup;
use crate::letgo::cases::CONTACT_M;

/// What finer segments could add to an energy when they are as long as the touching
/// distance, as a share (measured, see above; rounded up).
const LEFT_AT_CONTACT: f64 = 0.2;
/// Most segments of a check: its work goes with their square.
const MOST: usize = 96;
/// Segments more from one block of draws to the next, and how many numbers there are.
const STEP: usize = 4;
const NUMBERS: usize = 3;
/// Viscosity where hardware carries the end along.
const CARRIED: f64 = 0.25;

/// Segments of a check on `metres` of line, `least` or more.
pub(super) fn segments(metres: f64, least: usize) -> usize {
    let wanted = libm::ceil(metres / CONTACT_M) as usize;
    wanted.next_multiple_of(STEP).clamp(least, MOST.max(least))
}

/// Segments more in block `block` of the draws.
pub(super) fn more_in(block: usize) -> usize {
    STEP * (block % NUMBERS)
}

/// What finer segments could add to an energy through dampers, as a share.
pub(super) fn allowance(metres: f64, segments: usize) -> f64 {
    let length_m = metres / segments.max(1) as f64;
    LEFT_AT_CONTACT * (length_m / CONTACT_M).max(1.0)
}

/// Sets the segments and the viscosity of a run.
pub(super) fn cut(setup: &mut Setup, segments: usize) {
    setup.segments = segments.max(2 * setup.lines.len());
    let line_kg: f64 = setup
        .lines
        .iter()
        .map(|line| line.length.get() * line.mass_per_length.get())
        .sum();
    if setup.hardware.mass.get() * setup.segments as f64 >= line_kg {
        setup.viscosity = CARRIED;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_check_is_as_fine_as_the_touch() {
        assert_eq!(segments(9.0, 32), 60);
        assert_eq!(segments(3.0, 32), 32);
        assert_eq!(segments(30.0, 32), 96);
        assert!((allowance(9.0, 60) - 0.2).abs() < 1e-9);
        // Twice as long a segment, twice the error.
        assert!((allowance(28.8, 96) - 0.4).abs() < 1e-9);
        let numbers: Vec<usize> = (0..6).map(more_in).collect();
        assert_eq!(numbers, [0, 4, 8, 0, 4, 8]);
    }
}
