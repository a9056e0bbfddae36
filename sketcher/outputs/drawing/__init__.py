"""What is drawn to scale: profile, plan, section and patterns as lines on paper?

Way in: `views.profile` and its kin make a `recording.Drawing`; `svg`, `pdf` and `dxf` replay it.

Decided, and what would change it:

- Bow left, starboard up in plan, sections seen from ahead, in pictures, drawings and the page.
- Relation to the water is told three ways (words, gauge, ruled lines), so that tint is never alone.
- DXF is in the pattern's own axes, origin unmoved, so that parts can be put back in place.
- Foam and tanks show as level sheets; whole fillings would lie in the walls already drawn.
"""
