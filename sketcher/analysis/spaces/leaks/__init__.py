"""Where does water get from one space to another: gaps, openings, hollow stringers, pipes?

Way in: `flow_paths` for the paths, `gap_sealing.seal` for gaps that part two spaces.

Decided, and what would change it:

- Gaps by plugs: each open edge is grown by `gap_limit` in its plane, and the room between the faces of panels that pass each
  other is filled; a plug counts only where it parts two spaces, and its volume is `Layout.gap_volume`. Would change: curved
  panels.
- Air is held by what holds water: the sun's pressure in a sealed space and what hole a leak test passes are told from here
  (`shut_in_air`). Would change: vents with a place.
- A chain's pipe is a conduit, not an opening: water goes down it unless `pipe_cover: tight`; no hand and no bottle does.
"""
