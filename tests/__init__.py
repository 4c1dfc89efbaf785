"""The tests. The package is imported before numpy: it says how many threads linear algebra takes."""

import drainsketch  # noqa: F401
