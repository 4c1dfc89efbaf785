"""Where what the user keeps for all jobs lies on this machine."""

from pathlib import Path

PRICES, TERMS = "prices.csv", "price-terms.toml"
FIRM, LOGO = "contractor.toml", "logo.png"


def own_folder() -> Path:
    """Return the user's folder for data of this program, where the platform wants it; it need not be there yet."""
    from platformdirs import user_data_path

    return user_data_path("drainsketch", appauthor=False, roaming=True)
