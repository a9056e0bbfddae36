"""What lies in a flat outline: its runs, widths, insets, and the longest figure that fits?

Way in: `taper_search` for a figure of given proportions, `runs.longest_run` along an axis.
"""
