"""What is carried to the boat: booklet, patterns at true size, sheets, files of the build?

Way in: `build_files.build_files`.

Decided, and what would change it:

- A build replaces file by file from a staged folder, and `contents.txt` says what a later build removes: a stale pattern is the
  dangerous one, and the owner's own files stay.
- The fingerprint is of scene and hull as text, so comments and the files' places do not change it.
"""
