//! Logs as they come from loggers: delimited text, spreadsheets, Parquet, sound files, as
//! columns of numbers with their units, by a recipe that is guessed, shown and kept.
