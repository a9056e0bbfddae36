"""How is a figure told with its band, and a verdict with its doubt?

Way in: `certainty.Certainty`, made of `analysis.bands` by whoever asks for it; `figure_paths.figure_values` for what has a band.
"""
