"""Where are boards bonded, and how much cloth, resin and putty does it take?

Way in: `quantities.bonding_list`.
"""
