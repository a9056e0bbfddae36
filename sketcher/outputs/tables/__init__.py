"""What does the reader get as text, JSON or CSV?

Way in: `report.report` for people, `json_figures.figures` for programs.

Decided, and what would change it:

- JSON beyond the usual keys (`estimated`, `with_changes`, the contents' blocks) stands only where there is something to say:
  other programs know the other keys.
- A space that runs out of an open end has null litres, extent and centre; people read "over N litres". Only "crosses" is sure.
- `report --json` carries every flooding case; the text report does not, for the sake of its start.
- CSV is one rectangular table with the JSON keys, and names that look like formulas are quoted. JSON and CSV refuse `--units`.
- Chain is told in metres (feet in a scene of inches), whatever the file's unit: a bare 45 in millimetres weighed nothing.
"""
