"""What is done to the hull on the page: a second document beside the layout, with its own steps, file and unsaved work?

Way in: `hull_work.HullWork`, which a `Session` holds; `judged_hull.JudgedHull` says what comes of it.

Decided, and what would change it:

- The hull has steps of its own: undo in her place takes back a measurement, elsewhere a panel. One Save saves both files. The
  layout takes up every hull of which a surface can be made, in all its steps; of any other it keeps the last good one.
- Surveyed and laid out by a thread: typing never waits. Would change: figures of a hull within 20 ms.
"""
