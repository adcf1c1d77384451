//! Marks of a point in frames to how far, how fast and how hard it moved.

use sha2::{Digest, Sha256};
use steadypull_contract::answer::{Doubt, FootageAxis, FootageRead, Measured};
use steadypull_contract::plan_file::{FootageEntry, PullEntry};
use steadypull_engine::chance::normal_quantile;
use steadypull_measure::footage::{Clock, Mark, Moment, Plane, track};

use crate::files::Files;
use crate::trouble::Trouble;

/// Most marks of one table.
const MARKS_MOST: usize = 20_000;

/// What the footage of a pull shows, if it has any.
pub(crate) fn footage(
    entry: &PullEntry,
    files: &dyn Files,
) -> Result<Option<FootageRead>, Trouble> {
    let Some(wanted) = &entry.footage else {
        return Ok(None);
    };
    let bytes = files.read(&wanted.marks).map_err(|why| {
        Trouble::new(&wanted.marks, why).hinting(format!("[pull.{}.footage] names it", entry.name))
    })?;
    let marks = marks(&wanted.marks, &bytes)?;
    let about = format!("[pull.{}.footage]", entry.name);
    let failed =
        |problem: steadypull_measure::problem::Problem| Trouble::new(&about, problem.to_string());
    let plane = Plane::from_length(
        wanted.known_px[0],
        wanted.known_px[1],
        wanted.known_m.0,
        wanted.known_m.1,
        wanted.askew,
        wanted.click_px,
    );
    let track = track(&marks, &clock(wanted), &plane.map_err(failed)?, false).map_err(failed)?;
    let [along, across] = &track.axes;
    let hash = Sha256::digest(&bytes);
    Ok(Some(FootageRead {
        file: wanted.marks.clone(),
        sha256: hash.iter().map(|byte| format!("{byte:02x}")).collect(),
        bytes: bytes.len() as u64,
        marks: marks.len() as u32,
        span_s: along
            .last()
            .zip(along.first())
            .map_or(0.0, |(last, first)| last.time_s - first.time_s),
        along: axis(along),
        across: axis(across),
    }))
}

/// A shutter whose readout is not known takes half a frame, give or take all of that half.
fn clock(wanted: &FootageEntry) -> Clock {
    let half = 0.5 / wanted.rate_hz;
    let (readout_s, readout_error_s) = match wanted.readout_s {
        Some(known) => (known, 0.0),
        None => (half, half / 3f64.sqrt()),
    };
    Clock {
        rate_hz: wanted.rate_hz,
        rate_error_hz: wanted.rate_uncertainty_hz,
        readout_s,
        readout_error_s,
        height_px: wanted.rows,
    }
}

/// Frame, x and y of each line, set apart by commas, semicolons or blanks; a first line of
/// words is a head.
fn marks(name: &str, bytes: &[u8]) -> Result<Vec<Mark>, Trouble> {
    let text = std::str::from_utf8(bytes)
        .map_err(|_| Trouble::new(name, "the table of marks is not text in UTF-8"))?;
    let mut marks = Vec::new();
    for (number, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        let cells: Vec<&str> = line
            .split([',', ';', '\t', ' '])
            .map(str::trim)
            .filter(|c| !c.is_empty())
            .collect();
        if cells.is_empty() {
            continue;
        }
        match mark(&cells) {
            Some(mark) => marks.push(mark),
            None if number == 0 => {}
            None => {
                let message = format!("line {}: is not a frame and two numbers", number + 1);
                return Err(Trouble::new(name, message).hinting("write frame,x,y: 120,412.5,833.0"));
            }
        }
    }
    if marks.len() > MARKS_MOST {
        return Err(Trouble::new(
            name,
            format!("{} marks are too many: at most {MARKS_MOST}", marks.len()),
        ));
    }
    Ok(marks)
}

fn mark(cells: &[&str]) -> Option<Mark> {
    let [frame, x, y] = cells else { return None };
    let pixel = |text: &str| text.parse::<f64>().ok().filter(|p| p.is_finite());
    Some(Mark {
        frame: frame.parse().ok()?,
        x_px: pixel(x)?,
        y_px: pixel(y)?,
    })
}

fn axis(moments: &[Moment]) -> FootageAxis {
    FootageAxis {
        moved_m: greatest(moments, 0),
        speed_m_s: greatest(moments, 1),
        acceleration_m_s2: greatest(moments, 2),
    }
}

/// The greatest size of position (from the first mark), speed or acceleration, with the
/// doubt of the smoothed track there.
fn greatest(moments: &[Moment], of: usize) -> Measured {
    let start = if of == 0 {
        moments.first().map_or(0.0, |m| m.motion[0])
    } else {
        0.0
    };
    let size = |moment: &&Moment| (moment.motion[of] - start).abs();
    let Some(top) = moments.iter().max_by(|a, b| size(a).total_cmp(&size(b))) else {
        return crate::measured::without(None, "no marks");
    };
    let value = top.motion[of] - start;
    let sure = libm::hypot(top.error[of], top.common_error[of]);
    let half = normal_quantile(0.975) * sure;
    let doubt = |from: &str, standard_uncertainty: f64| Doubt {
        from: from.into(),
        standard_uncertainty,
    };
    Measured {
        value: Some(value),
        low: Some(value - half),
        high: Some(value + half),
        standard_uncertainty: Some(sure),
        no_interval: None,
        made_of: vec![
            doubt("marks", top.error[of]),
            doubt("plane, frame rate and shutter", top.common_error[of]),
        ],
    }
}
