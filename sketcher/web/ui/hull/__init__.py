"""How is the hull's place shown: her stations to type, her parts, her lines, what is doubtful and what it does?

Way in: `place.hull_place`.
"""
