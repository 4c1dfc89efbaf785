"""The job inside a PDF of sheets: every crew's set carries the job file that it was made from."""

import logging
import zlib
from collections.abc import Iterator
from io import BytesIO
from itertools import islice
from typing import Any

from drainsketch.errors import JobFileError

ATTACHED = "job.drainjob"  # what the file is called inside
HEAD = b"%PDF-"
MOST_PDF_BYTES = 60_000_000
MOST_FILES = 50  # looked at among what a PDF carries


def job_bytes_in(data: bytes, most_bytes: int) -> bytes:
    """Return the job file that travels inside a PDF.

    Parameters
    ----------
    most_bytes : what a job file may have; no more than that is ever unpacked

    Raises
    ------
    JobFileError : this is no PDF that can be read, or it holds no job
    """
    from pypdf import PdfReader
    from pypdf.generic import StreamObject

    logging.getLogger("pypdf").setLevel(logging.CRITICAL)  # what it finds odd is said here, in one sentence
    try:
        files = [one for one in islice(_files(PdfReader(BytesIO(data))), MOST_FILES) if _name(one) == ATTACHED]
        stream = files[0]["/EF"]["/F"].get_object() if files else None
        if not isinstance(stream, StreamObject):
            raise JobFileError(
                "this PDF carries no job; the owner's and the record's sheets do not, nor does a PDF of another program: "
                "open the .drainjob file"
            )
        return _unpacked(stream, most_bytes)
    except JobFileError:
        raise
    except Exception as fault:  # a damaged or hostile file may fail anywhere in the reader
        raise JobFileError("this PDF is damaged, its job cannot be read; open the .drainjob file") from fault


def _files(reader: Any) -> Iterator[Any]:
    """Yield what a PDF carries."""
    root = reader.trailer["/Root"]
    for one in islice(root.get("/AF") or (), MOST_FILES):
        yield one.get_object()
    names = (root.get("/Names") or {}).get("/EmbeddedFiles") or {}
    for one in islice(names.get("/Names") or (), 1, 2 * MOST_FILES, 2):
        yield one.get_object()


def _name(file: Any) -> str:
    return str(file.get("/UF") or file.get("/F"))


def _unpacked(stream: Any, most_bytes: int) -> bytes:
    """Return what a stream holds; only so many bytes are unpacked, whatever it claims to be."""
    packed, how = stream._data, stream.get("/Filter")
    how = [how] if isinstance(how, str) else list(how or ())
    if how == ["/FlateDecode"]:
        packed = zlib.decompressobj().decompress(packed, most_bytes + 1)
    elif how:
        raise JobFileError("the job in this PDF is packed in a way that is not known; open the .drainjob file")
    if len(packed) > most_bytes:
        raise JobFileError(f"the job in this PDF has more than {most_bytes / 1e6:.0f} MB; that is no job file")
    return bytes(packed)
