"""How does a body float: where is the water, what does the hull displace, where does she come to rest?

Way in: `waterplane.water_plane` as stated, `floating.floating` for the figures, `equilibrium.settle` for rest.
"""
