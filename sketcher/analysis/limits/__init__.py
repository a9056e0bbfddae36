"""Does a layout keep to what its owner says must hold, and by how much?

Way in: `judging.with_limits`, which `evaluate` asks of every scene that states limits; `figures.reading` for one figure.

Decided, and what would change it:

- Afloat, a figure is that of the boat with all changes of weight: a limit is about the boat that will sail. Would change: limits
  that name a condition.
- With a space holed the worse of both states counts, as stated and with her spaces empty, as in what is warned of.
- Where she founders or capsizes no limit of that case is met, though its figure has no value; what is not known is not met
  and not missed.
- Heel counts by its size, whichever side she lies on; trim is by the bow, as everywhere.
"""
