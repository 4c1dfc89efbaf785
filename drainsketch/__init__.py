"""drainsketch: a desktop sketcher for yard drains."""

import os

# the systems solved here are small: threads of linear algebra would only wait for each other, and for the window's
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
