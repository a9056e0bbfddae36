"""Which keys may a file hold, of which kind, and how is each read, written and typed?

Way in: `scene_fields`, the one table that reading, saving, editing and typed input share.
"""
