//! Where a figure comes from, attached to every model and constant.

/// How far a source was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// The figure was read in the named document or a stored copy of it.
    Read,
    /// A closed form or defining integral; the source names the method.
    Computed,
    /// The document is real, but it could not be opened.
    FromMemory,
    /// A rule of thumb of the trade with no published source found.
    CommonPractice,
    /// Our own assumption: an uncertain input, shown wherever it matters.
    Assumed,
}

impl Status {
    /// The words for people.
    pub fn words(self) -> &'static str {
        match self {
            Status::Read => "read",
            Status::Computed => "computed",
            Status::FromMemory => "from memory",
            Status::CommonPractice => "common practice",
            Status::Assumed => "assumed",
        }
    }
}

/// A source and how far it was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    /// The document, method or `common practice`.
    pub name: &'static str,
    /// How far it was seen.
    pub status: Status,
}

impl Source {
    /// A source by name and status.
    pub const fn new(name: &'static str, status: Status) -> Self {
        Self { name, status }
    }
}
