"""What does the owner state? The hull as measured, the scene, and every edit of it as a pure function. No figures.

Way in: `files.scene_file.read_scene` for reading, `edits.actions` for changing, `edits.history.History` for undoing.

Decided, and what would change it:

- A file's unit and hull are fixed under edits, since bare numbers would change meaning.
- Any ring of ties is refused; one of them must be a number. Would change: owners who want mutual edges.
- A panel's name begins with a letter and reads as no distance, since ties mix names and lengths.
- An opening says `built: already` where the hole was there before, so that only a new cut in a load-bearing panel stops the
  work.
"""
