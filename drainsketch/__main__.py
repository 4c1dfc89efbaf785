"""``python -m drainsketch``."""

import sys

from drainsketch.cli import main

sys.exit(main())
