"""What is carried to the boat: booklet, patterns at true size, sheets, files of the build?

Way in: `build_files.build_files`.

Decided, and what would change it:

- A build replaces file by file from a staged folder, and `contents.txt` says what a later build removes: a stale pattern is the
  dangerous one, and the owner's own files stay.
- A pattern has no page on which nothing is sawn but those that lead to an opening; of straight marks the ends are enough. A board
  of a few straight edges has a line in a table and no pattern: half of all boards are straps. Paper of a plotter has lines to
  check on each page, since shops print page by page; the booklet stays on paper for home. Would change: owners who cut by paper
  alone.
- The fingerprint is of scene and hull as text, so comments and the files' places do not change it.
"""
