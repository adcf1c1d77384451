//! WAV files: RIFF with uncompressed samples. A sample is told as a share of full scale, -1 to
//! just under 1, the way integers of two's complement reach.
//!
//! Layout of the chunks: Microsoft and IBM, Multimedia Programming Interface and Data
//! Specifications 1.0 (1991), and WAVE_FORMAT_EXTENSIBLE (from memory).

use crate::log::{Log, PlaceKind, Places};
use crate::mistake::{Kind, Mistakes, Place};
use crate::recipe::{Decimal, Grouping, Notation, Recipe};
use crate::take::{Columns, How, Slot, Texts};

/// How a sample is stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Coding {
    Byte,
    Short,
    Three,
    Long,
    Float,
    Double,
}

/// A WAV file taken apart.
pub(crate) struct Sound<'a> {
    coding: Coding,
    /// Channels.
    pub channels: u16,
    /// Samples in a second.
    pub rate_hz: u32,
    data: &'a [u8],
    /// What the header claims to follow and does not, bytes.
    missing: u64,
}

/// True for a file that begins like a WAV.
pub(crate) fn is_wav(bytes: &[u8]) -> bool {
    bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WAVE")
}

fn refuse(kind: Kind, found: &str) -> Mistakes {
    Mistakes::one(kind, Place::File, found)
}

fn half(bytes: &[u8], at: usize) -> Option<u16> {
    bytes
        .get(at..at + 2)
        .map(|b| u16::from_le_bytes([b[0], b[1]]))
}

fn word(bytes: &[u8], at: usize) -> Option<u32> {
    bytes
        .get(at..at + 4)
        .map(|b| u32::from_le_bytes([b[0], b[1], b[2], b[3]]))
}

impl<'a> Sound<'a> {
    /// Finds format and samples. Sizes in the header are claims: never more is taken than is there.
    pub fn open(bytes: &'a [u8]) -> Result<Self, Mistakes> {
        if !is_wav(bytes) {
            return Err(refuse(Kind::WrongFormat, "no RIFF … WAVE at its start"));
        }
        let mut format = None;
        let mut at = 12;
        while let (Some(name), Some(size)) = (bytes.get(at..at + 4), word(bytes, at + 4)) {
            let from = at + 8;
            let end = from.saturating_add(size as usize);
            let there = &bytes[from..bytes.len().min(end)];
            match (name, format) {
                (b"fmt ", _) => format = Some(Format::read(there)?),
                (b"data", Some(format)) => {
                    return format.sound(there, end.saturating_sub(bytes.len()) as u64);
                }
                _ => {}
            }
            at = end.saturating_add(size as usize & 1);
            if at >= bytes.len() {
                break;
            }
        }
        Err(refuse(Kind::Broken, "no samples"))
    }

    /// Samples of each channel.
    pub fn samples(&self) -> usize {
        self.data.len() / self.frame()
    }

    fn frame(&self) -> usize {
        self.coding.bytes() * usize::from(self.channels)
    }

    /// The samples of one channel, counted from 1.
    pub fn channel(&self, channel: u32) -> impl Iterator<Item = f64> + '_ {
        let (coding, from) = (self.coding, self.coding.bytes() * (channel as usize - 1));
        self.data
            .chunks_exact(self.frame())
            .map(move |frame| coding.value(&frame[from..]))
    }

    /// The lowest and highest sample there can be; floating-point ones go beyond 1 but
    /// converters before them seldom do.
    pub fn full_scale(&self) -> (f64, f64) {
        let step = match self.coding {
            Coding::Byte => 1.0 / 128.0,
            Coding::Short => 1.0 / 32_768.0,
            Coding::Three => 1.0 / 8_388_608.0,
            Coding::Long => 1.0 / 2_147_483_648.0,
            Coding::Float | Coding::Double => 0.0,
        };
        (-1.0, 1.0 - step)
    }
}

#[derive(Clone, Copy)]
struct Format {
    coding: Coding,
    channels: u16,
    rate_hz: u32,
}

