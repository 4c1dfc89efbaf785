"""The contractor's logo: decoded in full, checked, and written anew as a plain PNG. A picture file is never trusted.

Only what the user picks on this machine is read, once; what sheets print is the copy.
"""

import warnings
from io import BytesIO
from pathlib import Path

from drainsketch.errors import JobFileError
from drainsketch.job.firm import Logo

MOST_BYTES = 5_000_000
MOST_PX, LEAST_PX = 8_000, 24
MOST_PIXELS = 24_000_000
KEPT_PX = 1_200  # on the longer side: 600 to the inch on the largest logo of a sheet
MOST_TIMES = 12  # as wide as tall, or as tall as wide


def read_logo(path: Path) -> Logo:
    """Return the picture in a PNG or JPEG file, ready to print.

    Raises
    ------
    JobFileError : it cannot be read, or is no picture that may be printed; names the file
    """
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as fault:
        raise JobFileError(f"{path}: this file cannot be read: {getattr(fault, 'strerror', None) or fault}") from fault
    try:
        return decoded_logo(data)
    except JobFileError as fault:
        raise JobFileError(f"{path}: {fault}") from fault


def decoded_logo(data: bytes) -> Logo:
    """Return the picture in the bytes of a PNG or JPEG file, written anew without anything beside the picture.

    It is turned as its camera says, laid on white where it is clear, and no larger than print has use for.

    Raises
    ------
    JobFileError : it is no PNG or JPEG, is damaged, or is too large, too small or too long; says so in a sentence
    """
    from PIL import Image, ImageOps

    if len(data) > MOST_BYTES:
        raise JobFileError(f"the picture has more than {MOST_BYTES / 1e6:.0f} MB; a logo has less, save it smaller")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")  # what decodes to far more than it is, is refused
            opened = Image.open(BytesIO(data), formats=("PNG", "JPEG"))
            _check_size(*opened.size)
            opened.load()
            picture = ImageOps.exif_transpose(opened).convert("RGBA")
    except JobFileError:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as fault:
        raise JobFileError(f"the picture has too many pixels; save it no larger than {MOST_PX} on a side") from fault
    except Exception as fault:  # decoders raise many kinds of fault over damaged data; all mean the same here
        raise JobFileError("this is no PNG or JPEG picture, or it is damaged; save it anew as PNG") from fault
    picture.thumbnail((KEPT_PX, KEPT_PX), Image.Resampling.LANCZOS)
    plain = Image.new("RGB", picture.size, "white")
    plain.paste(picture, mask=picture.getchannel("A"))
    out = BytesIO()
    plain.save(out, "PNG", optimize=True)
    return Logo(out.getvalue(), *plain.size)


def _check_size(width: int, height: int) -> None:
    if min(width, height) < LEAST_PX:
        raise JobFileError(f"the picture is {width} by {height} pixels, too few to print; {LEAST_PX} is the least")
    if max(width, height) > MOST_PX or width * height > MOST_PIXELS:
        raise JobFileError(f"the picture is {width} by {height} pixels; save it no larger than {MOST_PX} on a side")
    if max(width, height) > MOST_TIMES * min(width, height):
        raise JobFileError(f"the picture is {width} by {height} pixels, too long for a logo; cut it to its middle")
