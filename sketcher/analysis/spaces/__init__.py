"""Which spaces do the panels leave in the hull, and what bounds and joins them?

Way in: `layout.lay_out`.
"""
