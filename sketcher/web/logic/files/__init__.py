"""Which files may be opened and written, and what happens to the scene then?

Way in: `scene_files.SceneFiles`.
"""
