//! The lines of the load-path strip: the haul first, then each branch.

use steadypull_contract::answer::Link;

/// Links that follow one another: the haul, or a branch of it.
pub(super) struct Strand<'a> {
    /// Where it joins the haul; none for the haul itself.
    pub joins: Option<&'a str>,
    /// Its place among all links.
    pub first: usize,
    pub links: &'a [Link],
}

/// Cuts the links where one branch ends and the next begins.
pub(super) fn strands(links: &[Link]) -> Vec<Strand<'_>> {
    let mut first = 0;
    links
        .chunk_by(|a, b| a.joins == b.joins && (a.joins.is_none() || a.run == b.run))
        .map(|links| {
            let strand = Strand {
                joins: links[0].joins.as_deref(),
                first,
                links,
            };
            first += links.len();
            strand
        })
        .collect()
}

/// A piece of a strand that stands on one line of the strip.
pub(super) struct Row<'a> {
    /// Where its branch joins, on a branch's first row.
    pub joins: Option<&'a str>,
    /// Place of its first link among all links.
    pub first: usize,
    /// Cells to the left of it.
    pub column: usize,
    pub links: &'a [Link],
    /// Whether the strand goes on in the next line.
    pub carries_on: bool,
}

/// The lines of the strip: the haul as long as it takes, then the branches, side
/// by side where they fit.
pub(super) fn lines_of<'a>(strands: &[Strand<'a>], in_row: usize) -> Vec<Vec<Row<'a>>> {
    let mut lines: Vec<Vec<Row>> = Vec::new();
    for strand in strands {
        let rows = strand.links.chunks(in_row).count();
        for (r, links) in strand.links.chunks(in_row).enumerate() {
            let row = Row {
                joins: strand.joins.filter(|_| r == 0),
                first: strand.first + r * in_row,
                column: 0,
                links,
                carries_on: r + 1 < rows,
            };
            beside_or_below(&mut lines, row, in_row);
        }
    }
    lines
}

/// Sets a branch beside the one before it, an empty cell between them so that they
/// are not read as one; all else on a line of its own.
fn beside_or_below<'a>(lines: &mut Vec<Vec<Row<'a>>>, mut row: Row<'a>, in_row: usize) {
    if let Some(line) = lines.last_mut()
        && let Some(last) = line.last()
        && row.joins.is_some()
        && last.joins.is_some()
    {
        row.column = last.column + last.links.len() + 1;
        if row.column + row.links.len() <= in_row {
            line.push(row);
            return;
        }
        row.column = 0;
    }
    lines.push(vec![row]);
}
