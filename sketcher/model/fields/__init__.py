"""Which keys may a file hold, of which kind, and how is each read, written and typed?

Way in: `scene_fields`, the one table that reading, saving, editing and typed input share.

Decided, and what would change it:

- One table of fields serves reading, writing, diffing, edits and typed input, so a new block is a dataclass, a `Scene`
  attribute and a table entry. Would change: values that depend on other keys.
"""