impl Format {
    fn read(chunk: &[u8]) -> Result<Self, Mistakes> {
        let broken = || refuse(Kind::Broken, "its format chunk is cut off");
        let tag = half(chunk, 0).ok_or_else(broken)?;
        let channels = half(chunk, 2).ok_or_else(broken)?;
        let rate_hz = word(chunk, 4).ok_or_else(broken)?;
        let block = half(chunk, 12).ok_or_else(broken)?;
        let bits = half(chunk, 14).ok_or_else(broken)?;
        // The extensible kind tells the true tag first in its sub-format.
        let tag = if tag == 0xfffe {
            half(chunk, 24).ok_or_else(broken)?
        } else {
            tag
        };
        let coding = match (tag, bits) {
            (1, 8) => Coding::Byte,
            (1, 16) => Coding::Short,
            (1, 24) => Coding::Three,
            (1, 32) => Coding::Long,
            (3, 32) => Coding::Float,
            (3, 64) => Coding::Double,
            _ => {
                return Err(refuse(
                    Kind::NotSupported,
                    &format!("WAV coding {tag} of {bits} bits"),
                ));
            }
        };
        if channels == 0 || usize::from(block) != coding.bytes() * usize::from(channels) {
            return Err(refuse(
                Kind::Broken,
                &format!("{channels} channels in frames of {block} bytes"),
            ));
        }
        Ok(Self {
            coding,
            channels,
            rate_hz,
        })
    }

    fn sound(self, data: &[u8], missing: u64) -> Result<Sound<'_>, Mistakes> {
        Ok(Sound {
            coding: self.coding,
            channels: self.channels,
            rate_hz: self.rate_hz,
            data,
            missing,
        })
    }
}

impl Coding {
    fn bytes(self) -> usize {
        match self {
            Self::Byte => 1,
            Self::Short => 2,
            Self::Three => 3,
            Self::Long | Self::Float => 4,
            Self::Double => 8,
        }
    }

    fn value(self, b: &[u8]) -> f64 {
        match self {
            Self::Byte => (f64::from(b[0]) - 128.0) / 128.0,
            Self::Short => f64::from(i16::from_le_bytes([b[0], b[1]])) / 32_768.0,
            Self::Three => f64::from(i32::from_le_bytes([0, b[0], b[1], b[2]])) / 2_147_483_648.0,
            Self::Long => f64::from(i32::from_le_bytes([b[0], b[1], b[2], b[3]])) / 2_147_483_648.0,
            Self::Float => f64::from(f32::from_le_bytes([b[0], b[1], b[2], b[3]])),
            Self::Double => f64::from_le_bytes([b[0], b[1], b[2], b[3], b[4], b[5], b[6], b[7]]),
        }
    }
}

/// Samples are plain numbers; no notation bears on them.
pub(super) const PLAIN: Notation = Notation {
    decimal: Decimal::Dot,
    grouping: Grouping::None,
};

pub(super) fn read(bytes: &[u8], recipe: &Recipe, how: How) -> Result<(Log, Texts), Mistakes> {
    let sound = Sound::open(bytes)?;
    let mut columns = Columns::new(
        recipe,
        PLAIN,
        u32::from(sound.channels),
        Places::new(PlaceKind::Wav),
        how,
    )?;
    tell_of_missing(&mut columns, &sound);
    let wanted = if let How::First(n) = how {
        n.min(sound.samples())
    } else {
        sound.samples()
    };
    columns.take_columns(wanted, |columns, channel, slot| {
        let Slot::Number(slot) = slot else {
            return Err(Mistakes::one(
                Kind::Recipe,
                Place::Recipe { key: "time".into() },
                "a WAV has no clock",
            ));
        };
        columns.raw[slot] = sound.channel(channel).take(wanted).collect();
        for (texts, value) in columns.texts.iter_mut().zip(&columns.raw[slot]) {
            texts.push((channel, value.to_string()));
        }
        tell_of_ends(columns, &sound, channel, slot);
        Ok(())
    })?;
    columns.finish(Some(f64::from(sound.rate_hz)), Some(sound.full_scale()))
}

fn tell_of_missing(columns: &mut Columns<'_>, sound: &Sound<'_>) {
    let odd = sound.data.len() % sound.frame();
    if sound.missing > 0 || odd > 0 {
        let last = columns.places.at_line(sound.samples() as u64, 0);
        let found = format!("{} bytes claimed and not there", sound.missing);
        columns.mistakes.add(Kind::CutShort, last, &found);
    }
}

/// Tells of samples at the ends of the range and of numbers that are none.
fn tell_of_ends(columns: &mut Columns<'_>, sound: &Sound<'_>, channel: u32, slot: usize) {
    let (low, high) = sound.full_scale();
    let mut values = std::mem::take(&mut columns.raw[slot]);
    for (row, value) in values.iter_mut().enumerate() {
        let kind = if value.is_nan() {
            Kind::NoValue
        } else if value.is_infinite() {
            Kind::Overload
        } else if *value <= low || *value >= high {
            Kind::FullScale
        } else {
            continue;
        };
        let places = &columns.places;
        let found = *value;
        columns.mistakes.add_many(kind, 1, || {
            crate::mistake::Mistake::new(kind, places.of(row, channel), &found.to_string())
        });
        if kind == Kind::Overload {
            *value = f64::NAN;
        }
    }
    columns.raw[slot] = values;
}
