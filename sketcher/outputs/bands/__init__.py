"""How sure are a layout's figures, in words and for other programs, and what should be measured again?

Way in: `measured_again.how_sure` for the report, `for_figure` there for one figure, `band_figures.band_figures` for the JSON.
"""
