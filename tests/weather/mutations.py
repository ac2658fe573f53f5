"""Bytes of a file replaced, left out, put in, repeated or cut off, as Hypothesis draws it."""

from __future__ import annotations

from hypothesis import strategies as st

MUTATIONS = st.lists(
    st.tuples(
        st.sampled_from(["replace", "delete", "insert", "repeat", "cut"]),
        st.floats(0.0, 1.0),
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
            case "delete":
                content = content[:at] + content[at + 8 * len(new) :]
            case "insert":
                content = content[:at] + new + content[at:]
            case "repeat":
                content = content[:at] + content[max(at - 200, 0) :]
            case "cut":
                content = content[: max(at, 1)]
    return content
