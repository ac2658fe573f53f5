"""How a check against a published figure is asserted, for every subject alike."""

from solarsim.data.accuracy.check import Check


def assert_check(check: Check) -> None:
    got = check.value
    assert abs(got - check.expected) <= check.tolerance, (
        f"{check.subject}: {check.what}: got {got:.7g} {check.unit}, expected "
        f"{check.expected:.7g} within {check.tolerance:.2g} ({check.source})"
    )


def name_of(check: Check) -> str:
    return check.what
