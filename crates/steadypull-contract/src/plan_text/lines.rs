//! Lines round a statement, and the comments that belong to it.

use core::ops::Range;

/// The text by its lines.
#[derive(Clone, Copy)]
pub(super) struct TextLines<'t>(pub &'t str);

impl<'t> TextLines<'t> {
    /// Start of the line that holds `at`.
    pub fn start(self, at: usize) -> usize {
        let before = self.0.get(..at).unwrap_or_default();
        before.rfind('\n').map_or(0, |at| at + 1)
    }

    /// End of the line that holds `at`, past its line break.
    pub fn end(self, at: usize) -> usize {
        let rest = self.0.get(at..).unwrap_or_default();
        rest.find('\n').map_or(self.0.len(), |found| at + found + 1)
    }

    /// The line before `start`, which is the start of a line.
    pub fn before(self, start: usize) -> Option<Range<usize>> {
        (start > 0).then(|| self.start(start - 1)..start)
    }

    /// The line from `start`, which is the start of a line.
    pub fn after(self, start: usize) -> Option<Range<usize>> {
        (start < self.0.len()).then(|| start..self.end(start))
    }

    fn words(self, line: &Range<usize>) -> &'t str {
        self.0.get(line.clone()).unwrap_or_default().trim()
    }

    /// Whether nothing stands on a line.
    pub fn is_blank(self, line: &Range<usize>) -> bool {
        self.words(line).is_empty()
    }

    fn is_comment(self, line: &Range<usize>) -> bool {
        self.words(line).starts_with('#')
    }

    /// Indent of the line that holds `at`.
    pub fn indent(self, at: usize) -> &'t str {
        let line = self.0.get(self.start(at)..at).unwrap_or_default();
        let inked = line.trim_start_matches([' ', '\t']).len();
        &line[..line.len() - inked]
    }

    /// The line break that the text uses.
    pub fn line_break(self) -> &'static str {
        let first = self.0.find('\n');
        let before = first.map(|at| &self.0[..at]);
        if before.is_some_and(|text| text.ends_with('\r')) {
            "\r\n"
        } else {
            "\n"
        }
    }

    /// Start of the comment lines directly above `start`, the start of a line.
    pub fn above(self, start: usize) -> usize {
        let mut from = start;
        while let Some(line) = self.before(from).filter(|line| self.is_comment(line)) {
            from = line.start;
        }
        from
    }

    /// End of the comment lines directly below `end`, the start of a line: where what
    /// follows them is no statement, which they would belong to.
    pub fn below(self, end: usize) -> usize {
        let mut to = end;
        while let Some(line) = self.after(to).filter(|line| self.is_comment(line)) {
            to = line.end;
        }
        match self.after(to) {
            Some(line) if !self.is_blank(&line) => end,
            _ => to,
        }
    }

    /// `lines` to be taken out, with the blank line that would be one too many.
    pub fn taken_out(self, lines: Range<usize>) -> Range<usize> {
        let Range { mut start, mut end } = lines;
        let before = self.before(start);
        let after = self.after(end);
        let blank = |line: &Option<Range<usize>>| line.as_ref().is_none_or(|l| self.is_blank(l));
        if blank(&before) && blank(&after) {
            match (before, after) {
                (Some(before), _) => start = before.start,
                (None, Some(after)) => end = after.end,
                (None, None) => {}
            }
        }
        let ends_in_break = self.0[..end].ends_with('\n');
        if end == self.0.len() && !ends_in_break && start > 0 {
            // The file ended without a line break: it goes on to do so.
            let kept = self.0[..start].strip_suffix('\n').unwrap_or_default();
            start = kept.strip_suffix('\r').unwrap_or(kept).len();
        }
        start..end
    }

    /// `line`, without its line break, as it is put in at `at`, the start of a line or
    /// the end of the text.
    pub fn put_in(self, at: usize, lines: &[String]) -> String {
        let line_break = self.line_break();
        let joined = lines.join(line_break);
        let before = &self.0[..at];
        if before.is_empty() || before.ends_with('\n') {
            joined + line_break
        } else {
            format!("{line_break}{joined}")
        }
    }
}
