//! A plan file's text as the statements it is made of, each with its place.
//!
//! Answers: where in the text does which key stand? The parser's own events are kept
//! with their spans, so that a change replaces those bytes and no others: comments,
//! order, line endings and spacing of everything else stay by construction.

use core::ops::Range;

use toml_parser::parser::{Event, EventKind, parse_document};
use toml_parser::{Source, Span};

/// One heading, or one key with its value.
#[derive(Debug)]
pub(super) struct Statement {
    /// Full path, from the root of the file.
    pub path: Vec<String>,
    /// How many parts of the path the heading above gives.
    pub under: usize,
    /// Where each part that it writes itself stands.
    pub keys: Vec<Range<usize>>,
    /// What it is.
    pub what: What,
    /// From its first byte to its last, without indent and comment.
    pub span: Range<usize>,
}

/// What a statement is.
#[derive(Debug)]
pub(super) enum What {
    /// `[table]`.
    Heading,
    /// `[[table]]`: one of a list of tables.
    Listed,
    /// `key = value`.
    Value(Node),
}

/// A value with the places of what is in it.
#[derive(Debug)]
pub(super) struct Node {
    pub span: Range<usize>,
    pub inside: Inside,
}

/// What a value holds.
#[derive(Debug)]
pub(super) enum Inside {
    /// Nothing that a path goes into.
    Scalar,
    /// A list.
    Array(Vec<Entry>),
    /// A table in braces.
    Inline(Vec<Entry>),
}

/// One entry of a list or of a table in braces.
#[derive(Debug)]
pub(super) struct Entry {
    /// Its key, part by part; empty in a list.
    pub path: Vec<String>,
    /// Where each part stands.
    pub keys: Vec<Range<usize>>,
    /// From its key, or its value in a list, to the end of its value.
    pub span: Range<usize>,
    /// The comma after it.
    pub comma: Option<Range<usize>>,
    pub value: Node,
}

/// The statements of a text that parses.
pub(super) fn statements(text: &str) -> Vec<Statement> {
    let source = Source::new(text);
    let tokens = source.lex().into_vec();
    let mut events: Vec<Event> = Vec::new();
    parse_document(&tokens, &mut events, &mut ());
    let mut read = Read {
        source,
        events: &events,
        at: 0,
        heading: Vec::new(),
    };
    let mut found = Vec::new();
    while let Some(statement) = read.statement() {
        found.push(statement);
    }
    found
}

struct Read<'t> {
    source: Source<'t>,
    events: &'t [Event],
    at: usize,
    heading: Vec<String>,
}

/// Spaces, line ends and comments: they belong to no statement.
fn is_between(kind: EventKind) -> bool {
    use EventKind::{Comment, Newline, Whitespace};
    matches!(kind, Whitespace | Comment | Newline)
}

fn range(span: Span) -> Range<usize> {
    span.start()..span.end()
}

impl Read<'_> {
    /// The next event that says something.
    fn next(&mut self) -> Option<Event> {
        let rest = self.events.get(self.at..)?;
        let skipped = rest.iter().take_while(|e| is_between(e.kind())).count();
        self.at += skipped + 1;
        rest.get(skipped).copied()
    }

    fn peek(&self) -> Option<Event> {
        let rest = self.events.get(self.at..)?;
        rest.iter().find(|e| !is_between(e.kind())).copied()
    }

    fn name(&self, key: Event) -> String {
        let mut name = String::new();
        if let Some(raw) = self.source.get(key) {
            raw.decode_key(&mut name, &mut ());
        }
        name
    }

    /// The parts of a key from `first` on, and where they stand.
    fn key(&mut self, first: Option<Event>) -> (Vec<String>, Vec<Range<usize>>) {
        let (mut path, mut keys) = (Vec::new(), Vec::new());
        let mut part = first;
        while let Some(key) = part.filter(|e| e.kind() == EventKind::SimpleKey) {
            path.push(self.name(key));
            keys.push(range(key.span()));
            part = None;
            if self.peek().is_some_and(|e| e.kind() == EventKind::KeySep) {
                self.next();
                part = self.next();
            }
        }
        (path, keys)
    }

    fn statement(&mut self) -> Option<Statement> {
        let first = self.next()?;
        let start = first.span().start();
        match first.kind() {
            EventKind::StdTableOpen | EventKind::ArrayTableOpen => {
                let part = self.next();
                let (path, keys) = self.key(part);
                let end = self.next()?.span().end();
                self.heading.clone_from(&path);
                let listed = first.kind() == EventKind::ArrayTableOpen;
                Some(Statement {
                    path,
                    under: 0,
                    keys,
                    what: if listed { What::Listed } else { What::Heading },
                    span: start..end,
                })
            }
            EventKind::SimpleKey => {
                let (own, keys) = self.key(Some(first));
                // The `=`.
                self.next()?;
                let value = self.value()?;
                let under = self.heading.len();
                Some(Statement {
                    path: self.heading.iter().cloned().chain(own).collect(),
                    under,
                    keys,
                    span: start..value.span.end,
                    what: What::Value(value),
                })
            }
            _ => None,
        }
    }

    fn value(&mut self) -> Option<Node> {
        let first = self.next()?;
        let start = first.span().start();
        let (keyed, close) = match first.kind() {
            EventKind::ArrayOpen => (false, EventKind::ArrayClose),
            EventKind::InlineTableOpen => (true, EventKind::InlineTableClose),
            EventKind::Scalar => {
                return Some(Node {
                    span: range(first.span()),
                    inside: Inside::Scalar,
                });
            }
            _ => return None,
        };
        let mut entries = Vec::new();
        loop {
            let next = self.peek()?;
            if next.kind() == close {
                self.next();
                let inside = if keyed {
                    Inside::Inline(entries)
                } else {
                    Inside::Array(entries)
                };
                return Some(Node {
                    span: start..next.span().end(),
                    inside,
                });
            }
            entries.push(self.entry(keyed)?);
        }
    }

    fn entry(&mut self, keyed: bool) -> Option<Entry> {
        let (path, keys) = if keyed {
            let first = self.next();
            let key = self.key(first);
            // The `=`.
            self.next()?;
            key
        } else {
            Default::default()
        };
        let value = self.value()?;
        let start = keys.first().map_or(value.span.start, |key| key.start);
        let comma = self
            .peek()
            .filter(|event| event.kind() == EventKind::ValueSep);
        if comma.is_some() {
            self.next();
        }
        Some(Entry {
            path,
            keys,
            span: start..value.span.end,
            comma: comma.map(|event| range(event.span())),
            value,
        })
    }
}
