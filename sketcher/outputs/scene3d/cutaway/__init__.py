"""What is seen where the boat is cut: how thick shell and panels are, where water stands, and what was taken away?

Way in: `cut_faces.add_cut_faces` for the faces, `standing_water` for the water.

Decided, and what would change it:

- Faces of the cut are true sections of the closed bodies, triangles in the plane; the graphics card only takes away what lies
  before it. A panel is cut as it stands, then kept within the hull and clear of the panels that run through it, in the plane:
  while it is dragged its own body need not be trimmed. Would change: panels that are not prisms.
- The half that is taken away stays in outline: edges of her body, a few stations.
"""
