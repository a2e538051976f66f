"""Which statuses a release holds, which are on their way into one, and which never go out."""

from perflour.formula.formula import APPROVED

#: What a release holds.
RELEASED = APPROVED
#: A formula that cannot be read says no status; it is told of until it can.
UNREADABLE = "unreadable"
_ON_THE_WAY = frozenset(("draft", "testing", UNREADABLE))


def is_ever_released(status: str) -> bool:
    """Whether a formula of this status goes out, or is on its way to a release.

    A status that is not named here never does: whoever adds one says otherwise above.
    """
    return status == RELEASED or status in _ON_THE_WAY
