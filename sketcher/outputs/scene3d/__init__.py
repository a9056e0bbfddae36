"""What does the boat look like in space: her shapes, and the one drawing of them, for files and for the page?

Way in: `picture.picture_png`; for the page `boat_shapes.boat_shapes` and `stage.Stage`.

Decided, and what would change it:

- A space is drawn as the far walls that one would see looking in, opaque: several translucent bodies one behind another could
  not be told apart. In a holed boat the dry spaces are translucent, so that the water is seen through them.
- She is seen first without her nearer half, from the centreline on: `camera.seen_from` says which half that is. From right
  ahead and from above nothing is taken away.
- Each space has a tint of its own, or by the water or its use (`outputs/tinting`); drawings and key follow the same choice.
- Water shows on walls by the graphics card, below a plane: ruled lines, or its colour where it stands. Below the waterline its
  surface and its face at the cut are those of the whole inside, in which panels stand: no panel that moves changes them.
- Pulled apart, spaces and panels move in proportion to how far they lie aft and up: what is beside stays beside.
- The hull's near side is translucent and coarse; figures and lines are of the full one. Behind the spaces the shell is drawn
  in timber, which fills what panels leave between spaces. Would change: panels drawn as bodies of their own.
- Translucent surfaces are blended plainly, which saved 6 ms a picture. Would change: some that cross so that the order shows.
- Colours go with points, not triangles: each space's points are parted by panel, and a picture takes a sixth less.
- In a file's picture labels stand beside the boat, not on her: rows or columns cannot overlap; a leader ends where its space
  is seen. At most 80 are named; the title says how many are not.
- OpenGL is tried in a child process, since VTK ends the interpreter without it. Would change: VTK raising instead.
- Parallel projection always: one scale everywhere, so drags are exact and the scale bar holds.
"""
