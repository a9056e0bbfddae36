"""If a space is holed: where does the water stop, how does she float then, and what does it push on?

Way in: `cases.flooding_cases`.
"""
