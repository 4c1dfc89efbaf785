"""What the user keeps for all jobs: where it lies on this machine, and how a file gets there."""

from pathlib import Path

from drainsketch.errors import JobFileError
from drainsketch.files.atomic import in_words, write_whole

PRICES, TERMS = "prices.csv", "price-terms.toml"
FIRM, LOGO = "contractor.toml", "logo.png"


def own_folder() -> Path:
    """Return the user's folder for data of this program, where the platform wants it; it need not be there yet."""
    from platformdirs import user_data_path

    return user_data_path("drainsketch", appauthor=False, roaming=True)


def keep_own(name: str, data: bytes) -> Path:
    """Write a file into the user's folder for all jobs, whole or not at all, and return it. Raises JobFileError."""
    file = own_folder() / name
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        write_whole(file, data)
    except OSError as fault:
        raise JobFileError(f"{file}: {in_words(fault)}") from fault
    return file
