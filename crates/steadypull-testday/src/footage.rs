//! Marks of a point in frames to how far, how fast and how hard it moved.

use steadypull_contract::answer::{Doubt, FootageAxis, FootageRead, Measured};
use steadypull_contract::plan_file::{FootageEntry, PullEntry};
use steadypull_contract::sha256_of;
use steadypull_engine::chance::normal_quantile;
use steadypull_measure::footage::{Mark, Moment, Plane, Smooth, along, track};
use steadypull_measure::problem::Problem;
use steadypull_measure::shapes::{Part, Shape};
use steadypull_measure::signal::calibration::CalibrationSpread;
use steadypull_measure::signal::steps::{Step, clean};
use steadypull_measure::signal::{Channel, Quality};

use crate::files::Files;
use crate::footage_clock::{ByEvents, clock};
use crate::trouble::Trouble;

/// Most marks of one table.
const MARKS_MOST: usize = 20_000;

/// What the footage of a pull shows, if it has any.
pub(crate) fn footage(
    entry: &PullEntry,
    by_events: Option<&ByEvents>,
    parted: bool,
    files: &dyn Files,
) -> Result<Option<FootageRead>, Trouble> {
    let Some(wanted) = &entry.footage else {
        return Ok(None);
    };
    let Table {
        sha256,
        bytes,
        marks,
    } = table(entry, &wanted.marks, files)?;
    let failed = |problem: Problem| failed(entry, &problem);
    let plane = plane(wanted).map_err(failed)?;
    let track = track(&marks, &clock(wanted), &plane, false).map_err(failed)?;
    let [along, across] = &track.axes;
    Ok(Some(FootageRead {
        file: wanted.marks.clone(),
        sha256,
        bytes,
        marks: marks.len() as u32,
        span_s: along
            .last()
            .zip(along.first())
            .map_or(0.0, |(last, first)| last.time_s - first.time_s),
        along: axis(along, parted),
        across: axis(across, parted),
        clock: by_events.map(|events| events.told(row(wanted, &marks))),
    }))
}

/// A table of marks.
struct Table {
    sha256: String,
    bytes: u64,
    marks: Vec<Mark>,
}

/// One end of the line along the known length: its marks, when they were made, s by the footage,
/// and how it goes through them.
struct End {
    table: Table,
    times_s: Vec<f64>,
    smooth: Smooth,
}

fn plane(wanted: &FootageEntry) -> Result<Plane, Problem> {
    Plane::from_length(
        wanted.known_px[0],
        wanted.known_px[1],
        wanted.known_m.0,
        wanted.known_m.1,
        wanted.askew,
        wanted.click_px,
    )
}

fn failed(entry: &PullEntry, problem: &Problem) -> Trouble {
    Trouble::new(
        format!("[pull.{}.footage]", entry.name),
        problem.to_string(),
    )
}

fn table(entry: &PullEntry, name: &str, files: &dyn Files) -> Result<Table, Trouble> {
    let bytes = files.read(name).map_err(|why| {
        Trouble::new(name, why).hinting(format!("[pull.{}.footage] names it", entry.name))
    })?;
    Ok(Table {
        sha256: sha256_of(&bytes),
        bytes: bytes.len() as u64,
        marks: marks(name, &bytes)?,
    })
}

impl End {
    fn of(
        entry: &PullEntry,
        wanted: &FootageEntry,
        name: &str,
        files: &dyn Files,
    ) -> Result<Self, Trouble> {
        let table = table(entry, name, files)?;
        let failed = |problem: Problem| failed(entry, &problem);
        let plane = plane(wanted).map_err(failed)?;
        let (times_s, smooth) =
            along(&table.marks, &clock(wanted), &plane, false).map_err(failed)?;
        Ok(Self {
            table,
            times_s,
            smooth,
        })
    }

    /// Time from the first mark to the last, s.
    fn span_s(&self) -> f64 {
        self.times_s[self.times_s.len() - 1] - self.times_s[0]
    }
}

/// A stretch read from footage, and what it was read from.
pub(crate) struct Shown {
    /// The stretch, at times of the load.
    pub channel: Channel,
    /// Name and SHA-256 of each table of marks.
    pub tables: Vec<(String, String)>,
}

