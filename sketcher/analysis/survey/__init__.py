"""Is a measurement wrong: a misread digit, a forgotten knuckle, a number nobody can judge?

Way in: `findings.check_hull`.
"""
