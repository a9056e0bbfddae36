"""Where along its range should the selected part go: the curves of the figures that depend on it, and the best place?

Way in: `along_range.AlongRange`.

Decided, and what would change it:

- Places are worked out by processes of their own, begun when they are first wanted: each row as exact as a report, and the
  server's interpreter is left to the pictures. One place is handed out at a time, none while a hand moves. Would change: rows
  that are quicker than their way to another process.
- What is known stays as long as nothing changes but the number that moves, also while another part is selected.
"""
