"""The family of errors that a user can cause.

DrainsketchError
├── LengthError      a typed length, direction or number cannot be read
├── EditError        an edit asks for something the job cannot hold
├── JobFileError     a job file cannot be read or written; names the file and the place
├── DrawingError     a drawing from elsewhere cannot be taken in; names the file and the place
├── SheetError       a sheet cannot be drawn as asked (scale, paper, output file)
└── UsageError       the command line asks for something that is not there

Each message is one sentence that names the place and, where there is one, the remedy.
"""


class DrainsketchError(Exception):
    """Something the user can put right; its text is fit to show."""


class LengthError(DrainsketchError, ValueError):
    """A typed length, direction or number cannot be read."""


class EditError(DrainsketchError, ValueError):
    """An edit asks for something the job cannot hold."""


class JobFileError(DrainsketchError):
    """A job file cannot be read or written.

    Parameters
    ----------
    complaints : one or more ``place: what is wrong`` sentences, in file order
    """

    def __init__(self, *complaints: str) -> None:
        self.complaints = complaints
        more = len(complaints) - 1
        super().__init__(complaints[0] + (f" (and {more} more)" if more else ""))


class DrawingError(DrainsketchError):
    """A drawing from elsewhere cannot be taken in."""


class SheetError(DrainsketchError):
    """A sheet or export cannot be made as asked."""


class UsageError(DrainsketchError):
    """The command line asks for something that is not there."""
