"""What the owner states: the hull as measured, the scene, and every edit of it as a pure function. No figures.

Way in: `files.scene_file.read_scene` for reading, `edits.actions` for changing, `edits.history.History` for undoing.
"""
