//! Logs as they come from loggers: delimited text, spreadsheets, Parquet, sound files, as
//! columns of numbers with their units, by a recipe that is guessed, shown and kept.

mod clock;
mod even;
mod guess;
mod letters;
mod log;
mod mistake;
mod number;
mod read;
mod recipe;
mod take;
mod times;
mod unit;

pub use even::{EvenTimes, Times};
pub use guess::{Choice, Guess, Instead, Preview, PreviewCell, PreviewRow, Sure, guess, preview};
pub use log::{Log, LogChannel};
pub use mistake::{FIRST, Group, Kind, Mistake, Mistakes, Place, Weight};
pub use read::{read, read_from};
pub use recipe::{
    Channel, DateOrder, Decimal, Delimiter, Encoding, Grouping, Layout, Notation, Recipe, Rows,
    Sign, Time, TimeUnit,
};
pub use unit::{Quantity, Unit};
