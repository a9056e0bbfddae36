"""What is drawn to scale: profile, plan, section and patterns as lines on paper?

Way in: `views.profile` and its kin make a `recording.Drawing`; `svg`, `pdf` and `dxf` replay it.
"""
