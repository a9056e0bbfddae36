"""Does it go in: people in berths, stowage, bottles, chain, foam and tanks in spaces, a hand to a fitting?

Way in: `berths.berth_figures` for berths, `contents.with_contents` for all that a scene puts into its spaces,
`berth_spaces.with_berth_spaces` for what a berth's space gives a sleeper.

Decided, and what would change it:

- Berth length is the longest fore-and-aft run on the outline at the cushion's top; shoulder width is taken 400 mm in from the
  head, foot width at the foot's face. A person's outline at any angle is fitted apart (`lying`).
- People are fitted by a sweep, then by small linear programmes on separating sides, all starts in lockstep, since a start at a
  time is four times slower; drags follow the best few places. Grid searches prove it in the tests. Would change: a search that
  finds more than 2 % over what was followed.
- Two unlike people are fitted in the proportion of what each needs, then one and the other stretched up to it, the one who
  needs less first, so that a short one is not called short beside a too tall one. No stretch while dragging: it costs a tenth
  of a step.
- A way out goes through openings as large as a person, through other spaces too; that is one way, so a second is asked for.
  Air counts hatches as open, seacocks not. Height to sit is the greatest over a whole seat. None of it while dragging.
- Bottles stand in rows (square, staggered or drawn out), then the rest is filled; a layer is what casts no shadow over its
  depth. Would change: a better filler at equal time, or cylinders that may tilt.
- A space and its mirror image are packed as the one that leans to starboard, by three moments of its surface, so that port and
  starboard hold the same. Would change: boats with fore-and-aft images.
- A box is enlarged from grids in lockstep, a little drawn in at each stage: one that touches all round is held where a larger
  one begins. It lies askew only where its mean side gains a thousandth by it. Would change: owners who want level boxes only.
- Foam lifts are worked out between cold faces, so the cooling time is a least one and marked an estimate. Would change: a
  maker's figures.
- Figures that contradict each other are findings, not errors (a bottle's size and litres), since the page takes them one by
  one. A space that vanished is a finding too, for contents name spaces that move.
- The people named for a berth overrule its own `stature`, also in JSON; a remedy is given only where trying it on the layout
  helps.
- Permeability left is 0.95 less the bottles' displaced share; a stated value wins.
"""
