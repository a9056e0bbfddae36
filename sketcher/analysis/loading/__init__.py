"""What does she weigh with everything planned, and how do weights move her waterline?

Way in: `weights.loaded`.

Decided, and what would change it:

- As stated and with the changes in weight stand side by side; report keys stay at the stated waterline (`with_changes` beside
  them). Owners read a waterline off the boat and plan weights. Would change: a key for which of them drawings follow.
- Planned panels count where mass or material is stated, with what bonds them; that is taken from the edges of spaces, as if
  every edge were taped, since the boards' own outlines cost a fifth of a second. Would change: outlines that are known sooner.
"""
