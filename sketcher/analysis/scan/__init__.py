"""Which hull do the points of a scan lie on?

Way in: `scanned_hull.hull_of_scan`.

Decided, and what would change it:

- Numpy alone: neighbours are found by cells of space, lines are smoothed by penalised differences. A tree of neighbours
  (scipy) would save thirty lines of `surfels` and cost an install of 35 MB. Would change: a step that needs distances to all.
- Both sides are folded onto one, so that what stands on one side only is outvoted by the other, and half the noise goes.
- The skin is the outermost surface seen from within, the innermost from without, that runs on along the hull: each row of
  one angle about an axis inside her is smoothed fore and aft, and what stands off towards the viewer is left out. What is
  hidden all along (a cabin sole from end to end) is taken for the skin: nothing in the points tells.
- Every point of a station is fitted anew to the points in space, on one face between the lines that break the skin: keel, stem,
  knuckles, sheer. Those lines are where such faces meet. A window across a corner was up to 20 mm off.
- Up is the scan's own upright axis where the plane of symmetry allows it, since telephones know plumb; else her length is
  taken as level.
"""
