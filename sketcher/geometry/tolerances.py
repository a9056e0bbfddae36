"""Every tolerance, with its unit and its reason."""

IN_PLANE = 1e-9
"""[m] A point no further from a cutting plane lies in it: well above the rounding of coordinates, far below any figure shown."""

SECTIONS_APART = 1e-3
"""[m] two sections nearer along the body than a tape can tell are one section entered twice."""

POINTS_APART = 1e-4
"""[m] two points of a measured line nearer than any tape can tell are one point entered twice."""
