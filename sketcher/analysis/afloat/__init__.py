"""How does a body float: where is the water, what does the hull displace, where does she come to rest?

Way in: `waterplane.water_plane` as stated, `floating.floating` for the figures, `equilibrium.settle` for rest.

Decided, and what would change it:

- Equilibrium by minimising potential energy (Newton, bounded steps), so that every start ends in an answer or a reason.
- By hand means parallel sinkage, then trim on what is left: textbook practice, and it reproduces the linear check figures.
- Appendages always count as immersed: their shape is unknown; a finding says so where one stands above the waterline.
"""
