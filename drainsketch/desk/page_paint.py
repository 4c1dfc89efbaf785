"""The pages of a PDF as pictures. One page is painted at a time: the painter behind it knows no threads."""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock
from typing import Any

from PySide6.QtCore import QRectF, QSizeF
from PySide6.QtGui import QImage, QPainter

PT_PER_IN = 72.0
BAND_PIXELS = 12_000_000  # of a page that are painted at once: a large sheet at print resolution takes 300 MB whole
_ALONE = Lock()


class Pages:
    """The pages of one PDF."""

    def __init__(self, data: bytes) -> None:
        self._data = data
        with self._open() as document:
            self.sizes_pt = tuple(QSizeF(*page.get_size()) for page in document)
            self.labels = tuple(document.get_page_label(i) for i in range(len(document)))

    @contextmanager
    def _open(self) -> Iterator[Any]:
        import pypdfium2

        with _ALONE:
            document = pypdfium2.PdfDocument(self._data)
            try:
                yield document
            finally:
                document.close()

    def image(self, index: int, dots_per_in: float) -> QImage:
        """Return a page as a picture."""
        with self._open() as document:
            return _image(document[index], dots_per_in / PT_PER_IN, (0, 0, 0, 0), printing=False)

    def paint(self, painter: QPainter, index: int, dots_per_in: float, into: QRectF) -> None:
        """Paint a page as it is printed, band by band, to fill a rectangle of the painter."""
        size = self.sizes_pt[index]
        scale = dots_per_in / PT_PER_IN
        rows = max(1, int(BAND_PIXELS / (size.width() * scale)))
        tall = rows / scale  # of a band, pt: whole rows of dots
        with self._open() as document:
            page = document[index]
            top = 0.0
            while top < size.height() - 1e-6:
                low = min(size.height(), top + tall)
                image = _image(page, scale, (0, size.height() - low, 0, top), printing=True)
                dot = into.width() / (size.width() * scale)  # of the picture, on the paper
                band = QRectF(into.left(), into.top() + top * scale * dot, image.width() * dot, image.height() * dot)
                painter.drawImage(band, image)
                top = low


def _image(page: Any, scale: float, crop: tuple[float, float, float, float], *, printing: bool) -> QImage:
    from pypdfium2 import raw

    made = page.render(
        scale=scale,
        crop=crop,  # left, bottom, right, top
        force_bitmap_format=raw.FPDFBitmap_BGRx,
        optimize_mode="print" if printing else None,
    )
    image = QImage(made.buffer, made.width, made.height, made.stride, QImage.Format.Format_RGB32)
    return image.copy()  # which owns what it shows
