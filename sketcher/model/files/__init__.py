"""How is a file read with the line of every value, and saved with nothing changed but what the owner changed?

Way in: `scene_file.read_scene`, `hull_file.read_hull`, `tape_table.read_tape_table`; `saving.SceneDocument` to write;
`sending` for a boat in one file.

Decided, and what would change it:

- Own nodes from YAML events (`model.document`). The library's defaults turn 012 into 10 and recurse on deep nesting; scalars
  stay text with their marks, and anchors, aliases and tags are refused while streaming. Would change: a file that needs
  anchors.
- Saving splices. The canonical text before and after an edit is compared and only the differences go into the file; the result
  must read back equal before it is written. Would change: an editor that reorders whole blocks.
- Each session keeps unsaved work in a file of its own, locked while it lives; a taken-up one goes only when the session keeps
  it itself. Would change: a system without file locks on which two sessions run.
- Lengths keep to the file's step (0.001 mm; 0.0001 in), and every edit is written and read once, so that the model in memory
  equals a fresh reading, bit for bit. Would change: measuring finer than a micrometre.
- A boat is sent as an ordinary zip of two files. Commands read it in place; the page works on what is taken out beside it, for
  its unsaved work and its saving are of files. No name in a zip is a place on the disk. Would change: a third file.
"""
