"""How a check against a published figure is asserted, for every subject alike."""

from solarsim.data.accuracy.comparison import Comparison


def assert_agrees(comparison: Comparison) -> None:
    got = comparison.value
    assert abs(got - comparison.expected) <= comparison.tolerance, (
        f"{comparison.subject}: {comparison.what}: got {got:.7g} {comparison.unit}, expected "
        f"{comparison.expected:.7g} within {comparison.tolerance:.2g} ({comparison.source})"
    )


def name_of(comparison: Comparison) -> str:
    return comparison.what
