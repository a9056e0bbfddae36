"""What does the boat look like in space: her shapes, and the picture of them?

Way in: `picture.picture_png`.

Decided, and what would change it:

- Labels stand beside the boat, not on her: rows or columns cannot overlap. At most 80 are named; the title says how many are
  not.
- OpenGL is tried in a child process, since VTK ends the interpreter without it. Would change: VTK raising instead.
- Parallel projection always: one scale everywhere, so drags are exact and the scale bar holds.
"""
