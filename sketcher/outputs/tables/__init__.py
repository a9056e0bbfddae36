"""What does the reader get as text, JSON or CSV?

Way in: `report.report` for people, `json_figures.figures` for programs.
"""
