// Shows a brief on the screen as it will be printed: its own rules for print, its text
// broken into pages by the same engine that prints it. What is printed stays as it was.

/** A4 less the margins of the brief's `@page`, 10 mm at the sides and 9 mm above and below. */
const PX_PER_MM = 96 / 25.4;
export const PAGE = { width: 190 * PX_PER_MM, height: 279 * PX_PER_MM, gap: 48, edge: 36 };

/** Lays the document out in pages, side by side, and says how many there are. */
export function layOut(page: Document): number {
  for (const sheet of page.styleSheets) {
    for (const rule of sheet.cssRules) {
      if (!(rule instanceof (page.defaultView as unknown as { CSSMediaRule: typeof CSSMediaRule }).CSSMediaRule)) continue;
      if (/print/.test(rule.media.mediaText)) rule.media.mediaText = 'all';
      // Paper is no wide screen.
      else rule.media.mediaText = 'not all';
    }
    const { width, height, gap, edge } = PAGE;
    sheet.insertRule(
      `@media screen { html { overflow: hidden } body { margin: ${edge}px; width: ${width}px; height: ${height}px;
        columns: ${width}px; column-gap: ${gap}px; column-fill: auto; column-rule: 1px dashed #6b7480 } }`,
      sheet.cssRules.length,
    );
  }
  const long = page.body.scrollWidth;
  return Math.max(1, Math.round((long + PAGE.gap) / (PAGE.width + PAGE.gap)));
}

/** Width of so many pages side by side. */
export function widthOf(count: number): number {
  return 2 * PAGE.edge + count * PAGE.width + (count - 1) * PAGE.gap;
}
