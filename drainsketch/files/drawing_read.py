"""Reading a drawing from elsewhere, DXF or GeoJSON: strictly, and whole or not at all."""

import stat
from pathlib import Path

from drainsketch.errors import DrawingError
from drainsketch.files.drawing import Drawing
from drainsketch.job.plain import plain

MOST_BYTES = 20_000_000


def read_drawing(path: Path) -> Drawing:
    """Return the drawing in a file, DXF or GeoJSON by its name.

    Raises
    ------
    DrawingError : it is missing, no such file, too big, damaged, or holds more than a job takes; names the file and the place
    """
    name = plain(path.name, 60)
    match path.suffix.lower():
        case ".dxf":
            from drainsketch.files.drawing_dxf import read_dxf

            _checked(path, name)
            return read_dxf(path, name)
        case ".geojson" | ".json":
            from drainsketch.files.drawing_geojson import parse_geojson

            return parse_geojson(_checked(path, name), name)
        case other:
            raise DrawingError(f"{name}: a drawing comes as .dxf or .geojson, not as '{plain(other, 20)}'")


def _checked(path: Path, name: str) -> bytes:
    """Return the bytes of a file of decent size."""
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            raise DrawingError(f"{name}: this is no file; choose a .dxf or .geojson file")
        if found.st_size > MOST_BYTES:
            raise DrawingError(
                f"{name}: the file has {found.st_size / 1e6:.0f} MB, at most {MOST_BYTES / 1e6:.0f} are read; leave layers out"
            )
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as fault:
        said = getattr(fault, "strerror", None) or fault
        raise DrawingError(f"{name}: this file cannot be read: {said}") from fault
    if not data.strip():
        raise DrawingError(f"{name}: the file is empty")
    return data
