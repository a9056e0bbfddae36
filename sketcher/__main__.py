"""`python -m sketcher`: the same as the command `sketcher`."""

import sys

from sketcher.cli import main

sys.exit(main())
