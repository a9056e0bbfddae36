"""What is seen and pointed at on the page: pictures under way, names, handles and drawings of one evaluation?

Way in: `drawing_sheet` for the drawings, `picking` for the pointer, `labels` for names, `drag.page_stage` for the picture.

Decided, and what would change it:

- Figures under the hand stand in a clear corner, names off the panel worked on; a name keeps its place while anything moves, if
  it can, and at rest until another is 30 px better. Others come only at rest: to look for places took a third of the page's
  parts.
- Picking is our own, in numpy: a library's picker hits the near walls that are not drawn.
- Each view of the sheet is drawn by itself; one that fails shows the last good drawing and is logged once per kind.
- When holed, list, drawings and gauges follow the flooded waterline; berths, findings and "Afloat" stay with the stated one.
  Would change: owners who want both side by side.
"""
