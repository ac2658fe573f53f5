"""Measurements: they report and never judge, and run only where they are asked for by name."""

from __future__ import annotations


def pytest_ignore_collect(config):
    asked = any("bench" in str(argument) for argument in config.invocation_params.args)
    return None if asked else True
