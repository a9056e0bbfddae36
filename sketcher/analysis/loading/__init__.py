"""What does she weigh with everything planned, and how do weights move her waterline?

Way in: `weights.loaded`.
"""
