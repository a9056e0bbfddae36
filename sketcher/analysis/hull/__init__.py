"""What surface do the measured stations make, inside and outside?

Way in: `form.form_hull`.

Decided, and what would change it:

- Lines leave the stem along equal shares of its height and are laid into the surface's tangent plane at the first station; by
  girth alone they bulged 30 mm abaft it. Would change: a loft not built from rows.
- Chines that bend at the first station go straight on to the stem, moving at most a quarter of its height. Would change: a file
  key for where they end.
- Where neighbours have unequal counts of points, corners are matched by dynamic programming, rows go by share of girth, and
  points are slid onto their section.
- The 4-thickness mitre limit applies outward only; inward, sides meet where the thickness says. Would change: a rule for solid
  stems.
- Coachroof and cockpit are measured to the offsets' face; the other face is a deck's thickness away, plumb.
- The moved skin is trimmed edge by edge; the solid kernel takes over only where folds spoil an edge, since it costs more.
- How she stood comes from marks that are level when she floats, by least squares; two tell what their line lies along. Houses
  and appendages are turned back too, houses as plumb boxes. Would change: marks of known unequal height.
- Measured heeled, centreline heights are divided by cos(heel): they were taken plumb over the keel.
- Sides measured apart are two boats, each alike on both sides, of which half each is sewn together along the centreline, vertex
  by vertex; the solid kernel does it where folds spoil the seam. The deck is one parabola from edge to edge. The derived face
  meets half-way between both sides' own. Would change: a derived face mitred off the centreline.
- A curved transom is a cylinder with its axis in the centreline's plane, raked as it is, by its rise over its broadest place: one
  figure that a straightedge gives. Would change: a transom that bends otherwise high than low.
- Facets by need (`SKIN_ERROR` in `form`): each way refined to the accuracy promised, so that flat-sided boats cost less. Would
  change: a figure that needs better than 0.05 %.
- Boards are cut by finer facets (`HullForm.fine`), as near the surface as is asked: by those for volumes outlines were off by
  0.6 mm on the demo boats and by 6 mm on a chined bow with stations 0.8 m apart. Would change: sections of the surface itself.
"""
