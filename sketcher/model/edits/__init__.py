"""What can be done to a scene, what is it called, and how is it undone?

Way in: `actions` for the edits, `history.History` for what was done, `typed_input` for what an owner types.
"""
