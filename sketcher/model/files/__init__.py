"""How is a file read with the line of every value, and saved with nothing changed but what the owner changed?

Way in: `scene_file.read_scene`, `hull_file.read_hull`, `tape_table.read_tape_table`; `saving.SceneDocument` to write.
"""
