"""Which spaces are there while a panel is under the hand? Only what moved is cut anew, with the figures of a fresh layout.

Way in: `dragged_layout.Mover`: `at` gives the whole layout, `seen_at` what is watched of it. All here is for speed;
`tests/benchmarks/bench_layout.py` and `drag_costs.py` measure it.

Decided, and what would change it:

- A drag does not look for two panels in one place or names in one space, nor check the sum; the end of it does.
- For what is watched gaps well clear of the cut are closed once, before it: to look for them took half of a step. Where it is
  not sure that the same ones leak, all are looked for, once for each way the cut runs; the whole layout always does.
- Panels tied to a moving one that keep their planes are cut out once: cuts along planes commute. Would change: curved panels.
- Panels that move and keep their corners get them from the three planes at each, since the search for corners cost a sixth of a
  step; where a corner comes or goes the panel is made afresh.
- A cut is closed by the triangles of a like cut before, if all of them still turn left: to look for new ones took a tenth of a
  step.
- The last few places of the hand are kept as they were seen: it goes to and fro over them, and what is drawn of their spaces
  is kept with these: 30 MB in the benchmark's boat of everything. Would change: boats many times finer.
- Names follow spaces: after each edit on the page, a naming point that a panel has passed goes to the one unnamed space with
  the same bounds, in the same step of history. Would change: spaces with identities of their own.
"""
