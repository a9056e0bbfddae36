"""What becomes of one board: its marks and mass, its joints, its sheet, its way below?

Way in: `jointing.in_parts` and `nesting.sheet_layouts`.
"""
