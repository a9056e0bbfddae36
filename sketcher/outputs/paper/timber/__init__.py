"""How is timber told on paper, and marked at its ends from it?

Way in: `timber_pages.stringer_pages` and `support_wraps.support_wraps`.

Decided, and what would change it:

- A support is straight, so only its ends have paper: its upper face and both sides in one, folded round the timber. Between the
  two ends a tape tells the length of both edges. Would change: supports that are bent or tapered.
"""
