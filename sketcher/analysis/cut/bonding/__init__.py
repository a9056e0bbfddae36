"""Where are boards bonded, and how much cloth, resin, putty, how many screws and what else does it take?

Way in: `quantities.bonding_list`.

Decided, and what would change it:

- Every seam is filleted and taped on both faces; seams that nobody reaches once a space is closed are bedded on cleats, by the
  reach table, and take no fillet. Would change: a schedule for each seam.
- A screw is by what it goes through and into, never so long that it comes out; where both are too thin, boards are weighted
  down. Glue is the same putty, 0.5 mm between flat boards, 3 mm on the hull. Would change: an owner's own glue.
- Prices are the owner's, by the list's names; they are matched where names are made, in `outputs/tables/costs`.
- Putty proportions and working rates are from memory and marked so; the 1.2 times of the leak test's relief is our own choice.
"""
