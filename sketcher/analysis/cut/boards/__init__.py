"""What becomes of one board: its marks and mass, its joints, its sheet, its way below?

Way in: `jointing.in_parts` and `nesting.sheet_layouts`.

Decided, and what would change it:

- Fewest parts, or one more to keep joints off openings; then straps that are full on one face or the other, clear of what stands
  there; then lids' joints over panels, or where some of the fewest supports can lie; then short ones, parts alike. All places
  on a grid are weighed at once, so none is stepped past. Where no strap is full a scarf is taken, or a strap on each face, and
  where over a support there would be more straps or sheets the joint lies off it; either is said. A panel
  larger than its sheets both ways is cut in rows by joints that run through, each row then across, staggered from row to row.
  Would change: joints stated both ways.
- Each board follows the widest route through deck and standing panels to its place. Planned panels are in no board's way, since
  boards go below first. Would change: work in stages.
- An owner's joints are told in the boat, on the drawn face, so that they outlive a moved panel; their order in the file is
  kept, since sorting would rewrite more than a line. Would change: joints that cross.
- A panel's grain runs along it, turned only where nothing else comes out of the sheets; sheets have grain along them unless
  they say `any`. Straps have theirs across the joint, in pieces where the sheet is narrower.
- Boards lie drawn face up, turned over only where that saves a sheet, and then marked so. Would change: sheets with one good
  face. A board lies with its grain across rather than nowhere, a strap never; where the sheets at hand are not enough more are
  bought, never a second offcut.
- A board is marked out by points, not by crossings of even lines: corners and near-level edges lie on few of those. Points fall
  on even places of whichever axis their edge runs along, as many as its curve needs, to half of the millimetre promised: the
  other half is the tape's. Would change: owners who mark out with a digital tape.
- Own nesting (no-fit polygons in shapely, a fixed number of orders), so that every machine lays the same sheets. Where area
  allows one sheet fewer it is tried with the shapes that found no room laid earlier each time: of 40 sets of demo boards this
  saved a sheet of five, ten times as many orders shaken blindly of two. spyrrow on both thicknesses of the largest demo, shared
  out among one sheet fewer in 66 ways, found none. Would change: owners who need the last tenth of a sheet.
- Straight cuts are guillotine cuts between boxes, those across first, since a short cut is held more easily.
"""
