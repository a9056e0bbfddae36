"""Which spaces do the panels leave in the hull, and what bounds and joins them?

Way in: `layout.lay_out`.

Decided, and what would change it:

- Plane cuts first: a kernel boolean costs some 13 ms at 24 000 triangles however small the cut; panels that run wall to wall
  are cut between their two faces, and only those that end within a space go to the kernel. Would change: a kernel with local
  cuts.
- Each hull triangle has its own face number: the kernel takes triangles with one face id as flat and may simplify cuts across
  them.
- Ties go 1 micrometre into their neighbour, and so do numeric edges stated to touch; parts under 1e-12 m3 have no room.
- `PanelShape.trimmed`, `.volume`, `.area` and `Layout.adjoining` are worked out at first use, for a drag seldom asks.
- An open hull end is never watertight, since nothing is known beyond it.
- Severity: stop for names that share a space, lost naming points, panels outside or in one place, carried loads; warn for gaps,
  slivers, misplaced openings, ties to removed panels; note for short edges that part nothing.
"""