/// How far the marked point, less the other end where that is marked too, lies along the
/// known length at the load's own times. Between marks it goes by the quintic that the
/// smoothing spline is there.
///
/// Noise that the smoothing has spread over neighbours counts as the white noise of the
/// marks, as dense in time as the load's samples: alike in whatever sums over many. What all
/// marks share is a scale (known length, its two ends as clicked, askew) and a clock: by
/// events at the worst place of the pull; typed the shift, the readout, and the frame rate
/// over the length of the footage.
pub(crate) fn shown(
    entry: &PullEntry,
    wanted: &FootageEntry,
    by_events: Option<&ByEvents>,
    load: &Channel,
    filter: &[Step],
    files: &dyn Files,
) -> Result<Shown, Trouble> {
    let about = format!("[pull.{}.footage]", entry.name);
    let names = [Some(&wanted.marks), wanted.other_end.as_ref()];
    let ends: Vec<(&String, End)> = names
        .into_iter()
        .flatten()
        .map(|name| Ok((name, End::of(entry, wanted, name, files)?)))
        .collect::<Result<_, Trouble>>()?;
    let (by_s, shift_s) = entry.displacement_shift_s;
    let at = |time_s: f64| {
        let footage_s = match by_events {
            Some(events) => events.offset.footage_time_s(time_s),
            None => time_s - by_s,
        };
        let of = |(_, end): &(&String, End)| end.place_at(footage_s);
        let mut places = ends.iter().map(of);
        let first = places.next()??;
        places.try_fold(first, |sum, place| Some(sum - place?))
    };
    let samples = 0..load.series.values().len();
    let inside: Vec<(f64, f64)> = samples
        .map(|i| load.series.time_s(i))
        .filter_map(|time_s| Some((time_s, at(time_s)?)))
        .collect();
    let (times_s, values): (Vec<f64>, Vec<f64>) = inside.into_iter().unzip();
    if times_s.len() < 3 {
        let message = "the footage shows nothing while the load was logged";
        return Err(Trouble::new(about, message)
            .hinting("look at displacement_shift (the log's time less the footage's), or at the frames of its events"));
    }
    let cleaned = clean(&times_s, &values, filter);
    let mut channel = cleaned
        .map_err(|error| Trouble::new(&about, error.to_string()))?
        .channel;
    let row = row(wanted, &ends[0].1.table.marks);
    channel.quality = Quality {
        filter: channel.quality.filter,
        calibration: CalibrationSpread {
            relative: scale_error(wanted),
            absolute_n: 0.0,
        },
        smoothed_from: ends
            .iter()
            .map(|(_, end)| end.smoothed_from(wanted))
            .reduce(f64::max),
        clock_by_taut: by_events.map_or(0.0, ByEvents::by_taut),
        ..Quality::of_noise(noise(wanted, &ends, load.series.step_s()))
    };
    (channel.quality.clock_s, channel.quality.clock_parts) = match by_events {
        Some(events) => (events.within_pull_s(row), events.offset.parts_at(row)),
        None => typed_clock(wanted, shift_s, row, &ends[0].1),
    };
    Ok(Shown {
        channel,
        tables: ends
            .into_iter()
            .map(|(name, end)| (name.clone(), end.table.sha256))
            .collect(),
    })
}

/// Share by which every length may be off: known length and askew, and its ends as clicked.
fn scale_error(wanted: &FootageEntry) -> f64 {
    let [[ax, ay], [bx, by]] = wanted.known_px;
    let pixels = libm::hypot(bx - ax, by - ay);
    let clicked = core::f64::consts::SQRT_2 * wanted.click_px / pixels;
    let (known_m, error_m) = wanted.known_m;
    libm::hypot(libm::hypot(error_m / known_m, wanted.askew), clicked)
}

/// Row of the marks as a share of the picture, on average.
fn row(wanted: &FootageEntry, marks: &[Mark]) -> f64 {
    let rows = marks.iter().map(|mark| mark.y_px).sum::<f64>();
    rows / marks.len() as f64 / wanted.rows
}

