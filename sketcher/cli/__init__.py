"""What may be typed behind `sketcher`? One thin face over the same functions that Python and the page use.

Way in: `command_line.main`. What a command needs, it imports when it runs, so that figures start without the screen.

Decided, and what would change it:

- A file is known as an earlier output of a command's own by what stands in it (`destination.OWN`), not by a list kept elsewhere;
  all else is left unless `--overwrite` is given. Would change: an output that looks like what owners write by hand.
"""

from sketcher.cli.command_line import main

__all__ = ["main"]
