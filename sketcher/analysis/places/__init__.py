"""Where should it go? A part's numbers moved through ranges, and the place that keeps to all limits and is best.

Way in: `sweep.sweep` for every place of one or two ranges, `best.best_place` for the best.

Decided, and what would change it:

- Every place is laid out afresh, by the functions that a report uses, so that its figures are those of a report of its own to the
  last bit; only what no asked figure needs is left out. Would change: figures of the drag that are exact to the bit.
- Places are worked out by whatever `concurrent.futures.Executor` is given, a few at a time; ours has a process for each core.
"""
