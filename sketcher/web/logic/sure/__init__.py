"""How sure are the figures on the page, and what should be measured again?

Way in: `known_figures.KnownFigures`.

Decided, and what would change it:

- Some forty boats are looked at for it by the processes that also work out curves, one at a time, none while a hand moves or a
  curve is still to come, and only when the page has rested with such figures in front. Would change: bands that take a second.
- Bands stay as long as nothing at all changes; a figure without one is told as before.
"""
