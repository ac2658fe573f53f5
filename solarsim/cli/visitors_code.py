"""The code that visitors of a served app type: made, written, and compared."""

from __future__ import annotations

import hmac
import secrets

__all__ = ["CODE_PARAMETER", "CODE_VARIABLE", "new_code", "same_code", "written_code"]

# How the command hands the code to the page that it serves; other users cannot read it there.
CODE_VARIABLE = "SOLARSIM_APP_CODE"
# Its name in an address, for a QR code that is scanned instead of typing.
CODE_PARAMETER = "code"
# No letter that may be read as a digit, and no U: 32 signs, 40 bits in all.
_SIGNS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
_LENGTH = 8
_READ_AS = str.maketrans("OIL", "011", " -–\t\u00a0")


def new_code() -> str:
    """Return a code that nobody can guess."""
    return "".join(secrets.choice(_SIGNS) for _ in range(_LENGTH))


def written_code(code: str) -> str:
    """Return the code as it is read out and typed.

    Examples
    --------
    >>> written_code("K7QM4TXW")
    'K7QM-4TXW'
    """
    return f"{code[:4]}-{code[4:]}"


def same_code(typed: str, code: str) -> bool:
    """Say whether a visitor typed the code, in small letters, with spaces, or O for 0.

    The time that it takes tells nothing of how much is right.

    Examples
    --------
    >>> same_code("k7qm 4txw", "K7QM4TXW"), same_code("K7QM-4TXV", "K7QM4TXW")
    (True, False)
    """
    given = typed[:100].upper().translate(_READ_AS)
    return hmac.compare_digest(given.encode(), code.encode())
