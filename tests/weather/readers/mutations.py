"""Bytes of a file replaced, left out, put in, repeated or cut off, as Hypothesis draws it.

A drawn place is anywhere in the file, or within its first thousandth, where a long file has its
heading. "digits" changes figures alone, so that the file keeps its form and its values are wrong.
"""

from __future__ import annotations

from hypothesis import strategies as st

MUTATIONS = st.lists(
    st.tuples(
        st.sampled_from(["replace", "digits", "delete", "insert", "repeat", "cut"]),
        st.floats(0.0, 1.0) | st.floats(0.0, 0.001),
        st.binary(min_size=1, max_size=12)
        | st.sampled_from([b",", b"\n", b"\r", b'"', b"-", b"9999", b"nan", b",,,,,", b"\xff"]),
    ),
    min_size=1,
    max_size=4,
)


def mutated(content: bytes, mutations: list[tuple[str, float, bytes]]) -> bytes:
    for kind, where, new in mutations:
        at = int(where * len(content))
        match kind:
            case "replace":
                content = content[:at] + new + content[at + len(new) :]
            case "digits":
                part = content[at : at + 4 * len(new)]
                changed = bytes(
                    48 + (byte + new[k % len(new)]) % 10 if 48 <= byte < 58 else byte
                    for k, byte in enumerate(part)
                )
                content = content[:at] + changed + content[at + len(part) :]
            case "delete":
                content = content[:at] + content[at + 8 * len(new) :]
            case "insert":
                content = content[:at] + new + content[at:]
            case "repeat":
                content = content[:at] + content[max(at - 200, 0) :]
            case "cut":
                content = content[: max(at, 1)]
    return content
