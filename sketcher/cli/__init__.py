"""What may be typed behind `sketcher`? One thin face over the same functions that Python and the page use.

Way in: `command_line.main`. What a command needs, it imports when it runs, so that figures start without the screen.
"""

from sketcher.cli.command_line import main

__all__ = ["main"]
