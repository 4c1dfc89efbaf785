"""What every word of the job is: a value."""

from msgspec import Struct


class Frozen(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A value: equal by content, never changed in place."""