/// How sure a clock is that was typed, with what readout and frame rate leave open; and what of
/// that follows no bell curve, s.
fn typed_clock(wanted: &FootageEntry, shift_s: f64, row: f64, end: &End) -> (f64, Vec<Part>) {
    let clock = clock(wanted);
    let readout = Part {
        deviation: clock.readout_error_s * row,
        shape: Shape::Even,
    };
    let rate_s = clock.rate_error_hz / clock.rate_hz * end.span_s();
    let all = libm::hypot(libm::hypot(shift_s, readout.deviation), rate_s);
    (all, vec![readout])
}

/// The error of a click, m.
fn click_m(wanted: &FootageEntry) -> f64 {
    let [[ax, ay], [bx, by]] = wanted.known_px;
    wanted.click_px * wanted.known_m.0 / libm::hypot(bx - ax, by - ay)
}

/// The marks' noise as that of the load's samples, m.
fn noise(wanted: &FootageEntry, ends: &[(&String, End)], step_s: f64) -> f64 {
    let click_m = click_m(wanted);
    let each = ends.iter().map(|(_, end)| {
        let apart_s = end.span_s() / (end.times_s.len() as f64 - 1.0);
        let of_mark = click_m * end.smooth.noise;
        of_mark * of_mark * apart_s / step_s
    });
    libm::sqrt(each.sum())
}

impl End {
    /// From which rate on its spline smooths, rad/s: its gain is `1/(1 + λ Δ ω⁶/w)` for marks Δ
    /// apart of weight w.
    fn smoothed_from(&self, wanted: &FootageEntry) -> f64 {
        let apart_s = self.span_s() / (self.times_s.len() as f64 - 1.0);
        let click_m = click_m(wanted);
        libm::pow(self.smooth.lambda * apart_s * click_m * click_m, -1.0 / 6.0)
    }

    /// Where it is at a time of the footage; none before the first mark or after the last. A
    /// quintic by place, speed and acceleration at both marks.
    fn place_at(&self, time_s: f64) -> Option<f64> {
        let motion = |mark: usize| {
            let [p, v, c] = self.smooth.derivatives[mark][..] else {
                return None;
            };
            Some([p, v, c])
        };
        let after = self.times_s.partition_point(|t| *t < time_s);
        let &end_s = self.times_s.get(after)?;
        let Some(before) = after.checked_sub(1) else {
            return motion(0).filter(|_| time_s == end_s).map(|[p, ..]| p);
        };
        let ([p, v, c], [q, w, d]) = (motion(before)?, motion(after)?);
        let h = end_s - self.times_s[before];
        let u = (time_s - self.times_s[before]) / h;
        let (v, c, w, d) = (v * h, c * h * h, w * h, d * h * h);
        let k3 = 10.0 * (q - p) - 6.0 * v - 4.0 * w - 1.5 * c + 0.5 * d;
        let k4 = -15.0 * (q - p) + 8.0 * v + 7.0 * w + 1.5 * c - d;
        let k5 = 6.0 * (q - p) - 3.0 * (v + w) - 0.5 * (c - d);
        Some(p + u * (v + u * (0.5 * c + u * (k3 + u * (k4 + u * k5)))))
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

fn axis(moments: &[Moment], parted: bool) -> FootageAxis {
    let hard = greatest(moments, 2);
    FootageAxis {
        moved_m: greatest(moments, 0),
        speed_m_s: greatest(moments, 1),
        acceleration_m_s2: match parted {
            true => crate::measured::without(hard.value, JUMPED),
            false => hard,
        },
    }
}

/// Why no acceleration has an interval where something parted.
const JUMPED: &str = "something parted: no smoothing follows how the acceleration jumps there";

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
    let mut made_of = vec![
        doubt("marks", top.error[of]),
        doubt("plane, frame rate and shutter", top.common_error[of]),
    ];
    made_of.sort_by(|a, b| b.standard_uncertainty.total_cmp(&a.standard_uncertainty));
    Measured {
        value: Some(value),
        low: Some(value - half),
        high: Some(value + half),
        standard_uncertainty: Some(sure),
        no_interval: None,
        made_of,
    }
}
