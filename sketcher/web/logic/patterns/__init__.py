"""Which panel's pattern is looked at, and what may be done to its joints?

Way in: `panel_pattern.PanelPattern`.
"""
