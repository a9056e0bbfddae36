"""Where are boards bonded, and how much cloth, resin and putty does it take?

Way in: `quantities.bonding_list`.

Decided, and what would change it:

- Every seam is filleted and taped on both faces; seams that nobody reaches once a space is closed are bedded on cleats, by the
  reach table, and take no fillet. Would change: a schedule for each seam.
- Putty proportions and working rates are from memory and marked so; the 1.2 times of the leak test's relief is our own choice.
"""
