"""How is a card model cut out and glued: which sheets of paper, what is written on them?

Way in: `model_pages.model_pages`.

Decided, and what would change it:

- Parts are nested on the printer's own paper, each with its number in the order of gluing; what stands on a part is told by that
  number beside a thin line. Whole lines are cut, dashed ones folded, so that a print in grey says the same.
- Every page has a line of 100 mm: a sheet printed smaller makes parts that do not go together.
"""
