"""The workshop app: widgets make a frozen design, cached calls answer, `present` draws."""
