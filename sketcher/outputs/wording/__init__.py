"""How is a figure said to a person, in the unit that person reads?

Way in: `quantities` for lengths, litres and masses.

Decided, and what would change it:

- Findings are put in words here alone: `sentences` finds one function for each code, its parameters the finding's values, so
  that every unit is one test away. Would change: a second language.
"""
