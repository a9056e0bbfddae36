"""What is cut, of which shape, from which sheet, bonded with what and in which order?

Way in: `plan.build_plan`; its nouns are in `results`.
"""
