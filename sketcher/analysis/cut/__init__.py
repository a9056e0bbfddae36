"""What is cut, of which shape, from which sheet, bonded with what and in which order?

Way in: `plan.build_plan`; its nouns are in `results`.

Decided, and what would change it:

- Outlines come from the hull's section and planes in 2-D, looked at 2 micrometres inside each face, since tied edges go 1 into
  their neighbours. Would change: panels that are not flat.
- A bevel is the surface's normal, smoothed over facets under 15 degrees; where both outlines disagree by over 1.5 degrees, as
  over a sharp keel, the outlines decide; none is given beside a corner where it would miss the other face's line by over 1 mm.
  Would change: an exact surface in place of facets.
- The gap is square to the surface (6 mm by default, 1 mm between panels) and printed on every board. Where shell or deck turns
  a corner beside a face it is taken in space: balls about each near triangle, cut at 13 heights (in the plane alone one place
  came to 4.9 mm of 6). Gaps alike to 0.02 mm count as one.
- The larger face is drawn, never mirrored; openings are sawn square, inner corners at least 20 mm. Parts have their own zero,
  on which a tape can be hooked; `places.csv` puts them back in the boat.
- Plating is unrolled only when asked for (`cutting: {plating: true}`), at mid-thickness, where the flat strake misses no line
  by more than 5 mm, a tape's error. Would change: owners who replate often.
- Gaps read in the boat move an edge by kriging of the skin's shift as a vector, alike on both sides as far as the readings bear
  it out; where they are read is chosen by what they would tell. A smoothing spline along each edge was up to 11 mm off where
  twelve readings of 2 mm now leave 3. Would change: readings that tell of dents.
- An infill needs boards of its own; on a lid it would hole the lid.
"""
