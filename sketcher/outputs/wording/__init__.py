"""How is a figure said to a person, in the unit that person reads?

Way in: `quantities` for lengths, litres and masses.
"""
