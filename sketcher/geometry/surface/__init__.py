"""How does a fair surface run through measured curves, and what lies on its other side?

Way in: `loft.loft` from cross curves to a grid, `shell.half_body` from the grid to a closed body.
"""
